"""Nitrogen: sweep, fill for the test, pressure behind a vent hole, what a cylinder holds.

Gas quantities are cubic metres at the standard state of the compressed-gas trade: 70 F
(294.26 K) and 101.325 kPa (from memory). One scf is 0.0283168 m3 at that state. Nitrogen is
taken as an ideal gas: content within 1.8 % to 7 MPa and 3 % at 14 MPa, at 0 to 40 C (computed,
CoolProp).
"""

from __future__ import annotations

import math

from packets.formulas.constants import GAS_CONSTANT, STANDARD_ATMOSPHERE
from packets.formulas.ranges import Range, guard

STANDARD_TEMPERATURE = 294.26  # K, 70 F
STANDARD_PRESSURE = STANDARD_ATMOSPHERE
MOLAR_MASS = 28.0134e-3  # kg/mol
CRITICAL_TEMPERATURE = 126.19  # K
CRITICAL_PRESSURE = 3.396e6  # Pa
ACENTRIC_FACTOR = 0.037
HEAT_RATIO = 1.4  # diatomic gas
# Sharp-edged hole: 0.60 to 0.62 in orifice texts (from memory).
DISCHARGE_COEFFICIENT = 0.61
CRITICAL_RATIO = ((HEAT_RATIO + 1) / 2) ** (HEAT_RATIO / (HEAT_RATIO - 1))  # 1.893, choked above

VOLUME = Range(1e-6, 10.0, "m3")
CHANGES = Range(1.0, 20.0, "volumes")
FLOW = Range(1e-7, 0.1, "m3/s standard")
PRESSURE = Range(4.5e4, 2.2e7, "Pa absolute")
ATMOSPHERE = Range(4.5e4, 1.1e5, "Pa absolute")
TEMPERATURE = Range(230.0, 330.0, "K")
HOLD_PRESSURE = Range(1e3, 1e7, "Pa absolute")
HOLD_TEMPERATURE = Range(230.0, 360.0, "K")
DIAMETER = Range(1e-4, 0.1, "m")
GAS = Range(0.0, 1e4, "m3 standard")
NEED = Range(1e-6, 1e4, "m3 standard")


def standard_volume(volume: float, pressure: float, temperature: float) -> float:
    """Gas in a volume at a pressure and temperature, at standard state [m3 standard].

    V_s = V (p / p_s)(T_s / T). For a cylinder, `volume` is its water volume.

    Args:
        volume: 1 mL to 10 m3 [m3].
        pressure: 45 kPa to 22 MPa [Pa absolute].
        temperature: 230 to 330 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: ideal gas law.

    >>> round(standard_volume(0.0161, 14.0e6, 294.26) / 0.0283168, 1)  # scf
    78.6
    """
    p = guard("pressure", pressure, PRESSURE)
    t = guard("temperature", temperature, TEMPERATURE)
    share = (p / STANDARD_PRESSURE) * (STANDARD_TEMPERATURE / t)
    return guard("volume", volume, VOLUME) * share


def sweep_gas(volume: float, changes: float, p_atm: float, temperature: float) -> float:
    """Nitrogen to sweep a volume out a number of times [m3 standard].

    n V at the site's pressure and temperature, brought to standard state.

    Args:
        volume: inside volume swept, 1 mL to 10 m3 [m3].
        changes: volumes swept through, 1 to 20 [-]; five is common practice, no source.
        p_atm: barometric pressure, 45 to 110 kPa [Pa absolute].
        temperature: of the pipe, 230 to 330 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: ideal gas law.

    >>> round(sweep_gas(0.9 * 0.0283168, 5, 101325.0, 294.26) / 0.0283168, 2)  # scf
    4.5
    """
    guard("barometer", p_atm, ATMOSPHERE)
    return guard("changes", changes, CHANGES) * standard_volume(volume, p_atm, temperature)


def sweep_time(gas: float, flow: float) -> float:
    """Time for a sweep at a flow-meter setting [s]: gas / flow. A minimum: round up.

    Args:
        gas: from `sweep_gas`, 1e-6 to 10 000 [m3 standard].
        flow: 1e-7 to 0.1 [m3/s standard]; 30 scfh is common practice, no source.

    Raises:
        OutOfRange: an argument outside its range.

    Source: arithmetic.

    >>> ft3 = 0.0283168
    >>> round(sweep_time(4.5 * ft3, 30 * ft3 / 3600) / 60, 1)  # minutes
    9.0
    """
    return guard("gas", gas, NEED) / guard("flow", flow, FLOW)


