"""Flammable charge limits against IEC 60335-2-40:2018 figures in installation guides."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas import flammables
from tests.handbook_rows import agrees, ids, rows


def _asked(told: dict[str, Any]) -> float:
    ask, lfl = told["ask"], told["lfl"]
    if ask == "m-max":
        return flammables.largest_charge(lfl, told["h0"], told["area"])
    if ask == "area":
        return flammables.least_area(told["mass"], lfl, told["h0"])
    m1, m2, _ = flammables.charge_limits(lfl, mild=True)
    return {"m1": m1, "m1-lb": m1 / 0.45359237, "m2": m2}[ask]


@pytest.mark.parametrize("row", rows("flammables"), ids=ids)
def test_handbook(row: dict[str, Any]) -> None:
    assert agrees(_asked(row["inputs"]), row)


def test_class_3_has_the_smaller_factors() -> None:
    """IEC 60335-2-40 (from memory) for R-290, 0.038 kg/m3: 4 x LFL = 0.152, 26 x LFL = 0.988."""
    m1, m2, m3 = flammables.charge_limits(0.038, mild=False)
    assert (round(m1, 3), round(m2, 3), round(m3, 2)) == (0.152, 0.988, 4.94)


limits = st.floats(0.03, 0.5)
heights = st.floats(0.6, 2.5)
areas = st.floats(1.0, 500.0)


@given(limits, heights, areas)
def test_area_and_charge_are_inverse(lfl: float, height: float, area: float) -> None:
    mass = flammables.largest_charge(lfl, height, area)
    assert math.isclose(flammables.least_area(mass, lfl, height), area, rel_tol=1e-9)


@given(limits, heights, areas, areas)
def test_a_larger_room_never_takes_less(
    lfl: float, height: float, one: float, other: float
) -> None:
    small, large = sorted((one, other))
    charge_small = flammables.largest_charge(lfl, height, small)
    assert charge_small <= flammables.largest_charge(lfl, height, large)
    # The cap: never more than three quarters of the LFL spread under the release height.
    assert charge_small <= 0.75 * lfl * height * small * (1 + 1e-12)


@given(st.floats(0, 5), st.floats(0, 1))
def test_release_height_is_never_under_the_reference(install: float, offset: float) -> None:
    assert flammables.release_height(install, offset) == max(0.6, install + offset)


def test_concentration_limit_by_hand() -> None:
    """R-410A, 0.42 kg/m3 (ASHRAE 34, from memory) in 4 x 5 x 2.5 m: 50 x 0.42 = 21 kg."""
    assert flammables.concentration_limit_charge(50.0, 0.42) == pytest.approx(21.0)
