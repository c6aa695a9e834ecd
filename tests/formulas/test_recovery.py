"""Recovery levels against 40 CFR 82.156(a) Table 1, every cell, and 82.152."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas import recovery
from packets.formulas.ranges import OutOfRange
from tests.handbook_rows import agrees, ids, rows

# Written out here, apart from the module's constants: conventional inch and mm of mercury, psi.
IN_HG_PA, MM_HG_PA, PSI_PA, LB_KG = 3386.389, 133.3224, 6894.757, 0.45359237


@pytest.mark.parametrize("row", rows("recovery"), ids=ids)
def test_table_1(row: dict[str, Any]) -> None:
    given_, unit = row["inputs"], row["unit"]
    if unit == "percent":
        share = recovery.small_appliance_minimum(
            2.0, given_["newer_machine"], given_["compressor_runs"]
        )
        assert agrees(share / 2.0 * 100, row)
        return
    level = recovery.SMALL_APPLIANCE_LEVEL
    if given_:
        charge = given_["charge_lb"] * LB_KG
        level = recovery.required_level(given_["category"], charge, given_["newer_machine"])
    if unit == "in. Hg vacuum at the site":
        assert agrees(-recovery.local_gauge_reading(level, 84_307.0) / IN_HG_PA, row)
    elif unit == "in. Hg vacuum":
        assert agrees(29.9 - level / IN_HG_PA, row)
    else:
        assert agrees(level / (MM_HG_PA if unit == "mm Hg absolute" else 1000.0), row)


CELLS = [row for row in rows("recovery") if row["unit"] in ("in. Hg vacuum", "mm Hg absolute")]


@pytest.mark.parametrize("row", CELLS, ids=ids)
def test_table_1_names_the_printed_vacuum(row: dict[str, Any]) -> None:
    given_ = row["inputs"]
    line = recovery.table_row(given_["category"], given_["charge_lb"] * LB_KG)
    told = line.newer_printed if given_["newer_machine"] else line.older_printed
    assert told.startswith(f"{row['expected']} {row['unit'].removesuffix(' absolute')}")


def test_every_cell_of_the_table_has_a_row() -> None:
    told = {
        (
            row["inputs"]["category"],
            row["inputs"]["charge_lb"] >= 200,
            row["inputs"]["newer_machine"],
        )
        for row in CELLS
    }
    # very-high and low have one row each for any charge, high and medium one each side of 200 lb
    assert len(told) == 2 * len(recovery.TABLE_1)
    assert {category for category, _, _ in told} == set(recovery.CATEGORIES)


@pytest.mark.parametrize("row", rows("pressure_category"), ids=ids)
def test_category_of_refrigerants_the_rule_names(row: dict[str, Any]) -> None:
    pressure = row["inputs"]["psia_at_104f"] * PSI_PA
    assert recovery.pressure_category(pressure) == row["expected"]


def test_category_limits_go_to_the_deeper_level() -> None:
    assert recovery.pressure_category(recovery.LOW_BELOW) == "medium"
    assert recovery.pressure_category(recovery.MEDIUM_UP_TO) == "medium"
    assert recovery.pressure_category(recovery.HIGH_UP_TO) == "high"
    assert recovery.pressure_category(None) == "very-high"


def test_r32_and_r410a_lie_on_a_category_limit() -> None:
    for psia in (359, 352):
        assert recovery.near_category_limit(psia * PSI_PA)
    for psia in (22, 77, 111, 147, 199, 222, 265):
        assert not recovery.near_category_limit(psia * PSI_PA)


def test_unknown_category_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="'medum' is not one of low, medium"):
        recovery.required_level("medum", 5.0, True)


def test_a_field_charge_is_no_small_appliance() -> None:
    with pytest.raises(OutOfRange):
        recovery.small_appliance_minimum(2.3, True, True)


categories = st.sampled_from(recovery.CATEGORIES)
charges = st.floats(recovery.CHARGE.low, recovery.CHARGE.high)
barometers = st.floats(recovery.ATMOSPHERE.low, recovery.ATMOSPHERE.high)


@given(categories, charges, charges)
def test_newer_machine_or_more_charge_never_eases_the_level(
    category: str, one: float, other: float
) -> None:
    small, large = sorted((one, other))
    older = recovery.required_level(category, small, False)
    newer = recovery.required_level(category, small, True)
    assert newer <= older
    assert recovery.required_level(category, large, True) <= newer


@given(categories, charges, st.booleans(), barometers)
def test_nothing_is_opened_above_the_level_or_above_zero_gauge(
    category: str, charge: float, newer: bool, barometer: float
) -> None:
    level = recovery.required_level(category, charge, newer)
    reading = recovery.reading_before_opening(level, barometer)
    assert reading <= 0.0
    assert reading + barometer <= level + recovery.REFERENCE_DIGIT + 1e-6


@given(st.floats(0.1, 100), st.floats(0.0, 1.0), st.floats(0.001, 1.0), st.floats(0.001, 1.0))
def test_time_lies_between_all_liquid_and_all_vapor(
    mass: float, share: float, liquid: float, vapor: float
) -> None:
    time = recovery.recovery_time(mass, share, liquid, vapor)
    ends = sorted((mass / liquid, mass / vapor))
    assert ends[0] * (1 - 1e-9) <= time <= ends[1] * (1 + 1e-9)
