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
from packets.model.readings import Readings
from packets.record import page
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
    assert bad.state == "open" and bad.out > 3 and bad.not_plausible > 2 and bad.missing > 3
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


def test_the_table_counts_as_the_record_itself_does(folder: Path) -> None:
    made = record.make(PACKET, filling.readings(PACKET, filling.BAD), None, Findings())
    row = across.look(folder, TODAY).rows[1]
    said = page.page(made).summary
    assert f"{row.out} readings out, {row.not_plausible} readings that cannot be right" in said
    assert f"{row.missing} readings not written" in said
    assert "cannot be right" in across.as_text(across.look(folder, TODAY))[0]


def test_of_two_records_of_a_job_the_fuller_counts_then_the_newer(tmp_path: Path) -> None:
    for name, answers in (("a", {**filling.GOOD, "record__owner": None}), ("z", filling.GOOD)):
        (tmp_path / name).mkdir()
        write(tmp_path / name, "26-1142", answers)
    paths = {name: tmp_path / name / "26-1142-record.json" for name in "az"}
    fewer = json.loads(paths["a"].read_text(encoding="utf-8"))
    fewer["written"] = fewer["written"][:-5]
    paths["a"].write_text(json.dumps(fewer), encoding="utf-8")
    made = across.look(tmp_path, TODAY)
    assert [row.file for row in made.rows] == [str(paths["z"])]
    (told,) = [one for one in made.findings if one.code == "record-twice"]
    assert all(str(path) in told.message for path in paths.values())
    assert f"{paths['z']} is counted" in told.message
    # As full as one another: the later day counts, whatever the folder is called.
    later = {**json.loads(paths["z"].read_text(encoding="utf-8")), "finished": "2026-03-25"}
    paths["a"].write_text(json.dumps(later), encoding="utf-8")
    assert [row.finished for row in across.look(tmp_path, TODAY).rows] == ["2026-03-25"]


def test_a_file_of_another_name_is_counted_as_not_read(folder: Path) -> None:
    assert not [f for f in across.look(folder, TODAY).findings if f.code == "records-skipped"]
    (folder / "job-9.json").write_text("{}", encoding="utf-8")
    (told,) = [f for f in across.look(folder, TODAY).findings if f.code == "records-skipped"]
    assert "1 JSON file was not read: job-9.json" in told.message


def test_a_job_in_which_nothing_was_written_is_not_finished(tmp_path: Path) -> None:
    empty = Readings(PACKET.job, PACKET.hash, "yaml", ("paper",))
    made = record.make(PACKET, empty, None, Findings())
    path = tmp_path / "26-1142-record.json"
    path.write_text(json.dumps(record.as_json(made, [])), encoding="utf-8")
    (row,) = across.look(tmp_path, TODAY).rows
    assert row.finished == "" and "not finished" in across.as_text(across.look(tmp_path, TODAY))[1]


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
