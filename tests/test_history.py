"""The file of past charges: a line is added whole or not at all, and nothing else is touched."""

from __future__ import annotations

import json
import multiprocessing
import os
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from packets import history, record
from packets.cli import main
from packets.findings import Findings
from packets.model.record import Record
from tests import filling, jobs

PACKET = filling.creamery()
OWN = """\
# kept by the service desk
format: history/1
equipment: cooler-2
complete_since: 2024-03-01
charges:
    # before our time
    - {day: 2025-06-11, circuit: a, charged: 1 lb 8 oz, why: "leak at a stem"}
"""


def made(job: str = "26-1142") -> Record:
    """A record of the filled example."""
    return replace(
        record.make(PACKET, filling.readings(PACKET, filling.GOOD), None, Findings()), job=job
    )


def add(path: Path, one: Record, findings: Findings | None = None) -> bool:
    """Add the charge of a record."""
    line = history.charge_line(one, "a", 6.577, 6.1235)
    found = Findings() if findings is None else findings
    return history.append(path, str(path), one, "a", line, found)


def test_a_new_file_is_made_whole(tmp_path: Path) -> None:
    path = tmp_path / "cooler.history.yaml"
    assert add(path, made())
    past = history.load(path, "h", "cooler-2", Findings())
    assert past is not None and len(past.charges) == 1
    one = past.charges[0]
    assert one.charged.text == "14 lb 8 oz" and one.recovered is not None
    assert one.recovered.text == "13 lb 8 oz"
    assert one.net == pytest.approx(0.4536, abs=1e-3)


def test_a_faulty_history_read_twice_into_the_same_findings_adds_nothing(tmp_path: Path) -> None:
    path, findings = tmp_path / "h.yaml", Findings()
    faulty = OWN.replace("1 lb 8 oz", "1 lbs8")
    path.write_text(faulty, encoding="utf-8")
    assert history.load(path, str(path), "cooler-2", findings) is None
    assert not add(path, made(), findings)
    assert path.read_text(encoding="utf-8") == faulty
    assert [f.code for f in findings] == ["quantity"]


def test_a_history_that_is_no_text_or_no_file_is_a_finding(tmp_path: Path) -> None:
    latin, pipe = tmp_path / "latin.yaml", tmp_path / "pipe.yaml"
    latin.write_bytes(OWN.replace("leak at a stem", "caf\u00e9").encode("latin-1"))
    os.mkfifo(pipe)
    for path, code in ((latin, "file-encoding"), (pipe, "file-unreadable")):
        findings = Findings()
        assert not add(path, made(), findings)
        assert [f.code for f in findings] == [code]


def test_what_stands_in_the_file_stays_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "h.yaml"
    path.write_text(OWN, encoding="utf-8")
    assert add(path, made())
    text = path.read_text(encoding="utf-8")
    assert text.startswith(OWN)
    assert text.count("\n") == OWN.count("\n") + 1
    assert text.splitlines()[-1].startswith("    - {day: 2026-03-20, circuit: a,")


def test_the_same_packet_is_added_once(tmp_path: Path) -> None:
    path = tmp_path / "h.yaml"
    findings = Findings()
    assert add(path, made()) and not add(path, made(), findings)
    assert [f.code for f in findings] == ["history-there"]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (OWN.replace("cooler-2", "cooler-9"), "history-other"),
        (OWN + "complete_since: 2025-01-01\n", "yaml-duplicate"),
        (OWN.replace("1 lb 8 oz", "1 lbs8"), "quantity"),
        ("format: history/1\nequipment: cooler-2\ncharges: []\n", "history-form"),
        ("charges:\nformat: history/1\nequipment: cooler-2\n", "history-form"),
        ("", "yaml-empty"),
    ],
)
def test_a_file_that_does_not_fit_is_left_alone(tmp_path: Path, text: str, code: str) -> None:
    path = tmp_path / "h.yaml"
    path.write_text(text, encoding="utf-8")
    findings = Findings()
    assert not add(path, made(), findings)
    assert code in [f.code for f in findings]
    assert path.read_text(encoding="utf-8") == text


def _add_many(path: str, start: int) -> None:
    for number in range(start, start + 10):
        assert add(Path(path), made(f"26-{number}"))


