"""Machines with few ways for the gas: what is refused, what would help, what differs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packets.circuit import names
from packets.circuit.brazing import braze_plan
from packets.circuit.checking import check
from packets.model.hookups import BrazePlan, Opened
from tests.circuit.known import IDS, apply, circuit, without
from tests.circuit.replay import Replay


def test_one_service_port_only_leaves_the_last_joint_without_an_outlet() -> None:
    changed = without("packaged-cooling", "discharge-port")
    plan = braze_plan(changed, Opened(("compressor", "drier")))
    assert plan.steps == ()
    (problem,) = plan.problems
    assert problem.code == "no-route" and "fit a service port on the discharge line" in problem.fix


def test_each_remedy_named_makes_a_plan_that_the_replay_accepts() -> None:
    changed = without("packaged-cooling", "discharge-port")
    for line in ("discharge-line", "condenser-line"):
        fitted = apply(changed, port="extra-port", on=line)
        opened = Opened(("compressor", "drier"))
        plan = braze_plan(fitted, opened)
        said = f"fit a service port on the {names.line(fitted, line)}"
        assert (said in braze_plan(changed, opened).problems[0].fix) == bool(plan.steps)
        assert not plan.steps or Replay(fitted, opened).faults(plan) == []


def test_no_service_port_at_all() -> None:
    bare = without("packaged-cooling", "discharge-port", "suction-port")
    (problem,) = braze_plan(bare, Opened(("drier",))).problems
    assert "no service port can be used" in problem.message


@pytest.mark.parametrize("id", IDS)
def test_without_any_port_two_are_named_that_make_a_plan(id: str) -> None:
    bare, opened = without(id, *circuit(id).service_ports), Opened(("compressor", "drier"))
    (problem,) = braze_plan(bare, opened).problems
    lines = {
        name
        for name in bare.lines
        if f"the {names.line(bare, name)} " in f"{problem.fix} "
        and bare.parts[bare.lines[name].from_.partition(".")[0]].kind != "metering"
    }
    assert len(lines) == 2, problem.fix
    for at, line in enumerate(sorted(lines)):
        bare = apply(bare, port=f"new-{at}", on=line)
    plan = braze_plan(bare, opened)
    assert plan.steps and Replay(bare, opened).faults(plan) == []


def test_a_compressor_alone_closes_the_loop_with_its_last_joint() -> None:
    opened = Opened(("compressor",))
    (problem,) = braze_plan(circuit("packaged-cooling"), opened).problems
    assert "take the liquid-line drier out too" in problem.fix
    wider = replace(opened, out=("compressor", "drier"))
    plan = braze_plan(circuit("packaged-cooling"), wider)
    assert Replay(circuit("packaged-cooling"), wider).faults(plan) == []


def test_gas_lifts_a_check_valve_that_faces_the_way_it_goes() -> None:
    checked = apply(
        circuit("packaged-cooling"), add="check", in_="liquid-line", kind="check-valve", at=[10, 9]
    )
    opened = Opened(("drier",))
    plan = braze_plan(checked, opened)
    assert plan.steps and Replay(checked, opened).faults(plan) == []
    assert [step.route.lifts for step in plan.steps if step.route] == [(), ("check",)]


def test_a_check_valve_the_wrong_way_round_never_gets_gas_forced_through_it() -> None:
    turned = apply(
        circuit("packaged-cooling"), add="check", in_="liquid-line", kind="check-valve", at=[10, 9],
        passes={"forward": "no", "back": "yes"},
    )  # fmt: skip
    assert {problem.code for problem in check(turned)} == {"faces-wrong-way"}
    # The drier's last joint would have to share with the compressor, and both must be lifted:
    # nobody can say which one is.
    (problem,) = braze_plan(turned, Opened(("drier",))).problems
    assert problem.code == "no-route"
    # With the loop open at the compressor too, each joint has its way.
    opened = Opened(("compressor", "drier"))
    plan = braze_plan(turned, opened)
    assert Replay(turned, opened).faults(plan) == []


def test_gas_never_runs_forward_through_a_shut_solenoid() -> None:
    stuck = apply(circuit("condensing-unit-receiver"), change="solenoid", set_with="nothing")
    for out in (("drier",), ("compressor", "drier"), ("evaporator", "drier"), ("evaporator",)):
        plan = braze_plan(stuck, Opened(out))
        assert Replay(stuck, Opened(out)).faults(plan) == []
        for step in plan.steps:
            assert step.route is not None
            assert "solenoid" not in {setting.part for setting in step.route.valves}
            crossed = [leg.leaves for leg in step.route.legs if leg.element == "solenoid"]
            assert crossed in ([], ["solenoid.in"])


def test_a_shut_solenoid_is_lifted_from_behind() -> None:
    stuck = apply(circuit("condensing-unit-receiver"), change="solenoid", set_with="nothing")
    last = braze_plan(stuck, Opened(("drier",))).steps[-1].route
    assert last is not None and last.sole
    assert (last.inlet.port, last.vent.port, last.lifts) == (
        "suction-port", "liquid-port", ("solenoid",),
    )  # fmt: skip
    assert [(one.part, one.state) for one in last.valves] == [("receiver-valve", "front-seated")]


def test_a_shut_solenoid_in_the_only_way_is_named_with_what_would_help() -> None:
    stuck = apply(
        without("condensing-unit-receiver", "receiver-valve"), change="solenoid", set_with="nothing"
    )
    (problem,) = braze_plan(stuck, Opened(("drier",))).problems
    assert "hold the liquid-line solenoid open" in problem.fix


def test_a_reversing_valve_nobody_can_place_needs_a_route_for_both_places() -> None:
    blind = without("split-heat-pump", "discharge-port")
    opened = Opened(("compressor", "drier"))
    (problem,) = braze_plan(blind, opened).problems
    assert "fit a service port on the discharge line" in problem.fix
    assert "make sure that the reversing valve stands at cooling" in problem.fix
    known = apply(blind, change="reversing-valve", stands=["cooling"])
    plan = braze_plan(known, opened)
    assert plan.steps and Replay(known, opened).faults(plan) == []


def test_a_new_reversing_valve_is_looked_at_before_it_is_brazed_in() -> None:
    opened = Opened(("reversing-valve", "drier"))
    for id in ("packaged-heat-pump", "split-heat-pump"):
        (problem,) = braze_plan(circuit(id), opened).problems
        assert "make sure that the reversing valve stands at" in problem.fix
        for state in ("cooling", "heating"):
            known = apply(circuit(id), change="reversing-valve", stands=[state])
            plan = braze_plan(known, opened)
            assert len(plan.steps) == 6 and Replay(known, opened).faults(plan) == []


def test_unknown_parts_and_joints_are_named() -> None:
    plan = braze_plan(circuit("packaged-cooling"), Opened(("dryer",), joints=("drier.inn",)))
    assert [problem.code for problem in plan.problems] == ["unknown-part", "unknown-joint"]


def test_nothing_to_braze_is_no_problem() -> None:
    assert braze_plan(circuit("packaged-cooling"), Opened(())) == BrazePlan((), ())


# ---- machines that differ


def test_a_second_evaporator_shares_the_gas_of_the_last_joint() -> None:
    two = apply(
        circuit("condensing-unit-receiver"), repeat=["solenoid", "metering", "evaporator"],
        shift=[0, -6],
    )  # fmt: skip
    opened = Opened(("evaporator-2", "drier"))
    plan = braze_plan(two, opened)
    assert Replay(two, opened).faults(plan) == []


def test_a_suction_filter_is_brazed_before_the_liquid_drier() -> None:
    burnt = apply(
        circuit("condensing-unit-receiver"), add="suction-drier", in_="suction-line",
        kind="suction-drier", at=[7, 3],
    )  # fmt: skip
    opened = Opened(("compressor", "suction-drier", "drier"))
    plan = braze_plan(burnt, opened)
    assert Replay(burnt, opened).faults(plan) == []
    parts = [step.part for step in plan.steps]
    assert parts == ["compressor"] * 2 + ["suction-drier"] * 2 + ["drier"] * 2


def test_an_electronic_valve_is_opened_with_its_driver() -> None:
    driven = apply(circuit("split-cooling"), change="metering", device="eev")
    opened = Opened(("compressor", "drier"))
    plan = braze_plan(driven, opened)
    assert Replay(driven, opened).faults(plan) == []
    last = plan.steps[-1].route
    assert last is not None
    assert [(one.part, one.set_with) for one in last.valves] == [("metering", "driver")]
