"""Pressure hold test: start, limits, temperature correction. What it can see: `leak_size`.

Source: gas law at constant volume, p2 = p1 T2/T1 in absolute pressure and temperature (seen,
UK guidance note CS-17 of 2016 and others). A fixed psi-per-degree rule is right at one
pressure only and is not used. Real nitrogen moves a little more than the gas law says (at
3.5 MPa over 25 K: 0.66 % more, computed with CoolProp), so limits and bands allow for that.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from packets.formulas.constants import GAS_CONSTANT
from packets.formulas.nitrogen import second_virial_change, virial_pressure_at
from packets.formulas.ranges import Range, guard

PRESSURE = Range(1e3, 1e7, "Pa absolute")
LIMIT = Range(1e3, 1e7, "Pa")
TEMPERATURE = Range(230.0, 360.0, "K")
GAUGE_ERROR = Range(0.0, 1e6, "Pa")
THERMOMETER_ERROR = Range(0.0, 20.0, "K")
RELIEF_SHARE = 0.9  # stay at or below about 0.9 of a relief's setting: common practice, no source


def pressure_at(p1: float, t1: float, t2: float) -> float:
    """Pressure the same gas in the same volume has at another temperature [Pa absolute].

    p2 = p1 T2 / T1.

    Args:
        p1: pressure at t1, 1 kPa to 10 MPa [Pa absolute].
        t1: gas temperature at the start, 230 to 360 [K].
        t2: gas temperature later, 230 to 360 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: gas law at constant volume (seen, UK guidance note CS-17 of 2016).

    >>> psi = 6894.757
    >>> round(pressure_at(164.7 * psi, 308.15, 297.04) / psi - 14.7, 1)  # 150 psig, 95 -> 75 F
    144.1
    """
    start = guard("pressure", p1, PRESSURE)
    return (
        start * guard("later temperature", t2, TEMPERATURE) / guard("temperature", t1, TEMPERATURE)
    )


def highest_fill(limit: float, t_now: float, t_hottest: float) -> float:
    """Highest fill pressure now that keeps the hottest pipe at or under the limit [Pa abs].

    p = limit x T_now / T_hottest, lowered so that real nitrogen stays under the limit too:
    p (T_hottest/T_now)(1 + c p) = limit, c = (B(T_hottest) - B(T_now)) / (R T_now). A maximum:
    round down. The limit holds at the start too, so a pipe that only cools gives no leave to
    fill higher.

    Args:
        limit: highest allowed pressure, 1 kPa to 10 MPa [Pa absolute].
        t_now: gas temperature while filling, 230 to 360 [K].
        t_hottest: hottest gas temperature expected during the hold, 230 to 360 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: gas law at constant volume, second virial coefficient from `nitrogen`; that the
    limit holds at the hottest pipe is common practice, no source.

    >>> psi = 6894.757
    >>> start = highest_fill(264.7 * psi, 294.26, 310.93)  # 250 psig, 70 F now, 100 F in the sun
    >>> round(start / psi - 14.7, 1)
    235.2
    """
    now = guard("temperature", t_now, TEMPERATURE)
    hottest = max(now, guard("hottest temperature", t_hottest, TEMPERATURE))
    ideal = guard("limit", limit, PRESSURE) * now / hottest
    c = second_virial_change(now, hottest) / (GAS_CONSTANT * now)
    # The root of c p2 + p - ideal = 0 in the form that is exact for c = 0.
    return 2.0 * ideal / (1.0 + math.sqrt(1.0 + 4.0 * c * ideal))


@dataclass(frozen=True)
class Governing:
    """The least of several named limits."""

    name: str
    pressure: float  # Pa, in the reference (gauge or absolute) the limits were given in


def governing_limit(limits: Mapping[str, float]) -> Governing:
    """The least of named limits, all gauge or all absolute; the first named wins a tie [Pa].

    Args:
        limits: name -> highest allowed pressure, 1 kPa to 10 MPa [Pa].

    Raises:
        OutOfRange: a limit outside its range.
        ValueError: no limit at all; a test without a limit has no start pressure.

    Source: arithmetic. With both sides joined the low side's design pressure is one of them.

    >>> governing_limit({"low-side design": 1.72e6, "suction line": 2.9e6}).name
    'low-side design'
    """
    if not limits:
        raise ValueError("a hold test needs at least one limit")
    checked = {name: guard(name, pressure, LIMIT) for name, pressure in limits.items()}
    name = min(checked, key=checked.__getitem__)
    return Governing(name, checked[name])


def relief_limit(setting: float) -> float:
    """Test limit that keeps clear of a relief valve [Pa gauge]: 0.9 x its setting.

    Args:
        setting: relief setting, 1 kPa to 10 MPa [Pa gauge].

    Raises:
        OutOfRange: setting outside its range.

    Source: common practice, no source.

    >>> round(relief_limit(400.0e4))
    3600000
    """
    return RELIEF_SHARE * guard("relief setting", setting, LIMIT)


def fill_steps(target: float, pauses: Sequence[float]) -> tuple[float, ...]:
    """Pressures to stop and look at while filling, the target last [Pa gauge].

    Args:
        target: fill pressure, 1 kPa to 10 MPa [Pa gauge].
        pauses: usual stops, 1 kPa to 10 MPa each [Pa gauge].

    Raises:
        OutOfRange: a pressure outside its range.

    Source: common practice, no source (often 50, then 150 psig, then the full pressure).

    >>> fill_steps(1.6e6, [3.4e5, 1.03e6, 2.0e6])
    (340000.0, 1030000.0, 1600000.0)
    """
    last = guard("target", target, LIMIT)
    below = sorted({stop for stop in (guard("pause", p, LIMIT) for p in pauses) if stop < last})
    return (*below, last)


@dataclass(frozen=True)
class Band:
    """What the gauge may show at the end if nothing leaked [Pa absolute]."""

    lowest: float
    expected: float
    highest: float


def allowed_band(
    p1: float, t1: float, t2: float, gauge_error: float, thermometer_error: float
) -> Band:
    """Band around the temperature-corrected pressure that the instruments can't tell apart.

    expected = p1 T2/T1; half width = e_g (T2/T1 + 1) + e_t (p2/T1 + p2/T2): the start and the
    end reading each carry a gauge and a thermometer error, added at their worst. The band
    reaches from the lower of gas law and real nitrogen to the higher. A pressure under
    `lowest` is a leak (or a wrong pipe temperature), one over `highest` a wrong temperature.

    Args:
        p1: pressure at the start, 1 kPa to 10 MPa [Pa absolute].
        t1, t2: gas temperature at start and end, 230 to 360 [K].
        gauge_error: error of one pressure reading, at least half the resolution, to 1 MPa [Pa].
        thermometer_error: error of one temperature reading, at least half the resolution,
            to 20 K [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: computed, linear error sum.

    >>> psi = 6894.757
    >>> band = allowed_band(314.7 * psi, 294.26, 294.26, 0.5 * psi, 0.5 / 1.8)
    >>> round((band.highest - band.expected) / psi, 2)  # 300 psig, 1 psi and 1 F steps
    1.59
    """
    p2 = pressure_at(p1, t1, t2)
    gauge = guard("gauge error", gauge_error, GAUGE_ERROR)
    thermometer = guard("thermometer error", thermometer_error, THERMOMETER_ERROR)
    half = gauge * (t2 / t1 + 1.0) + thermometer * p2 * (1.0 / t1 + 1.0 / t2)
    real = virial_pressure_at(p1, t1, t2)
    return Band(min(p2, real) - half, p2, max(p2, real) + half)
