"""Every formula refuses NaN, infinity, text, true/false and what lies outside its range."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable
from types import ModuleType
from typing import Any

import pytest

from packets.formulas import (
    brazing,
    charge,
    cylinders,
    flammables,
    hold_test,
    leak_rate,
    leak_size,
    nitrogen,
    recovery,
    tube,
    verification,
)
from packets.formulas.ranges import OutOfRange

MODULES: tuple[ModuleType, ...] = (
    brazing,
    charge,
    cylinders,
    flammables,
    hold_test,
    leak_rate,
    leak_size,
    nitrogen,
    recovery,
    tube,
    verification,
)
TUBE = {"outside_diameter": 0.022, "wall": 0.001}
# A call each that works; every number in it is then spoilt in turn.
CALLS: dict[Callable[..., Any], dict[str, Any]] = {
    brazing.nominal_water_size: {"outside_diameter": 0.0286},
    brazing.listed_size: {"nominal": 0.02, "listed": [0.01, 0.025]},
    brazing.filler_length: {"per_joint": [0.02, 0.03], "factor": 3.0},
    brazing.filler_mass: {"per_joint": [0.002, 0.003], "factor": 3.0},
    brazing.rods_to_load: {"length": 0.6, "rod_length": 0.5, "stub": 0.05},
    charge.mass_in_tube: {"bore": 0.008, "length": 3.0, "density": 1000.0},
    charge.line_adder: {"length": 12.0, "factory_length": 7.6, "mass_a_length": 0.05},
    charge.total_charge: {"parts": [3.0, 0.2]},
    charge.receiver_capacity: {"volume": 0.01, "liquid_density": 1000.0, "share": 0.8},
    charge.overcharge_limit: {"charge": 6.0, "tolerance": 0.05, "cap": 7.0},
    charge.charge_band: {"charge": 0.15, "share": 0.03, "least": 0.001},
    charge.scale_stop: {"scale_start": 24.0, "mass": 6.0},
    charge.draw_in_order: {"mass": 6.0, "contents": [4.0, 5.0], "heel": 0.5},
    charge.weigh_in_uncertainty: {"resolution": 0.01, "cylinders": 2},
    cylinders.specific_gravity: {"liquid_density_77f": 1058.0},
    cylinders.max_net_mass: {"water_capacity": 21.6, "gravity": 1.06},
    cylinders.gross_stop: {"net_mass": 18.0, "tare": 12.0},
    cylinders.room_left: {"max_net": 18.0, "contents": 1.0},
    cylinders.cylinders_needed: {"mass": 20.0, "room_each": 12.0},
    cylinders.fill_in_order: {"mass": 20.0, "rooms": [12.0, 18.0]},
    cylinders.liquid_share: {"mass": 18.0, "water_capacity": 21.6, "liquid_density": 1058.0},
    cylinders.service_pressure_needed: {"pressure_131f": 3.3e6},
    cylinders.rating_covers: {"pressure_131f": 3.3e6, "service_pressure": 2.76e6},
    flammables.charge_limits: {"lfl": 0.3, "mild": True},
    flammables.release_height: {"install_height": 1.8, "offset": 0.1},
    flammables.largest_charge: {"lfl": 0.3, "height": 1.8, "area": 20.0},
    flammables.least_area: {"charge": 2.0, "lfl": 0.3, "height": 1.8},
    flammables.concentration_limit_charge: {"room_volume": 50.0, "limit": 0.4},
    hold_test.pressure_at: {"p1": 2e6, "t1": 290.0, "t2": 300.0},
    hold_test.highest_fill: {"limit": 2e6, "t_now": 290.0, "t_hottest": 300.0},
    hold_test.governing_limit: {"limits": {"low side": 2e6, "tube": 3e6}},
    hold_test.relief_limit: {"setting": 3e6},
    hold_test.fill_steps: {"target": 2e6, "pauses": [3e5, 1e6]},
    hold_test.allowed_band: {
        "p1": 2e6,
        "t1": 290.0,
        "t2": 300.0,
        "gauge_error": 3e3,
        "thermometer_error": 0.5,
    },
    leak_rate.net_added: {"charged": 6.0, "recovered": 5.0},
    leak_rate.annualized: {"added": 5.0, "full_charge": 90.0, "days": 60.0},
    leak_rate.rolling: {"added_in_period": 5.0, "full_charge": 90.0},
    leak_rate.most_addition: {"trigger": 0.2, "full_charge": 90.0, "days": 60.0},
    leak_size.leak_from_drop: {"volume": 0.02, "pressure_change": 7e3, "duration": 3600.0},
    leak_size.hold_time: {"volume": 0.02, "pressure_change": 7e3, "leak": 0.05},
    leak_size.as_atm_cc_per_s: {"leak": 0.05},
    leak_size.as_refrigerant: {"leak": 0.05, "molar_mass": 0.086, "temperature": 294.0},
    leak_size.leak_of_mass: {"mass_rate": 1e-6, "molar_mass": 0.086, "temperature": 294.0},
    leak_size.vacuum_leak_in_service: {"leak": 1e-4, "outside": 1e5, "inside": 1e6},
    leak_size.hold_loss: {
        "rise": 60.0,
        "stand": 900.0,
        "hold": 3600.0,
        "outside": 1e5,
        "inside": 1e6,
    },
    nitrogen.standard_volume: {"volume": 0.02, "pressure": 2e6, "temperature": 294.0},
    nitrogen.sweep_gas: {"volume": 0.02, "changes": 5.0, "p_atm": 1e5, "temperature": 294.0},
    nitrogen.sweep_time: {"gas": 0.13, "flow": 2.4e-4},
    nitrogen.fill_gas: {"volume": 0.02, "p_start": 1e5, "p_end": 2e6, "temperature": 294.0},
    nitrogen.content_left: {"full_content": 2.3, "full_pressure": 1.4e7, "pressure": 7e6},
    nitrogen.cylinders_to_load: {"gas": 4.0, "usable_each": 2.0},
    nitrogen.second_virial_change: {"t1": 290.0, "t2": 300.0},
    nitrogen.virial_pressure_at: {"p1": 2e6, "t1": 290.0, "t2": 300.0},
    nitrogen.pressure_behind_vent: {
        "flow": 4e-5,
        "hole": 1.6e-3,
        "p_atm": 1e5,
        "temperature": 294.0,
    },
    nitrogen.vent_flow: {"pressure": 600.0, "hole": 1.6e-3, "p_atm": 1e5, "temperature": 294.0},
    recovery.table_row: {"category": "high", "charge_kg": 6.0},
    recovery.required_level: {
        "category": "high",
        "charge_kg": 6.0,
        "machine_made_on_or_after_1993_11_15": True,
    },
    recovery.pressure_category: {"p_sat_104f": 1e6},
    recovery.near_category_limit: {"p_sat_104f": 1e6, "uncertainty": 0.02},
    recovery.local_gauge_reading: {"p_abs": 5e4, "p_atm": 1e5},
    recovery.reading_before_opening: {"p_abs": 5e4, "p_atm": 1e5},
    recovery.small_appliance_minimum: {
        "charge_kg": 0.2,
        "machine_made_on_or_after_1993_11_15": True,
        "compressor_runs": False,
    },
    recovery.recovery_time: {
        "mass": 6.0,
        "liquid_fraction": 0.7,
        "liquid_rate": 0.05,
        "vapor_rate": 0.004,
    },
    tube.allowable_stress: {"temperature": 330.0, "points": ((310.0, 4e7), (340.0, 3e7))},
    tube.rated_pressure: {**TUBE, "stress": 4e7, "over_diameter": 5e-5, "under_wall": 1e-4},
    tube.bore: TUBE,
    tube.volume: {"bore_diameter": 0.02, "length": 10.0},
    verification.superheat: {"line": 282.0, "dew": 277.0},
    verification.subcooling: {"bubble": 313.0, "line": 308.0},
    verification.superheat_band: {"dew": 277.0, "least": 4.0, "most": 7.0},
    verification.subcooling_band: {"bubble": 313.0, "least": 4.0, "most": 8.0},
    verification.target_superheat: {"indoor_wet_bulb": 292.6, "outdoor_dry_bulb": 308.0},
    verification.least_air_flow: {"capacity": 10_000.0, "for_each_ton": 0.165},
    verification.approach: {"liquid_line": 311.0, "entering_air": 308.0},
    verification.sensible_heat: {"flow": 0.57, "difference": 11.0, "pressure": 1e5},
    verification.temperature_split: {"heat": 7600.0, "flow": 0.57, "pressure": 1e5},
    verification.compression_ratio: {"discharge": 2e6, "suction": 6e5},
    verification.capacitance: {"current": 4.9, "voltage": 370.0, "frequency": 60.0},
    verification.capacitance_band: {"marked": 35e-6, "tolerance": 0.06},
    verification.voltage_unbalance: {"v_ab": 460.0, "v_bc": 467.0, "v_ca": 450.0},
}
SPOILT: tuple[Any, ...] = (math.nan, math.inf, -math.inf, 1e300, -1e300, "7", True)


def _spoilings() -> list[Any]:
    return [
        pytest.param(
            function, name, id=f"{function.__module__.split('.')[-1]}.{function.__name__}-{name}"
        )
        for function, arguments in CALLS.items()
        for name, value in arguments.items()
        if not isinstance(value, (bool, str))
    ]


def test_every_public_formula_is_listed() -> None:
    public = {
        function
        for module in MODULES
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__ and not name.startswith("_")
    }
    assert public == set(CALLS)


@pytest.mark.parametrize("function", CALLS, ids=lambda function: str(function.__name__))
def test_the_unspoilt_call_works(function: Callable[..., Any]) -> None:
    assert function(**CALLS[function]) is not None


@pytest.mark.parametrize("bad", SPOILT, ids=repr)
@pytest.mark.parametrize(("function", "name"), _spoilings())
def test_spoilt_argument_is_refused(function: Callable[..., Any], name: str, bad: Any) -> None:
    arguments = dict(CALLS[function])
    whole = arguments[name]
    if isinstance(whole, dict):
        arguments[name] = {**whole, "spoilt": bad}
    elif isinstance(whole, tuple):
        arguments[name] = ((whole[0][0], bad), *whole[1:])
    elif isinstance(whole, list):
        arguments[name] = [bad, *whole]
    else:
        arguments[name] = bad
    with pytest.raises(OutOfRange):
        function(**arguments)
