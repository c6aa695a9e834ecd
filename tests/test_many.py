"""Many jobs at once: order kept, one bad job hides no other, the worst exit code."""

from __future__ import annotations

import json
import os
import signal
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from packets import many
from packets.cli import main
from tests import jobs


def double(number: int) -> int:
    """Work for a process: 3 is a fault, 5 kills its process."""
    if number == 3:
        raise ValueError("three")
    if number == 5:
        os.kill(os.getpid(), signal.SIGKILL)
    return 2 * number


def lost(number: int, problem: BaseException) -> int:
    """What stands for a result that did not come."""
    return -number


@pytest.mark.parametrize("processes", [1, 2])
def test_results_come_in_the_order_of_the_tasks(processes: int) -> None:
    assert list(many.run(double, [4, 3, 2, 1], lost, processes)) == [8, -3, 4, 2]


def test_a_process_that_dies_loses_its_own_task_and_no_other() -> None:
    assert list(many.run(double, [1, 5, 2, 4, 6], lost, 2)) == [2, -5, 4, 8, 12]


def copies(folder: Path, count: int, bad: int) -> list[str]:
    """So many copies of the example, one with a fault in it."""
    made = []
    for at in range(1, count + 1):
        own = folder / f"job-{at}"
        own.mkdir()
        changes = {"kit.yaml": [("core_tools: 2", "core_tools: x")]} if at == bad else {}
        made.append(str(jobs.copy(own, changes)))
    return made


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def test_each_job_is_checked_and_the_worst_decides(tmp_path: Path) -> None:
    listed = [*copies(tmp_path, 3, bad=2), str(tmp_path / "gone.yaml")]
    alone, together = (run("check", *listed, "--json", "--cores", n) for n in ("1", "2"))
    assert alone.stdout == together.stdout
    assert alone.exit_code == together.exit_code == 1
    data = json.loads(together.stdout)["findings"]
    errors = [item["file"] for item in data if item["severity"] == "error"]
    assert {Path(name).parent.name for name in errors} == {"job-2", tmp_path.name}
    assert run("check", *listed[:1], listed[2]).exit_code == 0


def test_each_good_job_is_built_into_the_folder(tmp_path: Path) -> None:
    listed, out = copies(tmp_path, 3, bad=2), tmp_path / "made"
    done = run("build", *listed, "-o", str(out), "--edition", "dispatch")
    assert done.exit_code == 1
    assert sorted(path.name for path in out.iterdir()) == ["job-1.pdf", "job-3.pdf"]
    places = [done.output.index(name) for name in ("job-1.pdf", "core_tools", "job-3.pdf")]
    assert places == sorted(places)


def test_two_jobs_that_would_become_one_file_are_refused(tmp_path: Path) -> None:
    (listed,) = copies(tmp_path, 1, bad=0)
    done = run("build", listed, listed, "-o", str(tmp_path))
    assert done.exit_code == 2
    assert "job-1.pdf" in done.output


def test_findings_survive_the_way_from_another_process(tmp_path: Path) -> None:
    (listed,) = copies(tmp_path, 1, bad=1)
    text = run("check", listed).output
    assert text in run("check", listed, listed).output
