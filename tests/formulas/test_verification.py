"""Electrical checks against NEMA MG 1 examples, target superheat, definitions."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas import verification
from packets.formulas.ranges import OutOfRange
from tests.handbook_rows import agrees, ids, rows

PSI = 6894.757293


def _kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def _asked(told: dict[str, Any]) -> float:
    if told["ask"] == "unbalance":
        return 100 * verification.voltage_unbalance(*told["volts"])
    if told["ask"] == "microfarad-per-amp-volt":
        return 1e6 * verification.capacitance(1.0, 100.0, told["hertz"]) * 100.0
    if told["ask"] == "target-superheat":
        wet, dry = _kelvin(told["wet_bulb_f"]), _kelvin(told["dry_bulb_f"])
        return 1.8 * verification.target_superheat(wet, dry)
    if told["ask"] == "sensible":
        flow, split = told["cfm"] * 4.719474432e-4, told["split_f"] / 1.8
        watt = verification.sensible_heat(flow, split, told["psia"] * 6894.757293)
        return watt / 0.29307107
    if told["ask"] == "ratio":
        high, low = ((told[key] + 14.696) * PSI for key in ("discharge_psig", "suction_psig"))
        return verification.compression_ratio(high, low)
    if told["ask"] == "capacitor-low":
        low, _ = verification.capacitance_band(told["microfarad"] * 1e-6, told["percent"] / 100)
        return low * 1e6
    if told["ask"] == "approach":
        return 1.8 * verification.approach(_kelvin(told["line_f"]), _kelvin(told["air_f"]))
    wet, dry = told["wet_bulb_c"] + 273.15, told["dry_bulb_c"] + 273.15
    return verification.target_superheat(wet, dry)


@pytest.mark.parametrize("row", rows("verification"), ids=ids)
def test_handbook(row: dict[str, Any]) -> None:
    assert agrees(_asked(row["inputs"]), row)


@given(st.floats(0.05, 20), st.floats(0, 40), st.floats(6e4, 1.05e5))
def test_split_is_the_inverse_of_sensible_heat(flow: float, split: float, air: float) -> None:
    heat = verification.sensible_heat(flow, split, air)
    if heat >= 1.0:
        assert verification.temperature_split(heat, flow, air) == pytest.approx(split, rel=1e-9)


@given(st.floats(50, 76), st.floats(55, 115))
def test_target_superheat_is_the_field_rule_or_no_valid_test(wet: float, dry: float) -> None:
    rule = (3 * wet - 80 - dry) / 2  # in F, as the trade writes it
    if rule < 5 - 1e-6:
        with pytest.raises(OutOfRange):
            verification.target_superheat(_kelvin(wet), _kelvin(dry))
    elif rule > 5 + 1e-6:
        target = verification.target_superheat(_kelvin(wet), _kelvin(dry))
        assert 1.8 * target == pytest.approx(rule, abs=1e-6)


temperatures = st.floats(200, 400)


@given(temperatures, st.floats(0, 30), st.floats(0, 30))
def test_bands_hold_exactly_the_allowed_differences(
    saturation: float, one: float, other: float
) -> None:
    least, most = sorted((one, other))
    low, high = verification.superheat_band(saturation, least, most)
    assert math.isclose(verification.superheat(low, saturation), least, abs_tol=1e-9)
    assert math.isclose(verification.superheat(high, saturation), most, abs_tol=1e-9)
    cold, warm = verification.subcooling_band(saturation, least, most)
    assert math.isclose(verification.subcooling(saturation, cold), most, abs_tol=1e-9)
    assert math.isclose(verification.subcooling(saturation, warm), least, abs_tol=1e-9)


def test_band_given_backwards_is_refused() -> None:
    with pytest.raises(OutOfRange):
        verification.superheat_band(280.0, 8.0, 4.0)
    with pytest.raises(OutOfRange):
        verification.subcooling_band(310.0, 8.0, 4.0)


volts = st.floats(100, 600)


@given(volts, volts, volts)
def test_unbalance_is_zero_only_when_equal_and_blind_to_order(a: float, b: float, c: float) -> None:
    unbalance = verification.voltage_unbalance(a, b, c)
    assert 0.0 <= unbalance < 2.0
    assert math.isclose(unbalance, verification.voltage_unbalance(c, a, b), abs_tol=1e-9)
    if max(a, b, c) - min(a, b, c) > 1e-6:
        assert unbalance > 0.0


def test_compression_ratio_by_hand() -> None:
    """R-22 at 40 F over 120 F: (260.0 + 14.7)/(68.6 + 14.7) = 3.30."""
    ratio = verification.compression_ratio(274.7 * 6894.757, 83.3 * 6894.757)
    assert ratio == pytest.approx(3.30, abs=0.005)
    with pytest.raises(OutOfRange):
        verification.compression_ratio(5e5, 6e5)


@given(st.floats(1e-6, 1e-4), st.floats(0, 0.5))
def test_capacitor_band_is_centred_on_the_marking(marked: float, share: float) -> None:
    low, high = verification.capacitance_band(marked, share)
    assert low <= marked <= high
    assert math.isclose((low + high) / 2, marked, rel_tol=1e-12)