def test_two_programs_at_once_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "h.yaml"
    context = multiprocessing.get_context("fork")
    workers = [context.Process(target=_add_many, args=(str(path), at)) for at in (100, 200, 300)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
        assert worker.exitcode == 0
    past = history.load(path, "h", "cooler-2", Findings())
    assert past is not None and len({one.job for one in past.charges}) == 30


def test_a_review_adds_its_charge_and_never_touches_the_equipment_record(tmp_path: Path) -> None:
    job = jobs.copy(tmp_path)
    before = (tmp_path / "equipment.yaml").read_bytes()
    readings = tmp_path / "r.yaml"
    readings.write_text(
        filling.as_yaml(PACKET, filling.filled(PACKET, filling.GOOD)), encoding="utf-8"
    )
    words = ["review", str(job), str(readings), "--update-history"]
    assert CliRunner().invoke(main, words).exit_code == 0
    assert (tmp_path / "equipment.yaml").read_bytes() == before
    past = history.load(tmp_path / "equipment.history.yaml", "h", "cooler-2", Findings())
    assert past is not None and past.charges[0].job == "26-1142"
    again = CliRunner().invoke(main, words)
    assert "history-there" in again.output


def test_without_a_day_nothing_is_added(tmp_path: Path) -> None:
    job = jobs.copy(tmp_path)
    answers = {**filling.GOOD, "record__service-date": None}
    readings = tmp_path / "r.yaml"
    readings.write_text(filling.as_yaml(PACKET, filling.filled(PACKET, answers)), encoding="utf-8")
    result = CliRunner().invoke(main, ["review", str(job), str(readings), "--update-history"])
    assert result.exit_code == 1 and "history-day" in result.output
    assert not (tmp_path / "equipment.history.yaml").exists()


def test_a_day_that_cannot_be_read_is_told_and_not_dropped(tmp_path: Path) -> None:
    job = jobs.copy(tmp_path)
    answers = {**filling.GOOD, "record__service-date": "3/4/2026"}
    readings = tmp_path / "r.yaml"
    readings.write_text(filling.as_yaml(PACKET, filling.filled(PACKET, answers)), encoding="utf-8")
    words = ["review", str(job), str(readings), "--update-history", "-o", str(tmp_path / "out")]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 1
    assert "day-unread" in result.output and "write 2026-03-04 or 2026-04-03" in result.output
    assert "year-month-day" in result.output
    data = json.loads((tmp_path / "out" / "26-1142-record.json").read_text(encoding="utf-8"))
    assert "'3/4/2026' could not be read" in data["finished_from"]
    assert not (tmp_path / "equipment.history.yaml").exists()


def test_a_charge_is_kept_to_the_step_of_its_scale() -> None:
    # The clinic's scale shows 0.1 oz: 1 lb 14.8 oz came out, not 1 lb 15 oz.
    clinic = filling.RETURNED["clinic-wall-split"]
    packet = filling.example(clinic.folder)
    one = record.make(packet, filling.readings(packet, clinic.good.answers), None, Findings())
    (balance,) = one.balances
    assert balance.charged is not None
    line = history.charge_line(one, "a", balance.charged, balance.recovered)
    assert "charged: 2 lb 10 oz, recovered: 1 lb 14.8 oz" in line


def test_the_record_is_written_though_the_history_is_faulty(tmp_path: Path) -> None:
    job = jobs.copy(tmp_path)
    faulty = OWN.replace("1 lb 8 oz", "1 lbs8")
    (tmp_path / "equipment.history.yaml").write_text(faulty, encoding="utf-8")
    readings = tmp_path / "r.yaml"
    text = filling.as_yaml(PACKET, filling.filled(PACKET, filling.GOOD))
    readings.write_text(text, encoding="utf-8")
    words = ["review", str(job), str(readings), "--update-history", "-o", str(tmp_path / "out")]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 1 and result.exception.__class__ is SystemExit
    assert "'1 lbs8'" in result.output
    assert (tmp_path / "out" / "26-1142-record.json").exists()
    assert (tmp_path / "equipment.history.yaml").read_text(encoding="utf-8") == faulty
