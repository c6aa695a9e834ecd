"""How readily gas passes a tube or an opening under vacuum.

Flow is a throughput Q [Pa m3/s], pressure times volume at the temperature of the hose. A
conductance is C = Q / (p1 - p2) [m3/s]. In a tube it falls with the pressure until the gas
meets the wall more often than itself, and stays there: so a hose that is wide enough at
5,000 micron is narrow at 500. The pressure that counts is the mean of the hose's two ends.

Flow is taken as laminar or slower. At the start of a pull-down gas runs faster than that and
a real hose passes less: what is computed here is never too slow, and a time from it is "no
sooner than".
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from packets.formulas.constants import GAS_CONSTANT, ZERO_CELSIUS
from packets.formulas.ranges import Range, guard

BORE = Range(1e-4, 0.1, "m")
LENGTH = Range(1e-3, 100.0, "m")
MEAN_PRESSURE = Range(0.0, 1.2e5, "Pa absolute")
TEMPERATURE = Range(230.0, 340.0, "K")
CONDUCTANCE = Range(1e-12, 1e6, "m3/s")
# Viscous above: 0.5 torr cm (one vacuum data sheet, seen) is 0.67 Pa m; 0.6 mbar cm from memory.
VISCOUS_PRODUCT = Range(0.6, 1.2e4, "Pa m (mean pressure times bore)")

ROOM = 293.15  # K, the 20 C for which vacuum texts print their constants
KNUDSEN = 1.24  # the one fitted number in Knudsen's formula (from memory)


@dataclass(frozen=True)
class Gas:
    """A gas that hoses carry: molar mass [kg/mol], viscosity at 0 C [Pa s], and the constant
    [K] of Sutherland's law. Constants from memory; held to a reference library in the tests.
    """

    name: str
    molar_mass: float
    viscosity_at_zero: float
    sutherland: float


AIR = Gas("air", 28.9647e-3, 1.716e-5, 110.4)
NITROGEN = Gas("nitrogen", 28.0134e-3, 1.663e-5, 107.0)


def viscosity(temperature: float, gas: Gas = AIR) -> float:
    """Viscosity of a thin gas [Pa s]; it does not depend on pressure.

    eta = eta0 (T/T0)^1.5 (T0 + S)/(T + S), T0 = 273.15 K.

    Args:
        temperature: 230 to 340 [K].
        gas: AIR or NITROGEN.

    Raises:
        OutOfRange: temperature outside its range.

    Source: Sutherland's law, constants from memory; within 1 % of CoolProp 8.0.0 (tested).

    >>> round(viscosity(293.15) * 1e6, 1)  # uPa s
    18.1
    """
    t = guard("temperature", temperature, TEMPERATURE)
    scale = (ZERO_CELSIUS + gas.sutherland) / (t + gas.sutherland)
    return gas.viscosity_at_zero * math.pow(t / ZERO_CELSIUS, 1.5) * scale


def viscous_slope(bore: float, length: float, temperature: float = ROOM, gas: Gas = AIR) -> float:
    """Viscous conductance of a long tube for each pascal of mean pressure [m3/(s Pa)].

    pi d^4 / (128 eta L).

    Args:
        bore: inside diameter, 0.1 to 100 mm [m].
        length: 1 mm to 100 m, and long against the bore [m].
        temperature: of the gas, 230 to 340 [K].
        gas: AIR or NITROGEN.

    Raises:
        OutOfRange: an argument outside its range.

    Source: Hagen and Poiseuille.

    >>> round(viscous_slope(0.01, 1.0) * 1e6, 1)  # m3/(s MPa)
    13.5
    """
    d, span = guard("bore", bore, BORE), guard("length", length, LENGTH)
    return math.pi * d**4 / (128 * viscosity(temperature, gas) * span)


def viscous(
    bore: float,
    length: float,
    mean_pressure: float,
    temperature: float = ROOM,
    gas: Gas = AIR,
) -> float:
    """Conductance of a long tube while the gas is dense enough to flow as a fluid [m3/s].

    C = pi d^4 p / (128 eta L). For air at 20 C this is the 135 d^4 p / L of vacuum texts (L/s,
    cm, mbar), which is 1350 d^4 p / L in m3/s, m and Pa. (In torr the number is about 180.)

    Args:
        bore: inside diameter, 0.1 to 100 mm [m].
        length: 1 mm to 100 m, and long against the bore [m].
        mean_pressure: mean of the two ends [Pa absolute]; times bore at least 0.6 Pa m.
        temperature: of the gas, 230 to 340 [K].
        gas: AIR or NITROGEN.

    Raises:
        OutOfRange: an argument outside its range, or gas too thin for the formula
            (`whole_range` holds there).

    Source: Hagen and Poiseuille; constant 135 in standard vacuum texts (seen).

    >>> round(viscous(0.01, 0.01, 100.0) * 1000)  # L/s: bore 1 cm, length 1 cm, 1 mbar
    135
    """
    d, p = guard("bore", bore, BORE), guard("mean pressure", mean_pressure, MEAN_PRESSURE)
    guard("mean pressure times bore", p * d, VISCOUS_PRODUCT)
    return viscous_slope(d, length, temperature, gas) * p


def molecular(bore: float, length: float, temperature: float = ROOM, gas: Gas = AIR) -> float:
    """Conductance of a long tube when molecules meet only the wall [m3/s]; free of pressure.

    C = sqrt(2 pi R T / M) d^3 / (6 L). For air at 20 C this is the 12.1 d^3 / L of vacuum
    texts (L/s, cm), which is 121 d^3 / L in m3/s and m.

    Args:
        bore: inside diameter, 0.1 to 100 mm [m].
        length: 1 mm to 100 m [m]. Under about 20 bores put an `Opening` before the tube; with
            it the answer is at most 12 % above the exact one.
        temperature: of the gas, 230 to 340 [K].
        gas: AIR or NITROGEN.

    Raises:
        OutOfRange: an argument outside its range.

    Source: Knudsen; constant 12.1 in standard vacuum texts (seen).

    >>> round(molecular(0.01, 0.01) * 1000, 1)  # L/s: bore 1 cm, length 1 cm
    12.1
    """
    d, span = guard("bore", bore, BORE), guard("length", length, LENGTH)
    t = guard("temperature", temperature, TEMPERATURE)
    return math.sqrt(2 * math.pi * GAS_CONSTANT * t / gas.molar_mass) * d**3 / (6 * span)


def wall_number(temperature: float = ROOM, gas: Gas = AIR) -> float:
    """k of Knudsen's formula [1/(Pa m)]: k d p tells how often molecules meet each other
    against the wall. k = sqrt(M / (R T)) / eta.

    Args:
        temperature: of the gas, 230 to 340 [K].
        gas: AIR or NITROGEN.

    Raises:
        OutOfRange: temperature outside its range.

    Source: Knudsen's formula, from memory: 192 for air at 20 C (and 1.24 x 192 = 237 below
    the line); the viscosity used here gives 190.

    >>> round(wall_number())
    190
    """
    t = guard("temperature", temperature, TEMPERATURE)
    return math.sqrt(gas.molar_mass / (GAS_CONSTANT * t)) / viscosity(t, gas)


def whole_range(
    bore: float,
    length: float,
    mean_pressure: float,
    temperature: float = ROOM,
    gas: Gas = AIR,
) -> float:
    """Conductance of a long tube at any vacuum [m3/s], from viscous to molecular.

    C = C_viscous + C_molecular (1 + k d p)/(1 + 1.24 k d p), k = sqrt(M/(R T)) / eta. In L/s,
    cm and mbar, air at 20 C: 135 d^4 p/L + 12.1 (d^3/L)(1 + 192 d p)/(1 + 237 d p).

    Args:
        bore: inside diameter, 0.1 to 100 mm [m].
        length: 1 mm to 100 m, and long against the bore [m].
        mean_pressure: mean of the two ends, 0 to 120 kPa [Pa absolute].
        temperature: of the gas, 230 to 340 [K].
        gas: AIR or NITROGEN.

    Raises:
        OutOfRange: an argument outside its range.

    Source: Knudsen's formula; the form with 192 and 237 from memory (Umrath, Fundamentals of
    Vacuum Technology, 1.26).

    >>> round(whole_range(0.31 * 0.0254, 0.9144, 133.322) * 1000, 2)  # L/s, 1,000 micron mean
    0.81
    """
    p = guard("mean pressure", mean_pressure, MEAN_PRESSURE)
    x = wall_number(temperature, gas) * guard("bore", bore, BORE) * p
    thin = molecular(bore, length, temperature, gas) * (1 + x) / (1 + KNUDSEN * x)
    return viscous_slope(bore, length, temperature, gas) * p + thin


def mouth(diameter: float, temperature: float = ROOM, gas: Gas = AIR) -> float:
    """Conductance of a thin opening when molecules meet only its rim [m3/s].

    C = A sqrt(R T / (2 pi M)): for air at 20 C 11.6 L/s a square centimetre.

    Args:
        diameter: 0.1 to 100 mm [m].
        temperature: of the gas, 230 to 340 [K].
        gas: AIR or NITROGEN.

    Raises:
        OutOfRange: an argument outside its range.

    Source: kinetic theory; constant 11.6 in vacuum texts (seen).

    >>> round(mouth(0.0112838) * 1000, 1)  # L/s through 1 cm2
    11.6
    """
    d = guard("diameter", diameter, BORE)
    t = guard("temperature", temperature, TEMPERATURE)
    speed = math.sqrt(GAS_CONSTANT * t / (2 * math.pi * gas.molar_mass))  # a quarter of the mean
    return speed * math.pi * d**2 / 4


def in_series(conductances: Iterable[float]) -> float:
    """Conductance of parts one behind the other [m3/s]: 1/C = sum 1/Ci.

    A pump's speed counts as a part: with it this is the effective speed, 1/S = 1/Sp + 1/C.

    Args:
        conductances: one or more, each 1e-12 to 1e6 [m3/s].

    Raises:
        OutOfRange: one outside its range.
        ValueError: none given.

    Source: a vacuum handbook, p. 50 (title not recorded), seen.

    >>> round(in_series([0.5, 0.1]) * 1000, 1)  # 500 L/s pump behind a 100 L/s pipe
    83.3
    """
    parts = [guard("conductance", part, CONDUCTANCE) for part in conductances]
    if not parts:
        raise ValueError("no parts in series")
    return 1 / sum(1 / part for part in parts)


def in_parallel(conductances: Iterable[float]) -> float:
    """Conductance of parts side by side [m3/s]: C = sum Ci.

    Args:
        conductances: one or more, each 1e-12 to 1e6 [m3/s].

    Raises:
        OutOfRange: one outside its range.
        ValueError: none given.

    Source: a vacuum handbook, p. 50 (title not recorded), seen.

    >>> in_parallel([0.25, 0.5])
    0.75
    """
    parts = [guard("conductance", part, CONDUCTANCE) for part in conductances]
    if not parts:
        raise ValueError("no parts side by side")
    return sum(parts)
