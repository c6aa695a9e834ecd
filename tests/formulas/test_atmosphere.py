"""Barometric pressure against PsychroLib and the US Standard Atmosphere."""

from __future__ import annotations

import math

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas.atmosphere import ALTITUDE, pressure_at_altitude
from packets.formulas.ranges import OutOfRange
from tests.handbook_rows import printed

altitudes = st.floats(ALTITUDE.low, ALTITUDE.high)


@given(altitudes)
def test_as_psychrolib(altitude: float) -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    assert pressure_at_altitude(altitude) == pytest.approx(
        psychrolib.GetStandardAtmPressure(altitude), rel=1e-12
    )


@pytest.mark.parametrize(
    ("altitude", "text"),
    [
        (0, "101325"),  # by definition
        (11000, "22632.1"),  # US Standard Atmosphere 1976, foot of the next layer, secondary
        # US Standard Atmosphere 1976, geopotential altitude, from memory
        (-1000, "113929"),
        (1000, "89874.6"),
        (2000, "79495.2"),
        (5000, "54019.9"),
        (10000, "26436.3"),
    ],
)
def test_standard_atmosphere(altitude: float, text: str) -> None:
    value, _ = printed(text)
    # The rounded constants of the equation cost up to 0.01 % against the full definition.
    assert pressure_at_altitude(altitude) == pytest.approx(value, rel=1e-4)


@given(altitudes, altitudes)
def test_falls_with_altitude(one: float, other: float) -> None:
    low, high = sorted((one, other))
    if high - low > 0.01:
        assert pressure_at_altitude(low) > pressure_at_altitude(high)


@pytest.mark.parametrize("altitude", [-5000.1, 11000.1, math.nan, math.inf, True])
def test_refuses(altitude: float) -> None:
    with pytest.raises(OutOfRange):
        pressure_at_altitude(altitude)
