"""Layout that never fails the reader, proved on the laid-out boxes and the form's rectangles.

Sizes are those the packet promises (5 mm tick, 8 mm write-in, 12 mm sign-off, 11 pt body):
common practice, no source.
"""

from __future__ import annotations

import io
from functools import cache
from itertools import pairwise
from typing import Any, get_args

import pypdf
import pytest

from packets import pdf, rendering
from packets.cautions import frames
from tests import packet_samples as samples
from tests.laid_out import (
    HANDOUTS,
    MM,
    SAMPLES,
    Placed,
    boxes,
    document,
    head,
    of_class,
    paragraphs,
)

PAPERS: dict[rendering.Paper, tuple[float, float]] = {
    "letter": (215.9, 279.4),
    "a4": (210.0, 297.0),
}
# left, top, right, bottom margin of the text in millimetres
MARGINS = (13.0, 13.9, 11.0, 6.8)
CASES = [("full", "letter"), ("full", "a4"), ("one_step", "letter"), ("one_step", "a4")]
CASES += [("wide", "letter"), ("wide", "a4"), ("long", "letter")]
HAIR = 0.15
every_case = pytest.mark.parametrize(("name", "paper"), CASES)
LESSONS = [("full+trainer", "letter"), ("full+trainer", "a4"), ("wide+trainer", "letter")]
LESSONS += [("one_step+trainer", "a4"), *((name, "letter") for name in HANDOUTS)]
every_edition = pytest.mark.parametrize(("name", "paper"), CASES + LESSONS)


@cache
def reader(name: str, paper: rendering.Paper) -> pypdf.PdfReader:
    """The PDF of a sample, read back."""
    return pypdf.PdfReader(io.BytesIO(pdf._painted(document(name, paper), (), "test")))


def widgets(name: str, paper: rendering.Paper) -> list[Any]:
    """The annotation of every form field in the PDF."""
    pages = reader(name, paper).pages
    return [one.get_object() for page in pages for one in page.get("/Annots", ())]


def laid_out_fields(name: str, paper: rendering.Paper) -> dict[str, tuple[str, float, float]]:
    """Type, width and height in millimetres of every field, by name, before painting."""
    return {
        box.element.get("name"): (
            box.element.get("type"),
            (rectangle[2] - rectangle[0]) * MM + 1e-6,
            (rectangle[3] - rectangle[1]) * MM + 1e-6,
        )
        for page in document(name, paper).pages
        for fields in page.forms.values()
        for box, rectangle in fields
    }


def test_samples_and_papers_are_all_covered() -> None:
    assert {name for name, _ in CASES} == set(SAMPLES)
    assert {paper for _, paper in CASES} == set(PAPERS) == set(get_args(rendering.Paper))
    steps = {name: sum(len(s.steps) for s in getattr(samples, name)().sections) for name in SAMPLES}
    assert (steps["one_step"], steps["long"]) == (1, 200)
    assert 80 <= steps["full"] <= 120
    assert len(samples.full().sections) >= 20


@every_case
@pytest.mark.parametrize("whole", ["step", "caution", "reading", "sign", "table", "card-group"])
def test_nothing_that_must_stay_whole_is_split(
    name: str, paper: rendering.Paper, whole: str
) -> None:
    found = of_class(name, paper, whole)
    assert len({box.element for box in found}) == len(found)


@every_case
def test_every_step_is_printed(name: str, paper: rendering.Paper) -> None:
    steps = [step.number for s in getattr(samples, name)().sections for step in s.steps]
    assert len(of_class(name, paper, "step")) == len(steps)


@every_case
def test_a_caution_stands_on_the_page_of_its_step_and_before_it(
    name: str, paper: rendering.Paper
) -> None:
    rows = {row.element: row for row in of_class(name, paper, "row")}
    cautions = {box.element: box for box in of_class(name, paper, "caution")}
    checked = 0
    for step in of_class(name, paper, "step"):
        row = next(rows[child] for child in step.element if child in rows)
        for caution in (cautions[child] for child in step.element if child in cautions):
            assert caution.page == row.page == step.page
            assert caution.bottom <= row.top + HAIR
            checked += 1
    packet = getattr(samples, name)()
    assert checked == sum(len(frames(step.cautions)) for s in packet.sections for step in s.steps)


