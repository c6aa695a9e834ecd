"""Saturation pressures and densities of one refrigerant, from a table of points.

Between the points each property is a cubic through the four nearest ones, ln(value) against
1/T: the vapor-pressure line is nearly straight there. For a blend, *bubble* is the liquid
side (use it for subcooling), *dew* the vapor side (use it for superheat). Everything is in
K, Pa absolute and kg/m3, and nothing is extrapolated.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from packets.formulas.ranges import OutOfRange, Range, guard

CHART_MOST_GAP = 10.0  # K; at 10 K the cubic is still within 0.1 % of the pressure
CHART_LEAST_POINTS = 5
CHART_SCATTER = 0.05  # of ln p: rounding to 1 psi stays under it from about 5 psig up

# What any point must lie in, so that the arithmetic holds.
_TEMPERATURE, _OTHER = Range(50.0, 1000.0, "K"), Range(1e-6, 1e9, "Pa or kg/m3")
_LEAST_GAP = 1e-3  # K


class ChartError(ValueError):
    """Points that cannot be a saturation table; `row` counts from 0, None for the whole."""

    def __init__(self, message: str, row: int | None = None) -> None:
        self.row = row
        super().__init__(message if row is None else f"point {row + 1}: {message}")


class NoDensity(ValueError):
    """A density was asked of a table that has pressures only."""


@dataclass(frozen=True)
class LogCurve:
    """ln(value) as a piecewise cubic in 1/T through points (T rising, value positive)."""

    name: str
    temperatures: tuple[float, ...]
    values: tuple[float, ...]
    unit: str
    rising: bool
    # One row a gap between points: 1/T and ln(value) at its start, three coefficients.
    _cells: tuple[tuple[float, ...], ...] = field(init=False, repr=False, compare=False)
    _range: Range = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        x = [1.0 / t for t in self.temperatures]
        y = [math.log(v) for v in self.values]
        cells = []
        for i in range(len(x) - 1):
            start = min(max(i - 1, 0), len(x) - 4)
            near = [k for k in range(start, start + 4) if k != i]
            cell = (x[i], y[i], *_cubic([(x[k] - x[i], y[k] - y[i]) for k in near]))
            # ln p against 1/T falls where p against T rises.
            if not _one_way(cell[2:], x[i + 1] - x[i], rising=not self.rising):
                way = "rise" if self.rising else "fall"
                raise ChartError(f"{self.name} does not {way} steadily after this point", i)
            cells.append(cell)
        object.__setattr__(self, "_cells", tuple(cells))
        low, high = sorted((self.values[0], self.values[-1]))
        object.__setattr__(self, "_range", Range(low, high, self.unit))

    @property
    def range(self) -> Range:
        """The values the curve spans."""
        return self._range

    def value(self, temperature: float) -> float:
        """The property at a temperature [K] already known to lie inside the points."""
        i = min(bisect_right(self.temperatures, temperature), len(self._cells)) - 1
        x, y, b1, b2, b3 = self._cells[i]
        u = 1.0 / temperature - x
        value = math.exp(y + u * (b1 + u * (b2 + u * b3)))
        # exp(log(v)) may miss v by a rounding; the ends must stay inside their own range.
        return min(max(value, self._range.low), self._range.high)

    def temperature(self, value: float) -> float:
        """The temperature [K] at which a rising curve has this value: inverse of `value`.

        Raises:
            OutOfRange: a value outside `range`.
        """
        target = guard(self.name, value, self._range)
        i = min(bisect_right(self.values, target), len(self._cells)) - 1
        x, y, b1, b2, b3 = self._cells[i]
        goal = math.log(target) - y
        low, high = 1.0 / self.temperatures[i + 1] - x, 0.0  # u, bracketing the answer
        u = low * goal / (math.log(self.values[i + 1]) - y)
        for _ in range(60):
            gap = u * (b1 + u * (b2 + u * b3)) - goal
            low, high = (low, u) if gap < 0.0 else (u, high)  # ln p falls with 1/T
            step = gap / (b1 + u * (2.0 * b2 + u * 3.0 * b3))
            following = u - step
            if not low <= following <= high:
                following = 0.5 * (low + high)
            if abs(following - u) <= 1e-15 * x:
                break
            u = following
        return min(max(1.0 / (x + u), self.temperatures[0]), self.temperatures[-1])


# The columns of a table: words for messages, unit, whether the value rises with temperature.
_COLUMNS = {
    "bubble_pressures": ("bubble pressure", "Pa", True),
    "dew_pressures": ("dew pressure", "Pa", True),
    "liquid_densities": ("liquid density", "kg/m3", False),
    "vapor_densities": ("vapor density", "kg/m3", True),
}


@dataclass(frozen=True)
class SaturationTable:
    """Saturation of one refrigerant between its first and last temperature.

    Error of the interpolation for the tables in this project: under 0.05 % of a pressure and
    0.1 % of a density; the error of the figures themselves is their source's. Every look-up
    raises `OutOfRange` outside the table and for NaN.

    Raises:
        ChartError: points that are too few, not in order, not positive, not rising steadily
            (liquid density: falling), dew above bubble, or vapor denser than liquid.
    """

    temperatures: tuple[float, ...]
    bubble_pressures: tuple[float, ...]
    dew_pressures: tuple[float, ...]
    liquid_densities: tuple[float, ...] | None = None
    vapor_densities: tuple[float, ...] | None = None
    _curves: dict[str, LogCurve] = field(init=False, repr=False, compare=False)
    _range: Range = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        for name in ("temperatures", *_COLUMNS):
            column = getattr(self, name)
            object.__setattr__(self, name, None if column is None else tuple(column))
        _check_points(self.temperatures, self._columns())
        curves = {
            name: LogCurve(words, self.temperatures, values, unit, rising)
            for name, (words, unit, rising) in _COLUMNS.items()
            if (values := getattr(self, name)) is not None
        }
        object.__setattr__(self, "_curves", curves)
        low, high = self.temperatures[0], self.temperatures[-1]
        object.__setattr__(self, "_range", Range(low, high, "K"))

    def _columns(self) -> dict[str, tuple[float, ...]]:
        if (self.liquid_densities is None) != (self.vapor_densities is None):
            raise ChartError("give both densities or neither")
        columns = {words[0]: getattr(self, name) for name, words in _COLUMNS.items()}
        return {words: column for words, column in columns.items() if column is not None}

    @classmethod
    def from_chart(cls, points: Sequence[tuple[float, float, float]]) -> SaturationTable:
        """A table from a published pressure-temperature chart, without densities.

        Args:
            points: (temperature [K], bubble pressure [Pa absolute], dew pressure [Pa
                absolute]), in rising temperature; for a pure refrigerant both pressures equal.

        Raises:
            ChartError: as the class; also fewer than `CHART_LEAST_POINTS` points, a gap over
                `CHART_MOST_GAP`, or a pressure that its neighbours do not bear out (digits
                swapped, a line slipped). A slip under 7 % is not found, nor is every larger
                one in the two points at either end.
        """
        if len(points) < CHART_LEAST_POINTS:
            raise ChartError(f"a chart needs {CHART_LEAST_POINTS} points or more")
        temperatures, bubble, dew = (tuple(column) for column in zip(*points, strict=True))
        columns = {"bubble pressure": bubble, "dew pressure": dew}
        _check_points(temperatures, columns)
        for row, (first, second) in enumerate(pairwise(temperatures)):
            if second - first > CHART_MOST_GAP + 1e-6:
                raise ChartError(f"more than {CHART_MOST_GAP:g} K from the point before", row + 1)
        for name, column in columns.items():
            _check_scatter(name, temperatures, column)
        return cls(temperatures, bubble, dew)

    @property
    def low(self) -> float:
        """Lowest temperature [K]."""
        return self._range.low

    @property
    def high(self) -> float:
        """Highest temperature [K]."""
        return self._range.high

    @property
    def temperature_range(self) -> Range:
        """The temperatures [K] of the table."""
        return self._range

    @property
    def bubble_range(self) -> Range:
        """The bubble pressures [Pa absolute] of the table."""
        return self._curves["bubble_pressures"].range

    @property
    def dew_range(self) -> Range:
        """The dew pressures [Pa absolute] of the table."""
        return self._curves["dew_pressures"].range

    def bubble_pressure(self, temperature_k: float) -> float:
        """Pressure [Pa absolute] at which the liquid starts to boil at a temperature [K]."""
        return self._value("bubble_pressures", temperature_k)

    def dew_pressure(self, temperature_k: float) -> float:
        """Pressure [Pa absolute] at which the vapor starts to condense at a temperature [K]."""
        return self._value("dew_pressures", temperature_k)

    def bubble_temperature(self, pressure_pa: float) -> float:
        """Temperature [K] at which the liquid starts to boil at a pressure [Pa absolute]."""
        return self._curves["bubble_pressures"].temperature(pressure_pa)

    def dew_temperature(self, pressure_pa: float) -> float:
        """Temperature [K] at which the vapor starts to condense at a pressure [Pa absolute]."""
        return self._curves["dew_pressures"].temperature(pressure_pa)

    def liquid_density(self, temperature_k: float) -> float:
        """Density [kg/m3] of the liquid at its bubble point at a temperature [K]."""
        return self._value("liquid_densities", temperature_k)

    def vapor_density(self, temperature_k: float) -> float:
        """Density [kg/m3] of the vapor at its dew point at a temperature [K]."""
        return self._value("vapor_densities", temperature_k)

    def _value(self, column: str, temperature_k: float) -> float:
        curve = self._curves.get(column)
        if curve is None:
            raise NoDensity("this pressure-temperature chart has no densities")
        return curve.value(guard("temperature", temperature_k, self._range))


def _cubic(points: Sequence[tuple[float, float]]) -> tuple[float, float, float]:
    """b1, b2, b3 of y = b1 u + b2 u^2 + b3 u^3 through the origin and three points."""
    (u1, y1), (u2, y2), (u3, y3) = points
    # y/u is a parabola through three points; divided differences, then powers of u.
    first, second, third = y1 / u1, y2 / u2, y3 / u3
    d12, d23 = (second - first) / (u2 - u1), (third - second) / (u3 - u2)
    b3 = (d23 - d12) / (u3 - u1)
    b2 = d12 - b3 * (u1 + u2)
    return first - u1 * (d12 - b3 * u2), b2, b3


def _one_way(coefficients: Sequence[float], end: float, *, rising: bool) -> bool:
    """True if the cubic's slope keeps one sign from u = 0 to u = end."""
    b1, b2, b3 = coefficients
    places = [0.0, end]
    if b3 != 0.0 and 0.0 < -b2 / (3.0 * b3) / end < 1.0:
        places.append(-b2 / (3.0 * b3))  # where the slope itself turns
    slopes = [b1 + u * (2.0 * b2 + u * 3.0 * b3) for u in places]
    return all(slope > 0.0 if rising else slope < 0.0 for slope in slopes)


