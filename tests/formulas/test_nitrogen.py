"""Nitrogen quantities against CoolProp and worked trade figures."""

from __future__ import annotations

import math
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas import nitrogen
from packets.formulas.ranges import OutOfRange
from tests.handbook_rows import agrees, ids, rows

PSI, FT3, INCH = 6894.757, 0.028316846592, 0.0254
SCFH = FT3 / 3600.0


@pytest.mark.parametrize("row", rows("nitrogen"), ids=ids)
def test_handbook(row: dict[str, Any]) -> None:
    told = row["inputs"]
    if told["ask"] == "sweep-minutes":
        gas = nitrogen.sweep_gas(told["volume_ft3"] * FT3, told["changes"], 101325.0, 294.26)
        assert agrees(nitrogen.sweep_time(gas, told["scfh"] * SCFH) / 60, row)
    else:
        flow, hole = told["scfh"] * SCFH, told["hole_in"] * INCH
        assert agrees(nitrogen.pressure_behind_vent(flow, hole, 101325.0) / PSI, row)


def test_a_sweep_flow_through_a_small_hole_builds_over_three_psi() -> None:
    """Trade figure: 1/16 in. hole, 30 scfh, over 3 psi.

    By hand, incompressible with C = 0.61: v = 2.36e-4 / 1.979e-6 = 119 m/s,
    dp = 1.16/2 (119/0.61)^2 = 22.1 kPa = 3.2 psi.
    """
    pressure = nitrogen.pressure_behind_vent(30 * SCFH, INCH / 16, 101325.0)
    assert 3.0 < pressure / PSI < 3.6


@pytest.mark.parametrize("kelvin", [273.15, 294.26, 313.15])
@pytest.mark.parametrize("megapascal", [0.101325, 1.0, 3.5, 7.0])
def test_content_as_coolprop_to_7_mpa(kelvin: float, megapascal: float) -> None:
    """The module claims 1.8 % to 7 MPa at 0 to 40 C."""
    p = megapascal * 1e6
    real = PropsSI("D", "T", kelvin, "P", p, "Nitrogen") / PropsSI(
        "D", "T", 294.26, "P", 101325.0, "Nitrogen"
    )
    assert nitrogen.standard_volume(1.0, p, kelvin) == pytest.approx(real, rel=0.018)


@pytest.mark.parametrize("kelvin", [294.26, 313.15])
def test_content_as_coolprop_at_14_mpa(kelvin: float) -> None:
    """The module claims 3 % at 14 MPa, a full cylinder."""
    real = PropsSI("D", "T", kelvin, "P", 14e6, "Nitrogen") / PropsSI(
        "D", "T", 294.26, "P", 101325.0, "Nitrogen"
    )
    assert nitrogen.standard_volume(1.0, 14e6, kelvin) == pytest.approx(real, rel=0.03)


@pytest.mark.parametrize("p1", [0.5e6, 2e6, 3.5e6, 5e6])
@pytest.mark.parametrize(("t1", "t2"), [(273.0, 313.0), (313.0, 273.0), (293.0, 333.0)])
def test_virial_as_coolprop(p1: float, t1: float, t2: float) -> None:
    density = PropsSI("D", "T", t1, "P", p1, "Nitrogen")
    real = PropsSI("P", "T", t2, "D", density, "Nitrogen")
    assert nitrogen.virial_pressure_at(p1, t1, t2) == pytest.approx(real, rel=1e-3)
    assert abs(p1 * t2 / t1 / real - 1) > abs(nitrogen.virial_pressure_at(p1, t1, t2) / real - 1)


def test_full_cylinder_is_filled_by_its_own_ratio() -> None:
    assert nitrogen.content_left(2.2653, 14e6, 14e6) == 2.2653
    with pytest.raises(OutOfRange):
        nitrogen.content_left(2.2653, 14e6, 15e6)


def test_choking_flow_is_refused() -> None:
    highest = nitrogen.vent_flow(0.89 * 101325.0, INCH / 16, 101325.0)
    nitrogen.pressure_behind_vent(highest, INCH / 16, 101325.0)
    with pytest.raises(OutOfRange, match="choked"):
        nitrogen.pressure_behind_vent(1.1 * highest, INCH / 16, 101325.0)


holes = st.floats(5e-4, 0.02)
atmospheres = st.floats(7e4, 1.05e5)


@given(st.floats(1.0, 8e4), holes, atmospheres)
def test_vent_reads_both_ways(pressure: float, hole: float, p_atm: float) -> None:
    pressure = min(pressure, 0.89 * p_atm)
    flow = nitrogen.vent_flow(pressure, hole, p_atm)
    if flow >= nitrogen.FLOW.low:
        back = nitrogen.pressure_behind_vent(flow, hole, p_atm)
        assert math.isclose(back, pressure, rel_tol=1e-6)


@given(st.floats(1e-6, 1e-4), holes, holes, atmospheres)
def test_a_larger_hole_never_builds_more_pressure(
    flow: float, one: float, other: float, p_atm: float
) -> None:
    small, large = sorted((one, other))
    try:
        behind_small = nitrogen.pressure_behind_vent(flow, small, p_atm)
    except OutOfRange:
        return
    assert nitrogen.pressure_behind_vent(flow, large, p_atm) <= behind_small


@given(st.floats(1e-4, 1.0), st.floats(1e5, 5e6), st.floats(1e5, 5e6), st.floats(250, 320))
def test_fill_is_the_difference_of_contents(
    volume: float, one: float, other: float, kelvin: float
) -> None:
    start, end = sorted((one, other))
    gained = nitrogen.standard_volume(volume, end, kelvin) - nitrogen.standard_volume(
        volume, start, kelvin
    )
    fill = nitrogen.fill_gas(volume, start, end, kelvin)
    assert math.isclose(fill, gained, rel_tol=1e-6, abs_tol=1e-9)


@given(st.floats(1e-3, 100), st.floats(1e-2, 100))
def test_loaded_cylinders_hold_the_need_and_one_fewer_does_not(gas: float, each: float) -> None:
    count = nitrogen.cylinders_to_load(gas, each)
    assert count * each >= gas * (1 - 1e-12)
    assert (count - 1) * each < gas
