"""Charts in the packet: made from the numbers that are printed, whole with their step, on paper."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product
from typing import Any

import CoolProp.CoolProp as coolprop
import pytest
from scipy.interpolate import PchipInterpolator

from packets import pdf, pipeline, rendering
from packets.formatting import System
from packets.model.packet import Figure as PrintedChart
from packets.model.packet import Packet, Step
from tests import jobs
from tests import packet_samples as samples
from tests.charts.drawn import QUARTER_LINE, Chart, value
from tests.laid_out import MM, Placed, _walk
from tests.packet_words import SECTIONS, StepWords

PAPERS: tuple[rendering.Paper, ...] = ("letter", "a4")
SYSTEMS: tuple[System, ...] = ("ip", "si")
WIDE = {"letter": 215.9, "a4": 210.0}


@cache
def example(units: System = "ip") -> Packet:
    """The first example's packet."""
    made = pipeline.prepare(jobs.EXAMPLE / "job.yaml", units=units)
    assert made.packet is not None, [str(one) for one in made.findings]
    return made.packet


def steps(packet: Packet) -> list[Step]:
    return [step for section in packet.sections for step in section.steps]


def chart(kind: str, units: System = "ip") -> PrintedChart:
    """The example's chart of that kind."""
    held = [one.chart for one in steps(example(units)) if one.chart]
    card = example(units).card_chart
    (only,) = [one for one in (*held, card) if one and one.id == kind]
    return only


@pytest.mark.parametrize("units", SYSTEMS)
def test_the_hold_chart_says_what_the_printed_table_says(units: System) -> None:
    drawn = Chart(chart("hold", units).svg)
    (table,) = [
        one.table for one in steps(example(units)) if one.table and "Fill" in one.table.title
    ]
    (_, across), (_, up) = drawn.scale("across"), drawn.scale("up", upright=True)
    rows = [(value(row[0]), *map(value, row[2].split(" to "))) for row in table.rows]
    for name, column in (("low", 1), ("high", 2)):
        points = drawn.values(name)
        for row in rows:
            # At a row's own temperature the edge passes through its number.
            near = [y for x, y in points if abs(x - row[0]) * across < QUARTER_LINE]
            assert min(abs(y - row[column]) for y in near) * abs(up) < QUARTER_LINE
    for (_, pressure), row in zip(drawn.values("fill"), table.rows, strict=True):
        # The table rounds the fill down to the gauge's step; the line is what it rounds.
        assert (pressure - value(row[1])) * abs(up) > -QUARTER_LINE
        assert pressure - value(row[1]) < (1 if units == "ip" else 10) + QUARTER_LINE / abs(up)
    for _, pressure in drawn.values("limit"):
        limit = next(
            one.value for g in example(units).card for one in g.lines if one.id == "hold.limit"
        )
        assert abs(pressure - value(limit.split()[0])) * abs(up) < QUARTER_LINE


@pytest.mark.parametrize("units", SYSTEMS)
def test_the_rise_chart_stands_on_the_limit_of_its_reading(units: System) -> None:
    drawn = Chart(chart("rise", units).svg)
    step = next(one for one in steps(example(units)) if one.chart and one.chart.id == "rise")
    limit = step.readings[0][-1].limit
    assert limit is not None and limit.high is not None
    _, up = drawn.scale("up", upright=True)
    for _, vacuum in drawn.values("limit"):
        assert abs(vacuum - float(limit.high)) * abs(up) < QUARTER_LINE


def test_the_superheat_scale_agrees_with_the_printed_band() -> None:
    # R-448A is not in the library by name here; the packet's own table of line temperatures is:
    # its low end is dew plus least superheat, rounded up to a degree.
    drawn = Chart(chart("superheat").svg)
    zero, a_degree = drawn.scale("temperature")
    dew = {value(one.text): (one.x - zero) / a_degree for one in drawn.labels("dew")}
    (table,) = [
        one.table for one in steps(example()) if one.table and one.table.id == "verify.superheat"
    ]
    # Between two numbers of the scale, 5 psi apart; what the drawing rounds is less than 0.06 degF.
    curve = PchipInterpolator(sorted(dew), sorted(dew.values()))
    bend, compared = 0.06, 0
    for row in table.rows:
        low, high = map(value, row[2].split(" to "))
        here = float(curve(value(row[0])))
        assert -bend <= low - (here + 5) < 1.05 + bend
        assert -bend <= here + 11 - high < 1.05 + bend
        compared += min(dew) <= value(row[0]) <= max(dew)
    assert compared == len(table.rows)


def test_the_card_of_a_pure_refrigerant_follows_coolprop(tmp_path: Any) -> None:
    changes = {
        "equipment.yaml": [("refrigerant: R-448A", "refrigerant: R-134a")],
        "kit.yaml": [("refrigerant: R-448A", "refrigerant: R-134a")],
        "job.yaml": [("R-448A, R-449A, R-404A", "R-134a")],
    }
    packet = jobs.prepared(tmp_path, changes).packet
    assert packet is not None and packet.card_chart is not None
    drawn = Chart(packet.card_chart.svg)
    zero, a_degree = drawn.scale("temperature")
    # The air at 980 ft, from the standard atmosphere: 97.8 kPa.
    air = 101325 * (1 - 2.25577e-5 * 980 * 0.3048) ** 5.25588
    labels = drawn.labels("sat")
    assert len(labels) >= 8
    for one in labels:
        kelvin = coolprop.PropsSI("T", "P", value(one.text) * 6894.757 + air, "Q", 1, "R134a")
        assert abs(zero + (kelvin * 1.8 - 459.67) * a_degree - one.x) < QUARTER_LINE, one.text