def fill_gas(volume: float, p_start: float, p_end: float, temperature: float) -> float:
    """Nitrogen to raise a volume to a pressure [m3 standard]: V (p2 - p1)/p_s T_s/T.

    Args:
        volume: inside volume filled, 1 mL to 10 m3 [m3].
        p_start: pressure before, 45 kPa to p_end [Pa absolute].
        p_end: pressure after, to 22 MPa [Pa absolute].
        temperature: of the gas, 230 to 330 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: ideal gas law.

    >>> psi, ft3 = 6894.757, 0.0283168
    >>> round(fill_gas(0.9 * ft3, 14.696 * psi, 264.696 * psi, 294.26) / ft3, 1)  # scf
    15.3
    """
    end = guard("end pressure", p_end, PRESSURE)
    start = guard("start pressure", p_start, Range(PRESSURE.low, end, "Pa absolute"))
    t = guard("temperature", temperature, TEMPERATURE)
    share = (end - start) / STANDARD_PRESSURE * (STANDARD_TEMPERATURE / t)
    return guard("volume", volume, VOLUME) * share


def content_left(full_content: float, full_pressure: float, pressure: float) -> float:
    """What a cylinder of stated content holds at another pressure [m3 standard].

    V = V_full p / p_full, same temperature.

    Args:
        full_content: content when full, 1e-6 to 10 000 [m3 standard].
        full_pressure: pressure when full, 45 kPa to 22 MPa [Pa absolute].
        pressure: pressure now (or the one the regulator still works at), to full [Pa absolute].

    Raises:
        OutOfRange: an argument outside its range.

    Source: ideal gas law.

    >>> psi = 6894.757
    >>> round(content_left(80.0, 2029.7 * psi, 1014.7 * psi), 1)  # any unit of content
    40.0
    """
    full = guard("full pressure", full_pressure, PRESSURE)
    now = guard("pressure", pressure, Range(PRESSURE.low, full, "Pa absolute"))
    return guard("full content", full_content, NEED) * now / full


def cylinders_to_load(gas: float, usable_each: float) -> int:
    """Whole cylinders for a gas quantity: ceil(gas / usable).

    Args:
        gas: needed in all, 1e-6 to 10 000 [m3 standard].
        usable_each: content less what is left at the lowest working pressure,
            1e-6 to 10 000 [m3 standard].

    Raises:
        OutOfRange: an argument outside its range.

    Source: arithmetic.

    >>> cylinders_to_load(30.0, 14.0)
    3
    """
    return math.ceil(guard("gas", gas, NEED) / guard("usable content", usable_each, NEED))


def second_virial_change(t1: float, t2: float) -> float:
    """Change of nitrogen's second virial coefficient between two temperatures [m3/mol].

    B(t2) - B(t1), with B pc/(R Tc) = f0 + w f1,
    f0 = 0.1445 - 0.330/Tr - 0.1385/Tr^2 - 0.0121/Tr^3 - 0.000607/Tr^8,
    f1 = 0.0637 + 0.331/Tr^2 - 0.423/Tr^3 - 0.008/Tr^8.

    Args:
        t1, t2: 230 to 360 [K].

    Raises:
        OutOfRange: a temperature outside its range.

    Source: Tsonopoulos, AIChE Journal 20 (1974) 263 (from memory; checked against CoolProp).

    >>> round(second_virial_change(293.15, 318.15) * 1e6, 1)  # cm3/mol
    4.7
    """
    return _second_virial(t2) - _second_virial(t1)


def virial_pressure_at(p1: float, t1: float, t2: float) -> float:
    """Pressure of real nitrogen at another temperature, same volume [Pa absolute].

    p2 = p1 (T2/T1)(1 + (B2 - B1) p1/(R T1)). Within 0.1 % of CoolProp to 5 MPa for changes
    up to 40 K (computed); the gas law alone is low by 0.2 % a MPa over 25 K.

    Args:
        p1: 1 kPa to 10 MPa [Pa absolute].
        t1, t2: 230 to 360 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: virial equation cut after the second coefficient, see `second_virial_change`.

    >>> round(virial_pressure_at(3.5e6, 293.15, 318.15) / 1e6, 3)
    3.824
    """
    share = second_virial_change(t1, t2) * guard("pressure", p1, HOLD_PRESSURE)
    return p1 * (t2 / t1) * (1.0 + share / (GAS_CONSTANT * t1))


