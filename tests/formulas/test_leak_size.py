"""Leaks from pressure changes, against worked figures."""

from __future__ import annotations

import math
from typing import Any

import fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas import hold_test, leak_size
from packets.formulas.ranges import OutOfRange
from tests.handbook_rows import agrees, ids, rows

PSI, MICRON_PA, FT3 = 6894.757, 0.1333224, 0.028316846592


def _asked(told: dict[str, Any]) -> float:
    ask = told["ask"]
    if ask == "atm-cc":
        leak = leak_size.leak_from_drop(
            told["volume_ft3"] * FT3, told["psi"] * PSI, told["minutes"] * 60.0
        )
        return leak_size.as_atm_cc_per_s(leak)
    if ask == "mbar-l":
        leak = leak_size.leak_from_drop(
            told["volume_l"] / 1000, told["micron"] * MICRON_PA, told["minutes"] * 60.0
        )
        return leak * 10  # 1 Pa m3/s = 10 mbar L/s
    if ask == "slope":
        kelvin = float(told["temperature_c"]) + 273.15
        return 100 * (hold_test.pressure_at(1e6, kelvin, kelvin + 1) / 1e6 - 1)
    kelvin, p = (float(told["temperature_f"]) + 459.67) / 1.8, (float(told["psig"]) + 14.7) * PSI
    if ask == "psi-per-f":
        return (hold_test.pressure_at(p, kelvin, kelvin + 1 / 1.8) - p) / PSI
    # One reading's share of the band: one of the two thermometer errors at equal temperatures.
    band = hold_test.allowed_band(p, kelvin, kelvin, 0.0, 1 / 1.8)
    return (band.highest - band.expected) / 2 / PSI


@pytest.mark.parametrize("row", rows("leak_size"), ids=ids)
def test_handbook(row: dict[str, Any]) -> None:
    assert agrees(_asked(row["inputs"]), row)


def test_one_psi_an_hour_is_no_small_leak() -> None:
    """The order of magnitude of the trade: 0.9 ft3 losing 1 psi in 1 h, about 100 lb a year.

    By hand, R-448A of 86.3 g/mol at 70 F: 0.04881 Pa m3/s x 0.0863 / (8.314 x 294.3)
    x 3.156e7 s = 54 kg = 120 lb.
    """
    leak = leak_size.leak_from_drop(0.9 * FT3, PSI, 3600.0)
    pounds = leak_size.as_refrigerant(leak, 0.0863, 294.26) * 31557600 / 0.45359237
    assert 100 < pounds < 130


@given(st.floats(1e-4, 1.0), st.floats(1.0, 1e5), st.floats(1e-6, 1.0))
def test_hold_time_sees_exactly_the_stated_leak(volume: float, change: float, leak: float) -> None:
    time = leak_size.hold_time(volume, change, leak)
    if 1.0 <= time <= 1e7:
        assert math.isclose(leak_size.leak_from_drop(volume, change, time), leak, rel_tol=1e-9)


@given(st.floats(1e-9, 1.0), st.floats(0.01, 0.2), st.floats(240, 350))
def test_mass_rate_and_leak_are_inverse(leak: float, molar: float, kelvin: float) -> None:
    mass = leak_size.as_refrigerant(leak, molar, kelvin)
    assert math.isclose(leak_size.leak_of_mass(mass, molar, kelvin), leak, rel_tol=1e-9)


@pytest.mark.parametrize("service_bar", [3.0, 10.0, 30.0])
def test_a_vacuum_leak_in_service_as_isothermal_pipe_flow(service_bar: float) -> None:
    """The ratio of two flows of air through one capillary, by `fluids.isothermal_gas`."""
    bore, length, viscosity, per_mass = 1e-5, 0.05, 1.82e-5, 8.314462618 * 293.15 / 0.0289647

    def mass_flow(high: float, low: float) -> float:
        factor = 1.0
        for _ in range(60):
            flow = fluids.isothermal_gas(
                rho=high / per_mass, fd=factor, P1=high, P2=low, L=length, D=bore
            )
            factor = 64 * math.pi * bore * viscosity / (4 * flow)
        return float(flow)

    into_vacuum, out = mass_flow(1e5, 100.0), mass_flow(service_bar * 1e5, 1e5)
    told = leak_size.vacuum_leak_in_service(1e-4, 1e5, service_bar * 1e5) / 1e-4
    assert told == pytest.approx(out / into_vacuum, rel=0.02)


def test_a_machine_that_is_not_under_pressure_loses_nothing_out() -> None:
    assert leak_size.vacuum_leak_in_service(1e-4, 1e5, 1e5) == 0.0
    with pytest.raises(OutOfRange):
        leak_size.vacuum_leak_in_service(1e-4, 1e5, 9e4)


def test_what_a_hold_loses_is_never_more_than_by_laminar_flow() -> None:
    """500 micron in 15 min, a hold of 1 h at 150 psig: by the squares about 4.8 psi (124 times the
    flow of air); as a short leak 11.2 times, so 66.7 x 4 x 11.2 = 2,990 Pa. By hand."""
    air = 101325.0
    inside = 150 * 6894.757 + air
    least = leak_size.hold_loss(66.661, 900.0, 3600.0, air, inside)
    assert least == pytest.approx(66.661 * 4 * inside / air)
    laminar = 66.661 * 4 * leak_size.vacuum_leak_in_service(1.0, air, inside)
    assert laminar / 6894.757 == pytest.approx(4.8, abs=0.1)
    assert least < laminar
