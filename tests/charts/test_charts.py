"""The charts to draw on: every line lies where its number says, and all of it can be read.

Outside truth: CoolProp for nitrogen at constant volume and for saturation, IAPWS for water.
Sizes (8 pt or more, squares near 5 mm) are common practice, no source.
"""

from __future__ import annotations

import math
from decimal import Decimal
from functools import cache
from itertools import combinations, pairwise

import CoolProp.CoolProp as coolprop
import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws.iapws97 import _PSat_T

from packets.charts import axis, hold, ink, rise, scale
from packets.model.limits import Limit
from packets.model.limits import Row as LimitRow
from tests.charts.drawn import POINT, QUARTER_LINE, Chart, true_width, value

PSI, MICRON, AIR = 6894.757293168361, 101325 / 760000, 97.8e3
HOTTEST, LIMIT = 95.0, 250.0


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


@cache
def isochore(fahrenheit: float) -> float:
    """psig of real nitrogen that reads the limit at the hottest pipe (CoolProp)."""
    full = LIMIT * PSI + AIR
    density = coolprop.PropsSI("D", "P", full, "T", kelvin(HOTTEST), "Nitrogen")
    held = coolprop.PropsSI("P", "D", density, "T", kelvin(fahrenheit), "Nitrogen")
    return float((held - AIR) / PSI)


def hold_rows() -> list[hold.Row]:
    """A hold test of a 250 psig limit at 95 °F, every 2 °F."""
    rows = []
    for temperature in range(48, 96, 2):
        fill = isochore(temperature)
        high = min(math.floor(fill + 2.6), LIMIT)
        rows.append(hold.Row(temperature, math.ceil(fill - 2.6), high, fill))
    return rows


def a_hold() -> ink.Picture:
    return hold.chart(hold_rows(), LIMIT, "°F", "psig")


def a_rise(water: float = 5170.0) -> ink.Picture:
    return rise.chart(rise.Rise(300, 500, water, (15, 30, 60), 60, "micron"))


def side(name: str, fluid: str, quality: int, low: float, high: float) -> scale.Side:
    """One side of a pure refrigerant's scale, straight from CoolProp, in °F and psig."""

    def temperature(psig: float) -> float:
        found = coolprop.PropsSI("T", "P", psig * PSI + AIR, "Q", quality, fluid)
        return float(found * 1.8 - 459.67)

    def pressure(fahrenheit: float) -> float:
        found = coolprop.PropsSI("P", "T", kelvin(fahrenheit), "Q", quality, fluid)
        return float((found - AIR) / PSI)

    return scale.Side(name, temperature, pressure(low), pressure(high))


def a_card() -> ink.Picture:
    # Two refrigerants as the two sides: each scale must follow its own.
    sides = (side("Dew", "R134a", 1, 10, 130), side("Bubble", "R32", 0, 10, 130))
    return scale.card("R-test", sides, scale.Span(10, 130), "°F", "psig")


def a_worksheet() -> ink.Picture:
    sheet = scale.Sheet("Superheat", "Suction", "Suction line", 5, 11, "line", "dew")
    one = side("Dew", "R134a", 1, 12, 40)
    span = scale.Span(12, 40, scale.BESIDE)
    return scale.worksheet("R-134a", one, span, sheet, "°F", "psig", "°F")


ALL = {
    "hold": a_hold,
    "rise": a_rise,
    "rise, water in the strip": lambda: a_rise(17500.0),
    "rise, water near the limit": lambda: a_rise(900.0),
    "card": a_card,
    "worksheet": a_worksheet,
}
every_chart = pytest.mark.parametrize("name", ALL)


def test_the_fill_line_is_real_nitrogen_at_constant_volume() -> None:
    points = Chart(a_hold().svg).values("fill")
    _, up = Chart(a_hold().svg).scale("up", upright=True)
    assert len(points) == len(hold_rows())
    for temperature, pressure in points:
        # The axis tells temperatures to a hundredth of a degree; the pressure to the quarter line.
        assert abs(pressure - isochore(round(temperature))) * abs(up) < QUARTER_LINE
    last = points[-1]
    assert last[1] < LIMIT < last[1] + 1.0, "it runs on to the limit at the hottest pipe"


