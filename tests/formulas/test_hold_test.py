"""Pressure hold: published corrections, real nitrogen from CoolProp, and the safe side."""

from __future__ import annotations

import math
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas import hold_test
from tests.handbook_rows import agrees, ids, rows

PSI, BAR = 6894.757293168361, 1e5


def _kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


@pytest.mark.parametrize("row", rows("hold_test"), ids=ids)
def test_handbook_correction(row: dict[str, Any]) -> None:
    told = row["inputs"]
    if "bar_g" in told:  # the note takes the atmosphere as 1 bar
        t1, t2 = told["from_c"] + 273.15, told["to_c"] + 273.15
        assert agrees(hold_test.pressure_at((told["bar_g"] + 1) * BAR, t1, t2) / BAR - 1, row)
        return
    # The published psi examples take the atmosphere as 14.7 psi.
    t1, t2 = _kelvin(told["from_f"]), _kelvin(told["to_f"])
    gauge = hold_test.pressure_at((told["psig"] + 14.7) * PSI, t1, t2) - 14.7 * PSI
    assert agrees(gauge / (1000 if row["unit"] == "kPa gauge" else PSI), row)


def test_fixed_psi_per_degree_is_not_used() -> None:
    """UFGS 15182 prints 0.3 psi per F; at 500 psig that is a third of the true change."""
    start = 514.7 * PSI
    change = hold_test.pressure_at(start, _kelvin(70), _kelvin(90)) - start
    assert change / PSI > 3 * 0.3 * 20


pressures = st.floats(1e5, 5e6)
temperatures = st.floats(250, 345)


@given(pressures, temperatures, temperatures, temperatures)
def test_correction_rises_with_temperature_and_comes_back(
    p: float, t1: float, one: float, other: float
) -> None:
    cool, hot = sorted((one, other))
    assert hold_test.pressure_at(p, t1, cool) <= hold_test.pressure_at(p, t1, hot)
    there = hold_test.pressure_at(p, t1, hot)
    assert math.isclose(hold_test.pressure_at(there, hot, t1), p, rel_tol=1e-12)


@given(pressures, temperatures, temperatures)
def test_fill_keeps_the_limit_at_the_hottest_and_at_the_start(
    limit: float, now: float, hottest: float
) -> None:
    fill = hold_test.highest_fill(limit, now, hottest)
    assert fill <= limit * (1 + 1e-12)
    assert hold_test.pressure_at(fill, now, hottest) <= limit * (1 + 1e-12)


@given(pressures, temperatures, temperatures, temperatures)
def test_a_hotter_expectation_never_raises_the_fill(
    limit: float, now: float, one: float, other: float
) -> None:
    cool, hot = sorted((one, other))
    warm_fill = hold_test.highest_fill(limit, now, hot)
    assert warm_fill <= hold_test.highest_fill(limit, now, cool) * (1 + 1e-12)


@pytest.mark.parametrize("psig", [150, 250, 450, 600])
@pytest.mark.parametrize(("now_f", "hottest_f"), [(70, 75), (50, 100), (32, 90), (80, 130)])
def test_real_nitrogen_stays_under_the_limit(psig: int, now_f: float, hottest_f: float) -> None:
    """CoolProp's nitrogen, filled to `highest_fill`, may pass the limit by 0.03 % at most."""
    limit = (psig + 14.7) * PSI
    fill = hold_test.highest_fill(limit, _kelvin(now_f), _kelvin(hottest_f))
    density = PropsSI("D", "T", _kelvin(now_f), "P", fill, "Nitrogen")
    hot = PropsSI("P", "T", _kelvin(hottest_f), "D", density, "Nitrogen")
    assert limit * 0.9985 < hot < limit * 1.0003


@pytest.mark.parametrize("psig", [150, 250, 450, 600])
@pytest.mark.parametrize("later_f", [40, 60, 70, 85, 110])
def test_tight_real_nitrogen_lies_in_the_band(psig: int, later_f: float) -> None:
    p1, t1, t2 = (psig + 14.7) * PSI, _kelvin(70), _kelvin(later_f)
    band = hold_test.allowed_band(p1, t1, t2, 0.5 * PSI, 0.25)
    density = PropsSI("D", "T", t1, "P", p1, "Nitrogen")
    real = PropsSI("P", "T", t2, "D", density, "Nitrogen")
    assert band.lowest < real < band.highest


@given(pressures, temperatures, temperatures, st.floats(1, 1e4), st.floats(1, 1e4), st.floats(0, 1))
def test_band_holds_the_expected_and_grows_with_coarse_gauges(
    p: float, t1: float, t2: float, one: float, other: float, thermometer: float
) -> None:
    fine, coarse = sorted((one, other))
    narrow = hold_test.allowed_band(p, t1, t2, fine, thermometer)
    wide = hold_test.allowed_band(p, t1, t2, coarse, thermometer)
    assert narrow.lowest < narrow.expected < narrow.highest
    assert wide.lowest <= narrow.lowest
    assert wide.highest >= narrow.highest


def test_least_limit_governs_and_is_named() -> None:
    limits = {"high-side design": 450 * PSI, "low-side design": 250 * PSI, "1-1/8 in.": 420 * PSI}
    least = hold_test.governing_limit(limits)
    assert least == hold_test.Governing("low-side design", 250 * PSI)
    assert hold_test.governing_limit({"a": 2e6, "b": 2e6}).name == "a"
    with pytest.raises(ValueError, match="at least one limit"):
        hold_test.governing_limit({})


@given(st.dictionaries(st.text(max_size=5), st.floats(1e3, 1e7), min_size=1, max_size=6))
def test_governing_limit_is_under_every_limit(limits: dict[str, float]) -> None:
    least = hold_test.governing_limit(limits)
    assert all(least.pressure <= value for value in limits.values())
    assert limits[least.name] == least.pressure


@given(st.floats(1e4, 1e7), st.lists(st.floats(1e3, 1e7), max_size=6))
def test_steps_rise_to_the_target_and_never_pass_it(target: float, pauses: list[float]) -> None:
    steps = hold_test.fill_steps(target, pauses)
    assert list(steps) == sorted(set(steps))
    assert steps[-1] == target


def test_band_by_hand() -> None:
    """300 psig (314.7 psia) from 530 R to 583 R, +-1 psi and +-1 F a reading.

    Expected 314.7 x 1.1 = 346.17 psia. Gauge: 1 x (1.1 + 1) = 2.1. Thermometer:
    346.17/530 + 346.17/583 = 0.6532 + 0.5938 = 1.247. Half width 3.347 psi below; above, real
    nitrogen adds its share.
    """
    band = hold_test.allowed_band(314.7 * PSI, 530 / 1.8, 583 / 1.8, PSI, 1 / 1.8)
    assert band.expected / PSI == pytest.approx(346.17, abs=0.005)
    assert (band.expected - band.lowest) / PSI == pytest.approx(3.347, abs=0.002)
    assert 3.347 < (band.highest - band.expected) / PSI < 3.347 + 0.006 * 346


def test_relief_is_kept_clear_of_by_a_tenth() -> None:
    """450 psig setting: at most 405 psig (common practice, no source)."""
    assert hold_test.relief_limit(450 * PSI) == pytest.approx(405 * PSI)
