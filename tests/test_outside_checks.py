"""Every number a packet can print has its outside check named, or says why there is none."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path

import pytest

from tests import outside
from tests.handbook_rows import rows

ROOT = Path(__file__).parent.parent
LINES = {line.id: line for line in outside.lines()}
CHECKED = [line for line in LINES.values() if "none" not in line.check]
UNCHECKED = [line for line in LINES.values() if "none" in line.check]


@cache
def functions_of(file: str) -> frozenset[str]:
    """The test functions of a file."""
    tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
    found = {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}
    return frozenset(name for name in found if name.startswith("test_"))


def stub(id: str) -> str:
    """What to write for a number that the table lacks."""
    _, entry = outside.entries()[id]
    seen = outside.reason_seen(entry)
    if seen in outside.REASONS:
        return f'{id}: {{none: {seen}, why: "..."}}'
    return (
        f'{id}:\n  expected: "..."  # printed now: {outside.printed_text(entry)}\n'
        '  worked: "..."\n  source: ...\n  tests: [tests/test_....py::test_...]'
    )


def test_every_number_of_every_sample_job_is_in_the_table() -> None:
    missing = [id for id in sorted(outside.entries()) if outside.check_of(id) is None]
    assert not missing, "add to tests/outside_checks.yaml, filled in:\n" + "\n".join(
        map(stub, missing)
    )


def test_a_number_without_a_line_is_asked_for_with_the_line_to_fill_in(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fewer = {id: c for id, c in outside.checks().items() if id not in ("hold.start", "hold.time")}
    monkeypatch.setattr(outside, "checks", lambda: fewer)
    with pytest.raises(AssertionError, match=r"hold.start:\n.*236 psig"):
        test_every_number_of_every_sample_job_is_in_the_table()
    assert stub("hold.start").startswith('hold.start:\n  expected: "..."')
    assert stub("hold.time") == 'hold.time: {none: practice, why: "..."}'


def test_every_entry_of_the_table_stands_for_a_number() -> None:
    made = set(outside.entries())
    used = {id for id in outside.checks() if id in made}
    own = {id for id in made if id not in used}
    used |= {key for key in outside.checks() if any(fnmatchcase(id, key) for id in own)}
    assert not set(outside.checks()) - used, "no sample job makes these: take them out"


def test_a_family_is_held_against_the_handbook_row_by_row() -> None:
    line = LINES["braze.bcup-2.solidus"]
    assert line.check["expected"] == line.printed == "1310 °F"
    assert line.check["rows"] == {"filler_metals": ["bcup-2.solidus"]}
    # A filler that the handbook's rows do not have is asked for, not let off.
    assert outside.check_of("braze.bag-99.solidus") is None


def test_a_value_of_any_job_comes_before_the_creamery_s_blank() -> None:
    entries = outside.entries()
    assert entries["hold.limit"][0] == outside.CREAMERY
    assert entries["capacitor.least"][0] == "orifice"
    assert outside.reason_seen(entries["site.permit"][1]) == "write-in"


def test_a_cell_of_a_grid_is_named_by_its_row_and_column() -> None:
    line = LINES["verify.line_by_target"]
    assert line.printed == line.check["expected"]
    assert outside.printed_text(line.entry, "120 psig", "14 °F").startswith("no cell")


def test_every_entry_has_its_form() -> None:
    for id, check in outside.checks().items():
        if "handbook" in check:
            assert set(check) == outside.FAMILY and "*" in id, id
        elif "none" in check:
            assert set(check) == {"none", "why"}, id
            assert check["none"] in outside.REASONS, id
            assert check["why"].strip(), id
        else:
            assert "*" not in id, f"{id}: a check is one number's own"
            assert {"expected", "worked", "source"} <= set(check) <= outside.CHECKED, id
            assert check.get("tests") or check.get("rows"), f"{id}: name a test or a row"
            assert check["worked"].strip() and check["source"].strip(), id


@pytest.mark.parametrize("line", CHECKED, ids=lambda line: line.id)
def test_the_packet_prints_what_the_outside_source_gives(line: outside.Line) -> None:
    assert line.printed == line.check["expected"], line.check["worked"]


@pytest.mark.parametrize("line", CHECKED, ids=lambda line: line.id)
def test_the_tests_and_rows_that_are_named_exist(line: outside.Line) -> None:
    for name in line.check.get("tests", ()):
        file, _, test = name.partition("::")
        assert test in functions_of(file), f"{line.id}: {name}"
    for book, wanted in line.check.get("rows", {}).items():
        known = {row["id"] for row in rows(book)}
        assert set(wanted) <= known, f"{line.id}: {set(wanted) - known} not in {book}"


@pytest.mark.parametrize("line", UNCHECKED, ids=lambda line: line.id)
def test_the_reason_for_no_check_is_what_the_register_says(line: outside.Line) -> None:
    seen = outside.reason_seen(line.entry)
    assert line.check["none"] == seen, f"{line.id} is {seen} in {line.job}: check it from outside"


def test_the_table_is_in_order_and_prints() -> None:
    own = [id for id in outside.checks() if "*" not in id]
    assert own == sorted(own)
    told = subprocess.run(
        [sys.executable, "tests/print_outside_checks.py"],
        check=True,
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={**os.environ, "PYTHONUTF8": "1"},
    ).stdout
    assert "DIFFERS" not in told
    assert f"{len(CHECKED)} checked, {len(UNCHECKED)} not, 0 missing" in told
