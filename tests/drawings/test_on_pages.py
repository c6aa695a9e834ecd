"""Where the drawings of a job stand in its packet: beside steps, or as rows three to a width."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import product
from typing import Literal

import pytest

from packets import card_room, heights, pdf, pipeline, rendering, spreading
from packets.drawings import folding
from packets.drawings.drawing import HALF, THIRD
from packets.model.packet import CircuitFigure, Packet, Section
from tests import laid_out
from tests.drawings.reading import Read
from tests.jobs import EXAMPLES

JOBS = sorted(folder.name for folder in EXAMPLES.iterdir())
PAPERS: tuple[Literal["letter", "a4"], ...] = ("letter", "a4")
WORDS = rendering.shipped_words()
every_job = pytest.mark.parametrize("name", JOBS)
every_paper = pytest.mark.parametrize("paper", PAPERS)


@cache
def packet(name: str) -> Packet:
    """An example with its drawings."""
    return pipeline.illustrated(pipeline.prepare(EXAMPLES / name / "job.yaml"))


def section(name: str, fragment: str) -> Section:
    (found,) = [one for one in packet(name).sections if one.fragment == fragment]
    return found


@every_job
def test_joints_are_drawn_at_a_third_and_other_hook_ups_at_half_the_width(name: str) -> None:
    for one in packet(name).sections:
        for figure in one.figures:
            joint = "braze" in figure.id.rpartition("-")[0].removeprefix(one.fragment)
            assert figure.width_mm == (THIRD if joint else HALF).width_mm, figure.id
            assert figure.caption.startswith(("Joint", "Stub")) if joint else not figure.caption
            assert figure.title and figure.description.endswith(".")


def sheet(paper: Literal["letter", "a4"]) -> spreading.Sheet:
    size = rendering.ACROSS[paper], rendering.HIGH[paper]
    return spreading.Sheet(*size, WORDS)


@every_job
@every_paper
def test_every_drawing_stands_once_and_every_step_in_its_order(
    name: str, paper: Literal["letter", "a4"]
) -> None:
    for one in packet(name).sections:
        for blocks in spreading.ways(one, rendering.ACROSS[paper], spreading.Tape(WORDS)):
            figures = [
                figure for block in blocks for figure in (*block.own, *block.beside, *block.plate)
            ]
            assert figures == list(one.figures)
            assert [step for block in blocks for step in block.steps] == list(one.steps)


@every_job
@every_paper
def test_pieces_stand_about_as_high_as_the_page_lays_them_out(
    name: str, paper: Literal["letter", "a4"]
) -> None:
    found = extents(name, paper)
    across, close = rendering.ACROSS[paper], 0
    steps = 0
    for blocks in spread(name, paper):
        for block in blocks:
            room = spreading.narrow(block.beside, across) if block.beside else across
            for step in block.steps:
                high = heights.whole(step, room, WORDS)
                if block.own:
                    narrow = spreading.narrow(block.own, across)
                    high = heights.drawn(step, block.own[0], across, narrow, WORDS)
                gap = high - found[step.number]
                assert abs(gap) < 12.0, (step.number, gap)
                steps, close = steps + 1, close + (abs(gap) < 2.0)
    assert close > 0.8 * steps > 40


def spread(name: str, paper: Literal["letter", "a4"]) -> list[tuple[spreading.Block, ...]]:
    """The sections of an example as its field packet sets them, under the numbers of page 1."""
    made = packet(name)
    size = rendering.ACROSS[paper], rendering.HIGH[paper]
    begun = card_room.taken(made, *size)
    return spreading.spread(made.sections, sheet(paper), heights.record(made.record), begun)


@cache
def field(name: str, paper: Literal["letter", "a4"]) -> list[laid_out.Placed]:
    """Every box of an example's field packet on paper."""
    pdf._library()
    made = pdf._laid_out(rendering.html(packet(name), paper=paper, parts=("field",)))
    return [
        box
        for number, page in enumerate(made.pages, 1)
        for box in laid_out._walk(page._page_box, number, "")
    ]


def extents(name: str, paper: Literal["letter", "a4"]) -> dict[str, float]:
    """How high each step of an example stands on paper [mm]."""
    edges: dict[str, tuple[float, float]] = {}
    for box in field(name, paper):
        if "step" in box.classes and box.kind == "BlockBox":
            step = box.element.get("data-whole").split()[-1]
            top, bottom = edges.get(step, (box.top, box.bottom))
            edges[step] = min(top, box.top), max(bottom, box.bottom)
    return {step: bottom - top for step, (top, bottom) in edges.items()}


def test_no_other_way_to_set_the_sections_takes_fewer_pages() -> None:
    # Two sections whose drawings stand in many ways, against every pair of ways tried in turn.
    made = [section("creamery-cooler", name) for name in ("recover", "replace-compressor")]
    paper, tape = sheet("letter"), spreading.Tape(WORDS)

    def pages(ways: Sequence[Sequence[spreading.Block]]) -> float:
        end = 0.0
        for one, way in zip(made, ways, strict=True):
            end = spreading._end(spreading._heights(one, way, paper, tape), end, paper)
        return end // paper.high

    every = product(*(spreading.ways(one, paper.across, tape) for one in made))
    assert pages(spreading.spread(made, paper)) == min(map(pages, every))


