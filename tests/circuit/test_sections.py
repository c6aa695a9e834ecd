"""Sections, trapped liquid and volumes of the shipped circuits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.circuit import differences
from packets.circuit.sections import section_of, sections, trapped_liquid
from packets.circuit.volumes import line_volume, section_volume, volumes
from packets.model.circuits import CircuitPlan
from packets.model.hookups import LineSize, Section, Span
from tests.circuit.known import IDS, circuit, difference


def bounds(found: tuple[Section, ...]) -> set[tuple[str, ...]]:
    """The bounds of sections, as they are."""
    return {one.bounds for one in found}


def changed(id: str, **keys: object) -> CircuitPlan:
    """A shipped circuit with one difference."""
    result, problems = differences.apply(circuit(id), [difference(**keys)])
    assert not problems
    return result


def test_the_receiver_unit_has_four_sections() -> None:
    found = sections(circuit("condensing-unit-receiver"))
    assert bounds(found) == {
        ("metering",),  # the low side: the compressor shuts its other end, and its shell is in it
        ("compressor", "receiver-valve"),
        ("receiver-valve", "solenoid"),
        ("solenoid", "metering"),
    }
    low = section_of(found, "evaporator")
    assert low is not None and low.holds("compressor") and low.ports == ("suction-port",)


def test_service_valves_cut_a_split_unit_off_and_leave_it_no_port() -> None:
    found = sections(circuit("split-cooling"), shut=("liquid-valve", "suction-valve"))
    unit = [one for one in found if one.holds("compressor") or one.holds("condenser")]
    assert all(one.ports == () for one in unit)
    lines = section_of(found, "evaporator")
    assert lines is not None and set(lines.ports) == {"suction-port", "liquid-port"}


def test_an_open_valve_parts_nothing() -> None:
    found = sections(circuit("split-cooling"), shut=())
    assert len(found) == 1 and found[0].holds("liquid-valve")


@pytest.mark.parametrize("id", IDS)
def test_every_part_and_line_lies_in_one_section_or_between_two(id: str) -> None:
    plan, found = circuit(id), sections(circuit(id))
    for name in (*plan.parts, *(n for n, line in plan.lines.items() if not line.direct)):
        inside = [one for one in found if one.holds(name)]
        beside = [one for one in found if name in one.bounds]
        # A reversing valve joins two pairs of ports, and so lies in two sections.
        most = 2 if name == "reversing-valve" else 1
        assert 1 <= len(inside) <= most or (not inside and len(beside) == 2), name


def test_liquid_between_the_receiver_valve_and_the_solenoid_can_burst_the_line() -> None:
    first, second = trapped_liquid(circuit("condensing-unit-receiver"))
    assert first.shut == ("receiver-valve", "solenoid")
    assert {"liquid-line", "drier", "glass-line", "sight-glass"} <= set(first.section.elements)
    assert [(one.part, one.state, one.set_with) for one in first.open_one] == [
        ("receiver-valve", "mid-seated", "stem"),
        ("solenoid", "open", "magnet"),
    ]
    # Behind the closed solenoid liquid lifts it, so that it is held only together with the rest.
    assert second.shut == ("receiver-valve", "metering") and second.section.holds("valve-line")


def test_a_condenser_or_receiver_gives_liquid_room() -> None:
    for id in IDS:
        for one in trapped_liquid(circuit(id)):
            assert not {"condenser", "receiver", "evaporator", "outdoor-coil"} & set(
                one.section.elements
            )


def test_no_two_devices_hold_liquid_in_a_packaged_unit_or_a_cabinet() -> None:
    assert trapped_liquid(circuit("packaged-cooling")) == ()
    assert trapped_liquid(circuit("capillary-cabinet")) == ()


def test_a_check_valve_traps_liquid_before_a_shut_valve() -> None:
    made = changed(
        "condensing-unit-receiver", add="check", in_="drain-line", kind="check-valve", at=[5, 10]
    )
    shut = {one.shut for one in trapped_liquid(made)}
    # Behind it the receiver gives room; before it the condenser does.
    assert shut == {("receiver-valve", "solenoid"), ("receiver-valve", "metering")}
    made = changed(
        "condensing-unit-receiver", add="check", in_="liquid-line", kind="check-valve", at=[5, 10]
    )
    # The check valve holds liquid from going back, the solenoid from going on.
    assert {"check", "solenoid"} in [set(one.shut) for one in trapped_liquid(made)]


def test_a_fixed_orifice_lets_trapped_liquid_out() -> None:
    made = changed("split-cooling", change="metering", device="fixed-orifice")
    assert trapped_liquid(circuit("split-cooling")) and trapped_liquid(made) == ()


# ---- volumes

# ASTM B280 1/2 in. and 1-1/8 in. tube, 42 ft of each (bores as in the tube table).
HALF = LineSize(bore=0.436 * 0.0254, length=42 * 0.3048)
SUCTION = LineSize(bore=1.025 * 0.0254, length=42 * 0.3048)
IN3 = 0.0254**3
FT3 = 0.3048**3


def test_line_volumes_by_hand() -> None:
    # pi/4 x 0.436^2 = 0.14930 in2; x 504 in = 75.25 in3. pi/4 x 1.025^2 = 0.82516; 415.88 in3.
    assert line_volume(HALF) / IN3 == pytest.approx(75.25, abs=0.005)
    assert line_volume(SUCTION) / IN3 == pytest.approx(415.88, abs=0.005)


def test_stated_volumes_are_taken_and_the_rest_is_not_counted() -> None:
    plan = circuit("condensing-unit-receiver")
    found = volumes(plan, {"liquid-line": HALF, "no-line": HALF}, {"receiver": 0.006})
    assert found.elements["receiver"] == Span(0.006, 0.006)
    assert found.estimated == () and "condenser" in found.not_counted
    assert "suction-line" in found.not_counted and "liquid-line" not in found.not_counted


def test_a_known_whole_is_shared_out_to_the_last_drop() -> None:
    plan = circuit("condensing-unit-receiver")
    lines = {"liquid-line": HALF, "suction-line": SUCTION}
    found = volumes(plan, lines, {"receiver": 0.006}, total=0.9 * FT3)
    middle = sum((span.low + span.high) / 2 for span in found.elements.values())
    assert middle == pytest.approx(0.9 * FT3)
    assert found.elements["condenser"].low < found.elements["condenser"].high
    assert set(found.estimated) == set(plan.parts) - {"receiver"}
    assert found.assumptions


def test_the_charge_gives_a_range_that_holds_the_known_volume() -> None:
    # 14.5 lb of R-448A is about 0.0059 m3 as liquid at 25 C (1,097 kg/m3, CoolProp); the machine
    # of the example has 0.9 ft3.
    plan = circuit("condensing-unit-receiver")
    found = volumes(plan, {"liquid-line": HALF}, charge_as_liquid=14.5 * 0.45359 / 1097)
    whole = found.of((*plan.parts, *plan.lines))
    assert whole.low < 0.9 * FT3 < whole.high


def test_a_section_counts_what_lies_in_it() -> None:
    plan = circuit("condensing-unit-receiver")
    found = volumes(plan, {"liquid-line": HALF, "suction-line": SUCTION}, {"receiver": 0.006})
    liquid = section_of(sections(plan), "liquid-line")
    assert liquid is not None
    assert section_volume(found, liquid) == Span(line_volume(HALF), line_volume(HALF))


@given(
    total=st.floats(0.001, 1.0), stated=st.floats(0.0, 2.0),
    bore=st.floats(0.002, 0.1), length=st.floats(0.1, 100.0),
)  # fmt: skip
def test_no_volume_is_negative_or_more_than_the_whole(
    total: float, stated: float, bore: float, length: float
) -> None:
    plan = circuit("split-cooling")
    lines = {"liquid-line": LineSize(bore, length)}
    found = volumes(plan, lines, {"condenser": stated}, total=total)
    for name in found.estimated:
        span = found.elements[name]
        assert 0 <= span.low <= span.high <= total
        assert math.isfinite(span.high)