def _check_points(temperatures: Sequence[float], columns: Mapping[str, Sequence[float]]) -> None:
    if any(len(column) != len(temperatures) for column in columns.values()):
        raise ChartError("the columns differ in length")
    if len(temperatures) < 4:
        raise ChartError("four points or more are needed for a cubic")
    for name, column in {"temperature": temperatures, **columns}.items():
        for row, value in enumerate(column):
            plausible = _TEMPERATURE if name == "temperature" else _OTHER
            try:
                guard(name, value, plausible)
            except OutOfRange as error:
                raise ChartError(str(error), row) from error
    for row, (first, second) in enumerate(pairwise(temperatures)):
        if second - first < _LEAST_GAP:
            raise ChartError("the temperature does not rise from the point before", row + 1)
    for high, low in (("bubble pressure", "dew pressure"), ("liquid density", "vapor density")):
        for row, (upper, lower) in enumerate(
            zip(columns.get(high, ()), columns.get(low, ()), strict=True)
        ):
            if upper < lower:
                raise ChartError(f"the {low} is above the {high}", row)


def _check_scatter(name: str, temperatures: Sequence[float], values: Sequence[float]) -> None:
    """Refuse points of which five in a row do not lie on one cubic, within `CHART_SCATTER`.

    The point blamed is the middle one of the worst five; at either end the culprit may lie up
    to two points further out.
    """
    x = [1.0 / t for t in temperatures]
    worst, worst_row = 0.0, 0
    for row in range(2, len(x) - 2):
        near = [row - 2, row - 1, row + 1, row + 2]
        weights = [math.prod((x[row] - x[m]) / (x[k] - x[m]) for m in near if m != k) for k in near]
        told = sum(w * math.log(values[k]) for w, k in zip(weights, near, strict=True))
        spread = math.sqrt(1.0 + sum(w * w for w in weights))
        off = abs(told - math.log(values[row])) / spread
        if off > worst:
            worst, worst_row = off, row
    if worst > CHART_SCATTER:
        why = "does not fit its neighbours: mistyped, or rounded too coarsely for a chart"
        raise ChartError(f"the {name} here or close by {why}", worst_row)