def test_the_band_and_the_limit_lie_on_the_numbers_of_the_table() -> None:
    chart, rows = Chart(a_hold().svg), hold_rows()
    (_, across), (_, up) = chart.scale("across"), chart.scale("up", upright=True)
    for name, wanted in (("low", [r.low for r in rows]), ("high", [r.high for r in rows])):
        points = chart.values(name)
        for (temperature, pressure), row, number in zip(points, rows, wanted, strict=True):
            assert abs(temperature - row.temperature) * across < QUARTER_LINE
            assert abs(pressure - number) * abs(up) < QUARTER_LINE
    for _, pressure in chart.values("limit"):
        assert abs(pressure - LIMIT) * abs(up) < QUARTER_LINE


STEPS = st.lists(st.integers(0, 4), min_size=1, max_size=9)


@given(STEPS, st.integers(2, 6), st.sampled_from([0.5, 1.0, 10.0]))
def test_the_band_allows_what_is_judged_at_every_reading_of_the_gauge(
    climbs: list[int], width: int, step: float
) -> None:
    lows = [100 * step]
    for climb in climbs:
        lows.append(lows[-1] + climb * step)
    rows = [(40.0 + 2 * at, low, low + width * step) for at, low in enumerate(lows)]
    printed = tuple(LimitRow(*map(Decimal, row)) for row in rows)
    limit = Limit("rows", "psig", rows=printed, straight=True)
    picture = hold.chart([hold.Row(*row, row[1]) for row in rows], rows[-1][2], "°F", "psig")
    chart = Chart(picture.svg)
    (_, a_unit), hair = chart.scale("up", upright=True), 0.02  # what the drawing rounds [mm]

    def edge(name: str, x: float) -> float:
        points = chart.values(name)
        (t0, y0), (t1, y1) = next(
            pair for pair in pairwise(points) if pair[0][0] - 0.01 <= x <= pair[1][0] + 0.01
        )
        return y0 + (y1 - y0) * (x - t0) / (t1 - t0)

    for tenth in range(0, 20 * len(climbs) + 1, 5):
        x = 40.0 + tenth / 10
        low, high = edge("low", x), edge("high", x)
        for k in range(-2, sum(climbs) + width + 3):
            reading = (100 + k) * step
            inside = min(reading - low, high - reading) * abs(a_unit)  # [mm]
            # Judgement is to a tenth, to the safe side; nearer than that the eye cannot tell.
            if abs(inside) > hair + 0.1 * abs(a_unit):
                assert (inside > 0) == limit.allows(Decimal(reading), Decimal(x)), (x, reading)


