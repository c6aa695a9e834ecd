"""Vapor pressure of pure water over ice and over liquid, and its inverse.

In an evacuated system water leaves at the temperature where its vapor pressure equals the
pressure in the system: it boils above the triple point, it sublimes from ice below it.
"""

from __future__ import annotations

import math
from enum import Enum

from packets.formulas.ranges import Range, guard

TRIPLE_TEMPERATURE = 273.16  # K
TRIPLE_PRESSURE = 611.657  # Pa
CRITICAL_TEMPERATURE = 647.096  # K
CRITICAL_PRESSURE = 22.064e6  # Pa

ICE = Range(50.0, TRIPLE_TEMPERATURE, "K")
LIQUID = Range(TRIPLE_TEMPERATURE, CRITICAL_TEMPERATURE, "K")
TEMPERATURE = Range(ICE.low, LIQUID.high, "K")

# (factor, exponent) pairs of the two equations
_ICE_TERMS = (
    (-0.212144006e2, 0.333333333e-2),
    (0.273203819e2, 0.120666667e1),
    (-0.610598130e1, 0.170333333e1),
)
_LIQUID_TERMS = (
    (-7.85951783, 1.0),
    (1.84408259, 1.5),
    (-11.7866497, 3.0),
    (22.6807411, 3.5),
    (-15.9618719, 4.0),
    (1.80122502, 7.5),
)


class Phase(Enum):
    """What the water leaves as vapor from."""

    ICE = "ice"
    LIQUID = "liquid"


def pressure_over_ice(temperature_k: float) -> float:
    """Sublimation pressure [Pa] of ice at a temperature [K].

    ln(p/pt) = (1/theta) sum a_i theta^b_i, theta = T/273.16 K, pt = 611.657 Pa.

    Range: 50 K to the triple point. Source: IAPWS R14-08(2011), equation for ice Ih.

    >>> round(pressure_over_ice(230.0), 5)  # the release's own check value
    8.94735

    Raises:
        OutOfRange: a temperature outside `ICE`.
    """
    theta = guard("temperature", temperature_k, ICE) / TRIPLE_TEMPERATURE
    total = sum(factor * theta**power for factor, power in _ICE_TERMS)
    return TRIPLE_PRESSURE * math.exp(total / theta)


def pressure_over_liquid(temperature_k: float) -> float:
    """Saturation pressure [Pa] of liquid water at a temperature [K].

    ln(p/pc) = (Tc/T) sum a_i tau^b_i, tau = 1 - T/Tc, Tc = 647.096 K, pc = 22.064 MPa.

    Range: triple point to critical point. Source: IAPWS SR1-86(1992), equation 1.

    >>> round(pressure_over_liquid(373.15))
    101418

    Raises:
        OutOfRange: a temperature outside `LIQUID`. Supercooled water is not covered.
    """
    temperature = guard("temperature", temperature_k, LIQUID)
    tau = 1.0 - temperature / CRITICAL_TEMPERATURE
    total = sum(factor * tau**power for factor, power in _LIQUID_TERMS)
    return CRITICAL_PRESSURE * math.exp(total * CRITICAL_TEMPERATURE / temperature)


def saturation_pressure(temperature_k: float) -> float:
    """Vapor pressure [Pa] of water at a temperature [K]: over ice up to the triple point
    (273.16 K), over liquid above it.

    Range: `TEMPERATURE`. Source: IAPWS R14-08(2011) and SR1-86(1992).

    >>> round(saturation_pressure(253.15), 1)  # -20 degC, over ice
    103.2

    Raises:
        OutOfRange: a temperature outside `TEMPERATURE`.
    """
    temperature = guard("temperature", temperature_k, TEMPERATURE)
    if temperature <= TRIPLE_TEMPERATURE:
        return pressure_over_ice(temperature)
    return pressure_over_liquid(temperature)


PRESSURE = Range(pressure_over_ice(ICE.low), pressure_over_liquid(LIQUID.high), "Pa")


def evaporates_from(pressure_pa: float) -> Phase:
    """Whether water at this pressure [Pa absolute] goes to vapor from ice or from liquid.

    Raises:
        OutOfRange: a pressure outside `PRESSURE`.

    >>> evaporates_from(40.0), evaporates_from(700.0)  # 300 and 5250 micron
    (<Phase.ICE: 'ice'>, <Phase.LIQUID: 'liquid'>)
    """
    pressure = guard("pressure", pressure_pa, PRESSURE)
    return Phase.ICE if pressure < TRIPLE_PRESSURE else Phase.LIQUID


def boiling_temperature(pressure_pa: float) -> float:
    """Temperature [K] at which water goes to vapor at a pressure [Pa absolute].

    Below the triple-point pressure (611.657 Pa, 4,588 micron) this is the temperature at
    which *ice sublimes*; `evaporates_from` says which. The inverse of `saturation_pressure`,
    solved to the last digit but one.

    Range: `PRESSURE`. Source: as `saturation_pressure`.

    >>> round(boiling_temperature(66.66) - 273.15, 1)  # 500 micron: ice, not liquid
    -24.5

    Raises:
        OutOfRange: a pressure outside `PRESSURE`.
    """
    ice = evaporates_from(pressure_pa) is Phase.ICE
    over, interval = (pressure_over_ice, ICE) if ice else (pressure_over_liquid, LIQUID)
    # The pressure only rises, so halving the bracket ends at the rounding of a float.
    low, high = interval.low, interval.high
    while True:
        middle = 0.5 * (low + high)
        if not low < middle < high:
            return middle
        if over(middle) < pressure_pa:
            low = middle
        else:
            high = middle