def pressure_behind_vent(
    flow: float, hole: float, p_atm: float, temperature: float = STANDARD_TEMPERATURE
) -> float:
    """Pressure that builds up behind a vent hole at a flow [Pa gauge].

    Isentropic flow of an ideal gas through a sharp-edged hole, C = 0.61, not choked:
    m = C A p_atm sqrt(2 k/((k-1) R T)) sqrt(x2 - x), x = (p/p_atm)^((k-1)/k), solved for p.
    A regulator's setting is not a flow: the flow must be known from a flow meter.

    Args:
        flow: 1e-7 to 0.1 [m3/s standard].
        hole: diameter of the vent hole, 0.1 to 100 mm [m].
        p_atm: barometric pressure, 45 to 110 kPa [Pa absolute].
        temperature: of the gas, 230 to 330 [K].

    Raises:
        OutOfRange: an argument outside its range, or a flow that chokes the hole (pressure
            ratio above 1.893: much too much for brazing).

    Source: textbook gas dynamics; coefficient from memory.

    >>> scfh = 0.0283168 / 3600
    >>> mild = pressure_behind_vent(5 * scfh, 0.0254 / 16, 101325.0)
    >>> rough = pressure_behind_vent(30 * scfh, 0.0254 / 16, 101325.0)
    >>> round(mild / 6894.757, 2), round(rough / 6894.757, 1)  # psi through a 1/16 in. hole
    (0.09, 3.3)
    """
    mass_flow = guard("flow", flow, FLOW) * _STANDARD_DENSITY
    full_flow = _flow_scale(hole, p_atm, temperature)
    x_max = CRITICAL_RATIO**_EXPONENT
    highest = full_flow * math.sqrt(x_max * x_max - x_max) / _STANDARD_DENSITY
    guard("flow through this hole", flow, Range(FLOW.low, highest, "m3/s standard, not choked"))
    k = mass_flow / full_flow
    x = (1.0 + math.sqrt(1.0 + 4.0 * k * k)) / 2.0
    return float(p_atm * (x ** (1.0 / _EXPONENT) - 1.0))


def vent_flow(
    pressure: float, hole: float, p_atm: float, temperature: float = STANDARD_TEMPERATURE
) -> float:
    """Flow through a vent hole at a pressure behind it [m3/s standard].

    The equation, range and source of `pressure_behind_vent`, read the other way.

    Args:
        pressure: behind the hole, 0 to 0.893 p_atm [Pa gauge].
        hole, p_atm, temperature: as there.

    Raises:
        OutOfRange: an argument outside its range.

    >>> scfh = 0.0283168 / 3600
    >>> round(vent_flow(615.8, 0.0254 / 16, 101325.0) / scfh, 1)
    5.0
    """
    full_flow = _flow_scale(hole, p_atm, temperature)
    highest = (CRITICAL_RATIO - 1.0) * p_atm
    p = guard("pressure behind the hole", pressure, Range(0.0, highest, "Pa gauge"))
    x = (1.0 + p / p_atm) ** _EXPONENT
    return full_flow * math.sqrt(x * x - x) / _STANDARD_DENSITY


def _second_virial(temperature: float) -> float:
    r = guard("temperature", temperature, HOLD_TEMPERATURE) / CRITICAL_TEMPERATURE
    simple = 0.1445 - 0.330 / r - 0.1385 / r**2 - 0.0121 / r**3 - 0.000607 / r**8
    acentric = ACENTRIC_FACTOR * (0.0637 + 0.331 / r**2 - 0.423 / r**3 - 0.008 / r**8)
    scale = GAS_CONSTANT * CRITICAL_TEMPERATURE / CRITICAL_PRESSURE
    return scale * (simple + acentric)


_EXPONENT = (HEAT_RATIO - 1.0) / HEAT_RATIO
_STANDARD_DENSITY = STANDARD_PRESSURE * MOLAR_MASS / (GAS_CONSTANT * STANDARD_TEMPERATURE)


def _flow_scale(hole: float, p_atm: float, temperature: float) -> float:
    """C A p sqrt(2 k/((k-1) R T)) [kg/s]."""
    d = guard("hole", hole, DIAMETER)
    p = guard("barometer", p_atm, ATMOSPHERE)
    t = guard("temperature", temperature, TEMPERATURE)
    speed_term = math.sqrt(2.0 / _EXPONENT * MOLAR_MASS / (GAS_CONSTANT * t))
    return DISCHARGE_COEFFICIENT * math.pi / 4.0 * d * d * p * speed_term