def test_the_band_has_no_step_and_no_notch() -> None:
    # A psi or two from row to row, and at the top flat under the limit.
    rows = [
        hold.Row(50.0 + 2 * n, 288.0 + 7 * n // 5, min(294.0 + 7 * n // 5, 315.0), 291.0 + 1.4 * n)
        for n in range(20)
    ]
    chart = Chart(hold.chart(rows, 315.0, "°F", "psig").svg)
    for name in ("low", "high"):
        points = chart.line(name)
        assert all(there > here for (here, _), (there, _) in pairwise(points)), name


def test_the_rise_stands_on_its_limit_its_minutes_and_water_s_level() -> None:
    chart = Chart(a_rise(round(float(_PSat_T(274.817)) * 1e6 / MICRON)).svg)
    (_, across), (y0, up) = chart.scale("across"), chart.scale("up", upright=True)
    for _, micron in chart.values("limit"):
        assert abs(micron - 500) * abs(up) < QUARTER_LINE
    x0, _ = chart.scale("across")
    minutes = [(line[0][0] - x0) / across for line in chart.lines("reads")]
    assert minutes == pytest.approx([15, 30, 60], abs=QUARTER_LINE / across)
    # Water at 35 °F: IAPWS gives 689 Pa, 5,170 micron.
    last = chart.values("water")[-1]
    assert last[0] == pytest.approx(60, abs=0.02)
    assert abs(last[1] - _PSat_T(274.817) * 1e6 / MICRON) * abs(up) < QUARTER_LINE
    for name in ("leak", "water", "lower"):
        assert chart.values(name)[0] == pytest.approx((0, 300), abs=QUARTER_LINE / abs(up))
    assert y0 > 0


def test_a_leak_is_straight_and_the_others_bend_and_never_fall() -> None:
    chart = Chart(a_rise().svg)
    assert len(chart.values("leak")) == 2
    for name in ("water", "lower"):
        slopes = [(b - a) / (t - s) for (s, a), (t, b) in pairwise(chart.values(name))]
        assert all(one > other - 1 for one, other in pairwise(slopes))
        assert slopes[0] > 10 * abs(slopes[-1])
        assert min(slopes) > -1
    assert max(y for _, y in chart.values("lower")) < 0.5 * max(y for _, y in chart.values("water"))


@pytest.mark.parametrize("water", [8100.0, 13740.0, 18790.0, 60000.0])
def test_water_that_levels_high_stands_in_a_strip_with_a_coarser_scale(water: float) -> None:
    chart = Chart(a_rise(water).svg)
    y0, up = chart.scale("up", upright=True)
    (start, *_), (top, *_) = chart.line("strip-start"), chart.line("strip-frame")
    begins = (start[1] - y0) / up
    assert begins < water, "water is not on the main scale"
    # Every number of the strip lies on the straight scale from where it begins to the top one.
    numbers = {value(one.text): one.y - 0.36 * one.size for one in chart.labels("strip-up")}
    high = max(numbers)
    a_micron = (top[1] - start[1]) / (high - begins)
    for number, y in numbers.items():
        assert abs(start[1] + (number - begins) * a_micron - y) < QUARTER_LINE
    assert high > water
    drawn = chart.line("water")
    assert abs(drawn[-1][1] - start[1] - (water - begins) * a_micron) < QUARTER_LINE
    # Where the scale changes there is a point, so that neither half is cut short.
    assert min(abs(y - start[1]) for _, y in drawn) < 0.02
    # The limit can still be drawn to: its region is higher than two pencil lines.
    limit = chart.line("limit")[0][1]
    assert abs(y0 - limit) > 2 * 0.8
    assert any("coarser scale above" in one.text for one in chart.words)


@pytest.mark.parametrize(("name", "fluid", "quality"), [("dew", "R134a", 1), ("bubble", "R32", 0)])
def test_a_pressure_stands_at_its_saturation_temperature(
    name: str, fluid: str, quality: int
) -> None:
    chart = Chart(a_card().svg)
    zero, a_degree = chart.scale("temperature")
    labels, ticks = chart.labels(name), [line[0][0] for line in chart.lines(f"{name}-ticks")]
    assert len(labels) >= 6
    for one in labels:
        truth = coolprop.PropsSI("T", "P", value(one.text) * PSI + AIR, "Q", quality, fluid)
        assert abs(zero + (truth * 1.8 - 459.67) * a_degree - one.x) < QUARTER_LINE, one.text
        assert min(abs(tick - one.x) for tick in ticks) < 0.02
    assert all(b - a > 0.5 for a, b in pairwise(ticks))
    low, high = sorted(value(one.text) for one in chart.labels("temperature"))[
        :: len(chart.labels("temperature")) - 1
    ]
    assert (low, high) == (10, 130)


def test_between_two_numbers_of_a_scale_stand_even_counts() -> None:
    chart = Chart(a_card().svg)
    ticks = [line[0][0] for line in chart.lines("dew-ticks")]
    numbers = sorted((one.x, value(one.text)) for one in chart.labels("dew"))
    for (x, low), (y, high) in pairwise(numbers):
        inside = sum(x + 0.02 < tick < y - 0.02 for tick in ticks)
        parts = (high - low) / (inside + 1)
        assert any(math.isclose(parts, n) for n in (0.5, 1, 2, 5, 10, 20, 50)) or inside == 0


def test_the_worksheet_has_four_boxes_a_gloved_hand_can_write_in() -> None:
    chart = Chart(a_worksheet().svg)
    boxes = chart.lines("write")
    assert len(boxes) == 4
    for corners in boxes:
        xs, ys = [x for x, _ in corners], [y for _, y in corners]
        assert max(xs) - min(xs) >= 18
        assert max(ys) - min(ys) >= 8
        assert min(xs) >= 0 and max(xs) <= chart.width
        for one in chart.words:
            inside = one.right > min(xs) and one.left < max(xs)
            assert not (inside and min(ys) < one.y - 0.3 * one.size < max(ys)), one.text
    assert any(one.text == "5 to 11 °F" for one in chart.words)


@every_chart
def test_letters_are_8_points_or_more_and_inside_the_sheet(name: str) -> None:
    chart = Chart(ALL[name]().svg)
    assert chart.words
    for one in chart.words:
        assert one.size >= 8 * POINT - 0.01, one.text
        assert one.left >= -0.01 and one.right <= chart.width + 0.01, one.text
        assert one.y - 0.8 * one.size >= -0.01 and one.y + 0.29 * one.size <= chart.height + 0.01


@every_chart
def test_no_words_stand_on_others(name: str) -> None:
    for one, other in combinations(Chart(ALL[name]().svg).words, 2):
        apart = abs(one.y - other.y) >= 0.75 * max(one.size, other.size)
        assert apart or one.right <= other.left or other.right <= one.left, (one.text, other.text)


@pytest.mark.parametrize("name", [name for name in ALL if "hold" in name or "rise" in name])
def test_what_is_whitened_behind_words_lies_inside_the_frame(name: str) -> None:
    chart = Chart(ALL[name]().svg)
    (left, top), _, (right, bottom) = chart.line("frame")
    top = min([top, *(y for line in chart.lines("strip-frame") for _, y in line)])
    white = [one.attrib for one in chart.root.iter() if one.tag.endswith("rect")]
    assert white
    for box in white:
        x, y, wide, high = (float(box[key]) for key in ("x", "y", "width", "height"))
        assert left <= x + 0.1 and x + wide <= right + 0.1
        assert top <= y + 0.1 and y + high <= bottom + 0.1


@every_chart
def test_the_estimate_of_a_width_is_never_less_than_the_words_take(name: str) -> None:
    for one in Chart(ALL[name]().svg).words:
        for bold in (False, True):
            assert ink.wide(one.text, 1.0, bold) >= true_width(one.text, bold), one.text


@every_chart
def test_nothing_is_told_by_colour(name: str) -> None:
    chart = Chart(ALL[name]().svg)
    inks = {one.get(key) for one in chart.root.iter() for key in ("fill", "stroke")}
    assert inks - {None} <= {"none", "#000", "#fff", "#999"}


@every_chart
def test_every_chart_says_what_it_is_and_shows(name: str) -> None:
    picture = ALL[name]()
    assert len(picture.title) > 8
    assert len(picture.description) > 60
    assert picture.title in picture.svg
    assert (picture.width_mm, picture.height_mm) == (
        Chart(picture.svg).width,
        Chart(picture.svg).height,
    )


@given(st.floats(-500, 5000), st.floats(0.5, 5000), st.floats(40, 150))
def test_an_axis_holds_its_range_on_numbers_people_count_by(
    low: float, reach: float, long: float
) -> None:
    made = axis.counted(low, low + reach, 10.0, 10.0 + long)
    assert made.step in axis.COUNTS
    assert made.low <= low + 1e-6 * made.step and made.high >= low + reach - 1e-6 * made.step
    lines = made.lines()
    gap = (made.at(lines[1]) - made.at(lines[0])) if len(lines) > 1 else long
    assert gap >= axis.SQUARE - 1e-9
    assert math.isclose(made.at(lines[-1]), 10.0 + long)
    assert all(math.isclose(v / made.step, round(v / made.step), abs_tol=1e-6) for v in lines)


@pytest.mark.parametrize("name", ["hold", "rise"])
def test_squares_suit_a_pencil(name: str) -> None:
    chart = Chart(ALL[name]().svg)
    grid = chart.lines("grid")
    across = sorted({x for (x, _), (end, _) in grid if x == end})
    up = sorted({y for (_, y), (_, end) in grid if y == end})
    for lines in (across, up):
        gaps = [b - a for a, b in pairwise(lines)]
        assert 4.4 <= min(gaps) <= max(gaps) <= 9.0
        assert max(gaps) - min(gaps) < 0.03


def test_an_axis_without_length_is_refused() -> None:
    with pytest.raises(ValueError, match="no length"):
        axis.counted(5.0, 5.0, 0.0, 50.0)
