"""The replay refuses what it should: right plans spoilt in one place each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from packets.circuit.brazing import braze_plan
from packets.model.hookups import (
    BrazePlan,
    BrazeStep,
    End,
    Inlet,
    Opened,
    Route,
    Span,
    ValveSetting,
    Vent,
)
from tests.circuit.known import circuit
from tests.circuit.replay import Replay

OPENED = Opened(("compressor", "drier"))


def spoil(plan: BrazePlan, at: int, change: Callable[[Route], Route]) -> BrazePlan:
    """The plan with one route changed."""
    steps = list(plan.steps)
    route = steps[at].route
    assert route is not None
    steps[at] = replace(steps[at], route=change(route))
    return replace(plan, steps=tuple(steps))


def plain(id: str = "packaged-cooling") -> BrazePlan:
    """A plan that the replay accepts."""
    plan = braze_plan(circuit(id), OPENED)
    assert Replay(circuit(id), OPENED).faults(plan) == []
    return plan


HIGH_OUT = Vent("discharge-port", core_out=True)
LOW_CORE_IN = Vent("suction-port")
JOINED = Vent(end=End("compressor.suction", "compressor"))
STRANGE = End("drier.in", "drier")
NO_SEAT = ValveSetting("metering", "open", "stem")

# What is spoilt, at which step, how, and what the replay must say.
ROUTES: dict[str, tuple[int, Callable[[Route], Route], str]] = {
    "cap forgotten": (1, lambda r: replace(r, caps=r.caps[1:]), "caps"),
    "cap on no end": (0, lambda r: replace(r, caps=(*r.caps, STRANGE)), "caps"),
    "end left open": (2, lambda r: replace(r, keep_closed=r.keep_closed[1:]), "keeps closed"),
    "port that does not reach": (0, lambda r: replace(r, inlet=Inlet("discharge-port")), "no gas"),
    "no outlet": (3, lambda r: replace(r, vent=HIGH_OUT), "leaves where"),
    "core left in": (3, lambda r: replace(r, vent=LOW_CORE_IN), "core in"),
    "vent on a joint made": (2, lambda r: replace(r, vent=JOINED), "not open"),
    "two vents": (2, lambda r: replace(r, vent=replace(r.vent, port="suction-port")), "neither"),
    "gas goes round": (
        3,
        lambda r: replace(r, inlet=Inlet("suction-port"), vent=HIGH_OUT),
        "round it",
    ),
    "valve without a seat": (2, lambda r: replace(r, valves=(NO_SEAT,)), "cannot be put"),
}


@pytest.mark.parametrize("fault", ROUTES)
def test_a_route_spoilt_in_one_place_is_refused(fault: str) -> None:
    at, change, words = ROUTES[fault]
    faults = Replay(circuit("packaged-cooling"), OPENED).faults(spoil(plain(), at, change))
    assert any(words in said for said in faults), faults


def test_a_magnet_left_in_the_bag_is_refused() -> None:
    plan = spoil(plain("condensing-unit-receiver"), 3, lambda r: replace(r, valves=()))
    faults = Replay(circuit("condensing-unit-receiver"), OPENED).faults(plan)
    assert any("no gas passes" in said for said in faults)


def test_a_split_that_is_not_owned_up_to_is_refused() -> None:
    plan = plain("capillary-cabinet")
    owned = spoil(plan, 3, lambda r: replace(r, sole=True, share=Span(1.0, 1.0)))
    faults = Replay(circuit("capillary-cabinet"), OPENED).faults(owned)
    assert any("round it" in said for said in faults)


def test_a_joint_upstream_of_the_capillary_is_refused() -> None:
    def backward(route: Route) -> Route:
        inlet, vent = route.inlet, route.vent
        return replace(route, inlet=Inlet(vent.port, vent.end), vent=Vent(inlet.port, inlet.end))

    plan = plain("capillary-cabinet")
    at = next(n for n, step in enumerate(plan.steps) if step.route and step.route.inlet.end)
    faults = Replay(circuit("capillary-cabinet"), OPENED).faults(spoil(plan, at, backward))
    assert any("capillary" in said for said in faults)


def test_joints_left_out_made_twice_or_unpurged_are_refused() -> None:
    plan, replay = plain(), Replay(circuit("packaged-cooling"), OPENED)
    short = replace(plan, steps=plan.steps[:-1])
    twice = replace(plan, steps=(*plan.steps, plan.steps[0]))
    bare = replace(plan, steps=(*plan.steps[:-1], replace(plan.steps[-1], route=None)))
    for spoilt, words in ((short, "never made"), (twice, "made twice"), (bare, "without nitrogen")):
        assert any(words in said for said in replay.faults(spoilt))


def test_another_order_needs_other_routes() -> None:
    plan, replay = plain(), Replay(circuit("packaged-cooling"), OPENED)
    steps: list[BrazeStep] = list(plan.steps)
    for first, second in ((0, 1), (2, 3), (1, 3)):
        swapped = list(steps)
        swapped[first], swapped[second] = swapped[second], swapped[first]
        assert replay.faults(replace(plan, steps=tuple(swapped)))
