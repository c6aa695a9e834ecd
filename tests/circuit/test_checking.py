"""Bad circuits: each is named with its code, at the line it stands on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packets import locating, sources, validation
from packets.building import build
from packets.circuit.checking import check, lacking
from packets.circuit.evacuation import evacuation_plan
from packets.circuit.recovery import recovery_plan
from packets.findings import Findings, Place
from packets.model.circuits import CircuitPlan, Problem
from tests.circuit.known import IDS, WITHOUT_DRIER, circuit

FILE = locating.procedures() / "circuits" / "packaged-cooling.yaml"


def read(text: str) -> tuple[list[Problem], list[Place], Findings]:
    """The problems of a circuit text and the place each one's path leads to."""
    findings = Findings()
    document = sources.parse(text, "circuit.yaml", findings)
    assert document is not None
    data = validation.validate(document, "circuit", findings)
    if data is None:
        return [], [], findings
    data.pop("format")
    problems = list(check(build(CircuitPlan, data)))
    return problems, [document.place(*problem.path) for problem in problems], findings


@pytest.mark.parametrize("id", [*IDS, *WITHOUT_DRIER])
def test_the_shipped_circuits_hang_together(id: str) -> None:
    assert check(circuit(id)) == ()
    assert circuit(id).circuit == id


def test_the_named_circuits_are_all_there_are() -> None:
    folder = locating.procedures() / "circuits"
    shipped = sorted(path.stem for path in folder.glob("*.yaml"))
    assert shipped == sorted((*IDS, *WITHOUT_DRIER))


@pytest.mark.parametrize("id", WITHOUT_DRIER)
def test_a_circuit_without_a_drier_can_be_emptied_and_evacuated(id: str) -> None:
    made = circuit(id)
    assert "filter-drier" not in {part.kind for part in made.parts.values()}
    assert recovery_plan(made).problems == ()
    assert evacuation_plan(made).problems == ()


# What to change in the packaged unit, the code it raises, and the word that stands on its line.
BAD = [
    ("to: metering.in,", "to: condenser.out,", "port-joined-twice", "liquid-line:"),
    ("to: metering.in,", "to: metering.inn,", "line-to-nowhere", "liquid-line:"),
    ("to: metering.in,", "to: meterin.in,", "line-to-nowhere", "liquid-line:"),
    ("at: [12, 6]", "at: [8, 9]", "place-taken", "at: [8, 9]"),
    ("on: suction-line", "on: suction-lin", "port-on-nothing", "suction-port:"),
    ("on: suction-line, near: to", "on: compressor.suction, near: to", "near-without-line", "near"),
    ("device: txv", "device: txv\n    stands: [ajar]", "unknown-state", "stands: [ajar]"),
    ("device: txv", "device: txv\n    tight: [top]", "unknown-port", "tight: [top]"),
    ("device: txv", "device: txv\n    passes: {forward: no, back: no}", "passes-nothing", "passes"),
    (
        "device: txv",
        "device: txv\n    passes: {forward: no, back: yes}",
        "faces-wrong-way",
        "metering",
    ),
    ("ports: [suction, discharge]", "ports: [discharge, suction]", "faces-wrong-way", "compressor"),
    ("ports: [suction, discharge]", "ports: [suction, discharge, oil]", "ports-not-two", "oil]"),
    ("kind: compressor", "kind: muffler", "no-compressor", "parts:"),
    ("  suction-port:", "  drier:", "name-taken", "  drier: {on"),
    (
        "device: txv",
        "device: txv\n    states: {open: {dead: [side-port]}, shut: {open: false}}",
        "unknown-service-port",
        "side-port",
    ),
]


@pytest.mark.parametrize(("old", "new", "code", "where"), BAD, ids=lambda value: str(value)[:24])
def test_each_fault_is_named_at_its_line(old: str, new: str, code: str, where: str) -> None:
    text = FILE.read_text(encoding="utf-8")
    assert text.count(old) >= 1
    text = text.replace(old, new, 1)
    problems, places, findings = read(text)
    assert not len(findings), list(findings)
    found = dict(zip([problem.code for problem in problems], places, strict=True))
    assert code in found, problems
    assert where in _there(text, found[code])
    assert all(problem.fix for problem in problems)


def _there(text: str, place: Place) -> str:
    """The line of a place, with the key above it: the place of a block is its first line."""
    return "\n".join(text.splitlines()[max(place.line - 2, 0) : place.line])