@every_case
def test_a_heading_stands_with_its_first_step(name: str, paper: rendering.Paper) -> None:
    openings = of_class(name, paper, "opening")
    assert len({box.element for box in openings}) == len(openings)
    assert len(openings) == len(getattr(samples, name)().sections)
    for group in of_class(name, paper, "group"):
        assert any(
            group.element in step.element.iter() and group.page == step.page
            for step in of_class(name, paper, "step")
        )


@every_case
def test_what_to_do_when_work_stops_never_opens_a_page(name: str, paper: rendering.Paper) -> None:
    for stop in of_class(name, paper, "stop"):
        assert any(
            step.page == stop.page and step.bottom <= stop.top + HAIR
            for step in of_class(name, paper, "step")
        )


@every_case
def test_a_section_that_goes_on_says_so_and_one_that_opens_does_not(
    name: str, paper: rendering.Paper
) -> None:
    number_of = {}
    for section in getattr(samples, name)().sections:
        for step in section.steps:
            number_of[f"Step {step.number}"] = (section, step is section.steps[0])
    steps = of_class(name, paper, "step")
    for page in range(1, len(document(name, paper).pages) + 1):
        here = [step for step in steps if step.page == page]
        first = min(here, key=lambda step: step.top, default=None)
        expected = ""
        if first is not None:
            section, opens = number_of[first.element.get("data-whole")]
            heading = any(
                box.page == page and box.top < first.top
                for box in boxes(name, paper)
                if box.element is not None and box.element.tag == "h2" and not box.margin_box
            )
            assert opens == heading
            title = rendering.clip(f"{section.number} {section.title}", 70)
            expected = "" if heading else f"{title}, continued"
        if first is not None or page == 1:
            assert head(name, paper, page, "@top-center") == expected


@every_case
def test_every_page_says_what_it_is(name: str, paper: rendering.Paper) -> None:
    packet = getattr(samples, name)()
    pages = len(document(name, paper).pages)
    field = min(box.page for box in boxes(name, paper) if "field" in box.classes)
    for page in range(1, pages + 1):
        part = "Dispatch" if page < field else "Field"
        assert head(name, paper, page, "@top-left") == (
            f"{part} · {rendering.clip(f'{packet.job} · {packet.equipment}', 32)}"
            f" · {rendering.clip(packet.phone, 24)}"
        )
        assert head(name, paper, page, "@top-right") == (
            f"Rev {packet.revision} · {packet.hash} · page {page} of {pages}"
        )
    assert all(box.page >= field for box in of_class(name, paper, "work"))


@every_edition
def test_nothing_leaves_the_page(name: str, paper: rendering.Paper) -> None:
    width, height = PAPERS[paper]
    left, top, right, bottom = MARGINS
    for box in boxes(name, paper):
        if box.margin_box or box.kind == "MarginBox":
            assert box.left >= 4
            assert box.right <= width - 4
            assert box.top >= 0
            continue
        assert box.left >= left - HAIR, box
        assert box.right <= width - right + HAIR, box
        # Accents and tails of letters reach a little out of a tight line.
        spare = 0.7 if box.kind in ("TextBox", "InlineBox") else HAIR
        assert box.top >= top - spare, box
        assert box.bottom <= height - bottom + spare, box


def overlap(one: Placed, other: Placed) -> bool:
    """Whether two boxes share more than a hair's breadth both ways."""
    return (
        min(one.right, other.right) - max(one.left, other.left) > 2 * HAIR
        and min(one.bottom, other.bottom) - max(one.top, other.top) > 1.2
    )


@every_edition
def test_no_words_are_printed_over_others(name: str, paper: rendering.Paper) -> None:
    texts = [b for b in boxes(name, paper) if b.kind == "TextBox" and b.words.strip()]
    for page in range(1, len(document(name, paper).pages) + 1):
        here = sorted((b for b in texts if b.page == page), key=lambda b: b.top)
        for index, one in enumerate(here):
            for other in here[index + 1 :]:
                if other.top > one.bottom:
                    break
                assert not overlap(one, other), (one.words, other.words, page)


@every_edition
def test_type_is_never_smaller_than_9_pt_and_an_action_is_11(
    name: str, paper: rendering.Paper
) -> None:
    texts = [b for b in boxes(name, paper) if b.kind == "TextBox" and b.words.strip()]
    assert min(box.point for box in texts) >= 9 - 1e-6
    for action in (box for word in ("act", "said") for box in of_class(name, paper, word)):
        assert action.point == pytest.approx(11)


