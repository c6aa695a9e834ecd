"""The trainer edition on its laid-out pages: whole steps, reasons, workings, a free margin."""

from __future__ import annotations

import io
from functools import cache
from itertools import pairwise

import pypdf
import pytest

from packets import lessons, markup, pdf, rendering
from tests import packet_samples as samples
from tests.laid_out import boxes, document, of_class, sample

CASES = [("full+trainer", "letter"), ("full+trainer", "a4"), ("wide+trainer", "letter")]
CASES += [("one_step+trainer", "a4")]
every_case = pytest.mark.parametrize(("name", "paper"), CASES)
WIDTH = {"letter": 215.9, "a4": 210.0}
# Right edge of the paper to the ruled margin [mm]: page margin and the room for notes.
NOTES = 11 + 46
HAIR = 0.15


@cache
def text(name: str, paper: rendering.Paper = "letter") -> str:
    """The words of the printed pages, in reading order, spaces made one."""
    reader = pypdf.PdfReader(io.BytesIO(pdf._painted(document(name, paper), (), "test")))
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def fields(name: str) -> list[str]:
    """Names of the form fields laid out."""
    return [
        box.element.get("name")
        for page in document(name).pages
        for held in page.forms.values()
        for box, _ in held
    ]


@every_case
@pytest.mark.parametrize("whole", ["lesson-step", "caution", "say", "table", "worked", "question"])
def test_nothing_that_must_stay_whole_is_split(
    name: str, paper: rendering.Paper, whole: str
) -> None:
    found = of_class(name, paper, whole)
    assert len({box.element for box in found}) == len(found)


@every_case
def test_every_step_is_printed_once_and_in_order(name: str, paper: rendering.Paper) -> None:
    numbers = [step.number for section in sample(name).sections for step in section.steps]
    steps = of_class(name, paper, "lesson-step")
    assert [box.element.get("data-whole") for box in steps] == [f"Step {one}" for one in numbers]
    assert all((a.page, a.top) < (b.page, b.top) for a, b in pairwise(steps))


@every_case
def test_a_caution_stands_on_the_page_of_its_step_and_before_it(
    name: str, paper: rendering.Paper
) -> None:
    rows = {box.element: box for box in of_class(name, paper, "lesson-row")}
    cautions = {box.element: box for box in of_class(name, paper, "caution")}
    checked = 0
    for step in of_class(name, paper, "lesson-step"):
        row = next(rows[child] for child in step.element if child in rows)
        for caution in (cautions[child] for child in step.element if child in cautions):
            assert caution.page == row.page == step.page
            assert caution.bottom <= row.top + HAIR
            checked += 1
    assert checked == sum(len(step.cautions) for s in sample(name).sections for step in s.steps)


@pytest.mark.parametrize(("name", "paper"), [case for case in CASES if case[0][:4] != "wide"])
def test_a_heading_stands_with_its_first_step(name: str, paper: rendering.Paper) -> None:
    openings = of_class(name, paper, "lesson-opening")
    assert len(openings) == len({box.element for box in openings}) == len(sample(name).sections)


@every_case
def test_the_margin_for_notes_stays_free(name: str, paper: rendering.Paper) -> None:
    answers = {box.element for box in of_class(name, paper, "answers")}
    for box in boxes(name, paper):
        if box.kind == "TextBox" and box.words.strip() and not box.margin_box:
            assert box.right <= WIDTH[paper] - NOTES, box.words
    assert answers


def test_the_steps_of_the_trainer_are_those_of_the_field_packet() -> None:
    said = text("full+trainer")
    for section in samples.full().sections:
        for step in section.steps:
            assert f"{step.number} {markup.plain(step.action)}" in said
            for blank in step.readings[0] if step.readings else ():
                assert markup.plain(blank.label) in said
                assert blank.limit_text in said


def test_each_reason_number_and_question_is_printed() -> None:
    packet, said = samples.full(), text("full+trainer")
    assert packet.hash in said
    for section in packet.sections:
        assert section.purpose in said
        for question in lessons.questions(section.questions, str(section.number)):
            assert f"{question.number} {question.ask}" in said
            assert f"{question.number} {question.answer}" in said
    words = rendering.shipped_words()
    for number in packet.worked:
        assert said.count(f"{number.label}: {number.printed}") >= 1
        # Worked out where it is printed first, named there afterwards.
        assert said.count(f"{number.label}: {number.printed} {words['worked_before']}") == sum(
            number.id in section.worked for section in packet.sections[1:]
        ) - (number.id not in packet.sections[0].worked and any(
            number.id in section.worked for section in packet.sections
        ))  # fmt: skip
    for part in ("formula", "working", "source", "assumption"):
        assert getattr(packet.worked[0], part) in said
    for confidence in ("seen", "secondary", "memory", "practice", "computed", "given"):
        assert words[f"sure_{confidence}"] in said


def test_a_reason_given_before_in_the_section_is_not_said_again() -> None:
    section = samples.full().sections[0]
    said = lessons.said_before(section.steps)
    first, *others = [step.number for step in section.steps]
    assert said[first] == ""
    assert {said[number] for number in others} == {first}


def test_answers_can_be_left_off() -> None:
    packet = samples.full()
    for answers in (True, False):
        html = rendering.html(packet, parts=("trainer",), answers=answers)
        assert ("The limit is met." in html) is answers
        assert ("Answers to the check questions" in html) is answers
        assert "What shows that" in html
    assert "answers" in of_class("full+trainer", "letter", "answers")[0].classes
    last = len(document("full+trainer").pages)
    assert {box.page for box in of_class("full+trainer", "letter", "answers")} <= {last, last - 1}
    assert not {box.page for box in of_class("full+trainer", "letter", "lesson")} & {last}


def test_a_trainer_edition_has_nothing_to_fill_in_and_all_editions_each_field_once() -> None:
    assert fields("full+trainer") == []
    assert sorted(fields("full+all")) == sorted(samples.field_names(samples.full()))
