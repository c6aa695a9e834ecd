"""Vapor pressure of water against IAPWS releases, the iapws library and printed tables."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS95
from iapws._iapws import _Sublimation_Pressure

from packets.formulas import water
from packets.formulas.constants import MICRON, MM_HG, ZERO_CELSIUS
from packets.formulas.ranges import OutOfRange
from tests.handbook_rows import agrees, ids, rows

temperatures = st.floats(water.TEMPERATURE.low, water.TEMPERATURE.high)


@pytest.mark.parametrize("row", rows("water"), ids=ids)
def test_handbook(row: dict[str, Any]) -> None:
    assert agrees(_told(row["inputs"], row["unit"]), row)


def _told(inputs: dict[str, float], unit: str) -> float:
    if "micron" in inputs:
        celsius = water.boiling_temperature(inputs["micron"] * MICRON) - ZERO_CELSIUS
        return {"degC": celsius, "degF": celsius * 1.8 + 32.0}[unit]
    celsius = inputs.get("temperature_c", math.nan)
    pressure = water.saturation_pressure(inputs.get("temperature_k", celsius + ZERO_CELSIUS))
    return pressure / {"Pa": 1.0, "mmHg": MM_HG}[unit]


@given(st.floats(water.ICE.low, water.ICE.high))
def test_ice_as_iapws_library(temperature: float) -> None:
    expected = _Sublimation_Pressure(temperature) * 1e6
    assert water.saturation_pressure(temperature) == pytest.approx(expected, rel=1e-11)


@given(st.floats(water.LIQUID.low, water.LIQUID.high))
def test_liquid_as_iapws_library(temperature: float) -> None:
    expected = IAPWS95._Vapor_Pressure(temperature) * 1e6
    assert water.pressure_over_liquid(temperature) == pytest.approx(expected, rel=1e-11)


@pytest.mark.parametrize("temperature", [274.0, 293.15, 323.15, 373.15, 450.0])
def test_liquid_as_the_full_equation_of_state(temperature: float) -> None:
    """IAPWS-95 solved for equal phases, not the short equation used here: 0.01 % apart."""
    expected = IAPWS95(T=temperature, x=0).P * 1e6
    assert water.saturation_pressure(temperature) == pytest.approx(expected, rel=1e-4)


@given(temperatures)
def test_inverse(temperature: float) -> None:
    pressure = water.saturation_pressure(temperature)
    # The two equations meet at the triple point to 1e-7 of the pressure, 1e-6 K.
    assert water.boiling_temperature(pressure) == pytest.approx(temperature, abs=2e-6)


@given(temperatures, temperatures)
def test_rises_with_temperature(one: float, other: float) -> None:
    low, high = sorted((one, other))
    if high - low > 1e-9 * high:
        assert water.saturation_pressure(low) < water.saturation_pressure(high)


def test_names_what_the_water_leaves_from() -> None:
    assert water.evaporates_from(500 * MICRON) is water.Phase.ICE
    assert water.evaporates_from(5000 * MICRON) is water.Phase.LIQUID
    assert water.evaporates_from(water.TRIPLE_PRESSURE) is water.Phase.LIQUID
    assert water.boiling_temperature(water.TRIPLE_PRESSURE) == pytest.approx(273.16, abs=1e-9)


def test_ends_of_the_range() -> None:
    assert water.boiling_temperature(water.PRESSURE.low) == pytest.approx(water.TEMPERATURE.low)
    assert water.boiling_temperature(water.PRESSURE.high) == pytest.approx(water.TEMPERATURE.high)


@pytest.mark.parametrize("value", [49.9, 647.2, math.nan, -1.0, math.inf, True])
def test_refuses_temperature(value: float) -> None:
    with pytest.raises(OutOfRange):
        water.saturation_pressure(value)


@pytest.mark.parametrize("value", [0.0, -5.0, 22.1e6, math.nan, math.inf])
def test_refuses_pressure(value: float) -> None:
    with pytest.raises(OutOfRange):
        water.boiling_temperature(value)


def test_supercooled_water_is_not_covered() -> None:
    with pytest.raises(OutOfRange):
        water.pressure_over_liquid(268.15)
    with pytest.raises(OutOfRange):
        water.pressure_over_ice(275.0)
