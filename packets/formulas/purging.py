"""Purging with nitrogen: which flow, how long, how many pressure cycles, how fast the gas leaves.

A purge by flow and a purge by pressure cycles are taken as equal when both leave the same share of
the old gas. Flow through a volume that mixes fully leaves exp(-n) after n volumes; a cycle from the
air's pressure up to p and back leaves p_atm / p, and c cycles leave (p_atm / p)^c.
"""

from __future__ import annotations

import math

from packets.formulas import nitrogen
from packets.formulas.ranges import Range, guard

CYCLE_PRESSURE = Range(1e4, 2e6, "Pa gauge")
SPEED = Range(0.0, 400.0, "m/s")
VENTED_TO = Range(1e2, 1e5, "Pa gauge")


def outlet_speed(flow: float, diameter: float) -> float:
    """Return the mean speed of the gas in an open end or hole at a flow [m/s]: Q / A.

    Args:
        flow: 1e-7 to 0.1 [m3/s standard], taken at standard density.
        diameter: of the opening, 0.1 to 100 mm [m].

    Raises:
        OutOfRange: an argument outside its range.

    Source: arithmetic. Skin feels a draft of about 0.5 to 1 ft/s (work practice, no source).

    >>> scfh = 0.0283168 / 3600
    >>> round(outlet_speed(5 * scfh, 0.0254 / 16) / 0.3048)  # ft/s
    65
    """
    d = guard("diameter", diameter, nitrogen.DIAMETER)
    return guard("flow", flow, nitrogen.FLOW) / (math.pi / 4.0 * d * d)


def flow_for_speed(speed: float, diameter: float) -> float:
    """Return the flow that moves the gas in a tube at a speed [m3/s standard]: v A.

    Args:
        speed: 0 to 400 [m/s].
        diameter: bore of the tube, 0.1 to 100 mm [m].

    Raises:
        OutOfRange: an argument outside its range.

    Source: arithmetic.

    >>> round(flow_for_speed(0.3048, 0.026) / (0.0283168 / 3600), 1)  # scfh at 1 ft/s
    20.6
    """
    d = guard("diameter", diameter, nitrogen.DIAMETER)
    return guard("speed", speed, SPEED) * math.pi / 4.0 * d * d


def pressure_cycles(changes: float, pressure: float, p_atm: float) -> int:
    """Return how many pressure cycles thin the old gas as far as a number of volumes of flow does.

    c = ceil(n / ln((p_atm + p) / p_atm)): each cycle from the air's pressure to p and back leaves
    p_atm / (p_atm + p), n volumes of flow with full mixing leave exp(-n).

    Args:
        changes: volumes of flow to equal, 1 to 20 [-].
        pressure: to which the volume is filled, 10 kPa to 2 MPa [Pa gauge].
        p_atm: barometric pressure, 45 to 110 kPa [Pa absolute].

    Raises:
        OutOfRange: an argument outside its range.

    Source: pressure purging, Crowl and Louvar, Chemical Process Safety, chapter on fires (from
    memory).

    >>> pressure_cycles(5, 40 * 6894.757, 101325.0), pressure_cycles(5, 40 * 6894.757, 69700.0)
    (4, 4)
    """
    air = guard("barometer", p_atm, nitrogen.ATMOSPHERE)
    ratio = (air + guard("cycle pressure", pressure, CYCLE_PRESSURE)) / air
    return math.ceil(guard("changes", changes, nitrogen.CHANGES) / math.log(ratio) - 1e-9)


def vent_time(
    volume: float, pressure: float, down_to: float, hole: float, p_atm: float, temperature: float
) -> float:
    """Return the time in which a volume of nitrogen vents through a hole [s].

    V dp/dt = - m R T / M at constant temperature, with the flow of an ideal gas through a
    sharp-edged hole: choked above 1.893 p_atm, then as `nitrogen.vent_flow`. Steps of equal ratio.

    Args:
        volume: 1 mL to 10 m3 [m3].
        pressure: at the start, more than `down_to`, to 2 MPa [Pa gauge].
        down_to: what the gauge reads as zero, 100 Pa to 100 kPa [Pa gauge].
        hole: diameter that passes what hose and port pass together, 0.1 to 100 mm [m].
        p_atm: barometric pressure, 45 to 110 kPa [Pa absolute].
        temperature: of the gas, 230 to 330 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: textbook gas dynamics; coefficient from memory.

    >>> psi = 6894.757
    >>> round(vent_time(28 * 0.0283168, 40 * psi, psi / 2, 0.25 * 0.0254, 101325.0, 294.26) / 60, 1)
    4.8
    """
    size = guard("volume", volume, nitrogen.VOLUME)
    air = guard("barometer", p_atm, nitrogen.ATMOSPHERE)
    end = guard("vented to", down_to, VENTED_TO) + air
    start = guard("pressure", pressure, Range(end - air, CYCLE_PRESSURE.high, "Pa gauge")) + air
    steps = 400
    ratio = (end / start) ** (1.0 / steps)
    seconds, p = 0.0, start
    for _ in range(steps):
        after = p * ratio
        mean = math.sqrt(p * after)
        # Gas that leaves, as standard volume; choked flow grows with the pressure ahead of it.
        behind = max(air, mean / nitrogen.CRITICAL_RATIO)
        over = min(mean - behind, 0.999999 * (nitrogen.CRITICAL_RATIO - 1.0) * behind)
        flow = _flow(over, hole, behind, temperature)
        gone = nitrogen.fill_gas(size, after, p, temperature)
        seconds += gone / flow
        p = after
    return seconds


def _flow(over: float, hole: float, behind: float, temperature: float) -> float:
    """Flow [m3/s standard] through a hole from `over` [Pa] above to `behind` [Pa absolute]."""
    scale = behind / nitrogen.ATMOSPHERE.low
    # The equation is proportional to the pressure behind the hole at one pressure ratio.
    low = nitrogen.ATMOSPHERE.low
    return scale * nitrogen.vent_flow(over / scale, hole, low, temperature)