@every_case
def test_boxes_are_big_enough_for_a_gloved_hand(name: str, paper: rendering.Paper) -> None:
    for field, (kind, wide, high) in laid_out_fields(name, paper).items():
        if kind == "checkbox":
            assert min(wide, high) >= 5, field
        elif field.endswith("__sign"):
            assert high >= 12
            assert wide >= 35
        else:
            assert high >= 8, field
            assert wide >= 18, field
    assert all(box.bottom - box.top >= 12 for box in of_class(name, paper, "line"))
    assert all(box.bottom - box.top >= 5 for box in of_class(name, paper, "box"))
    assert all(box.bottom - box.top >= 8 - HAIR for box in of_class(name, paper, "write-in"))


@every_case
def test_the_tick_is_nearest_the_hand_and_the_write_in_beside_its_limit(
    name: str, paper: rendering.Paper
) -> None:
    cells = {
        box.element: box
        for word in ("tick", "no", "act", "what", "entry")
        for box in of_class(name, paper, word)
    }
    for row in of_class(name, paper, "row"):
        tick, number, action = (cells[child] for child in list(row.element)[:3])
        assert tick.left < MARGINS[0] + HAIR
        assert tick.right <= number.left + HAIR
        assert number.right <= action.left + HAIR
    for reading in of_class(name, paper, "reading"):
        what, entry = (cells[child] for child in list(reading.element)[:2])
        assert what.right <= entry.left + HAIR
        assert min(what.bottom, entry.bottom) > max(what.top, entry.top)


@pytest.mark.parametrize(("name", "paper"), [("full", "letter"), ("wide", "a4")])
def test_every_field_of_the_model_is_a_form_field_once(name: str, paper: rendering.Paper) -> None:
    names = [field["/T"] for field in widgets(name, paper)]
    assert sorted(names) == sorted(samples.field_names(getattr(samples, name)()))
    assert sorted(names) == sorted(reader(name, paper).get_fields() or {})
    assert all(field["/TU"] not in ("", field["/T"]) for field in widgets(name, paper))


def test_the_fields_of_the_pdf_are_as_big_as_they_are_laid_out() -> None:
    laid = laid_out_fields("full", "letter")
    for field in widgets("full", "letter"):
        left, low, right, high = (float(x) * 25.4 / 72 for x in field["/Rect"])
        _, width, height = laid[field["/T"]]
        assert abs(right - left) == pytest.approx(width, abs=0.01)
        assert abs(high - low) == pytest.approx(height, abs=0.01)


@pytest.mark.parametrize(("name", "paper"), [("full", "letter"), ("full", "a4")])
def test_lines_are_filled_before_they_are_broken(name: str, paper: rendering.Paper) -> None:
    checked = 0
    for lines in paragraphs(name, paper):
        for line, following in pairwise(lines):
            if len(line.words) < 2 or not following.words.split():
                continue
            letter = max(line.wide / len(line.words), 1.6)
            # A value with its unit stays together, up to the letters that `short` allows.
            assert line.room - line.wide < letter * (rendering.SHORT_LETTERS + 12), line
            checked += 1
    assert checked > 60


@pytest.mark.parametrize("paper", PAPERS)
def test_the_page_budget_of_a_burnt_walk_in(paper: rendering.Paper) -> None:
    pages = len(document("full", paper).pages)
    field = min(box.page for box in boxes("full", paper) if "field" in box.classes)
    assert field - 1 <= 2, "the dispatch sheet has two sides"
    assert pages - field + 1 <= 20, "the field packet"
    assert {box.page for box in of_class("full", paper, "card")} == {field}
    # The work begins under the numbers, where the first step and all it needs has room.
    assert min(box.page for box in of_class("full", paper, "work")) in (field, field + 1)
    assert {box.page for box in of_class("full", paper, "record")} == {pages}


def test_only_greys_are_printed() -> None:
    for page in reader("full", "letter").pages:
        contents = page.get_contents()
        assert contents is not None
        for operands, operator in contents.operations:
            if operator in (b"rg", b"RG"):
                assert len(set(map(float, operands))) == 1
            assert operator not in (b"k", b"K")


def test_steps_read_down_the_page_in_order() -> None:
    steps = of_class("long", "letter", "step")
    assert all((a.page, a.top) < (b.page, b.top) for a, b in pairwise(steps))
