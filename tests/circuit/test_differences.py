"""A machine states how it differs; the circuit follows without being copied."""

from __future__ import annotations

import pytest

from packets.circuit import differences
from packets.circuit.brazing import braze_plan
from packets.circuit.checking import check
from packets.model.circuits import CircuitPlan
from packets.model.hookups import Opened
from tests.circuit.known import IDS, circuit, difference
from tests.circuit.replay import Replay


def worked(id: str, **keys: object) -> CircuitPlan:
    """A shipped circuit with one difference, which hangs together."""
    result, problems = differences.apply(circuit(id), [difference(**keys)])
    assert not problems and check(result) == ()
    return result


def test_a_filter_in_the_suction_line_parts_it() -> None:
    made = worked(
        "condensing-unit-receiver", add="suction-drier", in_="suction-line", kind="suction-drier",
        name="suction drier", at=[7, 3], height="low",
    )  # fmt: skip
    first, second = made.lines["suction-line"], made.lines["suction-line-2"]
    assert (first.from_, first.to) == ("evaporator.out", "suction-drier.in")
    assert (second.from_, second.to) == ("suction-drier.out", "compressor.suction")
    # The port is near the compressor, and stays there.
    assert made.service_ports["suction-port"].on == "suction-line-2"
    assert made.service_ports["discharge-port"].on == "discharge-line"
    assert made.parts["suction-drier"].side == "low"


def test_the_circuit_it_came_from_is_left_alone() -> None:
    before = circuit("split-cooling")
    worked("split-cooling", remove="liquid-valve")
    assert circuit("split-cooling") == before


def test_a_machine_without_a_service_valve_has_no_port_there() -> None:
    made = worked("split-cooling", remove="liquid-valve")
    assert "liquid-valve" not in made.parts and "liquid-port" not in made.service_ports
    line = made.lines["condenser-line"]
    assert (line.from_, line.to, line.liquid) == ("condenser.out", "drier.in", True)
    assert "drier-line" not in made.lines


def test_a_port_that_is_not_there_is_shut_off_by_no_valve() -> None:
    made = worked("condensing-unit-receiver", remove="liquid-port")
    assert all(not state.dead for state in made.parts["receiver-valve"].states.values())


def test_a_service_port_more() -> None:
    made = worked("packaged-cooling", port="liquid-port", on="liquid-line", near="from", core=False)
    assert not made.service_ports["liquid-port"].core


def test_another_metering_device() -> None:
    made = worked("split-cooling", change="metering", device="eev", name="electronic valve")
    assert made.parts["metering"].device == "eev"
    assert made.parts["metering"].ports == ("in", "out")


def test_a_second_evaporator_hangs_between_two_tees() -> None:
    made = worked(
        "condensing-unit-receiver", repeat=["solenoid", "metering", "evaporator"], as_="b",
        shift=[0, -6],
    )  # fmt: skip
    assert {"solenoid-b", "metering-b", "evaporator-b", "tee-b-in", "tee-b-out"} <= set(made.parts)
    assert list(made.parts["evaporator-b"].at) == [13, -3]
    assert made.parts["evaporator-b"].name == "evaporator b"
    assert made.lines["solenoid-line-branch-b"].from_ == "tee-b-in.branch"
    assert made.lines["suction-line-branch-b"].to == "tee-b-out.branch"
    assert made.lines["suction-line-branch-b"].from_ == "evaporator-b.out"


def test_differences_build_on_each_other() -> None:
    made, problems = differences.apply(
        circuit("split-cooling"),
        [
            difference(add="accumulator", in_="unit-suction-line", kind="accumulator", at=[4, 3]),
            difference(port="shell-port", on="accumulator.in"),
            difference(remove="suction-valve"),
        ],
    )
    assert not problems and check(made) == ()
    assert made.lines["suction-line"].to == "accumulator.in"


@pytest.mark.parametrize("id", IDS)
def test_any_part_with_one_line_in_and_one_out_can_stand_twice(id: str) -> None:
    """Its tees find places of their own without a shift, and the plans hold for what comes out."""
    for name, part in circuit(id).parts.items():
        if len(part.ports) != 2:
            continue
        made = worked(id, repeat=[name])
        assert [one.kind for one in made.parts.values()].count("tee") == 2
        opened = Opened((name, "drier"))
        plan = braze_plan(made, opened)
        assert Replay(made, opened).faults(plan) == []
        assert bool(plan.steps) != bool(plan.problems)


def test_two_runs_more_stand_beside_the_first() -> None:
    made, problems = differences.apply(
        circuit("packaged-cooling"),
        [difference(repeat=["evaporator"], as_="b"), difference(repeat=["evaporator"], as_="c")],
    )
    assert not problems and check(made) == ()
    assert (
        len({made.parts[name].at for name in ("evaporator", "evaporator-b", "evaporator-c")}) == 3
    )


def test_a_shift_that_leads_onto_another_part_says_so() -> None:
    made, _ = differences.apply(
        circuit("packaged-cooling"), [difference(repeat=["evaporator"], shift=[0, 0])]
    )
    problem = check(made)[0]
    assert problem.code == "place-taken" and "shift" in problem.fix


WRONG = [
    ({"port": "extra"}, "difference-unclear", "port"),
    ({"add": "x", "in_": "suction-lin", "kind": "tee"}, "unknown-line", "in"),
    ({"add": "drier", "in_": "suction-line", "kind": "tee"}, "name-taken", "add"),
    ({"add": "x", "in_": "suction-line"}, "unknown-kind", "kind"),
    ({"add": "x", "in_": "suction-line", "kind": "tee", "ports": ["a"]}, "ports-not-two", "ports"),
    ({"remove": "dryer"}, "unknown-part", "remove"),
    ({"change": "dryer", "device": "eev"}, "unknown-part", "change"),
    ({"port": "drier", "on": "liquid-line"}, "name-taken", "port"),
    ({"repeat": ["condenser", "evaporator"]}, "run-broken", "repeat"),
    ({"repeat": ["dryer"]}, "unknown-part", "repeat"),
    ({"remove": "drier", "change": "metering"}, "difference-unclear", "change"),
    ({}, "difference-unclear", "add"),
]


@pytest.mark.parametrize(("keys", "code", "key"), WRONG, ids=lambda value: str(value)[:30])
def test_a_wrong_difference_is_named_and_left_out(
    keys: dict[str, object], code: str, key: str
) -> None:
    right = difference(port="extra-port", on="liquid-line")
    result, (problem,) = differences.apply(circuit("packaged-cooling"), [difference(**keys), right])
    assert problem.code == code and problem.path == ("differences", 0, key) and problem.fix
    assert "extra-port" in result.service_ports
    assert set(result.parts) == set(circuit("packaged-cooling").parts)


def test_a_part_with_two_ways_in_is_not_simply_taken_out() -> None:
    _, (problem,) = differences.apply(
        circuit("packaged-heat-pump"), [difference(remove="reversing-valve")]
    )
    assert problem.code == "part-not-in-line"


def test_a_mark_used_twice_asks_for_another() -> None:
    twice = [difference(repeat=["evaporator"]), difference(repeat=["condenser", "drier"])]
    _, (problem,) = differences.apply(circuit("packaged-cooling"), twice)
    assert problem.code == "name-taken" and "as: b" in problem.fix


def test_an_added_part_still_needs_its_place() -> None:
    made, problems = differences.apply(
        circuit("split-cooling"),
        [difference(add="filter", in_="suction-line", kind="suction-drier")],
    )
    assert not problems
    assert [problem.code for problem in check(made)] == ["part-without-place"]
