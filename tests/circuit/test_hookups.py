"""Recovery, evacuation and unbrazing of the shipped circuits."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packets.circuit import differences
from packets.circuit.evacuation import evacuation_plan
from packets.circuit.recovery import recovery_plan
from packets.circuit.unbrazing import place, unbraze_plan
from packets.model.circuits import CircuitPlan
from packets.model.hookups import End, LineSize, Opened
from tests.circuit.known import COIL, IDS, circuit, difference
from tests.circuit.replay import Replay


def changed(id: str, *states: dict[str, object]) -> CircuitPlan:
    """A shipped circuit with some differences."""
    result, problems = differences.apply(circuit(id), [difference(**keys) for keys in states])
    assert not problems
    return result


REGULATOR: dict[str, object] = {
    "add": "regulator", "in_": "suction-line", "kind": "pressure-regulator", "at": [8, 3],
    "name": "evaporator-pressure valve",
}  # fmt: skip


# ---- recovery


@pytest.mark.parametrize("id", IDS)
def test_everything_drains_when_the_valves_are_set(id: str) -> None:
    plan = recovery_plan(circuit(id))
    assert plan.left == () and plan.problems == ()
    assert plan.liquid or plan.vapor


def test_a_receiver_unit_gives_liquid_first_by_the_receiver_valve() -> None:
    plan = recovery_plan(circuit("condensing-unit-receiver"))
    assert [one.port for one in plan.liquid] == ["liquid-port"]
    assert [one.port for one in plan.vapor] == ["suction-port"]
    assert {(one.part, one.state, one.set_with) for one in plan.valves} == {
        ("receiver-valve", "mid-seated", "stem"),
        ("solenoid", "open", "magnet"),
    }
    # Left as it stands, back-seated and without a magnet, both would keep refrigerant.
    kept = {name for one in plan.keeps for name in one.elements}
    assert {"receiver", "condenser", "valve-line"} <= kept
    assert [one.shut for one in plan.trapped] == [
        ("receiver-valve", "solenoid"),
        ("receiver-valve", "metering"),
    ]


def test_a_packaged_unit_has_vapor_ports_on_both_sides_and_no_liquid_port() -> None:
    plan = recovery_plan(circuit("packaged-cooling"))
    assert plan.liquid == () and plan.valves == ()
    assert [one.port for one in plan.vapor] == ["suction-port", "discharge-port"]
    assert all(one.core_out for one in plan.vapor)


def test_a_capillary_is_not_waited_for_where_there_is_a_port_on_either_side() -> None:
    plan = recovery_plan(circuit("capillary-cabinet"))
    assert [one.port for one in (*plan.liquid, *plan.vapor)] == ["drier-port", "process-port"]
    lone = recovery_plan(changed("capillary-cabinet", {"remove": "drier-port"}))
    assert [one.port for one in lone.vapor] == ["process-port"] and lone.left == ()


def test_one_port_leaves_a_section_that_an_expansion_valve_may_shut_off() -> None:
    plan = recovery_plan(changed("packaged-cooling", {"remove": "discharge-port"}))
    assert [problem.code for problem in plan.problems] == ["section-keeps-refrigerant"]
    assert plan.left[0].holds("condenser")


def test_without_a_port_there_is_no_recovery() -> None:
    bare = replace(circuit("packaged-cooling"), service_ports={})
    assert [problem.code for problem in recovery_plan(bare).problems] == ["no-service-port"]
    assert [problem.code for problem in evacuation_plan(bare).problems] == ["no-service-port"]


def test_a_pressure_valve_in_the_suction_line_is_backed_out() -> None:
    made = changed("condensing-unit-receiver", REGULATOR)
    plan = recovery_plan(made)
    assert ("regulator", "open", "adjuster") in {
        (one.part, one.state, one.set_with) for one in plan.valves
    }
    assert any(one.holds("evaporator") for one in plan.keeps)


# ---- evacuation


@pytest.mark.parametrize("id", IDS)
def test_the_whole_circuit_is_pulled_and_the_gauge_sits_away_from_the_pump(id: str) -> None:
    plan = evacuation_plan(circuit(id))
    assert plan.left == () and plan.problems == () and plan.gauge is not None
    pumped = {one.port for one in plan.pumped}
    assert len(pumped) == min(2, len(circuit(id).service_ports))
    free = set(circuit(id).service_ports) - pumped
    assert plan.gauge.tee == (not free)
    assert plan.gauge.port in (free or pumped)
    lines = {name for name, line in circuit(id).lines.items() if not line.direct}
    assert {one.element for one in plan.reached} == {*circuit(id).parts, *lines}
    farthest = max(one.resistance for one in plan.reached)
    assert any(
        one.element == plan.gauge.farthest and one.resistance == farthest for one in plan.reached
    )


def test_the_receiver_unit_is_pulled_with_its_magnet_on_and_its_valve_mid_seated() -> None:
    plan = evacuation_plan(circuit("condensing-unit-receiver"))
    assert {(one.part, one.state) for one in plan.valves} == {
        ("receiver-valve", "mid-seated"),
        ("solenoid", "open"),
    }
    assert plan.gauge is not None and plan.gauge.port == "discharge-port"


def test_a_pressure_valve_is_shut_in_vacuum_and_traps_the_evaporator() -> None:
    # Held open by its adjuster it does not; with nothing to open it, it needs a port.
    made = changed(
        "condensing-unit-receiver", REGULATOR, {"change": "solenoid", "set_with": "magnet"}
    )
    plan = evacuation_plan(made)
    assert ("regulator", "open", "adjuster") in {
        (one.part, one.state, one.set_with) for one in plan.valves
    }
    assert plan.left == ()


def test_a_check_valve_has_nothing_to_lift_it_in_vacuum() -> None:
    made = changed(
        "packaged-cooling",
        {"add": "check", "in_": "suction-line", "kind": "check-valve", "at": [5, 3]},
        {"add": "check-2", "in_": "liquid-line", "kind": "check-valve", "at": [11, 9]},
    )
    plan = evacuation_plan(made)
    (problem,) = plan.problems
    assert problem.code == "section-not-evacuated"
    assert plan.left[0].holds("evaporator") and set(plan.left[0].bounds) == {"check", "check-2"}


def test_an_electronic_valve_that_may_be_shut_is_driven_open() -> None:
    plan = evacuation_plan(changed("split-cooling", {"change": "metering", "device": "eev"}))
    assert [(one.part, one.set_with) for one in plan.valves] == [("metering", "driver")]


def test_a_thin_line_draws_the_gauge_to_its_end() -> None:
    thin = {"liquid-line": LineSize(bore=0.003, length=20.0)}
    plan = evacuation_plan(circuit("packaged-cooling"), thin)
    # Half of the line lies before its middle: 10 m x (8/3)^4 = 506 m of 8 mm tube, and more.
    worst = max(plan.reached, key=lambda one: one.resistance)
    assert worst.element == "liquid-line" and worst.resistance == pytest.approx(514, abs=10)


# ---- unbrazing


@pytest.mark.parametrize("id", IDS)
@pytest.mark.parametrize("what", ["compressor", "coil"])
def test_every_joint_comes_apart_with_gas_past_it_lowest_first(id: str, what: str) -> None:
    plan = circuit(id)
    part = "compressor" if what == "compressor" else COIL[id]
    cut = ("compressor", "drier") if what == "compressor" else ("drier",)
    joints = [f"{part}.{port}" for port in plan.parts[part].ports]
    done = unbraze_plan(plan, joints, cut)
    assert done.problems == () and len(done.steps) == 2
    heights = [("low", "middle", "high").index(step.height) for step in done.steps]
    depths = [("back", "middle", "front").index(step.depth) for step in done.steps]
    assert list(zip(heights, depths, strict=True)) == sorted(zip(heights, depths, strict=True))
    for step in done.steps:
        assert step.route is not None and step.route.sole and not step.route.pressed
        assert step.route.inlet.end is None or step.route.inlet.end.joint != step.joint


@pytest.mark.parametrize("id", IDS)
def test_the_replay_agrees_with_each_route_of_a_coil_and_drier_taken_apart(id: str) -> None:
    # Between the cabinet's drier and its coil the capillary is left with no joint, and goes too.
    out = ("drier", COIL[id], *(("metering",) if id == "capillary-cabinet" else ()))
    plan = circuit(id)
    replay = Replay(plan, Opened(out))
    done = unbraze_plan(plan, replay.wanted)
    left = set(replay.wanted)
    for step in done.steps:
        left.discard(step.joint)
        if step.route is not None:
            assert replay.judge(left, step.joint, step.route) == []
    assert left == set()
    assert [step.route for step in done.steps].count(None) == len(done.problems) <= 1


def test_the_stub_of_a_compressor_that_was_cut_out_is_the_vent() -> None:
    done = unbraze_plan(
        circuit("packaged-cooling"), ["compressor.suction", "compressor.discharge"],
        cut=("compressor", "drier"),
    )  # fmt: skip
    assert [step.joint for step in done.steps] == ["compressor.discharge", "compressor.suction"]
    for step, port in zip(done.steps, ("discharge-port", "suction-port"), strict=True):
        assert step.route is not None and step.route.inlet.port == port
        assert step.route.vent.end == End(step.joint, "stub")


def test_of_joints_equally_high_the_farthest_in_comes_first() -> None:
    plan = circuit("split-cooling")
    deep = replace(plan.parts["compressor"], reach={}, depth="back")
    near = replace(plan.parts["liquid-valve"], height="low", depth="front")
    made = replace(plan, parts={**plan.parts, "compressor": deep, "liquid-valve": near})
    done = unbraze_plan(made, ["liquid-valve.in", "compressor.suction"], cut=("drier",))
    assert [step.joint for step in done.steps] == ["compressor.suction", "liquid-valve.in"]
    assert place(made, "compressor.suction") == ("low", "back")


def test_a_closed_circuit_with_one_port_has_no_outlet_for_a_hot_joint() -> None:
    made = changed("packaged-cooling", {"remove": "discharge-port"})
    done = unbraze_plan(made, ["evaporator.in", "evaporator.out"])
    assert done.problems and "fit a service port" in done.problems[0].fix
    assert done.steps[0].route is None


def test_an_unknown_joint_is_named() -> None:
    (problem,) = unbraze_plan(circuit("packaged-cooling"), ["compressor.top"]).problems
    assert problem.code == "unknown-joint"
