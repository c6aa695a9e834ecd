"""Handouts: one fragment as standard work, with a machine's numbers or with blanks for any."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner

from packets import catalog, circumstances, locating, markup, pdf
from packets.cli import main
from packets.composing import blank_handout
from packets.findings import Findings
from packets.library_check import steps_of
from packets.model.numbers import Number
from packets.pipeline import prepare
from tests import jobs
from tests.laid_out import HANDOUTS, document, handout, of_class

JOB = jobs.EXAMPLE / "job.yaml"
FRAGMENTS = sorted(
    path.stem
    for path in locating.procedures().glob("*.yaml")
    if path.read_text(encoding="utf-8").startswith("format: fragment/1")
)


def text(name: str) -> str:
    """The printed words of a handout, spaces made one."""
    reader = pypdf.PdfReader(io.BytesIO(pdf._painted(document(name), (), "test")))
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


@pytest.mark.parametrize("name", FRAGMENTS)
def test_every_fragment_of_ours_has_a_handout_without_a_job(name: str) -> None:
    sheet = handout(name)
    loaded = catalog.load(Findings())
    assert loaded is not None
    fragment = loaded.library.fragments[name]
    ids = [step.id for step, _ in steps_of(fragment) if not step.group]
    assert [step.id for step in sheet.steps] == [
        f"{name}/{id}@any" + (".each" if id in inner(fragment) else "") for id in ids
    ]
    assert [step.number for step in sheet.steps] == [str(at) for at in range(1, len(ids) + 1)]
    assert len(sheet.load) == len(fragment.tools) + len(fragment.materials)
    # Whatever is a blank in the text is explained, or belongs to the repetition it stands in.
    known = {number.label for number in sheet.numbers} | set(blank_handout.OWN.values())
    for step in sheet.steps:
        for span in (*step.action, *step.why, *step.if_out):
            assert span.kind != "blank" or span.text in known, span


def inner(fragment: object) -> set[str]:
    """Ids of the steps inside groups."""
    return {sub.id for step in fragment.steps for sub in step.steps}  # type: ignore[attr-defined]


def test_a_handout_for_any_machine_carries_no_machine_s_values() -> None:
    done = prepare(JOB)
    machine = {
        entry.id: one.printed
        for entry in done.circuits["a"].context.register
        if isinstance(entry, Number) and (entry.inputs or entry.confidence == "given")
        for one in (done.packet.worked if done.packet else ())
        if one.id == entry.id
    }
    assert len(machine) > 15
    for name in FRAGMENTS:
        sheet = handout(name)
        for number in sheet.numbers:
            if number.id in machine:
                assert number.printed == number.working == ""
                assert all(value == "" for _, value, _ in number.inputs)
        spans = [s for step in sheet.steps for s in (*step.action, *step.why, *step.if_out)]
        assert not [span for span in spans if span.kind == "value"]
        assert all(
            blank.limit is None or blank.limit.kind in ("write_in", "choice")
            for step in sheet.steps for tries in step.readings for blank in tries
        )  # fmt: skip


def test_the_blanks_say_what_to_look_up_and_where() -> None:
    said = text("evacuate")
    assert "Water boils (ice sublimes) at the target at" in said
    assert "coldest (" in said
    assert "IAPWS" in said
    # A row chosen for this machine is no constant; one that holds for any machine is printed.
    assert "300 micron" not in said
    assert "Nitrogen stands for" in said


def test_conditions_are_said_in_words() -> None:
    said = text("purge-and-braze")
    assert "Only if this joint is brazed" in said
    assert "Not if the ordered work fits a new compressor" in said
    for name in FRAGMENTS:
        for condition in handout(name).conditions.values():
            assert "_" not in condition.only_if + condition.not_if


@pytest.mark.parametrize(
    ("when", "expected"),
    [
        ("burnt", ("the compressor burnt out, or the acid test is positive", "")),
        (
            "not brazed_joint and not flare_joint",
            ("", "this joint is brazed; or this joint is a flare"),
        ),
        (
            "crew > 1 and indoor",
            ("number of technicians more than 1; and the machine stands indoors", ""),
        ),
    ],
)
def test_an_expression_is_two_texts(when: str, expected: tuple[str, str]) -> None:
    assert circumstances.in_words(when) == expected


def test_a_handout_for_a_job_prints_that_packet_s_steps_and_workings() -> None:
    done = prepare(JOB)
    assert done.packet is not None
    section = next(s for s in done.packet.sections if s.fragment == "pressure-hold")

    def unmarked(words: str) -> str:
        """Without the marks for a value from memory, which stand apart from the words on paper."""
        return re.sub(r" (?=[,.;])", "", words.replace("†", ""))

    said = unmarked(text("pressure-hold+job"))
    assert done.packet.hash in said
    assert "With the numbers of cooler-2" in said
    for step in section.steps:
        assert unmarked(f"{step.number} {markup.plain(step.action)}") in said
        assert unmarked(markup.plain(step.why)) in said
    assert "Never above: 250 psig" in said
    # A step of another section that is referred to is named by that section's title.
    (other,) = handout("pressure-hold+job").elsewhere
    assert re.fullmatch(r"\d+\.\d+", other[0])
    assert f"{other[0]} {other[1]}" in said


def test_needs_and_makes_are_said_in_words() -> None:
    sheet, said = handout("evacuate"), text("evacuate")
    for fact in (*sheet.needs, *sheet.makes, *sheet.ends):
        assert fact[1:] in said
    assert "The circuit is evacuated and the rise reading has passed." in said


@pytest.mark.parametrize("name", HANDOUTS)
def test_nothing_that_must_stay_whole_is_split_and_there_is_nothing_to_fill_in(name: str) -> None:
    for whole in ("lesson-step", "caution", "say", "table", "worked", "question"):
        found = of_class(name, "letter", whole)
        assert len({box.element for box in found}) == len(found), whole
    assert len(of_class(name, "letter", "lesson-step")) == len(handout(name).steps)
    rows = {box.element: box for box in of_class(name, "letter", "lesson-row")}
    for step in of_class(name, "letter", "lesson-step"):
        row = next(rows[child] for child in step.element if child in rows)
        for caution in of_class(name, "letter", "caution"):
            if caution.element in list(step.element):
                assert caution.page == row.page and caution.bottom <= row.top + 0.15
    assert not any(page.forms and any(page.forms.values()) for page in document(name).pages)


def run(*words: str) -> tuple[int, str]:
    """Exit code and output of the command."""
    done = CliRunner().invoke(main, ["handout", *words])
    return done.exit_code, done.output


def test_the_command_writes_the_sheet_and_names_what_is_near(tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    assert run("isolate", "-o", str(out), "--no-answers")[0] == 0
    assert "Answers" not in " ".join(page.extract_text() for page in pypdf.PdfReader(out).pages)
    code, said = run("evacuat", "-o", str(out))
    assert code == 1 and "evacuate" in said
    code, said = run("open-terminal-box", "--job", str(JOB), "-o", str(out))
    assert code == 1 and "not in this job's packet" in said
    assert run("isolate", "-o", str(tmp_path / "no" / "sheet.pdf"))[0] == 2
