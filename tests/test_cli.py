"""The command: exit codes, text and JSON alike, files whole or not at all."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from packets import pdf
from packets.cli import main
from packets.model.packet import Text
from tests import jobs

JOB = str(jobs.EXAMPLE / "job.yaml")


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def test_a_good_job_checks_with_0() -> None:
    done = run("check", JOB)
    assert done.exit_code == 0
    assert "nothing stops" in done.output


def test_findings_that_stop_give_1_and_json_says_the_same(tmp_path: Path) -> None:
    job = jobs.copy(tmp_path, {"equipment.yaml": [("charge: 14 lb 8 oz", "charge: 9 lbs4")]})
    text, data = run("check", str(job)), run("check", str(job), "--json")
    assert text.exit_code == data.exit_code == 1
    findings = json.loads(data.output)["findings"]
    assert len(findings) == 1
    for finding in findings:
        place = f"{finding['file']}:{finding['line']}:{finding['column']}"
        assert f"{place}: {finding['severity']} [{finding['code']}]" in text.output
        assert finding["message"] in text.output
        assert finding["fix"] in text.output


@pytest.mark.parametrize(
    "words", [(), ("check",), ("build", JOB), ("fly",), ("plan", "--fast", JOB)]
)
def test_wrong_use_gives_2(words: tuple[str, ...]) -> None:
    assert run(*words).exit_code == 2


def test_a_job_that_is_not_there_gives_1(tmp_path: Path) -> None:
    done = run("plan", str(tmp_path / "job.yaml"))
    assert done.exit_code == 1
    assert "no such file" in done.output


def test_plan_prints_the_order_and_what_called_for_it() -> None:
    text, data = run("plan", JOB), json.loads(run("plan", JOB, "--json").output)
    order = [item["fragment"] for item in data["order"]]
    assert order.index("recover") < order.index("replace-compressor") < order.index("evacuate")
    assert all(item["called_for"] and item["wanted_by"] for item in data["order"])
    places = [text.output.index(f"{item['title']}  [{item['id']}]") for item in data["order"]]
    assert places == sorted(places)


def test_numbers_print_value_formula_inputs_source_and_confidence() -> None:
    data = json.loads(run("numbers", JOB, "--json").output)
    numbers = {n["id"]: n for n in data["circuits"]["a"]["numbers"]}
    hold = numbers["hold.start"]
    assert hold["printed"].endswith("psig")
    assert hold["formula"] and hold["working"] and hold["inputs"] and hold["source"]
    assert hold["confidence"] in ("given", "seen", "computed", "secondary", "memory", "practice")
    text = run("numbers", JOB).output
    for number in numbers.values():
        assert number["id"] in text


def test_build_writes_the_packet(tmp_path: Path) -> None:
    out = tmp_path / "packet.pdf"
    done = run("build", JOB, "-o", str(out), "--paper", "a4")
    assert done.exit_code == 0, done.output
    reader = PdfReader(out)
    assert round(float(reader.pages[0].mediabox.width)) == 595
    assert sorted(reader.attachments) == ["equipment.yaml", "job.yaml", "kit.yaml", "packet.json"]


@pytest.mark.parametrize(
    ("words", "parts"),
    [
        (("--edition", "dispatch"), {"Dispatch"}),
        (("--edition", "trainer", "--no-answers"), {"Trainer"}),
    ],
)
def test_build_prints_the_editions_asked_for(
    tmp_path: Path, words: tuple[str, ...], parts: set[str]
) -> None:
    out = tmp_path / "packet.pdf"
    done = run("build", JOB, "-o", str(out), *words)
    assert done.exit_code == 0, done.output
    reader = PdfReader(out)
    texts = [page.extract_text() for page in reader.pages]
    names = ("Dispatch", "Field", "Trainer")
    assert {name for name in names for text in texts if f"{name} · 26-1142" in text} == parts
    # A trainer's copy goes to people who are not the customer's: it carries no job files.
    assert bool(reader.attachments) is ("Dispatch" in parts)
    assert bool(reader.get_fields()) is ("Dispatch" in parts)
    content = done.output.split("content ")[1].strip()
    assert all(content in text for text in texts)


def test_answers_belong_to_the_trainer_edition() -> None:
    assert run("build", JOB, "-o", "x.pdf", "--no-answers").exit_code == 2


def test_findings_leave_an_old_packet_untouched(tmp_path: Path) -> None:
    job = jobs.copy(tmp_path, {"kit.yaml": [("core_tools: 2", "core_tools: x")]})
    out = tmp_path / "packet.pdf"
    out.write_bytes(b"old")
    assert run("build", str(job), "-o", str(out)).exit_code == 1
    assert out.read_bytes() == b"old"
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([*jobs.FILES, "packet.pdf"])


def test_an_interrupt_leaves_no_half_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "packet.pdf"
    out.write_bytes(b"old")

    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", interrupted)
    assert run("build", JOB, "-o", str(out), "--edition", "dispatch").exit_code != 0
    assert out.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["packet.pdf"]


def test_a_missing_system_library_is_named_with_exit_3(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(*_: object, **__: object) -> bytes:
        raise pdf.MissingLibrary("Pango", pdf.PACKAGES)

    monkeypatch.setattr(pdf, "write", missing)
    done = run("build", JOB, "-o", str(tmp_path / "packet.pdf"))
    assert done.exit_code == 3
    assert "Pango" in done.output
    assert "apt-get install" in done.output


def test_no_folder_to_write_to_is_wrong_use(tmp_path: Path) -> None:
    assert run("build", JOB, "-o", str(tmp_path / "no" / "packet.pdf")).exit_code == 2


def test_lint_passes_our_own_procedures() -> None:
    done = run("lint")
    assert done.exit_code == 0, done.output


def test_a_folder_is_told_as_one_and_its_job_named(tmp_path: Path) -> None:
    done = run("check", str(jobs.EXAMPLE))
    assert done.exit_code == 1
    assert "is a folder" in done.output and str(jobs.EXAMPLE / "job.yaml") in done.output
    assert "no such file" in run("check", str(tmp_path / "none.yaml")).output


def test_one_step_is_no_steps() -> None:
    done = run("plan", JOB)
    assert "     1 step, " in done.output and " 1 steps" not in done.output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--html", "-o", "x.pdf"), "write a .html name, or leave --html out"),
        (("--html", "-o", "x"), "give x a name in .html"),
        (("-o", "x.html"), "write a .pdf name, or add --html"),
        (("-o", "x.HTM"), "write a .pdf name, or add --html"),
    ],
)
def test_what_is_written_is_what_its_name_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], says: str
) -> None:
    monkeypatch.chdir(tmp_path)
    done = run("build", JOB, *words)
    assert done.exit_code == 2 and says in done.output
    assert not list(tmp_path.iterdir())


def test_readings_say_which_of_the_two_is_wrong(tmp_path: Path) -> None:
    nowhere = run("new", "readings", JOB, "-o", str(tmp_path / "none" / "x.yaml"))
    assert nowhere.exit_code == 2 and "there is no folder" in nowhere.output
    there = tmp_path / "x.yaml"
    there.write_text("mine", encoding="utf-8")
    taken = run("new", "readings", JOB, "-o", str(there))
    assert taken.exit_code == 2 and "is there already" in taken.output
    assert there.read_text(encoding="utf-8") == "mine"


def plain(text: Text) -> str:
    """A printed text without its marks."""
    return "".join(span.text for span in text)


@pytest.mark.parametrize("heater", ["true", "false"])
def test_the_crankcase_heater_is_locked_where_there_is_one(tmp_path: Path, heater: str) -> None:
    change = [("crankcase_heater: true", f"crankcase_heater: {heater}")]
    if heater == "false":
        change.append(("      heater_time: 12 h\n", ""))
    packet = jobs.prepared(tmp_path, {"equipment.yaml": change}).packet
    assert packet is not None
    said = [plain(step.action) for part in packet.sections for step in part.steps]
    texts = [text for text in said if "every other source" in text]
    assert texts and ("crankcase heater" in texts[0]) == (heater == "true")


def test_the_fire_watch_to_be_named_on_site_has_its_brackets_once(tmp_path: Path) -> None:
    packet = jobs.prepared(tmp_path, {"job.yaml": [("  fire_watch: R. Amsel\n", "")]}).packet
    assert packet is not None
    signed = [step.sign for part in packet.sections for step in part.steps if step.sign]
    signs = [text for text in (plain(sign.text) for sign in signed) if "fire watch" in text]
    # What is read on site prints as a line with its words in brackets; the text adds none.
    assert any("name of the person on watch" in text for text in signs)
    assert not any("(" in text for text in signs), signs
