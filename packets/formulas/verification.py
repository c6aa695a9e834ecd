"""After the start: superheat, subcooling, compression ratio, and the electrical checks.

Each source stands with its function. The maker's chart or label governs where it has a figure.
"""

from __future__ import annotations

import math

from packets.formulas.constants import CUBIC_FOOT, STANDARD_ATMOSPHERE, ZERO_CELSIUS
from packets.formulas.ranges import Range, guard

TEMPERATURE = Range(170.0, 500.0, "K")
DIFFERENCE = Range(0.0, 60.0, "K")
PRESSURE = Range(1e3, 2e7, "Pa absolute")
VOLTAGE = Range(20.0, 15000.0, "V")
CURRENT = Range(1e-3, 200.0, "A")
FREQUENCY = Range(45.0, 65.0, "Hz")
CAPACITANCE = Range(1e-7, 5e-3, "F")
TOLERANCE = Range(0.0, 0.5, "of the marked value")
TON = 12000 * 0.29307107017222  # W, a ton of refrigeration: 12,000 Btu/h
AIR_FLOW = Range(0.01, 100.0, "m3/s")
BAROMETRIC = Range(2e4, 1.2e5, "Pa absolute")
HEAT = Range(1.0, 1e7, "W")
# Heat that a cubic metre of standard air carries a kelvin: 0.075 lb/ft3 x 0.24 Btu/(lb F), which
# is 1.08 Btu/h for each cfm and F; 1 Btu/h = 0.293071 W.
AIR_HEAT = 1.08 * 0.29307107017222 / (CUBIC_FOOT / 60) * 1.8  # J/(m3 K), 1207.2
# Spans of the published tables for this target (from memory): wet bulb 50 to 76 F,
# outdoor dry bulb 55 to 115 F.
INDOOR_WET_BULB = Range(283.15, 297.6, "K")
OUTDOOR_DRY_BULB = Range(285.92, 319.27, "K")
LOWEST_TARGET = 5 / 1.8  # K; under 5 F the method gives no valid test (California RA3.2.2, seen)


def superheat(line: float, dew: float) -> float:
    """Superheat [K]: suction-line temperature - dew temperature at the suction pressure.

    Negative means liquid, or an instrument that is off. The dew side matters on blends.

    Args:
        line: measured line temperature, 170 to 500 [K].
        dew: dew temperature at the measured absolute pressure, 170 to 500 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: definition.

    >>> round(superheat(282.04, 277.59), 2)
    4.45
    """
    return guard("line temperature", line, TEMPERATURE) - guard("dew", dew, TEMPERATURE)


def subcooling(bubble: float, line: float) -> float:
    """Subcooling [K]: bubble temperature at the liquid pressure - liquid-line temperature.

    Args:
        bubble: bubble temperature at the measured absolute pressure, 170 to 500 [K].
        line: measured line temperature, 170 to 500 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: definition. Not a way to trim a receiver circuit.

    >>> round(subcooling(313.15, 307.59), 2)
    5.56
    """
    return guard("bubble", bubble, TEMPERATURE) - guard("line temperature", line, TEMPERATURE)


def superheat_band(dew: float, least: float, most: float) -> tuple[float, float]:
    """Line temperatures allowed at a measured pressure [K, K]: dew + least to dew + most.

    Args:
        dew: dew temperature at the measured pressure, 170 to 500 [K].
        least, most: allowed superheat, 0 to 60, least <= most [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: definition of superheat.

    >>> low, high = superheat_band(277.59, 4.44, 6.67)
    >>> round(low, 2), round(high, 2)
    (282.03, 284.26)
    """
    base = guard("dew", dew, TEMPERATURE)
    top = guard("highest superheat", most, DIFFERENCE)
    return base + guard("lowest superheat", least, Range(0.0, top, "K")), base + top


def subcooling_band(bubble: float, least: float, most: float) -> tuple[float, float]:
    """Line temperatures allowed at a measured pressure [K, K]: bubble - most to bubble - least.

    Args:
        bubble: bubble temperature at the measured pressure, 170 to 500 [K].
        least, most: allowed subcooling, 0 to 60, least <= most [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: definition of subcooling.

    >>> low, high = subcooling_band(313.15, 4.44, 8.33)
    >>> round(low, 2), round(high, 2)
    (304.82, 308.71)
    """
    base = guard("bubble", bubble, TEMPERATURE)
    top = guard("highest subcooling", most, DIFFERENCE)
    return base - top, base - guard("lowest subcooling", least, Range(0.0, top, "K"))


