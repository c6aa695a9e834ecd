"""A second run of parts beside the first, from a tee before it to a tee after it."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from packets.circuit import names, placing
from packets.circuit.edits import Wrong, known, new, part_line
from packets.model.circuits import CircuitLine, CircuitPart, CircuitPlan, Difference

_REMARK = "mark the second run with another word: as: b"
# On the drawing grid, when the difference does not say; the first that is free is taken.
_SHIFTS = tuple((0.0, sign * 1.5 * far) for far in range(1, 9) for sign in (-1, 1))


def repeat(circuit: CircuitPlan, difference: Difference) -> CircuitPlan:
    """The circuit with the run named by `repeat` laid a second time, marked with `as`."""
    run, mark = difference.repeat, difference.as_ or "2"
    for name in run:
        known(name, circuit.parts, "repeat", "part")
        new(circuit, f"{name}-{mark}", "repeat", _REMARK)
    inside = [_between(circuit, first, second) for first, second in pairwise(run)]
    before, after = _end(circuit, run[0], "to"), _end(circuit, run[-1], "from_")
    tees = _tees(mark)
    for tee in tees:
        new(circuit, tee, "repeat", _REMARK)
    made = replace(circuit, parts=_parts(circuit, difference, mark, (before, after)))
    made = part_line(made, before, f"{tees[0]}.in", f"{tees[0]}.out", f"{before}-{mark}")
    made = part_line(made, after, f"{tees[1]}.in", f"{tees[1]}.out", f"{after}-{mark}")
    first, last = circuit.lines[before], circuit.lines[after]
    lines: dict[str, CircuitLine] = {}
    for line in inside:
        old = circuit.lines[line]
        lines[f"{line}-{mark}"] = replace(
            old, from_=_marked(old.from_, mark), to=_marked(old.to, mark), name=""
        )
    lines[f"{before}-branch-{mark}"] = replace(
        first, from_=f"{tees[0]}.branch", to=_marked(first.to, mark), direct=False, name=""
    )
    lines[f"{after}-branch-{mark}"] = replace(
        last, from_=_marked(last.from_, mark), to=f"{tees[1]}.branch", direct=False, name=""
    )
    for line in lines:
        new(made, line, "repeat", _REMARK)
    return replace(made, lines={**made.lines, **lines})


def _tees(mark: str) -> tuple[str, str]:
    return f"tee-{mark}-in", f"tee-{mark}-out"


def _parts(
    circuit: CircuitPlan, difference: Difference, mark: str, ends: tuple[str, str]
) -> dict[str, CircuitPart]:
    """The parts of the second run, set aside on the drawing, and its two tees half way there, or
    on the lines into and out of the run where that place is taken."""
    run, shift = difference.repeat, difference.shift or _free_shift(circuit, difference.repeat)
    parts = dict(circuit.parts)
    for name in run:
        old = circuit.parts[name]
        called = f"{names.part(circuit, name)} {mark}"
        parts[f"{name}-{mark}"] = replace(old, at=_moved(old.at, shift), name=called)
    half = tuple(step / 2 for step in shift)
    for tee, name, line, ports in zip(
        _tees(mark),
        (run[0], run[-1]),
        ends,
        (("in", "out", "branch"), ("in", "branch", "out")),
        strict=True,
    ):
        at = _moved(circuit.parts[name].at, half)
        if len(run) == 1 or any(part.at == at for part in parts.values()):
            at = placing.place(replace(circuit, parts=parts), line)
        words = f"tee {'before' if ports[1] == 'out' else 'after'} the {names.part(circuit, name)}"
        parts[tee] = CircuitPart("tee", ports, at, words)
    return parts


def _free_shift(circuit: CircuitPlan, run: tuple[str, ...]) -> tuple[float, float]:
    """The nearest shift that leaves no part of the second run where a part stands already."""
    taken = {part.at for part in circuit.parts.values()}
    for shift in _SHIFTS:
        if not any(_moved(circuit.parts[name].at, shift) in taken for name in run):
            return shift
    return _SHIFTS[0]


def _between(circuit: CircuitPlan, first: str, second: str) -> str:
    for name, line in circuit.lines.items():
        if line.from_.startswith(f"{first}.") and line.to.startswith(f"{second}."):
            return name
    raise Wrong(
        "run-broken",
        "repeat",
        f"no line leads from {first} to {second}",
        "name the parts of one run, in the order of flow",
    )


def _end(circuit: CircuitPlan, part: str, end: str) -> str:
    """The one line that comes in (its `to`) or goes out (its `from_`)."""
    found = [
        name for name, line in circuit.lines.items() if getattr(line, end).startswith(f"{part}.")
    ]
    if len(found) != 1:
        raise Wrong(
            "run-broken",
            "repeat",
            f"{part} has not one line {'in' if end == 'to' else 'out'}",
            "begin and end the run at parts with one line in and one out",
        )
    return found[0]


def _marked(port: str, mark: str) -> str:
    part, _, short = port.partition(".")
    return f"{part}-{mark}.{short}"


def _moved(at: tuple[float, ...], shift: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(a + b for a, b in zip(at, shift, strict=False))
