"""Rise curves and verdicts: what a known cause within the stated errors may be called."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from iapws import IAPWS95
from scipy.optimize import linprog

from packets.formulas import reading_shapes, rise
from packets.formulas.leak_size import leak_from_drop
from packets.formulas.ranges import OutOfRange
from packets.formulas.reading_shapes import Bar
from packets.formulas.rise import Answer, leak_pressure, verdict, water_levels, water_pressure

MICRON, MINUTE = 0.1333224, 60.0
COLDEST = 274.82  # 35 F: water levels at 5,170 micron
LIMIT, WAIT = 500 * MICRON, 15 * MINUTE
PLAN = (0, 5, 10, 15)  # minutes

Readings = list[tuple[float, float]]


def _read(minutes: tuple[float, ...], micron: tuple[float, ...]) -> Readings:
    return [(MINUTE * t, MICRON * p) for t, p in zip(minutes, micron, strict=True)]


def _said(minutes: tuple[float, ...], micron: tuple[float, ...], **changed: float) -> rise.Verdict:
    asked = {"coldest": COLDEST, "limit": LIMIT, "wait": WAIT} | changed
    return verdict(_read(minutes, micron), **asked)


# --- worked cases: shapes are common practice, no source; levels IAPWS ---


@pytest.mark.parametrize(
    ("minutes", "micron", "answer", "words"),
    [
        (PLAN, (300, 320, 335, 345), Answer.TIGHT, "345 micron at most in 15 min"),
        (PLAN, (300, 500, 500, 500), Answer.TIGHT, "limit 500 micron"),
        (PLAN, (200, 300, 400, 490), Answer.TIGHT, "still climb straight"),
        (PLAN, (300, 3300, 6300, 9300), Answer.LEAK, "climbs straight"),
        ((0, 5, 10), (300, 9000, 17700), Answer.LEAK, "no such bend fits"),
        ((0, 5, 10, 15, 30), (300, 700, 1100, 1500, 2700), Answer.LEAK, "climbs straight"),
        ((0, 2, 5, 10, 15, 20), (300, 3000, 4500, 7000, 9500, 12000), Answer.LEAK, "last 5"),
        (PLAN, (300, 4500, 5100, 5180), Answer.WATER, "bends toward"),
        ((0, 5, 10), (300, 5100, 5160), Answer.WATER, "bends toward"),
        (PLAN, (300, 900, 1150, 1250), Answer.UNDECIDED, "lower than free water"),
        (PLAN, (300, 700, 1100, 1500), Answer.UNDECIDED, "Read on to"),
        ((0, 5, 10), (300, 900, 1150), Answer.UNDECIDED, "first reading only"),
        ((0, 15), (300, 900), Answer.UNDECIDED, "2 readings do not show"),
        ((15,), (900,), Answer.UNDECIDED, "1 reading does not show"),
        ((15,), (400,), Answer.UNDECIDED, "one reading shows no rise"),
        ((0, 5, 10), (300, 310, 320), Answer.UNDECIDED, "the wait is 15 min"),
        (PLAN, (1500, 1510, 1490, 1500), Answer.UNDECIDED, "does not climb"),
        (PLAN, (900, 800, 700, 600), Answer.UNDECIDED, "neither climb straight nor bend"),
        (PLAN, (300, 9000, 11500, 12100), Answer.UNDECIDED, "too high for the coldest part"),
        ((0, 5, 10, 15, 30), (300, 1865, 2650, 3040, 3380), Answer.UNDECIDED, "not plain yet"),
    ],
)
def test_cases(
    minutes: tuple[float, ...], micron: tuple[float, ...], answer: Answer, words: str
) -> None:
    told = _said(minutes, micron)
    assert (told.answer, words in told.reason) == (answer, True), told.reason


def test_a_limit_above_waters_level_cannot_show_it_dry() -> None:
    """At -13 F ice levels near 470 micron: a reading of 480 passes the limit and means nothing."""
    told = _said(PLAN, (300, 450, 475, 480), coldest=248.15)
    assert told.answer is Answer.UNDECIDED
    assert "cannot show it dry" in told.reason
    assert _said(PLAN, (100, 110, 115, 120), coldest=248.15).answer is Answer.TIGHT


def test_a_straight_rise_followed_as_far_as_told_is_decided() -> None:
    told = _said(PLAN, (300, 700, 1100, 1500))
    assert told.answer is Answer.UNDECIDED and told.read_to is not None
    end = told.read_to / MICRON * 1.02
    minutes = tuple((end - 300) / 80 * share / 5 for share in range(6))
    followed = _said(minutes, tuple(300 + 80 * t for t in minutes))
    assert followed.answer is Answer.LEAK


def test_reason_prints_pressures_as_asked() -> None:
    told = verdict(
        _read(PLAN, (300, 320, 335, 345)), COLDEST, LIMIT, WAIT, show=lambda p: f"{p:.1f} Pa"
    )
    assert told.reason.startswith("46.0 Pa at most in 15 min, limit 66.7 Pa")


def test_rate_and_levels_stand_beside_the_answer() -> None:
    told = _said(PLAN, (300, 3300, 6300, 9300))
    assert told.rate == pytest.approx(600 * MICRON / MINUTE)
    assert told.levels is not None and told.levels[1] == math.inf
    assert told.water == water_levels(COLDEST)
    wet = _said(PLAN, (300, 4500, 5100, 5180))
    assert wet.levels is not None and wet.levels[0] < 5200 * MICRON < wet.levels[1]


# --- what errors within the stated bounds may never do ---

errors = st.lists(st.floats(-1.0, 1.0), min_size=3, max_size=8)
starts = st.floats(30.0, 400.0).map(lambda p: p * MICRON)


def _with_errors(truth: Callable[[float], float], spoilt: list[float], end: float) -> Readings:
    """Evenly spaced readings of a true curve, each off by a share of the error allowed it."""
    readings = []
    for place, share in enumerate(spoilt):
        time = end * place / (len(spoilt) - 1)
        # The bar is drawn round the reading, so the error is a share of that, not of the truth.
        off = 0.999 * share
        true = truth(time)
        read = (true + off * rise.READING_FLOOR) / (1 - off * rise.READING_SHARE)
        readings.append((time, max(read, 0.02)))
    return readings


@settings(max_examples=150, deadline=None)
@given(starts, st.floats(0.01, 30.0), st.floats(-1.9, 1.9), st.floats(0.8, 1.25), errors)
def test_water_is_never_called_a_leak_or_refrigerant(
    start: float, halves: float, colder: float, scale: float, spoilt: list[float]
) -> None:
    """Whatever is seen of the curve, at the coldest temperature as known and a gauge in scale."""
    end = 3600.0
    level = scale * water_pressure(start, COLDEST + colder, 1.0, 1e6)
    readings = _with_errors(
        lambda t: level - (level - start) * 2 ** (-halves * t / end), spoilt, end
    )
    told = verdict(readings, COLDEST, 20 * MICRON, WAIT)
    assert told.answer in (Answer.WATER, Answer.UNDECIDED), told.reason


@settings(max_examples=100, deadline=None)
@given(starts, st.floats(1e-3, 10.0), errors)
def test_a_leak_is_never_called_water_or_refrigerant(
    start: float, rate: float, spoilt: list[float]
) -> None:
    readings = _with_errors(lambda t: start + rate * t, spoilt, 3600.0)
    told = verdict(readings, COLDEST, 20 * MICRON, WAIT)
    assert told.answer in (Answer.LEAK, Answer.UNDECIDED), told.reason


@settings(max_examples=100, deadline=None)
@given(starts, st.floats(0.05, 30.0), st.floats(1.1, 6.0), errors)
def test_refrigerant_is_never_called_water(
    start: float, halves: float, above: float, spoilt: list[float]
) -> None:
    end, level = 3600.0, start * above
    assume(level < 0.95 * water_levels(COLDEST)[0])
    readings = _with_errors(
        lambda t: level - (level - start) * 2 ** (-halves * t / end), spoilt, end
    )
    told = verdict(readings, COLDEST, 20 * MICRON, WAIT)
    assert told.answer is not Answer.WATER, told.reason


@given(starts, st.floats(1.2 * 8000, 60000.0), st.integers(4, 8))
def test_a_straight_rise_past_waters_level_is_a_leak(start: float, end: float, count: int) -> None:
    readings = _with_errors(
        lambda t: start + (end * MICRON - start) * t / 1800.0, [0.0] * count, 1800.0
    )
    assert verdict(readings, COLDEST, LIMIT, WAIT).answer is Answer.LEAK


@given(starts, st.floats(268.0, 295.0), st.integers(4, 8))
def test_water_watched_long_enough_is_called_water(
    start: float, coldest: float, count: int
) -> None:
    readings = [
        (t, water_pressure(start, coldest, 600.0, t))
        for t in (2700.0 * place / (count - 1) for place in range(count))
    ]
    assert verdict(readings, coldest, LIMIT, WAIT).answer is Answer.WATER


@given(st.floats(1000.0, 3000.0), st.integers(4, 8))
def test_a_low_level_however_long_it_is_watched_is_undecided(level: float, count: int) -> None:
    readings = [
        (t, MICRON * (level - (level - 200.0) * 2 ** (-t / 400.0)))
        for t in (2400.0 * place / (count - 1) for place in range(count))
    ]
    told = verdict(readings, COLDEST, LIMIT, WAIT)
    assert told.answer is Answer.UNDECIDED and "lower than free water" in told.reason


@given(st.lists(st.floats(10.0, 500.0), min_size=2, max_size=10), st.floats(900.0, 1e5))
def test_at_or_under_the_limit_after_the_wait_is_tight(micron: list[float], end: float) -> None:
    readings = [(end * n / (len(micron) - 1), p * MICRON) for n, p in enumerate(micron)]
    assert verdict(readings, COLDEST, LIMIT, WAIT).answer is Answer.TIGHT


@given(
    st.lists(st.floats(10.0, 50000.0), min_size=1, max_size=8),
    st.floats(0.25, 4.0),
    st.floats(200.0, 330.0),
)
def test_only_readings_under_the_limit_are_tight_and_the_clock_sets_no_shape(
    micron: list[float], slower: float, coldest: float
) -> None:
    readings = [(300.0 * n, p * MICRON) for n, p in enumerate(micron)]
    told = verdict(readings, coldest, LIMIT, WAIT)
    if told.answer is Answer.TIGHT:
        assert max(micron) * MICRON <= LIMIT * (1 + 1e-12)
    stretched = [(t * slower, p) for t, p in readings]
    assert verdict(stretched, coldest, LIMIT, WAIT * slower).answer is told.answer
    assert told.reason


# --- curves ---


def test_water_levels_as_the_full_equation_of_state() -> None:
    for kelvin in (275.0, 288.15, 300.0):
        told = water_pressure(50.0, kelvin, 60.0, 1e5)
        assert told == pytest.approx(IAPWS95(T=kelvin, x=0).P * 1e6, rel=1e-4)


@given(st.floats(1.0, 1e5), st.floats(1.0, 3.0))
def test_water_only_rises_and_makes_half_the_way_in_the_half_time(
    half: float, later: float
) -> None:
    level = water_pressure(50.0, COLDEST, 1.0, 1e6)
    assert water_pressure(50.0, COLDEST, half, half) == pytest.approx(0.5 * (50.0 + level))
    assert water_pressure(50.0, COLDEST, half, half * later) <= level


@given(st.floats(1e-5, 0.01), st.floats(1e-3, 0.1), st.floats(1.0, 3600.0))
def test_leak_from_its_own_rise(leak: float, volume: float, time: float) -> None:
    assume(leak * time / volume < 9000.0)
    rise_made = leak_pressure(40.0, leak, volume, time) - 40.0
    assert leak_from_drop(volume, rise_made, time) == pytest.approx(leak, rel=1e-6)


def test_a_leak_is_steady_only_while_the_inside_is_thin() -> None:
    """Capillary flow goes with pa^2 - p^2: at the end of the range it has slowed by 1 %."""
    assert (rise.STEADY.high / 101325.0) ** 2 < 0.01
    with pytest.raises(OutOfRange):
        leak_pressure(40.0, 0.1, 0.01, 3600.0)


# --- shapes, against scipy's linear programming ---


def _some_line(bars: list[Bar], widened: float) -> bool:
    """Whether a + b t with b >= 0 passes every bar: a feasible point of a linear program."""
    rows: list[list[float]] = []
    ends: list[float] = []
    for bar in bars:
        rows += [[1.0, bar.time], [-1.0, -bar.time]]
        ends += [bar.high + widened, widened - bar.low]
    kept = [(row, end) for row, end in zip(rows, ends, strict=True) if end < math.inf]
    found = linprog(
        [0.0, 0.0],
        A_ub=[row for row, _ in kept],
        b_ub=[end for _, end in kept],
        bounds=[(None, None), (0.0, None)],
    )
    return bool(found.status == 0)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(-1.0, 1.0), min_size=3, max_size=7),
    st.floats(0.0, 2.0),
    st.floats(0.05, 1.0),
)
def test_straight_fits_as_linear_programming(
    spoilt: list[float], slope: float, half_bar: float
) -> None:
    bars = [
        Bar(float(n), slope * n + e - half_bar, slope * n + e + half_bar)
        for n, e in enumerate(spoilt)
    ]
    told = reading_shapes.straight_fits(bars)
    assert told or not _some_line(bars, -1e-6)
    assert _some_line(bars, 1e-6) or not told


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(-0.5, 0.5), min_size=3, max_size=7),
    st.floats(0.3, 5.0),
    st.floats(0.05, 0.6),
    st.floats(9.0, 20.0),
)
def test_level_fits_as_linear_programming(
    spoilt: list[float], decay: float, half_bar: float, level: float
) -> None:
    """log(level - p) is log(a) - t / b, so what is missing falls along a line."""
    bars = []
    for n, e in enumerate(spoilt):
        middle = 10.0 - 9.0 * math.exp(-n / decay) + e
        bars.append(Bar(float(n), middle - half_bar, middle + half_bar))
    assume(all(abs(level - edge) > 1e-3 for bar in bars for edge in bar[1:]))
    told = reading_shapes.level_fits(bars, level)
    if any(bar.low > level for bar in bars):
        assert not told
        return
    climb = [
        Bar(
            b.time,
            -math.log(level - b.low),
            -math.log(level - b.high) if b.high < level else math.inf,
        )
        for b in bars
    ]
    assert told or not _some_line(climb, -1e-6)
    assert _some_line(climb, 1e-6) or not told


BAD: list[Callable[[Any], object]] = [
    lambda x: leak_pressure(x, 1e-4, 0.02, 60.0),
    lambda x: leak_pressure(40.0, x, 0.02, 60.0),
    lambda x: leak_pressure(40.0, 1e-4, x, 60.0),
    lambda x: leak_pressure(40.0, 1e-4, 0.02, x),
    lambda x: water_pressure(x, COLDEST, 60.0, 60.0),
    lambda x: water_pressure(40.0, x, 60.0, 60.0),
    lambda x: water_pressure(40.0, COLDEST, x, 60.0),
    lambda x: water_pressure(40.0, COLDEST, 60.0, x),
    lambda x: water_levels(x),
    lambda x: water_levels(COLDEST, x),
    lambda x: verdict([(x, 40.0)], COLDEST, LIMIT, WAIT),
    lambda x: verdict([(0.0, x)], COLDEST, LIMIT, WAIT),
    lambda x: verdict([(0.0, 40.0)], x, LIMIT, WAIT),
    lambda x: verdict([(0.0, 40.0)], COLDEST, x, WAIT),
    lambda x: verdict([(0.0, 40.0)], COLDEST, LIMIT, x),
    lambda x: verdict([(0.0, 40.0)], COLDEST, LIMIT, WAIT, coldest_error=x),
]


@pytest.mark.parametrize("value", [math.nan, math.inf, -1.0, 1e9, True, "1"])
@pytest.mark.parametrize("call", BAD)
def test_refuses(call: Callable[[Any], object], value: object) -> None:
    with pytest.raises(OutOfRange):
        call(value)


def test_refuses_no_readings_too_many_and_out_of_order() -> None:
    with pytest.raises(OutOfRange):
        verdict([], COLDEST, LIMIT, WAIT)
    with pytest.raises(OutOfRange):
        verdict([(float(n), 40.0) for n in range(41)], COLDEST, LIMIT, WAIT)
    with pytest.raises(ValueError, match="does not come after"):
        verdict([(0.0, 40.0), (300.0, 50.0), (300.0, 60.0)], COLDEST, LIMIT, WAIT)
