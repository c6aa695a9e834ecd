"""Which shapes a curve through uncertain readings can have: straight, or bending to a level.

Each reading is a bar: a time, the lowest and the highest value it can stand for. A shape fits
when one curve of it passes through every bar. Nothing is averaged and nothing assumed of how
errors spread, so "does not fit" is sure as long as the bars hold.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple

_TRIED = 200  # levels, from just above the readings to 100 times the highest


class Bar(NamedTuple):
    """A reading: its time [s] and the lowest and highest value it can stand for."""

    time: float
    low: float
    high: float


def stands_still(bars: Sequence[Bar]) -> bool:
    """Whether one value fits every bar: no change can be told.

    Args:
        bars: one or more.

    Source: arithmetic.

    >>> stands_still([Bar(0.0, 9.0, 11.0), Bar(60.0, 10.5, 12.5)])
    True
    """
    return max(bar.low for bar in bars) <= min(bar.high for bar in bars)


def straight_fits(bars: Sequence[Bar]) -> bool:
    """Whether a straight line that climbs passes through every bar.

    For one slope the line exists when every two bars allow it; each two allow an interval of
    slopes; so it is enough that all intervals share a slope.

    Args:
        bars: two or more, at rising times.

    Source: arithmetic (the common point of intervals on a line, Helly).

    >>> straight_fits([Bar(0.0, 9.0, 11.0), Bar(60.0, 19.0, 21.0), Bar(120.0, 29.0, 31.0)])
    True
    >>> straight_fits([Bar(0.0, 9.0, 11.0), Bar(60.0, 25.0, 27.0), Bar(120.0, 29.0, 31.0)])
    False
    """
    least, most = 0.0, math.inf
    for one, other in combinations(bars, 2):
        span = other.time - one.time
        least = max(least, (other.low - one.high) / span)
        most = min(most, (other.high - one.low) / span)
    return least <= most and most > 0.0


def level_fits(bars: Sequence[Bar], level: float) -> bool:
    """Whether a curve level - a exp(-t / b) that climbs to this level passes through every bar.

    The logarithm of what is missing to the level falls straight with time, so this is a straight
    line through bars again.

    Args:
        bars: two or more, at rising times.
        level: where the curve ends, in the bars' unit.

    Source: arithmetic.

    >>> bend = [Bar(0.0, 9.0, 11.0), Bar(60.0, 25.0, 27.0), Bar(120.0, 29.0, 31.0)]
    >>> level_fits(bend, 31.0), level_fits(bend, 60.0)
    (True, False)
    """
    least, most = 0.0, math.inf
    missing = [(bar.time, _log(level - bar.high), _log(level - bar.low)) for bar in bars]
    if any(high == -math.inf for _, _, high in missing):
        return False
    for (t1, low1, high1), (t2, low2, high2) in combinations(missing, 2):
        least = max(least, (low1 - high2) / (t2 - t1))
        most = min(most, (high1 - low2) / (t2 - t1))
    return least <= most and most > 0.0


def level_range(bars: Sequence[Bar]) -> tuple[float, float] | None:
    """Lowest and highest level a curve through every bar can bend to; None when none fits.

    Infinite above when a straight line fits, which is a curve with its level far away. Levels
    are tried from just above the bars to 100 times as high, closest together near the bars: the
    ends are right within 6 % of their height above the bars.

    Args:
        bars: two or more, at rising times, values above 0.

    Source: arithmetic.

    >>> bend = [Bar(0.0, 9.0, 11.0), Bar(60.0, 25.0, 27.0), Bar(120.0, 29.0, 31.0)]
    >>> [round(level) for level in level_range(bend)]
    [29, 35]
    """
    floor = max(bar.low for bar in bars)
    ratio = math.pow(1e5, 1 / (_TRIED - 1))
    tried = [floor * (1 + 1e-3 * ratio**step) for step in range(_TRIED)]
    fit = [level for level in tried if level_fits(bars, level)]
    if straight_fits(bars):
        return (fit[0] if fit else tried[-1]), math.inf
    return (fit[0], fit[-1]) if fit else None


def _log(value: float) -> float:
    return math.log(value) if value > 0.0 else -math.inf
