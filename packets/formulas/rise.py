"""The rise test: pump valved off, what the reading does, and what that says.

A leak lets the same gas in every minute, so the pressure climbs straight. Water gives off
vapor until the pressure is its vapor pressure at the coldest wet spot, and stays there. What levels
lower is not told by the curve alone: ice, water bound in oil or in a drier's core, refrigerant out
of the oil, gas out of hoses, or the early stretch of any curve. Other tests part them.

`verdict` asks which of these curves pass through all readings, each reading taken as right
within a stated error. What more than one of them can explain stays undecided.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum

from packets.formulas.constants import MICRON
from packets.formulas.ranges import Range, guard
from packets.formulas.reading_shapes import (
    Bar,
    level_fits,
    level_range,
    stands_still,
    straight_fits,
)
from packets.formulas.water import saturation_pressure

PRESSURE = Range(0.01, 1.2e5, "Pa absolute")
TIME = Range(0.0, 1e6, "s")
HALF_TIME = Range(1.0, 1e6, "s")
WAIT = Range(60.0, 1e6, "s")
COLDEST = Range(200.0, 330.0, "K")
COLDEST_ERROR = Range(0.0, 20.0, "K")
LEAK = Range(0.0, 1e3, "Pa m3/s")
VOLUME = Range(1e-5, 10.0, "m3")
# Air enters at a steady rate while the inside is thin against the outside. Below 10 kPa even a
# capillary leak, whose flow goes with p_out^2 - p_in^2, has slowed by 1 % only (computed).
STEADY = Range(0.01, 1e4, "Pa absolute")
READINGS = Range(1, 40, "readings")

# Thresholds: common practice, no source.
READING_SHARE = 0.02  # a vacuum gauge repeats within 2 % of its reading
READING_FLOOR = 5 * MICRON  # Pa, and never better than this
LEVEL_FACTOR = 1.3  # its scale is right within this factor; it is set for air, not for vapor
COLDEST_MARGIN = 2.0  # K, how well the coldest part's temperature is known
FEWEST = 3  # readings that show a shape

Levels = tuple[float, float] | None  # lowest and highest [Pa]


class Answer(Enum):
    """What a rise test says."""

    TIGHT = "tight"
    LEAK = "leak"
    WATER = "water"
    UNDECIDED = "undecided"


@dataclass(frozen=True)
class Verdict:
    """An answer and what in the readings decides it.

    `rate` [Pa/s] is the mean rise over the readings. `levels` [Pa] are the lowest and highest
    level towards which a curve through all readings can bend; the highest is infinite when a
    straight line fits, and there is none when no curve fits. `water` [Pa] is where water would
    level. `read_to` [Pa] is the pressure up to which a straight rise must be followed before
    water can be ruled out.
    """

    answer: Answer
    reason: str
    rate: float
    water: tuple[float, float]
    levels: Levels = None
    read_to: float | None = None


def leak_pressure(start: float, leak: float, volume: float, time: float) -> float:
    """Pressure after a time of a leak alone [Pa absolute]: p = p0 + Q t / V.

    Args:
        start: reading when the pump is valved off, 0.01 Pa to 10 kPa [Pa absolute].
        leak: 0 to 1000 [Pa m3/s].
        volume: gas volume of the machine, 10 mL to 10 m3 [m3].
        time: since then, 0 to 1e6 [s].

    Raises:
        OutOfRange: an argument outside its range, or a pressure above 10 kPa, where the leak is
            no longer steady.

    Source: definition of a leak rate (seen in vacuum texts).

    >>> round(leak_pressure(40.0, 0.00015, 0.020, 3600.0) / 0.133322)  # 300 micron, 1 h
    503
    """
    begin = guard("start", start, STEADY)
    rate = guard("leak", leak, LEAK) / guard("volume", volume, VOLUME)
    return guard("pressure reached", begin + rate * guard("time", time, TIME), STEADY)


def water_pressure(start: float, coldest: float, half_time: float, time: float) -> float:
    """Pressure after a time of water alone [Pa absolute]: p = ps - (ps - p0) 2^(-t/half).

    The level ps, water's vapor pressure at the coldest part, is sure. How soon it comes is not:
    a wet pipe takes minutes, ice or water under oil hours. The half time is the caller's.

    Args:
        start: reading when the pump is valved off, 0.01 Pa to the level [Pa absolute].
        coldest: temperature of the coldest part, 200 to 330 [K].
        half_time: in which half of the way to the level is made, 1 to 1e6 [s].
        time: since the pump was valved off, 0 to 1e6 [s].

    Raises:
        OutOfRange: an argument outside its range, or a start above the level.

    Source: level from IAPWS R14-08(2011) and SR1-86(1992); the shape (vapor comes at a rate that
    goes with ps - p) is a model, no source.

    >>> round(water_pressure(40.0, 274.82, 300.0, 3600.0) / 0.133322, -1)  # at 35 F
    5170.0
    """
    level = saturation_pressure(guard("coldest", coldest, COLDEST))
    begin = guard("start", start, Range(PRESSURE.low, level, "Pa absolute (to water's level)"))
    halves = guard("time", time, TIME) / guard("half time", half_time, HALF_TIME)
    return level - (level - begin) * math.exp2(-halves)


def water_levels(coldest: float, coldest_error: float = COLDEST_MARGIN) -> tuple[float, float]:
    """The lowest and highest reading at which water on the coldest part can level [Pa].

    Vapor pressure at the temperature less and plus its error, over and times `LEVEL_FACTOR` for
    the gauge.

    Args:
        coldest: temperature of the coldest part, 200 to 330 [K].
        coldest_error: how far that may be off, 0 to 20 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: vapor pressure IAPWS R14-08(2011), SR1-86(1992); margins common practice, no source.

    >>> [round(p / 0.133322, -2) for p in water_levels(274.82)]  # 35 F, 5,170 micron
    [3400.0, 7800.0]
    """
    middle = guard("coldest", coldest, COLDEST)
    error = guard("error of the coldest temperature", coldest_error, COLDEST_ERROR)
    low, high = saturation_pressure(middle - error), saturation_pressure(middle + error)
    return low / LEVEL_FACTOR, high * LEVEL_FACTOR


def _in_micron(pressure: float) -> str:
    return f"{pressure / MICRON:,.0f} micron"


def verdict(
    readings: Sequence[tuple[float, float]],
    coldest: float,
    limit: float,
    wait: float,
    *,
    coldest_error: float = COLDEST_MARGIN,
    show: Callable[[float], str] = _in_micron,
) -> Verdict:
    """What the readings of a rise test say, and what in them decides it.

    Tight: every reading at or under the limit, the last one after the wait or later, and water
    could not level so low. Else the shape decides; a curve fits when it passes each reading
    within 2 % and 5 micron. Leak: a straight line fits and no curve that bends to a level where
    water could stop; or no curve fits and the last readings, three or more, climb straight past
    such levels. Water: only curves that bend to water's levels fit. Where the later readings still
    climb straight, a bend at the first one can be the pressure evening out before a leak. That, a
    bend lower than water's levels, and everything else, is undecided.

    Args:
        readings: (time since the pump was valved off [s], pressure [Pa absolute]), 1 to 40, in
            order of time.
        coldest: temperature of the coldest part of the machine, 200 to 330 [K].
        limit: highest reading the job allows [Pa absolute].
        wait: time after which that limit is read, 60 to 1e6 [s].
        coldest_error: how far `coldest` may be off, 0 to 20 [K].
        show: how the reason prints a pressure [Pa].

    Raises:
        OutOfRange: a number outside its range.
        ValueError: readings out of order.

    Source: Q = V dp/dt is constant for a leak (seen); levels at water's vapor pressure (seen);
    errors and margins common practice, no source.

    >>> minutes = [(0, 300), (5, 9000), (10, 17800), (15, 26500)]
    >>> pascal = [(60.0 * t, 0.133322 * p) for t, p in minutes]
    >>> verdict(pascal, coldest=274.82, limit=66.66, wait=900.0).answer
    <Answer.LEAK: 'leak'>
    """
    bars = _bars(readings)
    water = water_levels(coldest, coldest_error)
    top, stand = guard("limit", limit, PRESSURE), guard("wait", wait, WAIT)
    (t1, first), (t2, last) = readings[0], readings[-1]
    rate = (last - first) / (t2 - t1) if len(bars) > 1 else 0.0
    highest = max(pressure for _, pressure in readings)
    wet = f"water on the coldest part levels between {show(water[0])} and {show(water[1])}"
    if highest <= top:
        held = f"{show(highest)} at most in {t2 / 60:.0f} min, limit {show(top)}"
        if highest >= water[0] and t2 >= stand:
            reason = f"{held}; but {wet}: this limit cannot show it dry. Warm the coldest part."
            return Verdict(Answer.UNDECIDED, reason, rate, water)
        return Verdict(*_under_limit(bars, held, stand), rate, water)
    over = f"{show(highest)} is over the limit of {show(top)}"
    if len(bars) < FEWEST:
        told = "1 reading does" if len(bars) == 1 else f"{len(bars)} readings do"
        few = f"{over}, but {told} not show a shape: read at least {FEWEST} times."
        return Verdict(Answer.UNDECIDED, few, rate, water)
    if stands_still(bars):
        still = f"{over}, but it does not climb: no leak shows. Pull deeper, then read again."
        return Verdict(Answer.UNDECIDED, still, rate, water)
    answer, reason, levels = _by_shape(bars, water, wet, show)
    follow = _read_to(bars, water[1]) if levels and math.isinf(levels[1]) else None
    if answer is Answer.UNDECIDED and follow:
        reason += f" Read on to {show(follow)}: water bends before that, a leak does not."
    return Verdict(answer, f"{over}. {reason}", rate, water, levels, follow)


def _bars(readings: Sequence[tuple[float, float]]) -> list[Bar]:
    guard("number of readings", len(readings), READINGS)
    bars: list[Bar] = []
    for time, pressure in readings:
        t, p = guard("time", time, TIME), guard("pressure", pressure, PRESSURE)
        if bars and t <= bars[-1].time:
            raise ValueError(f"reading at {t:g} s does not come after {bars[-1].time:g} s")
        error = READING_SHARE * p + READING_FLOOR
        bars.append(Bar(t, p - error, p + error))
    return bars


def _under_limit(bars: list[Bar], held: str, wait: float) -> tuple[Answer, str]:
    if len(bars) < 2:
        return Answer.UNDECIDED, f"{held}: one reading shows no rise; read at the start and after."
    if bars[-1].time < wait:
        return Answer.UNDECIDED, f"{held}, but the wait is {wait / 60:.0f} min: read on."
    if len(bars) >= FEWEST and straight_fits(bars) and not stands_still(bars):
        return Answer.TIGHT, f"{held}. It may still climb straight: a small leak passes this test."
    return Answer.TIGHT, f"{held}."


def _by_shape(
    bars: list[Bar], water: tuple[float, float], wet: str, show: Callable[[float], str]
) -> tuple[Answer, str, Levels]:
    levels, later = level_range(bars), bars[1:]
    if levels is None:
        return _settled(bars, water, wet)
    if math.isinf(levels[1]):
        return _straight(bars, levels, water, wet)
    bend = f"It bends toward {show(levels[0])} to {show(levels[1])}"
    if straight_fits(later) and not stands_still(later):
        early = "by the first reading only: a leak after the pressure evened out looks the same."
        return Answer.UNDECIDED, f"{bend}, but {early} Read on.", levels
    if levels[1] < water[0] and not level_fits(bars, water[0]):
        told = (
            "Ice, water or refrigerant in the oil, or hose gaskets: the curve alone does not tell."
        )
        return Answer.UNDECIDED, f"{bend}, lower than free water: {wet}. {told}", levels
    if water[0] <= levels[0] and levels[1] <= water[1]:
        return Answer.WATER, f"{bend}, where {wet}.", levels
    if levels[0] > water[1]:
        high = "a warmer wet spot, or two causes at once."
        return Answer.UNDECIDED, f"{bend}, too high for the coldest part: {wet}; {high}", levels
    return Answer.UNDECIDED, f"{bend}, and {wet}: not plain yet. Read on until it stands.", levels


def _settled(bars: list[Bar], water: tuple[float, float], wet: str) -> tuple[Answer, str, Levels]:
    """No curve fits all: a leak still shows if the last readings climb straight past water."""
    for dropped in range(1, len(bars) - FEWEST + 1):
        later = bars[dropped:]
        if later[-1].low > water[1] and straight_fits(later) and not stands_still(later):
            past = f"The last {len(later)} readings climb straight past water's level: {wet}."
            return Answer.LEAK, past, level_range(later)
    mixed = "The readings neither climb straight nor bend to one level: two causes at once, or a"
    return Answer.UNDECIDED, f"{mixed} temperature that moved. Pull and read again.", None


def _straight(
    bars: list[Bar], levels: Levels, water: tuple[float, float], wet: str
) -> tuple[Answer, str, Levels]:
    if levels and levels[0] > water[1] and not level_fits(bars, water[1]):
        return Answer.LEAK, f"It climbs straight; {wet}, and no such bend fits.", levels
    return Answer.UNDECIDED, f"It climbs straight so far, but {wet}.", levels


def _read_to(bars: list[Bar], level: float) -> float | None:
    """Pressure to which a straight rise must be followed before this level cannot fit; None
    when it does not fit now."""
    if not level_fits(bars, level):
        return None
    start, last = (0.5 * (bar.low + bar.high) for bar in (bars[0], bars[-1]))
    low, high = last, 1.1 * level  # a reading over the level rules it out at once
    for _ in range(30):
        middle = 0.5 * (low + high)
        line = [(step / 5, start + (middle - start) * step / 5) for step in range(6)]
        low, high = (middle, high) if level_fits(_bars(line), level) else (low, middle)
    return high