def target_superheat(indoor_wet_bulb: float, outdoor_dry_bulb: float) -> float:
    """Target superheat of a fixed orifice in cooling [K].

    SH = (3 T_wb - T_db)/2 - 4.444 with both in C; in F: (3 wb - 80 - db)/2. Refused where the
    target falls below 5 F (2.8 K): no valid test there, weigh the charge in instead.

    Args:
        indoor_wet_bulb: of the return air, 50 to 76 F (283.15 to 297.6) [K].
        outdoor_dry_bulb: of the air entering the condenser, 55 to 115 F [K].

    Raises:
        OutOfRange: an argument outside its range, or a target below 5 F.

    Source: field approximation, from memory, origin not found in a standard; agrees with one
    published charging table within about 2 K. The maker's table governs.

    >>> round(target_superheat(292.59, 308.15) * 1.8, 1)  # 67 F wet bulb, 95 F
    13.0
    """
    wet = guard("indoor wet bulb", indoor_wet_bulb, INDOOR_WET_BULB) - ZERO_CELSIUS
    dry = guard("outdoor dry bulb", outdoor_dry_bulb, OUTDOOR_DRY_BULB) - ZERO_CELSIUS
    target = (3.0 * wet - dry) / 2.0 - 40.0 / 9.0
    return guard("target superheat", target, Range(LOWEST_TARGET, DIFFERENCE.high, "K"))


def approach(liquid_line: float, entering_air: float) -> float:
    """Approach [K]: liquid-line temperature - air entering the condenser.

    Args:
        liquid_line: 170 to 500 [K].
        entering_air: 170 to 500 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: definition; the figure to meet is the maker's.

    >>> round(approach(311.48, 308.15) * 1.8, 1)  # 101 F over 95 F, in F
    6.0
    """
    line = guard("liquid line", liquid_line, TEMPERATURE)
    return line - guard("entering air", entering_air, TEMPERATURE)


def sensible_heat(flow: float, difference: float, pressure: float) -> float:
    """Sensible heat taken out of an air flow [W]: 1207.2 J/(m3 K) x flow x difference x p/p0.

    In inch-pound units 1.08 Btu/h for each cfm and F at sea level. Thin air carries less heat.

    Args:
        flow: air through the coil as measured there, 0.01 to 100 [m3/s].
        difference: air entering less air leaving, dry bulb, 0 to 60 [K].
        pressure: barometric, 20 to 120 kPa [Pa absolute].

    Raises:
        OutOfRange: an argument outside its range.

    Source: ASHRAE Fundamentals, standard air 0.075 lb/ft3 at 0.24 Btu/(lb F); times barometric
    over 14.696 psia (both from memory). Moist air carries some 2 % more.

    >>> watt = sensible_heat(1200 * 4.719474e-4, 20 / 1.8, 101325)  # 1200 cfm, 20 F
    >>> round(watt / 0.2930711)  # Btu/h
    25920
    """
    air = guard("air flow", flow, AIR_FLOW) * guard("difference", difference, DIFFERENCE)
    share = guard("barometric pressure", pressure, BAROMETRIC) / STANDARD_ATMOSPHERE
    return AIR_HEAT * air * share


def temperature_split(heat: float, flow: float, pressure: float) -> float:
    """Temperature split for a sensible heat [K]: `sensible_heat` solved for the difference.

    Args:
        heat: sensible, 1 W to 10 MW [W].
        flow: air through the coil, 0.01 to 100 [m3/s].
        pressure: barometric, 20 to 120 kPa [Pa absolute].

    Raises:
        OutOfRange: an argument outside its range, or a split above 60 K.

    Source: `sensible_heat`.

    >>> round(temperature_split(25920 * 0.2930711, 1200 * 4.719474e-4, 101325) * 1.8, 1)
    20.0
    """
    for_each = sensible_heat(flow, 1.0, pressure)
    split = guard("sensible heat", heat, HEAT) / for_each
    return guard("temperature split", split, DIFFERENCE)


