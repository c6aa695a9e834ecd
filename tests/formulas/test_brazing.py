"""Filler to load, against the CDA Copper Tube Handbook Table 14.11, every cell."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas import brazing
from packets.formulas.ranges import OutOfRange
from tests.handbook_rows import ids, printed, rows, table

INCH = 0.0254
FILLER = {row["nominal"]: row for row in table("filler_consumption")["rows"]}
# The Handbook's lengths to the pound, by column.
INCHES_A_POUND = {
    "wire_1_16_length_in": 1090,
    "rod_1_8_x_050_length_in": 534,
    "wire_3_32_length_in": 484,
    "wire_1_8_length_in": 268,
}


@pytest.mark.parametrize("row", rows("brazing"), ids=ids)
def test_table_holds_the_printed_cell(row: dict[str, Any]) -> None:
    stored = FILLER[row["inputs"]["nominal"]][row["inputs"]["column"]]
    assert stored == printed(row["expected"])[0]


def test_every_cell_is_checked_and_the_gaps_are_the_printed_ones() -> None:
    columns = [*INCHES_A_POUND, "mass_lb_per_100", "mass_kg_per_100"]
    cells = {(n, c) for n, row in FILLER.items() for c in columns if row[c] is not None}
    assert cells == {(r["inputs"]["nominal"], r["inputs"]["column"]) for r in rows("brazing")}
    gaps = {(n, c) for n, row in FILLER.items() for c in columns if row[c] is None}
    assert gaps == {(n, "wire_1_16_length_in") for n in ("1-1/2", "2", "2-1/2", "3", "4")}


@pytest.mark.parametrize("row", rows("brazing"), ids=ids)
def test_lengths_agree_with_the_weight_column(row: dict[str, Any]) -> None:
    """The fractions were restored; each must weigh what the weight column says.

    The Handbook prints lengths in eighths, not always the nearest one: an eighth either way,
    and half of the weight's last digit.
    """
    line, column = FILLER[row["inputs"]["nominal"]], row["inputs"]["column"]
    if column in INCHES_A_POUND:
        per_pound = INCHES_A_POUND[column]
        weight = line[column] * 100 / per_pound
        assert abs(weight - line["mass_lb_per_100"]) <= 0.125 * 100 / per_pound + 0.005 + 1e-9
    else:
        kilograms = line["mass_lb_per_100"] * 0.45359237
        slack = 0.005 * 0.45359237 + printed(repr(line["mass_kg_per_100"]))[1]
        assert abs(kilograms - line["mass_kg_per_100"]) <= slack


def test_tube_of_one_and_an_eighth_is_nominal_one() -> None:
    for outside, nominal in ((1.125, 1.0), (0.875, 0.75), (0.375, 0.25), (0.625, 0.5)):
        assert math.isclose(brazing.nominal_water_size(outside * INCH), nominal * INCH)


def test_sizes_off_the_table_take_the_next_larger() -> None:
    listed = [row["nominal_in"] * INCH for row in FILLER.values()]
    quarter_inch_tube = brazing.nominal_water_size(0.25 * INCH)  # nominal 1/8, not listed
    assert brazing.listed_size(quarter_inch_tube, listed) == 0.25 * INCH
    assert brazing.listed_size(brazing.nominal_water_size(1.125 * INCH), listed) == INCH
    with pytest.raises(OutOfRange):
        brazing.listed_size(5 * INCH, listed)


def test_load_for_a_compressor_change_by_hand() -> None:
    """Two 1-1/8 in. and two 1/2 in. OD joints in 1/8 x .050 rod, loaded three times.

    By hand: nominal 1 takes 1-3/4 in., nominal 3/8 takes 3/8 in. a joint;
    3 x (2 x 1.75 + 2 x 0.375) = 12.75 in.: one 20 in. rod less its 2 in. stub.
    """
    per_joint = [1.75 * INCH, 1.75 * INCH, 0.375 * INCH, 0.375 * INCH]
    length = brazing.filler_length(per_joint, 3)
    assert math.isclose(length, 12.75 * INCH)
    assert brazing.rods_to_load(length, 20 * INCH, 2 * INCH) == 1
    assert brazing.rods_to_load(18.1 * INCH, 20 * INCH, 2 * INCH) == 2


@given(st.floats(0, 100), st.floats(0.1, 1.0), st.floats(0, 0.05))
def test_rods_cover_the_length_and_one_fewer_does_not(
    length: float, rod: float, stub: float
) -> None:
    count = brazing.rods_to_load(length, rod, stub)
    assert count * (rod - stub) >= length * (1 - 1e-12)
    assert count == 0 or (count - 1) * (rod - stub) < length


@given(st.lists(st.floats(0, 0.1), max_size=8), st.floats(1, 5))
def test_mass_and_length_are_added_up_the_same_way(each: list[float], factor: float) -> None:
    assert brazing.filler_mass(each, factor) == brazing.filler_length(each, factor)
    assert brazing.filler_mass(each, factor) >= sum(each) * (1 - 1e-12)
