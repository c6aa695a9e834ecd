"""Circuits nobody would build: the planner never sends a plan that the replay refuses."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from packets.circuit import differences
from packets.circuit.brazing import braze_plan
from packets.circuit.checking import check
from packets.model.circuits import CircuitPlan, Difference, Passes, ServicePort
from packets.model.hookups import Opened
from tests.circuit.known import IDS, circuit, ring
from tests.circuit.replay import Replay

KINDS = (
    "condenser", "evaporator", "receiver", "filter-drier", "sight-glass", "metering",
    "check-valve", "solenoid", "service-valve", "ball-valve", "pressure-regulator",
)  # fmt: skip
TURNED = Passes("no", "yes")


@st.composite
def circuits(draw: st.DrawFn) -> CircuitPlan:
    """A ring of one compressor and two to six other parts, perhaps with a branch, and ports."""
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=2, max_size=6))
    parts = [("compressor", "compressor"), *((f"p{at}", kind) for at, kind in enumerate(kinds))]
    more: dict[str, dict[str, Any]] = {}
    for name, kind in parts[1:]:
        if kind == "metering":
            device = draw(st.sampled_from(("txv", "eev", "capillary")))
            more[name] = {"device": device}
        elif kind == "check-valve" and draw(st.booleans()):
            more[name] = {"passes": TURNED}
        elif kind == "service-valve":
            more[name] = {"stands": (draw(st.sampled_from(("open", "closed"))),)}
    made = ring(*parts, ports={}, **more)
    if draw(st.booleans()):
        first = draw(st.integers(0, len(kinds) - 1))
        last = draw(st.integers(first, min(first + 1, len(kinds) - 1)))
        run = tuple(f"p{at}" for at in range(first, last + 1))
        made, problems = differences.apply(made, [Difference(repeat=run, shift=(0.0, -3.0))])
        assert not problems
    places = [*made.lines, *(f"{n}.{p}" for n, part in made.parts.items() for p in part.ports)]
    on = draw(st.lists(st.sampled_from(places), max_size=4, unique=True))
    cores = draw(st.lists(st.booleans(), min_size=4, max_size=4))
    services = {
        f"s{at}": ServicePort(place, core=core)
        for at, (place, core) in enumerate(zip(on, cores, strict=False))
    }
    return replace(made, service_ports=services)


@st.composite
def works(draw: st.DrawFn, most: int = 3) -> tuple[CircuitPlan, Opened]:
    """A circuit and what a job opens in it."""
    made = draw(circuits())
    out = draw(st.lists(st.sampled_from(sorted(made.parts)), max_size=most, unique=True))
    ports = [f"{n}.{p}" for n, part in made.parts.items() for p in part.ports]
    joints = draw(st.lists(st.sampled_from(ports), max_size=1))
    own = [f"{name}.{port}" for name in out for port in made.parts[name].ports]
    screwed = draw(st.lists(st.sampled_from(own), max_size=1)) if own else []
    assume(out or joints)
    assume({problem.code for problem in check(made)} <= {"faces-wrong-way", "no-way-round"})
    return made, Opened(tuple(out), tuple(joints), tuple(screwed))


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(works())
def test_no_plan_is_made_that_the_replay_refuses(work: tuple[CircuitPlan, Opened]) -> None:
    made, opened = work
    plan = braze_plan(made, opened)
    assert Replay(made, opened).faults(plan) == []
    assert bool(plan.steps) != bool(plan.problems)
    for step in plan.steps:
        if step.route:
            assert step.route.legs, "a route without a way"
            assert step.joint in {leg.leaves for leg in step.route.legs[:-1]}
            assert 0 < step.route.share.low <= step.route.share.high <= 1
            assert step.route.sole == (not step.route.beside)


@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(IDS), st.data())
def test_no_plan_for_a_shipped_circuit_short_of_ports_is_refused(
    id: str, data: st.DataObject
) -> None:
    made = circuit(id)
    kept = data.draw(st.sets(st.sampled_from(sorted(made.service_ports))))
    for port in sorted(set(made.service_ports) - kept):
        made, _ = differences.apply(made, [Difference(remove=port)])
    out = data.draw(
        st.lists(st.sampled_from(sorted(made.parts)), min_size=1, max_size=3, unique=True)
    )
    opened = Opened(tuple(out))
    plan = braze_plan(made, opened)
    assert Replay(made, opened).faults(plan) == []
    assert bool(plan.steps) != bool(plan.problems)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(works(most=2))
def test_no_way_is_missed_that_sends_all_gas_past_every_joint(
    work: tuple[CircuitPlan, Opened],
) -> None:
    made, opened = work
    plan = braze_plan(made, opened)
    if plan.problems:
        assert not some_order(Replay(made, opened), frozenset(), {})
        assert plan.problems[0].fix


def some_order(replay: Replay, done: frozenset[str], known: dict[frozenset[str], bool]) -> bool:
    """Whether the joints can be made in any order, each with all the gas, by trying."""
    if done == set(replay.wanted):
        return True
    if done not in known:
        known[done] = any(
            (joint in replay.screwed or replay.can(set(done), joint))
            and some_order(replay, done | {joint}, known)
            for joint in replay.wanted
            if joint not in done
        )
    return known[done]
