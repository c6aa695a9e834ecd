"""All sample jobs of this repository, taken as far as their numbers: the shipped examples, and
those that make the numbers which no example has."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

from packets import composing
from packets.model.numbers import Register
from packets.pipeline import Prepared, prepare
from tests import jobs
from tests.splits import ORIFICE, TXV, nameplate, split

EXAMPLES = sorted(jobs.EXAMPLE.parent.glob("*/job.yaml"))
_VOLUME = "    internal_volume"
_CURRENT = "      rated_load_current: 13.7 A"


def _plain(folder: Path) -> Prepared:
    """A plain comfort-cooling job on a single-phase split."""
    return jobs.prepared(folder, jobs.PLAIN)


def _orifice(folder: Path) -> Prepared:
    """A fixed orifice, a line set beyond the plate, larger parts, air and capacitor stated."""
    return split(
        folder,
        (TXV, ORIFICE.replace("}", ", approach: 6 degF, approach_within: 2 degF}")),
        nameplate("8 lb", "{covers: 15 ft}"),
        (_VOLUME, "    air: {flow: 1200 cfm, sensible_heat: 25920 Btu/h, split_within: 3 degF}\n"
                  "    part_volumes: {drier: 12 in3, suction-drier: 20 in3}\n"
                  f"    leak_to_see: 5 lb\n{_VOLUME}"),
        (_CURRENT, f"{_CURRENT}\n      run_capacitor: {{value: 45 uF, within: 6 %}}"),
        job=[
            ("      weight: 82 lb",
             "      weight: 82 lb\n      run_capacitor: {value: 50 uF, within: 5 %}"),
            ("size: 1/2 in, acid_core: true", "size: 1/2 in, acid_core: true, volume: 30 in3"),
            ("    drier: {", "    accumulator: {model: SA-7, volume: 0.05 ft3}\n    drier: {"),
        ],
    )  # fmt: skip


def _flammable(folder: Path) -> Prepared:
    """Four kilograms of a mildly flammable refrigerant over a room of 20 m2."""
    room = "altitude: 980 ft, room: {area: 20 m2, height: 8 ft, install_height: 1.8 m}}"
    return split(
        folder,
        nameplate("4 kg", "{covers: 50 ft}"),
        ("altitude: 980 ft}", room),
        kit=jobs.RATED,
        refrigerant="R-32",
    )


def _leaking(folder: Path) -> Prepared:
    """The creamery with a charge that the leak rules cover, additions written down, the
    receiver's volume and the charge's parts known."""
    history = "[{date: 2025-06-01, mass: 3 lb}, {date: 2026-01-17, mass: 2 lb}]"
    parts = "{evaporator: 15 lb, condenser: 20 lb, receiver_minimum: 10 lb, flooding: 12 lb}"
    return jobs.prepared(
        folder,
        {
            "equipment.yaml": [
                ("charge: 14 lb 8 oz", "charge: 60 lb"),
                (_VOLUME, f"    additions: {history}\n    receiver_charge: {parts}\n"
                          f"    part_volumes: {{receiver: 1.5 ft3}}\n{_VOLUME}"),
                (f"{_VOLUME}: 0.9 ft3", f"{_VOLUME}: 2.2 ft3"),
            ],
            "kit.yaml": [
                ("gross: 35 lb 4 oz", "gross: 120 lb"),
                ("water_capacity: 47.7 lb\n    tare: 27.6 lb",
                 "water_capacity: 125 lb\n    tare: 60 lb"),
                ("volume: 80 ft3, pressure: 2015", "volume: 250 ft3, pressure: 2015"),
            ],
        },
    )  # fmt: skip


def _two_circuits(folder: Path) -> Prepared:
    """The creamery's work on the first of two circuits of one machine."""
    return prepare(jobs.two_circuits(folder))


def _gauge_ports(folder: Path) -> Prepared:
    """The creamery with gauge ports of back-seating valves and no port with a core."""
    return jobs.prepared(folder, jobs.GAUGE_PORTS)


RACK_CYLINDER = "  - {volume: 300 ft3, pressure: 2150 psig, full_pressure: 2200 psig}\n"
RACK: dict[str, list[jobs.Change]] = {
    "equipment.yaml": [(f"{_VOLUME}: 0.9 ft3", f"{_VOLUME}: 28 ft3"),
                       ("charge: 14 lb 8 oz", "charge: 200 lb")],
    "kit.yaml": [
        ("gross: 35 lb 4 oz", "gross: 250 lb"),
        ("water_capacity: 47.7 lb\n    tare: 27.6 lb",
         "water_capacity: 400 lb\n    tare: 120 lb"),
        ("capacity: 220 lb", "capacity: 500 lb"),
        ("  - {volume: 80 ft3, pressure: 2150 psig, full_pressure: 2200 psig}\n",
         RACK_CYLINDER * 6),
    ],
}  # fmt: skip


def _rack(folder: Path) -> Prepared:
    """The creamery's circuit at the size of a rack: 28 ft3 and 200 lb."""
    return jobs.prepared(folder, RACK)


# By name, in the order in which a number is looked for after the creamery.
OWN: dict[str, Callable[[Path], Prepared]] = {
    "plain": _plain,
    "orifice": _orifice,
    "flammable": _flammable,
    "leaking": _leaking,
    "two circuits": _two_circuits,
    "gauge ports": _gauge_ports,
    "rack": _rack,
}


@cache
def circuits() -> tuple[tuple[str, composing.Circuit], ...]:
    """Job's name and one circuit of it, with register and lists."""
    return tuple(_circuits())


def register(job: str) -> Register:
    """The numbers of a sample job with one circuit."""
    return dict(circuits())[job].context.register


def _circuits() -> Iterator[tuple[str, composing.Circuit]]:
    for path in EXAMPLES:
        yield from _taken(path.parent.name, prepare(path))
    for name, make in OWN.items():
        with tempfile.TemporaryDirectory() as folder:
            yield from _taken(name, make(Path(folder)))


def _taken(name: str, done: Prepared) -> Iterator[tuple[str, composing.Circuit]]:
    assert done.packet, [name, *(str(finding) for finding in done.findings)]
    for circuit in done.circuits.values():
        yield name, circuit
