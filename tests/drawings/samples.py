"""Drawings of shipped and made-up circuits: every hook-up of a job, from its plans."""

from __future__ import annotations

from collections.abc import Iterator

from packets.circuit import differences
from packets.circuit.brazing import braze_plan
from packets.circuit.checking import check
from packets.circuit.evacuation import evacuation_plan
from packets.circuit.recovery import recovery_plan
from packets.circuit.unbrazing import unbraze_plan
from packets.drawings import hookups
from packets.drawings.board import Board
from packets.drawings.drawing import Drawing
from packets.model.circuits import CircuitPlan, Difference
from packets.model.hookups import Opened
from tests.circuit.known import COIL, IDS, METERING, circuit

Named = tuple[str, Drawing]

# What is done to each shipped circuit: parts out, and which of them is cut out cold.
WORKS: dict[str, tuple[str, ...]] = {
    "compressor": ("compressor", "drier"),
    "drier": ("drier",),
    "metering": ("metering", "drier"),
    "coil": ("coil", "drier"),
}


def out(id: str, work: str) -> tuple[str, ...]:
    """The parts that a work takes out of a shipped circuit."""
    names = {"metering": METERING[id], "coil": COIL[id]}
    return tuple(names.get(one, one) for one in WORKS[work])


def brazing(board: Board, parts: tuple[str, ...]) -> Iterator[Named]:
    """Each joint made again after parts were out."""
    steps = braze_plan(board.circuit, Opened(parts)).steps
    for number, step in enumerate(steps, 1):
        yield f"braze-{number}", hookups.braze(board, step, str(number))


def unbrazing(board: Board, parts: tuple[str, ...]) -> Iterator[Named]:
    """Each joint taken apart: a compressor's stubs after a cold cut, the others whole."""
    cut = tuple(part for part in parts if part in ("compressor", "drier"))
    of = parts if set(parts) == set(cut) else tuple(part for part in parts if part not in cut)
    joints = [f"{part}.{port}" for part in of for port in board.circuit.parts[part].ports]
    steps = unbraze_plan(board.circuit, joints, cut).steps
    for at in range(len(steps)):
        yield f"unbraze-{at + 1}", hookups.unbraze(board, steps, at, cut)


def around(board: Board) -> Iterator[Named]:
    """What every job draws: the circuit, recovery of a clean one and a burnt one, hold, evacuation
    and charging."""
    yield "clean", hookups.clean(board)
    taken = recovery_plan(board.circuit)
    yield "recovery", hookups.recovery(board, taken)
    yield "recovery-burnt", hookups.recovery(board, taken, burnt=True)
    ports = [use.port for use in (*taken.liquid, *taken.vapor)][:2]
    if ports:
        yield "hold", hookups.hold(board, ports, taken.valves)
        yield "charging", hookups.charging(board, ports[0], taken.valves)
    yield "evacuation", hookups.evacuation(board, evacuation_plan(board.circuit))


def job(board: Board, parts: tuple[str, ...]) -> list[Named]:
    """All drawings of a job; of a spare size those of joints alone."""
    joints = [*brazing(board, parts), *unbrazing(board, parts)]
    return joints if board.size.spare else [*around(board), *joints]


def differing() -> dict[str, CircuitPlan]:
    """Machines that differ from their circuit: an added filter, a second evaporator, and more."""
    changes = {
        "condensing-unit-receiver+filter": [
            Difference(
                add="filter", in_="suction-line", kind="suction-drier", at=(8.0, 3.0),
                name="suction-line filter",
            )
        ],
        "condensing-unit-receiver+evaporator": [Difference(repeat=("evaporator",), as_="2")],
        "split-cooling+run": [Difference(repeat=("metering", "evaporator"), as_="2")],
        "packaged-cooling+valve": [
            Difference(add="valve", in_="liquid-line", kind="ball-valve", at=(10.0, 9.0)),
            Difference(remove="discharge-port"),
        ],
    }  # fmt: skip
    found = {}
    for name, some in changes.items():
        made, problems = differences.apply(circuit(name.split("+")[0]), some)
        assert not problems and not check(made), [*problems, *check(made)]
        found[name] = made
    return found


SHIPPED = IDS
