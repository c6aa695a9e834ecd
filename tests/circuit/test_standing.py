"""Valves on the way of the gas that the step does not set."""

from __future__ import annotations

from packets.circuit import kinds, standing
from packets.circuit.brazing import braze_plan
from packets.circuit.unbrazing import unbraze_plan
from packets.model.hookups import Opened, Route, ValveSetting
from tests.circuit.known import IDS, circuit

CUT = ("compressor", "drier")


def routes(id: str) -> list[Route]:
    """Of every joint of a compressor and drier change."""
    stubs = [f"{part}.{port}" for part in CUT for port in circuit(id).parts[part].ports]
    steps = (*braze_plan(circuit(id), Opened(CUT)).steps,
             *unbraze_plan(circuit(id), stubs, CUT).steps)  # fmt: skip
    return [step.route for step in steps if step.route]


def test_only_valves_on_the_way_that_no_step_sets_and_that_stand_open_are_told() -> None:
    told = 0
    for id in IDS:
        for route in routes(id):
            passed = {leg.element for leg in (*route.legs, *route.beside)}
            for one in standing.on_the_way(circuit(id), route):
                part = circuit(id).parts[one.part]
                assert one.part in passed and one.part not in route.either_way
                assert one.part not in {valve.part for valve in route.valves}
                assert all(kinds.states(part)[state].open for state in kinds.stands(part))
                told += 1
    assert told > 10


def test_what_was_set_before_is_told_as_it_was_left() -> None:
    held = (ValveSetting("receiver-valve", "mid-seated", "stem"),)
    plan = circuit("condensing-unit-receiver")
    found = {
        one
        for route in routes("condensing-unit-receiver")
        for one in standing.on_the_way(plan, route, held)
        if one.part == "receiver-valve"
    }
    assert found == set(held)


def test_a_magnet_stands_in_for_a_coil_and_a_wrench_for_none() -> None:
    plan = circuit("condensing-unit-receiver")
    assert standing.has_coil(plan, ValveSetting("solenoid", "open", "magnet"))
    assert not standing.has_coil(plan, ValveSetting("receiver-valve", "mid-seated", "stem"))
