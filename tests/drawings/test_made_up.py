"""Circuits nobody would build are drawn as cleanly, or refused in words."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from packets.circuit import kinds
from packets.circuit.brazing import braze_plan
from packets.circuit.checking import check
from packets.drawings import hookups, symbols
from packets.drawings.arranging import NoRoom
from packets.drawings.board import CannotDraw, lay_out
from packets.drawings.drawing import FULL, HALF, THIRD, Size
from packets.model.circuits import CircuitPart, CircuitPlan
from packets.model.hookups import Opened
from tests.circuit.known import ring
from tests.circuit.test_made_up_circuits import works
from tests.drawings import samples
from tests.drawings.faults import faults
from tests.drawings.reading import Read

SIZES = st.sampled_from((FULL, HALF, THIRD))
SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


@settings(max_examples=25, deadline=None, suppress_health_check=SLOW)
@given(works(most=2), SIZES)
def test_whatever_can_be_planned_can_be_drawn(work: tuple[CircuitPlan, Opened], size: Size) -> None:
    made, opened = work
    assume(not check(made))
    try:
        board = lay_out(made, size)
    except CannotDraw:
        assume(False)
    try:
        for name, drawing in () if size.spare else samples.around(board):
            assert faults(drawing) == [], name
        for step in braze_plan(made, opened).steps:
            assert faults(hookups.braze(board, step, "1")) == [], step.joint
    except NoRoom as problem:  # rare: a service port walled in
        assert "no room for" in str(problem)


@pytest.mark.parametrize("size", [FULL, HALF], ids=["full", "half"])
def test_every_kind_of_part_has_a_symbol_of_its_own(size: Size) -> None:
    drawn: dict[str, str] = {}
    for kind in kinds.KINDS:
        for device in kinds.METERING if kind == "metering" else [""]:
            if kind in ("compressor", "tee", "reversing-valve"):
                continue  # every circuit has the first; the others are in the shipped ones
            made = ring(
                ("compressor", "compressor"), ("coil", "condenser"), ("part", kind),
                ("other", "evaporator"), ports={}, part={"device": device},
            )  # fmt: skip
            drawing = hookups.clean(lay_out(made, size))
            assert faults(drawing) == []
            drawn[device or kind] = repr(symbols.shape(made.parts["part"]).marks)
    alike = {"condenser", "evaporator"}
    apart = {name: marks for name, marks in drawn.items() if name not in alike}
    assert len(set(apart.values())) == len(apart)
    assert set(symbols.SHAPES) | {"metering"} == set(kinds.KINDS)
    assert set(symbols.METERING) == set(kinds.METERING)


def test_a_check_valve_that_is_turned_points_the_other_way() -> None:
    looks = {}
    for turned in (False, True):
        part = {
            "passes": kinds.FORWARD
            if not turned
            else replace(kinds.FORWARD, forward="no", back="yes")
        }
        made = ring(("compressor", "compressor"), ("check", "check-valve"), ports={}, check=part)
        placed = lay_out(made, FULL).placed["check"]
        tip = placed.pose.point((1.0, 0.0))
        out = placed.ports["out"][1]
        looks[turned] = tip[0] * out[0] + tip[1] * out[1]
    assert looks[False] > 0 > looks[True]


def test_a_long_row_is_laid_round_a_rectangle_where_it_is_too_wide() -> None:
    row = [("compressor", "compressor"), *((f"p{at}", "condenser") for at in range(7))]
    made = ring(*row, ports={"low": "compressor.in", "high": "line-1"})
    for size in (FULL, HALF):
        drawing = hookups.clean(lay_out(made, size))
        assert faults(drawing) == []
        assert len(Read(drawing.svg).groups("symbol")) == 8


def test_what_finds_no_room_is_refused_in_words() -> None:
    made = ring(("compressor", "compressor"), ("coil", "condenser"), ports={})
    tight = replace(HALF, width_mm=12.0)
    with pytest.raises(CannotDraw, match="12"):
        lay_out(made, tight)
    named = ring(
        ("compressor", "compressor"), ("coil", "condenser"), ports={},
        coil={"name": "an endless name " * 30},
    )  # fmt: skip
    with pytest.raises(NoRoom, match="endless"):
        hookups.clean(lay_out(named, HALF))


def test_a_part_with_many_ports_has_a_place_for_each() -> None:
    part = CircuitPart("receiver", ("in", "out", "vapor", "relief", "drain"))
    places = [node for node, _ in symbols.spots(part).values()]
    assert len(set(places)) == len(part.ports)
