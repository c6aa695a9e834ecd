"""The evacuation hook-up as the kit makes it: pump, hoses, core tools, manifold."""

from __future__ import annotations

from dataclasses import dataclass

from packets.formatting import System, in_si, show, tube
from packets.formulas.hookup import Line, Network, Pump, Tube, hose_line
from packets.model.kit import Hose, Kit, VacuumManifold
from packets.numbers.evacuation_table import row
from packets.quantities import INCH

# Ports that are pulled from at once, one on each side: two large hoses (common practice).
PORTS = 2


@dataclass(frozen=True)
class HookUp:
    """A hook-up ready for the formulas, and in words for the load list."""

    pump: Pump
    network: Network
    words: str


def planned(kit: Kit, ports: int = PORTS, units: System = "ip", cored: int | None = None) -> HookUp:
    """The kit's widest and shortest hoses, one a port; a core is out where a core tool is left.

    `ports` is how many are pulled from, `cored` how many of them have cores (None: all); the
    circuit's own plan tells both. A port without a core is taken as one with its core out.
    """
    hoses = sorted(kit.vacuum_hoses, key=_ease, reverse=True)[:ports]
    plain = 0 if cored is None else max(len(hoses) - cored, 0)
    lines = [(hose, at < plain + kit.core_tools) for at, hose in enumerate(hoses)]
    network = Network(
        tuple(hose_line(h.bore.value, h.length.value, core_in=not out) for h, out in lines),
        _common(kit.vacuum_manifold),
    )
    ends = [
        ", no core" if at < plain else ", core out" if out else ", core in"
        for at, (_, out) in enumerate(lines)
    ]
    words = _words([_size(h, units) + end for (h, _), end in zip(lines, ends, strict=True)])
    if kit.vacuum_manifold:
        words += f", through a manifold of {kit.vacuum_manifold.bore.text} bore"
    return HookUp(_pump(kit), network, words)


def small(kit: Kit, units: System, cored: bool = True) -> HookUp:
    """The same pump through one small hose, with the core in where there is one, to show the
    planned one beside.

    The hose is called by its fitting, 1/4 in.; gas passes its real bore, which is less.
    """
    hose = row("small-hose")
    bore, length = hose["bore_in"] * INCH, hose["length_in"] * INCH
    network = Network((hose_line(bore, length, core_in=cored),))
    long = show(length, "length", units, "nearest").text
    return HookUp(
        _pump(kit),
        network,
        f"one {tube(hose['nominal_in'] * INCH)} hose of {long}{', core in' if cored else ''}",
    )


def _pump(kit: Kit) -> Pump:
    return Pump(kit.vacuum_pump.displacement.value, kit.vacuum_pump.ultimate.value)


def _ease(hose: Hose) -> float:
    """How readily gas passes, dense or thin: wider first, then shorter."""
    return hose.bore.value**4 / hose.length.value


def _common(manifold: VacuumManifold | None) -> Line:
    """What all gas passes between the hoses and the pump."""
    if manifold is None:
        return ()
    bore = Tube(manifold.bore.value, manifold.length.value)
    if manifold.hose is None:
        return (bore,)
    return (bore, Tube(manifold.hose.bore.value, manifold.hose.length.value))


def _size(hose: Hose, units: System) -> str:
    """The bore goes by its trade size; the length is in the packet's units."""
    return f"{hose.bore.text} x {hose.length.text if units == 'ip' else in_si(hose.length)}"


def _words(lines: list[str]) -> str:
    """Like lines counted, unlike ones one by one."""
    counted = {line: lines.count(line) for line in lines}
    return " and ".join(
        line if count == 1 else f"{count} of {line.replace('core ', 'cores ')}"
        for line, count in counted.items()
    )
