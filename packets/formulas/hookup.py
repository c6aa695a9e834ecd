"""The evacuation hook-up: pump, manifold, hoses and ports between the pump and the machine.

Gas that enters at the machine passes every part of its line and the pump, so the pressures
between them follow from the flow balance: none is assumed. `pressure_drop` gives what a part
loses at a given outlet pressure and flow; summed from the pump inwards, the machine's pressure.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from packets.formulas.conductance import (
    AIR,
    BORE,
    KNUDSEN,
    LENGTH,
    ROOM,
    Gas,
    molecular,
    mouth,
    viscous_slope,
    wall_number,
)
from packets.formulas.ranges import Range, guard

DISPLACEMENT = Range(1e-5, 1.0, "m3/s")
ULTIMATE = Range(1e-3, 1e4, "Pa absolute")

# A mouth is midway between its two regimes at this rarefaction, p d / (2 eta sqrt(2RT/M)). Set
# so that the flow into a vacuum stays at or above the formula of Fujimoto and Usami (1980; the
# formula from memory) at every pressure, by 15 % at most.
_MIDWAY = 2.3
_HEAT_RATIO = 1.4  # diatomic gas
_CHOKED = math.sqrt(_HEAT_RATIO) * math.pow(
    2 / (_HEAT_RATIO + 1), (_HEAT_RATIO + 1) / (2 * (_HEAT_RATIO - 1))
)  # 0.6847


@dataclass(frozen=True)
class Tube:
    """A hose or a bore: inside diameter 0.1 to 100 mm [m], length 1 mm to 100 m [m]."""

    bore: float
    length: float

    def __post_init__(self) -> None:
        guard("bore", self.bore, BORE)
        guard("length", self.length, LENGTH)


@dataclass(frozen=True)
class Opening:
    """A mouth of no length, diameter 0.1 to 100 mm [m]: stands before a short or narrow tube."""

    bore: float

    def __post_init__(self) -> None:
        guard("bore", self.bore, BORE)


Part = Tube | Opening
Line = tuple[Part, ...]  # from the machine towards the pump

# What a 1/4 in. flare access port leaves open. ASSUMED, no source. Core out: about the minor
# diameter of the core's thread (0.209 in. - 36, from memory), through the stub. Core in, its
# pin pressed: one round hole in place of the gaps round pin, spring and seat. A ring of gaps
# passes less than a hole of its area, so a real core is rather slower.
PORT_CORE_OUT: Line = (Opening(0.0047), Tube(0.0047, 0.025))
PORT_CORE_IN: Line = (Opening(0.0020), Tube(0.0020, 0.008))


@dataclass(frozen=True)
class Pump:
    """A vacuum pump: displacement 0.01 L/s to 1 m3/s [m3/s], ultimate 0.001 Pa to 10 kPa [Pa].

    Its throughput at inlet pressure p is displacement x (p - ultimate). A real pump moves less
    than its displacement.
    """

    displacement: float
    ultimate: float

    def __post_init__(self) -> None:
        guard("displacement", self.displacement, DISPLACEMENT)
        guard("ultimate", self.ultimate, ULTIMATE)


@dataclass(frozen=True)
class Network:
    """Lines from the machine's ports that meet, and what all their gas passes on to the pump.

    `common` is a manifold, a tee or a last hose; empty when the lines meet at the pump.
    """

    lines: tuple[Line, ...]
    common: Line = ()

    def __post_init__(self) -> None:
        if not self.lines or not all(self.lines):
            raise ValueError("a hook-up wants at least one line, and each line a part")


def hose_line(bore: float, length: float, core_in: bool = False) -> Line:
    """The parts from a machine's 1/4 in. access port to the far end of a hose.

    A core tool's own bore is not smaller than the port's and adds nothing.

    Args:
        bore: of the hose, 0.1 to 100 mm [m].
        length: of the hose, 1 mm to 100 m [m].
        core_in: the valve core stays in and the hose's pin holds it open.

    Raises:
        OutOfRange: an argument outside its range.

    Source: the port's dimensions are assumed, no source (see `PORT_CORE_IN`).

    >>> hose_line(0.0095, 1.2)[-1]
    Tube(bore=0.0095, length=1.2)
    """
    return (*(PORT_CORE_IN if core_in else PORT_CORE_OUT), Tube(bore, length))


Drop = Callable[[float, float], float]


def pressure_drop(part: Part, temperature: float = ROOM, gas: Gas = AIR) -> Drop:
    """The function (outlet pressure [Pa], throughput [Pa m3/s]) -> pressure drop [Pa] of a part.

    Tube: Q = C (p1 - p2), C = `conductance.whole_range` at the mean of both ends, solved for
    the drop. Opening: between molecular flow, Q = C (p1 - p2), and a nozzle without loss, which
    chokes at half its inlet pressure (ellipse law, within 3 % of the isentropic nozzle).
    The inlet pressure rises with outlet pressure and throughput alike, so a network has one
    answer.

    Prepared once a part because a pull-down asks a thousand times; the function it returns
    does not check its arguments.

    Args:
        part: a `Tube` or an `Opening`.
        temperature: of the gas, 230 to 340 [K].
        gas: AIR or NITROGEN.

    Raises:
        OutOfRange: temperature outside its range.

    Source: Knudsen's formula (from memory); choked flow of an ideal gas.

    >>> hose = pressure_drop(Tube(0.31 * 0.0254, 0.9144))  # 0.31 in. x 3 ft
    >>> round(hose(23.22, 0.05479) / 0.133322)  # micron, from 174 at the pump
    826
    """
    if isinstance(part, Opening):
        return _opening_drop(part, temperature, gas)
    return _tube_drop(part, temperature, gas)


def _tube_drop(tube: Tube, temperature: float, gas: Gas) -> Drop:
    dense = viscous_slope(tube.bore, tube.length, temperature, gas)
    thin = molecular(tube.bore, tube.length, temperature, gas)
    k = wall_number(temperature, gas) * tube.bore

    def drop(outlet: float, throughput: float) -> float:
        lost = 0.0
        # The wall term moves by a fifth over the whole range: five rounds settle it to 1e-7.
        for _ in range(5):
            x = k * (outlet + 0.5 * lost)
            level = dense * outlet + thin * (1 + x) / (1 + KNUDSEN * x)
            lost = 2 * throughput / (level + math.sqrt(level * level + 2 * dense * throughput))
        return lost

    return drop


def _opening_drop(opening: Opening, temperature: float, gas: Gas) -> Drop:
    thin = mouth(opening.bore, temperature, gas)
    dense = thin * _CHOKED * math.sqrt(2 * math.pi)  # a nozzle without loss
    rarefied = wall_number(temperature, gas) * opening.bore / (math.sqrt(8) * _MIDWAY)

    def drop(outlet: float, throughput: float) -> float:
        molecular_drop = throughput / thin
        choked = throughput / dense  # its inlet pressure if the nozzle chokes
        nozzle_drop = choked - outlet
        if outlet > 0.5 * choked:
            nozzle_drop = choked * choked / (4 * outlet)
        x = rarefied * (outlet + molecular_drop)
        return (molecular_drop + x * nozzle_drop) / (1 + x)

    return drop
