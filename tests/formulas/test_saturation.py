"""The saturation interpolant: published values, properties, and charts from users."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas.constants import PSI, ZERO_CELSIUS
from packets.formulas.ranges import OutOfRange
from packets.formulas.saturation import ChartError, NoDensity, SaturationTable
from packets.saturation_data import load, names
from tests.handbook_rows import agrees, ids, rows

WATER_77_DEGF = 997.05  # kg/m3
GAUGE_ZERO = 14.696  # psi, as the printed charts take it

refrigerants = st.sampled_from(names())
shares = st.floats(0.0, 1.0)

Chart = list[tuple[float, float, float]]


def at(table: SaturationTable, share: float) -> float:
    """A temperature inside the table."""
    return min(max(table.low + share * (table.high - table.low), table.low), table.high)


@pytest.mark.parametrize("row", rows("saturation"), ids=ids)
def test_handbook(row: dict[str, Any]) -> None:
    inputs = row["inputs"]
    told = getattr(load(inputs["refrigerant"]).table, inputs["look_up"])(_argument(inputs))
    units = {
        "psig": told / PSI - GAUGE_ZERO,
        "kPa": told / 1000.0,
        "degC": told - ZERO_CELSIUS,
        "kg/m3": told,
        "of water at 77 degF (997.05 kg/m3)": told / WATER_77_DEGF,
    }
    assert agrees(units[row["unit"]], row)


def _argument(inputs: dict[str, Any]) -> float:
    if "pressure_pa" in inputs:
        return float(inputs["pressure_pa"])
    if "temperature_f" in inputs:
        return (float(inputs["temperature_f"]) + 459.67) / 1.8
    return float(inputs["temperature_c"]) + ZERO_CELSIUS


@given(refrigerants, shares)
def test_inverses(name: str, share: float) -> None:
    table = load(name).table
    temperature = at(table, share)
    told = table.bubble_temperature(table.bubble_pressure(temperature))
    assert told == pytest.approx(temperature, abs=1e-6)
    assert table.dew_temperature(table.dew_pressure(temperature)) == pytest.approx(
        temperature, abs=1e-6
    )


@given(refrigerants, shares, shares)
def test_one_way_with_temperature(name: str, one: float, other: float) -> None:
    table = load(name).table
    low, high = sorted((at(table, one), at(table, other)))
    if high - low < 1e-6:
        return
    assert table.bubble_pressure(low) < table.bubble_pressure(high)
    assert table.dew_pressure(low) < table.dew_pressure(high)
    assert table.liquid_density(low) > table.liquid_density(high)
    assert table.vapor_density(low) < table.vapor_density(high)


@given(refrigerants, shares)
def test_sides_of_the_dome(name: str, share: float) -> None:
    table = load(name).table
    temperature = at(table, share)
    bubble, dew = table.bubble_pressure(temperature), table.dew_pressure(temperature)
    # Where an azeotrope's curves touch (R-507A, R-508B), rounding and interpolation cross them by
    # 3.2e-7 at most, seen on 20,000 points of each table.
    assert dew <= bubble * (1.0 + 1e-6)
    assert table.liquid_density(temperature) > table.vapor_density(temperature)
    if len(load(name).composition) == 1:
        assert dew == bubble


@pytest.mark.parametrize("name", names())
def test_ends_and_points(name: str) -> None:
    table = load(name).table
    for temperature, bubble in zip(table.temperatures, table.bubble_pressures, strict=True):
        assert table.bubble_pressure(temperature) == pytest.approx(bubble, rel=1e-13)
    for temperature in (table.low, table.high):
        assert table.bubble_temperature(table.bubble_pressure(temperature)) == temperature
        assert table.dew_temperature(table.dew_pressure(temperature)) == temperature
    assert table.bubble_range.low == table.bubble_pressures[0]
    assert table.dew_range.high == table.dew_pressures[-1]


@pytest.mark.parametrize("outside", [-1e-6, 1e-6, math.nan, math.inf, -math.inf])
def test_refuses_outside(outside: float) -> None:
    table = load("R-448A").table
    edge = table.low if outside < 0 else table.high
    for look_up in ("bubble_pressure", "dew_pressure", "liquid_density", "vapor_density"):
        with pytest.raises(OutOfRange):
            getattr(table, look_up)(edge + outside)
    pressure = table.bubble_pressures[0 if outside < 0 else -1]
    with pytest.raises(OutOfRange):
        table.bubble_temperature(pressure * (1.0 + outside))
    with pytest.raises(OutOfRange):
        table.dew_temperature(table.bubble_pressures[-1])


def chart(name: str, step: float, to_psi: float = 0.0) -> Chart:
    """Points every `step` K as a printed chart has them, rounded to `to_psi` gauge."""
    table = load(name).table

    def printed(pascal: float) -> float:
        if not to_psi:
            return pascal
        return (round((pascal / PSI - GAUGE_ZERO) / to_psi) * to_psi + GAUGE_ZERO) * PSI

    steps = [table.low + step * k for k in range(int((table.high - table.low) / step + 1e-9) + 1)]
    return [(t, printed(table.bubble_pressure(t)), printed(table.dew_pressure(t))) for t in steps]


@pytest.mark.parametrize("name", names())
def test_chart_of_ten_kelvin_gives_back_the_pressure(name: str) -> None:
    full = load(name).table
    coarse = SaturationTable.from_chart(chart(name, 10.0))
    for first, second in pairwise(coarse.temperatures):
        middle = 0.5 * (first + second)
        # 0.1 %, the limit that lets CHART_MOST_GAP be 10 K
        assert coarse.bubble_pressure(middle) == pytest.approx(
            full.bubble_pressure(middle), rel=1e-3
        )
        assert coarse.dew_pressure(middle) == pytest.approx(full.dew_pressure(middle), rel=1e-3)


@pytest.mark.parametrize("name", ["R-404A", "R-134a", "R-1234ze(E)", "R-448A", "R-717"])
def test_chart_rounded_to_a_tenth_of_a_psi_is_taken(name: str) -> None:
    points = chart(name, 5.0 / 1.8, 0.1)
    table = SaturationTable.from_chart(points)
    for temperature, bubble, dew in points:
        assert table.bubble_pressure(temperature) == pytest.approx(bubble, rel=1e-12)
        assert table.dew_pressure(temperature) == pytest.approx(dew, rel=1e-12)


def test_chart_has_no_densities() -> None:
    table = SaturationTable.from_chart(chart("R-22", 5.0))
    with pytest.raises(NoDensity, match="no densities"):
        table.liquid_density(280.0)
    with pytest.raises(NoDensity, match="no densities"):
        table.vapor_density(280.0)


def replaced(points: Chart, row: int, point: Any) -> Chart:
    return [*points[:row], point, *points[row + 1 :]]


@pytest.mark.parametrize("row", range(2, 11))
@pytest.mark.parametrize("factor", [0.8, 0.9, 1.1, 1.25])
def test_chart_finds_a_mistyped_pressure(row: int, factor: float) -> None:
    points = chart("R-410A", 10.0)
    t, bubble, dew = points[row]
    wrong = replaced(points, row, (t, bubble * factor, dew * factor))
    with pytest.raises(ChartError) as caught:
        SaturationTable.from_chart(wrong)
    assert caught.value.row == row


@pytest.mark.parametrize(
    ("change", "words", "row"),
    [
        (lambda p: p[:4], "5 points", None),
        (lambda p: p[:3] + p[5:], "more than 10 K", 3),
        (lambda p: [p[1], p[0], *p[2:]], "does not rise", 1),
        (lambda p: replaced(p, 4, p[3]), "does not rise", 4),
        (lambda p: [(t - 273.15, b, d) for t, b, d in p], "outside 50 to 1000 K", 0),
        (lambda p: replaced(p, 2, (p[2][0], p[2][2], p[2][1])), "dew pressure is above", 2),
        (lambda p: replaced(p, 2, (p[2][0], -5.0, p[2][2])), "outside", 2),
        (lambda p: replaced(p, 2, (p[2][0], p[2][1], math.nan)), "outside", 2),
        (lambda p: replaced(p, 2, (p[2][0], "420", p[2][2])), "outside", 2),
    ],
)
def test_chart_refuses(change: Any, words: str, row: int | None) -> None:
    with pytest.raises(ChartError, match=words) as caught:
        SaturationTable.from_chart(change(chart("R-448A", 5.0)))
    assert caught.value.row == row


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        (((250, 260, 270), (1, 2, 3), (1, 2, 3)), "four points"),
        (((250, 260, 270, 280), (1, 2, 3), (1, 2, 3, 4)), "differ in length"),
        (((250, 260, 270, 280), (1, 2, 2, 4), (1, 2, 2, 4)), "does not rise steadily"),
        (((250, 260, 270, 280), (1, 2, 3, 4), (1, 2, 3, 4), (9, 8, 7, 6)), "both densities"),
        (
            ((250, 260, 270, 280), (1, 2, 3, 4), (1, 2, 3, 4), (9, 8, 8.5, 6), (1, 2, 3, 4)),
            "liquid density does not fall",
        ),
        (
            ((250, 260, 270, 280), (1, 2, 3, 4), (1, 2, 3, 4), (9, 8, 7, 3), (1, 2, 3, 4)),
            "vapor density is above",
        ),
    ],
)
def test_table_refuses(columns: tuple[tuple[float, ...], ...], words: str) -> None:
    with pytest.raises(ChartError, match=words):
        SaturationTable(*columns)


def test_table_refuses_a_hump_between_points() -> None:
    """Points that rise, and a cubic through them that does not."""
    with pytest.raises(ChartError, match="does not rise steadily"):
        SaturationTable((250, 251, 279, 280), (1.0, 1.9, 2.0, 3.0), (1.0, 1.9, 2.0, 3.0))


numbers = st.floats(allow_nan=True) | st.floats(200.0, 400.0)


@given(st.lists(st.tuples(numbers, numbers, numbers), max_size=8))
def test_any_points_make_a_table_or_a_chart_error(points: Chart) -> None:
    try:
        table = SaturationTable.from_chart(points)
    except ChartError:
        return
    assert table.bubble_temperature(table.bubble_pressure(table.low)) == table.low


@given(st.lists(st.tuples(st.floats(0.01, 9.9), st.floats(0.5, 2.0)), min_size=5, max_size=12))
def test_rough_points_never_break_the_inverse(steps: list[tuple[float, float]]) -> None:
    temperature, pressure, points = 230.0, 1e5, []
    for gap, factor in steps:
        temperature, pressure = temperature + gap, pressure * (1.0 + 0.03 * gap * factor)
        points.append((temperature, pressure, pressure))
    try:
        table = SaturationTable.from_chart(points)
    except ChartError:
        return
    for share in (0.0, 0.1, 0.5, 0.77, 1.0):
        t = at(table, share)
        assert table.dew_temperature(table.dew_pressure(t)) == pytest.approx(t, abs=1e-6)
