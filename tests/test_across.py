"""Many records as one table: machine, readings out, leak rate, what is overdue."""

from __future__ import annotations

import csv
import io
import json
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from packets import across, plots, record
from packets.cli import main
from packets.findings import Findings
from tests import filling

PACKET = filling.creamery()
TODAY = date(2026, 4, 1)


def write(folder: Path, job: str, answers: filling.Answers, **more: object) -> None:
    """A record in a folder."""
    made = record.make(PACKET, filling.readings(PACKET, answers), None, Findings())
    data = {**record.as_json(made, []), "job": job, **more}
    (folder / f"{job}-record.json").write_text(json.dumps(data), encoding="utf-8")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Three jobs on two machines."""
    write(tmp_path, "26-1142", filling.BAD)
    write(tmp_path, "26-1150", filling.GOOD, equipment="cooler-3")
    write(tmp_path, "26-1101", {**filling.GOOD, "record__service-date": "2026-01-15"})
    return tmp_path


def test_one_row_a_job_by_machine_and_day(folder: Path) -> None:
    made = across.look(folder, TODAY)
    assert [(row.machine, row.job) for row in made.rows] == [
        ("cooler-2", "26-1101"),
        ("cooler-2", "26-1142"),
        ("cooler-3", "26-1150"),
    ]
    bad = made.rows[1]
    assert bad.state == "open" and bad.out > 5 and bad.missing > 3
    assert len(bad.overdue) == 2  # both return visits were due in March
    assert across.look(folder, date(2026, 3, 21)).rows[1].overdue == ()
    assert across.look(folder, date(2026, 3, 21)).rows[1].next_due == "2026-03-21"


def test_the_csv_reads_back(folder: Path) -> None:
    rows = list(csv.DictReader(io.StringIO(across.as_csv(across.look(folder, TODAY)))))
    assert [row["job"] for row in rows] == ["26-1101", "26-1142", "26-1150"]
    # 14 lb 8 oz in, 13 lb 8 oz out: 1 lb = 0.4536 kg net.
    assert float(rows[0]["net_added_kg"]) == pytest.approx(0.4536, abs=1e-3)


def test_a_cell_is_no_formula(tmp_path: Path) -> None:
    write(tmp_path, "x", filling.GOOD, equipment="=HYPERLINK(1)")
    assert "'=HYPERLINK(1)" in across.as_csv(across.look(tmp_path, TODAY))


def test_files_that_are_no_records_are_passed_over(folder: Path) -> None:
    (folder / "a-record.json").write_text("[1]", encoding="utf-8")
    (folder / "b-record.json").write_text("{", encoding="utf-8")
    (folder / "c-record.json").write_text('{"format": "record/1", "steps": 7}', encoding="utf-8")
    (folder / "d-record.json").write_text("[" * 100_000, encoding="utf-8")
    bare = {"format": "record/1", "job": "26-1101", "packet": PACKET.hash}
    (folder / "e-record.json").write_text(json.dumps(bare), encoding="utf-8")
    made = across.look(folder, TODAY)
    assert {"26-1101", "26-1142", "26-1150"} <= {row.job for row in made.rows}
    assert [f.code for f in made.findings].count("record-unreadable") == 3


def test_the_page_has_a_plot_a_machine(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    words = ["review", str(folder), "-o", str(out), "--today", "2026-04-01"]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 1  # open jobs, overdue visits
    assert "overdue since 2026-03-21" in result.output
    text = PdfReader(out / "records.pdf").pages[0].extract_text()
    for part in ("cooler-2", "cooler-3", "26-1142", "2026-01-15", "1 lb 0 oz"):
        assert part in text
    assert (out / "records.csv").read_text(encoding="utf-8").startswith("machine,")


def test_an_empty_folder_is_told(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["review", str(tmp_path)])
    assert result.exit_code == 1 and "records-none" in result.output


def test_bars_stand_as_high_as_their_mass_and_in_their_order() -> None:
    bars = [plots.Bar(date(2025, 1, 1), 1.0, "a"), plots.Bar(date(2026, 1, 1), 2.0, "b")]
    svg = plots.added(bars, 8.0, lambda mass: f"{mass:g} kg")
    heights = [float(part.split('height="')[1].split('"')[0]) for part in svg.split("<rect")[1:]]
    assert heights[1] == pytest.approx(2 * heights[0], rel=1e-3)
    assert "full" not in svg  # 8 kg is out of reach of bars of 2
    assert "full" in plots.added(bars, 4.0, str)
    assert "&lt;b&gt;" in plots.added(bars, None, lambda mass: f"<b>{mass}")