@pytest.mark.parametrize(
    ("name", "fragment"),
    [
        ("creamery-cooler", "replace-compressor"),
        ("creamery-cooler", "purge-and-braze"),
        ("library-heat-pump", "purge-and-braze"),
    ],
)
def test_each_joint_is_drawn_in_the_step_that_leads_gas_past_it(name: str, fragment: str) -> None:
    # Where it costs no page, as here.
    made = packet(name)
    at = [one.fragment for one in made.sections].index(fragment)
    drawn = [block for block in spread(name, "letter")[at] if block.own]
    led = [step for step in made.sections[at].steps if step.route]
    assert [block.steps[0] for block in drawn] == led
    assert tuple(block.own[0] for block in drawn) == made.sections[at].figures


@every_job
@every_paper
def test_a_hook_ups_drawing_is_on_the_page_of_the_step_that_joins_it(
    name: str, paper: Literal["letter", "a4"]
) -> None:
    made, boxes = packet(name), field(name, paper)
    steps = {
        box.element.get("data-whole").split()[-1]: box for box in boxes if "step" in box.classes
    }
    drawn_on = {
        "".join(box.element.itertext()): box.page for box in boxes if "caption-of" in box.classes
    }
    found = 0
    for one in made.sections:
        joins = [step for step in one.steps if step.hooks_up]
        for figure in one.figures:
            if not figure.joints:
                step, caption = steps[joins[0].number], figure.caption or figure.title
                # In its step, which is never parted, a drawing needs no caption.
                inside = [
                    one for one in step.element.iter() if one.get("class", "")[-7:] == "drawing"
                ]
                assert inside or drawn_on[caption] == step.page
                found += 1
    assert found >= 4


def test_a_joints_drawing_begins_beside_its_step() -> None:
    # Where that costs no page; on A4, by itself, this section would take one more.
    paper: Literal["letter"] = "letter"
    one = section("creamery-cooler", "purge-and-braze")
    (blocks,) = spreading.spread((one,), sheet(paper))
    beside = [block for block in blocks if block.own]
    assert len(beside) == len(one.figures) == 6
    for at, block in enumerate(beside, 1):
        (step,), (figure,) = block.steps, block.own
        assert step.route and step.group_title.startswith(f"Joint {at} of 6")
        assert isinstance(figure, CircuitFigure) and figure.caption.startswith(f"Joint {at}:")
        assert figure.joints == 1
    drawn = [
        box for box in laid(paper) if "drawing-of" in box.classes and box.kind == "InlineBlockBox"
    ]
    steps = [box for box in laid(paper) if "step" in box.classes and box.kind == "BlockBox"]
    for figure_box in drawn:
        row = [
            box
            for box in steps
            if box.page == figure_box.page and box.top <= figure_box.top < box.bottom
        ]
        assert len(row) == 1, "a joint's drawing begins beside its own step"


def test_a_step_without_room_beside_a_drawing_is_not_set_there() -> None:
    # Two tries of a reading need more than half a page.
    one = section("creamery-cooler", "evacuate")
    tried = next(step for step in one.steps if len(step.readings) > 1)
    assert math.isinf(heights.whole(tried, spreading.narrow(one.figures, 186.0), WORDS))
    for way in spreading.ways(one, 186.0, spreading.Tape(WORDS)):
        assert not any(tried in block.steps for block in way if block.beside)


@cache
def laid(paper: Literal["letter", "a4"]) -> list[laid_out.Placed]:
    """Every box of the creamery's braze section on paper."""
    whole = packet("creamery-cooler")
    alone = replace(whole, sections=(section("creamery-cooler", "purge-and-braze"),), figures=())
    pdf._library()
    document = pdf._laid_out(rendering.html(alone, paper=paper, parts=("field",)))
    return [
        box
        for number, page in enumerate(document.pages, 1)
        for box in laid_out._walk(page._page_box, number, "")
    ]


def test_a_circuit_too_wide_for_a_third_is_drawn_at_half(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = folding.folded
    monkeypatch.setattr(
        "packets.drawings.board.folding.folded",
        lambda circuit, columns, sides: whole(circuit, columns if columns > 40 else 3, sides),
    )
    done = pipeline.illustrated(pipeline.prepare(EXAMPLES / "creamery-cooler" / "job.yaml"))
    (braze,) = [one for one in done.sections if one.fragment == "purge-and-braze"]
    assert braze.figures
    assert {figure.width_mm for figure in braze.figures} == {HALF.width_mm}
    assert all(Read(figure.svg).groups("gear") for figure in braze.figures)


def shown(name: str, fragment: str) -> set[str]:
    """The words of a section's drawings."""
    svgs = [one.svg for one in section(name, fragment).figures if isinstance(one, CircuitFigure)]
    return {one.words for svg in svgs for one in Read(svg).words}


def test_a_burnt_jobs_recovery_shows_the_drier_that_its_step_asks_for() -> None:
    assert "Acid-rated drier" in shown("creamery-cooler", "recover")
    assert "Acid-rated drier" not in shown("library-heat-pump", "recover")


def test_valves_are_drawn_as_the_steps_leave_them_until_the_charge_is_in() -> None:
    for fragment in ("recover", "pressure-hold", "evacuate", "weigh-in-charge"):
        assert {"MID-SEATED", "OPEN by magnet"} <= shown("creamery-cooler", fragment), fragment
    assert "then coil back on" in shown("creamery-cooler", "weigh-in-charge")
    assert {"MID", "OPEN"} <= shown("creamery-cooler", "purge-and-braze")


def test_a_caption_is_the_title_where_there_is_none() -> None:
    for figure in section("creamery-cooler", "recover").figures:
        assert isinstance(figure, CircuitFigure)
        assert (figure.caption, figure.title) == ("", "Recovery")
