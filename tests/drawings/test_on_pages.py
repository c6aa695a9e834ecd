"""Where the drawings of a job stand in its packet: beside steps, or as rows three to a width."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Literal

import pytest

from packets import pdf, pipeline, rendering, spreading
from packets.drawings import folding
from packets.drawings.drawing import HALF, THIRD
from packets.model.packet import CircuitFigure, Packet, Section
from tests import laid_out
from tests.drawings.reading import Read
from tests.jobs import EXAMPLES

JOBS = sorted(folder.name for folder in EXAMPLES.iterdir())
PAPERS: tuple[Literal["letter", "a4"], ...] = ("letter", "a4")
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


@every_job
@every_paper
def test_every_drawing_stands_once_and_every_step_in_its_order(
    name: str, paper: Literal["letter", "a4"]
) -> None:
    for one in packet(name).sections:
        blocks = spreading.blocks(one, rendering.ACROSS[paper])
        figures = [figure for block in blocks for figure in (*block.beside, *block.plate)]
        assert figures == list(one.figures)
        assert [step for block in blocks for step in block.steps] == list(one.steps)


@every_paper
def test_stubs_stand_beside_the_steps_before_them(paper: Literal["letter", "a4"]) -> None:
    one = section("creamery-cooler", "replace-compressor")
    (block,) = [block for block in spreading.blocks(one, rendering.ACROSS[paper]) if block.beside]
    assert len(block.beside) == 2 and block.wide == THIRD.width_mm
    assert not any(step.route for step in block.steps)
    assert (
        spreading.narrow(block.beside, rendering.ACROSS[paper]) + block.wide
        < rendering.ACROSS[paper]
    )


@every_paper
def test_six_joints_stand_in_two_rows_of_three(paper: Literal["letter", "a4"]) -> None:
    found = [
        box
        for box in laid(paper)
        if box.element is not None
        and "drawing-of" in box.element.get("class", "").split()
        and box.kind == "InlineBlockBox"
    ]
    braze = found[-len(section("creamery-cooler", "purge-and-braze").figures) :]
    assert len(braze) == 6
    rows = {(box.page, round(box.top, 1)) for box in braze}
    assert len(rows) == 2
    for row in rows:
        across = sorted(box.left for box in braze if (box.page, round(box.top, 1)) == row)
        assert len(across) == 3


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


def test_a_caption_is_the_title_where_there_is_none() -> None:
    for figure in section("creamery-cooler", "recover").figures:
        assert isinstance(figure, CircuitFigure)
        assert (figure.caption, figure.title) == ("", "Recovery")