def test_a_valve_and_its_lines_turned_round_together_stop_the_gas() -> None:
    text = FILE.read_text(encoding="utf-8")
    for old, new in (
        ("device: txv", "device: txv\n    passes: {forward: no, back: yes}"),
        ("{from: drier.out, to: metering.in,", "{from: metering.in, to: drier.out,"),
        ("{from: metering.out, to: evaporator.in", "{from: evaporator.in, to: metering.out"),
    ):
        text = text.replace(old, new)
    problems, places, _ = read(text)
    assert [problem.code for problem in problems] == ["no-way-round"]
    assert "metering:" in _there(text, places[0])


def test_a_part_without_a_place_is_refused_before_it_is_built() -> None:
    text = FILE.read_text(encoding="utf-8").replace("    at: [12, 6]\n", "")
    _, _, findings = read(text)
    (finding,) = list(findings)
    assert finding.code == "missing-key" and "'at'" in finding.message
    assert "metering:" in text.splitlines()[finding.place.line - 1]


def test_two_circuits_in_one_file() -> None:
    text = FILE.read_text(encoding="utf-8").replace(
        "lines:\n",
        "  second: {kind: compressor, ports: [in, out], at: [20, 6]}\n"
        "  other: {kind: condenser, ports: [in, out], at: [22, 6]}\nlines:\n"
        "  there: {from: second.out, to: other.in}\n  back: {from: other.out, to: second.in}\n",
    )
    problems, places, _ = read(text)
    assert [problem.code for problem in problems] == ["two-circuits"]
    assert "second:" in text.splitlines()[places[0].line - 1]


def test_a_port_nothing_leads_to() -> None:
    text = FILE.read_text(encoding="utf-8")
    start = text.index("  suction-line: {from")
    text = text[:start] + text[text.index("service_ports:") :]
    text = text.replace(
        "suction-port: {on: suction-line, near: to", "suction-port: {on: liquid-line"
    )
    problems, _, _ = read(text)
    assert [problem.path for problem in problems] == [
        ("parts", "compressor", "ports"),
        ("parts", "evaporator", "ports"),
    ]
    assert {problem.code for problem in problems} == {"port-not-joined"}


def test_a_reversing_valve_needs_the_ports_its_states_join() -> None:
    text = (FILE.parent / "packaged-heat-pump.yaml").read_text(encoding="utf-8")
    text = text.replace(
        "ports: [discharge, suction, outdoor, indoor]",
        "ports: [discharge, suction, outdoor, inner]",
    )
    text = text.replace("reversing-valve.indoor", "reversing-valve.inner")
    problems, _, _ = read(text)
    assert [problem.code for problem in problems] == ["unknown-port"]
    assert "indoor" in problems[0].message


def _in_a_row(number: int, keys: str) -> str:
    """The circuit with so many parts more, one after the other in its suction line."""
    text = FILE.read_text(encoding="utf-8")
    parts = "".join(f"  x{n}: {{ports: [in, out], at: [{n}, 40], {keys}}}\n" for n in range(number))
    lines = "".join(f"  y{n}: {{from: x{n}.out, to: x{n + 1}.in}}\n" for n in range(number - 1))
    ends = f"  y: {{from: x{number - 1}.out, to: compressor.suction}}\n"
    old = "to: compressor.suction"
    assert text.count(old) == 1
    text = text.replace(old, "to: x0.in").replace("lines:\n", f"{parts}lines:\n{lines}{ends}", 1)
    assert text.count("lines:\n") == 1
    return text


def test_a_circuit_too_large_to_work_out_is_refused_at_once() -> None:
    problems, places, _ = read(_in_a_row(400, "kind: sight-glass"))
    assert {problem.code for problem in problems} == {"circuit-size"}
    assert problems[0].path == ("parts",)
    assert all(place.line > 1 for place in places)
    assert not read(_in_a_row(40, "kind: sight-glass"))[0]


def test_valves_that_may_stand_in_too_many_ways_are_named() -> None:
    keys = "kind: ball-valve, stands: [open, closed]"
    assert not read(_in_a_row(6, keys))[0]
    problems, _, _ = read(_in_a_row(7, keys))
    assert [problem.code for problem in problems] == ["too-many-ways"]
    assert "x6" in problems[0].message


@pytest.mark.parametrize("id", [*IDS, *WITHOUT_DRIER])
def test_a_machine_has_what_moves_heat(id: str) -> None:
    whole = circuit(id)
    assert lacking(whole) == ()
    for kind in ("condenser", "evaporator", "metering"):
        parts = {name: part for name, part in whole.parts.items() if part.kind != kind}
        assert [one.code for one in lacking(replace(whole, parts=parts))] == [f"no-{kind}"]
