"""Ranges as data, and the one guard every formula uses.

A formula states the interval in which its source claims it, as a `Range`, and passes each
argument through `guard`. Outside the interval, or for NaN, infinity and non-numbers, it
raises `OutOfRange`, never returns a number.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


class OutOfRange(ValueError):
    """An argument outside the interval in which the formula's source holds it."""

    def __init__(self, name: str, value: object, interval: Range) -> None:
        self.name = name
        self.value = value
        self.interval = interval
        super().__init__(
            f"{name} = {value!r} is outside {interval.low:g} to {interval.high:g} {interval.unit}"
        )


@dataclass(frozen=True)
class Range:
    """A closed interval in SI units. `unit` is for the message only."""

    low: float
    high: float
    unit: str


def guard(name: str, value: float, interval: Range) -> float:
    """Return `value` if it is a finite number inside `interval`.

    Raises:
        OutOfRange: if it is not.
    """
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise OutOfRange(name, value, interval)
    if not math.isfinite(value) or not interval.low <= value <= interval.high:
        raise OutOfRange(name, value, interval)
    return float(value)
