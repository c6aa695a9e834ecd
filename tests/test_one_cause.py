"""One cause is one finding, at the file where it is mended."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from packets.cli import main
from tests import jobs


def test_a_missing_meter_is_one_finding_at_the_kits_gauges(tmp_path: Path) -> None:
    text = (jobs.EXAMPLE / "kit.yaml").read_text(encoding="utf-8")
    line = next(line for line in text.splitlines(True) if line.strip().startswith("meter:"))
    done = jobs.prepared(tmp_path, {"kit.yaml": [(line, "")]})
    found = [one for one in done.findings.items if one.code == "instrument"]
    assert len(found) == 1
    assert found[0].place.file.endswith("kit.yaml")
    # The first of the instruments.
    assert found[0].place.line == 2 + text[: text.index("gauges:")].count("\n")
    assert "gauges.meter" in found[0].fix


def test_a_name_that_would_lie_about_the_file_is_wrong_use(tmp_path: Path) -> None:
    job = str(jobs.EXAMPLE / "job.yaml")
    for words, name, told in (
        (["--html"], "packet.pdf", "leave --html out"),
        ([], "packet.html", "add --html"),
    ):
        out = tmp_path / name
        result = CliRunner().invoke(main, ["build", job, "-o", str(out), *words])
        assert result.exit_code == 2
        assert told in result.output
        assert not out.exists()


def test_what_one_wrong_value_leaves_unmade_is_not_told_again(tmp_path: Path) -> None:
    done = jobs.prepared(
        tmp_path,
        {"job.yaml": [("hottest_pipe: 95 degF, coldest_pipe: 36 degF", "hottest_pipe: 60 degF")]},
    )
    assert [one.code for one in done.findings.errors()] == ["hottest-pipe"]


@pytest.mark.parametrize(
    ("file", "old", "new", "fix"),
    [
        ("job.yaml", "job: 26-1142", "job: 118", 'put it in quotes: "118"'),
        ("job.yaml", "technicians: 2", "technicians: two", "write a whole number"),
        ("equipment.yaml", "circuits:\n", "semi: yes\ncircuits:\n", "did you mean|known"),
    ],
)
def test_a_value_of_another_type_says_what_to_write(
    tmp_path: Path, file: str, old: str, new: str, fix: str
) -> None:
    done = jobs.prepared(tmp_path, {file: [(old, new)]})
    assert any(re.search(fix, one.fix) for one in done.findings.errors())