@cache
def laid_out(packet: Packet, paper: rendering.Paper) -> tuple[Placed, ...]:
    pdf._library()
    pages = pdf._laid_out(rendering.html(packet, paper=paper)).pages
    return tuple(
        box for number, page in enumerate(pages, 1) for box in _walk(page._page_box, number, "")
    )


STAND = tuple(f"After {m} min = number:micron" for m in (15, 30, 60))
READINGS: dict[str, tuple[tuple[str, ...], int]] = {
    "nothing to write": ((), 1),
    "one reading": (("Gauge = <= 500 micron",), 1),
    "three readings twice": (STAND, 2),
    "words to ring": (("The rise = tight|leak|water|oil|undecided", "Seen by = words:"), 1),
}


@cache
def charted(table: bool) -> Packet:
    """A packet of steps that carry each chart with each kind of reading."""
    made = []
    for at, (kind, name) in enumerate(
        product(("hold", "rise", "superheat", "pressure-temperature"), READINGS), 1
    ):
        words, tries = READINGS[name]
        step = StepWords(
            "Close both core tools, stop the pump; read the gauge and mark it on the chart.",
            readings=words, tries=tries, table=(20, 3) if table else (),
            if_out="Find the leak with bubbles, let off, make the joint again and fill once more.",
        )  # fmt: skip
        one = samples.step(step, "charted", f"1.{at}")
        made.append(replace(one, chart=chart(kind)))
    section = samples.section(replace(SECTIONS[0], steps=(), needs=()), 1)
    return samples.packet_of((replace(section, steps=tuple(made)),))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("table", [False, True], ids=["alone", "with a table"])
def test_a_chart_stands_whole_with_its_step_and_touches_nothing(
    paper: rendering.Paper, table: bool
) -> None:
    packet = charted(table)
    boxes = laid_out(packet, paper)
    held = {box.element: box for box in boxes if "step" in box.classes and box.kind == "BlockBox"}
    pictures = [box for box in boxes if getattr(box.element, "tag", "").endswith("}svg")]
    assert len(pictures) == len(packet.sections[0].steps)
    for picture, step in zip(pictures, packet.sections[0].steps, strict=True):
        assert step.chart is not None
        assert picture.right - picture.left == pytest.approx(step.chart.width_mm, abs=0.05)
        assert picture.bottom - picture.top == pytest.approx(step.chart.height_mm, abs=0.05)
        assert picture.left >= 13 - 0.1
        assert picture.right <= WIDE[paper] - 11 + 0.1
        (around,) = [
            one
            for element, one in held.items()
            if element.get("data-whole") == f"Step {step.number}"
        ]
        assert around.page == picture.page
        assert around.top <= picture.top and picture.bottom <= around.bottom + 0.1
        for box in boxes:
            if box.page != picture.page or box.kind != "TextBox" or not box.words.strip():
                continue
            aside = box.right <= picture.left + 0.1 or box.left >= picture.right - 0.1
            assert aside or box.bottom <= picture.top + 0.7 or box.top >= picture.bottom - 0.7, box


@pytest.mark.parametrize("paper", PAPERS)
def test_fields_beside_a_chart_stay_clear_of_it(paper: rendering.Paper) -> None:
    pdf._library()
    document = pdf._laid_out(rendering.html(charted(False), paper=paper))
    for page in document.pages:
        pictures = [
            box
            for box in _walk(page._page_box, 1, "")
            if getattr(box.element, "tag", "").endswith("}svg")
        ]
        for fields in page.forms.values():
            for _, rectangle in fields:
                left, top, right, bottom = (side * MM for side in rectangle)
                assert right <= WIDE[paper] - 11 + 0.2
                for box in pictures:
                    aside = right <= box.left + 0.1 or left >= box.right - 0.1
                    assert aside or bottom <= box.top + 0.1 or top >= box.bottom - 0.1


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("units", SYSTEMS)
def test_the_card_and_its_chart_never_take_a_second_page(
    paper: rendering.Paper, units: System
) -> None:
    packet = example(units)
    for lines in range(0, 12, 2):
        # More hazards, until the chart has no room on page 1 and goes to the end.
        longer = replace(packet, hazards=packet.hazards * (lines + 1))
        short = replace(longer, sections=packet.sections[:1])
        boxes = laid_out(short, paper)
        cards = {box.page for box in boxes if "card" in box.classes and box.kind == "BlockBox"}
        drawn = [
            box.page for box in boxes if "card-chart" in box.classes and box.kind == "BlockBox"
        ]
        assert len(drawn) == 1
        if len(cards) == 1:
            (first,) = cards
            assert drawn[0] == first or drawn[0] > first
            assert min(b.page for b in boxes if "work" in b.classes) in (first, first + 1)
        else:
            # A card that is too long already does not carry it: it comes after the work.
            done = max((b.page, b.bottom) for b in boxes if "work" in b.classes)
            assert all((b.page, b.top) > done for b in boxes if "card-chart" in b.classes)


def test_all_charts_of_the_example_are_printed() -> None:
    kinds = {one.chart.id for one in steps(example()) if one.chart}
    assert kinds == {"hold", "rise", "superheat"}
    assert example().card_chart is not None