def least_air_flow(capacity: float, for_each_ton: float) -> float:
    """Least air through an indoor coil [m3/s]: capacity / 3516.85 W x flow for each ton.

    Args:
        capacity: cooling capacity of the unit, 1 W to 10 MW [W].
        for_each_ton: air flow for each ton of 12,000 Btu/h, 0.01 to 100 [m3/s].

    Raises:
        OutOfRange: an argument outside its range.

    Source: definition of the ton of refrigeration; the flow for each ton is the caller's.

    >>> cfm = 4.719474e-4
    >>> round(least_air_flow(36000 * 0.29307107, 350 * cfm) / cfm)
    1050
    """
    tons = guard("cooling capacity", capacity, HEAT) / TON
    return tons * guard("air flow", for_each_ton, AIR_FLOW)


def compression_ratio(discharge: float, suction: float) -> float:
    """Compression ratio [-]: p_discharge / p_suction, both absolute.

    Args:
        discharge: 1 kPa to 20 MPa, at least the suction pressure [Pa absolute].
        suction: 1 kPa to 20 MPa [Pa absolute].

    Raises:
        OutOfRange: an argument outside its range.

    Source: textbook definition (from memory).

    >>> psi = 6894.757
    >>> round(compression_ratio((278 + 14.7) * psi, (68.6 + 14.7) * psi), 2)
    3.51
    """
    low = guard("suction pressure", suction, PRESSURE)
    return guard("discharge pressure", discharge, Range(low, PRESSURE.high, "Pa absolute")) / low


def capacitance(current: float, voltage: float, frequency: float) -> float:
    """Capacitance of a run capacitor from its current under load [F].

    C = I / (2 pi f V): 2652 I/V microfarad at 60 Hz, 3183 I/V at 50 Hz. Measuring live is
    licensed work; a meter on the discharged, disconnected capacitor is the other way.

    Args:
        current: through the capacitor, 1 mA to 200 A [A].
        voltage: across it, 20 to 15 000 [V].
        frequency: 45 to 65 [Hz].

    Raises:
        OutOfRange: an argument outside its range.

    Source: first principles.

    >>> round(capacitance(4.9, 370.0, 60.0) * 1e6, 1)  # microfarad
    35.1
    """
    omega = 2.0 * math.pi * guard("frequency", frequency, FREQUENCY)
    return guard("current", current, CURRENT) / (omega * guard("voltage", voltage, VOLTAGE))


def capacitance_band(marked: float, tolerance: float) -> tuple[float, float]:
    """Allowed capacitance [F, F]: marked x (1 -+ tolerance).

    Args:
        marked: value on the capacitor, 0.1 to 5000 microfarad [F].
        tolerance: marked on it, as a share, 0 to 0.5 [-]; often 0.05 or 0.06 (from memory).

    Raises:
        OutOfRange: an argument outside its range.

    Source: the capacitor's marking.

    >>> low, high = capacitance_band(35e-6, 0.06)
    >>> round(low * 1e6, 1), round(high * 1e6, 1)
    (32.9, 37.1)
    """
    value = guard("marked capacitance", marked, CAPACITANCE)
    share = guard("tolerance", tolerance, TOLERANCE)
    return value * (1.0 - share), value * (1.0 + share)


def voltage_unbalance(v_ab: float, v_bc: float, v_ca: float) -> float:
    """Voltage unbalance of a three-phase supply as a fraction [-].

    Greatest deviation from the average, over the average of the three line voltages. Full
    rating to 1 %, never run above 5 %; equipment makers often set 2 %.

    Args:
        v_ab, v_bc, v_ca: line-to-line voltages, 20 to 15 000 [V].

    Raises:
        OutOfRange: a voltage outside its range.

    Source: NEMA MG 1 (seen).

    >>> round(voltage_unbalance(460, 467, 450) * 100, 2)  # percent
    1.96
    """
    volts = [guard("line voltage", v, VOLTAGE) for v in (v_ab, v_bc, v_ca)]
    average = math.fsum(volts) / 3.0
    return max(abs(v - average) for v in volts) / average
