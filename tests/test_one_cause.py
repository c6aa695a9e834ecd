"""One cause is one finding, at the file where it is mended."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from packets.cli import main
from packets.findings import suggest
from packets.model.kit import EXAMPLES
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
    assert "gauges.meter" in found[0].fix and "meter: {calibrated: " in found[0].fix


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_example_of_an_instrument_can_be_copied_into_a_kit(tmp_path: Path, name: str) -> None:
    text = (jobs.EXAMPLE / "kit.yaml").read_text(encoding="utf-8")
    old = next(one for one in text.splitlines() if one.strip().startswith(f"{name}:"))
    done = jobs.prepared(tmp_path, {"kit.yaml": [(old.strip(), EXAMPLES[name])]})
    assert done.packet is not None, [str(one) for one in done.findings.errors()]


def test_a_missing_part_is_one_finding_that_names_its_fields(tmp_path: Path) -> None:
    text = (jobs.EXAMPLE / "job.yaml").read_text(encoding="utf-8")
    drier = next(one for one in text.splitlines(True) if one.startswith("    drier:"))
    (told,) = jobs.prepared(tmp_path, {"job.yaml": [(drier, "")]}).findings.errors()
    assert told.code == "part-missing" and "parts.a.drier: {model: " in told.fix
    whole = text[text.index("parts:\n") : text.index("conditions:")]
    all_told = jobs.prepared(tmp_path, {"job.yaml": [(whole, "")]}).findings.errors()
    assert [one.code for one in all_told] == ["part-missing"] * 3
    asked = 1 + text[: text.index("  a: [replace-compressor]")].count("\n")
    assert {one.place.line for one in all_told} == {asked}


def test_a_kit_short_of_refrigerant_is_told_once_at_the_kit(tmp_path: Path) -> None:
    little = ("gross: 35 lb 4 oz", "gross: 14 lb 4 oz")
    done = jobs.prepared(tmp_path, {"kit.yaml": [little]})
    assert jobs.codes(done) == ["charge-short"]
    slip = ("refrigerant: R-448A", "refrigerant: R448a")
    (told,) = jobs.prepared(tmp_path, {"kit.yaml": [slip]}).findings.errors()
    assert told.fix.startswith("write refrigerant: R-448A instead of R448a")


MIXED = {  # the second cylinder is used too
    name: [
        *pairs,
        ("    evacuated: true\n", "    holds: R-22\n"),
        ("contents: 0 lb", "contents: 46 lb"),
    ]
    if name == "kit.yaml"
    else pairs
    for name, pairs in jobs.PLAIN.items()
}


@pytest.mark.parametrize(
    ("old", "new", "said", "fix"),
    [
        ("    holds: R-410A\n", "", "does not say of what: write holds: R-410A", "write what"),
        ("holds: R-410A", "holds: R410A", "holds says R410A: write holds: R-410A", "write what"),
        ("capacity: 220 lb", "capacity: 36 lb", "the scale carries 36 lb at most", "load a larger"),
        ("contents: 3 lb", "contents: 30 lb", "room for 10 lb 8 oz", "load a cylinder"),
    ],
)  # fmt: skip
def test_a_cylinder_that_does_not_serve_says_its_own_reason(
    tmp_path: Path, old: str, new: str, said: str, fix: str
) -> None:
    changes = {
        name: [*pairs, *([(old, new)] if name == "kit.yaml" else [])]
        for name, pairs in MIXED.items()
    }
    done = jobs.prepared(tmp_path, changes)
    (told,) = [one for one in done.findings.errors() if one.code != "scale-capacity"]
    assert told.code == "cylinder-room"
    assert said in told.message and told.fix.startswith(fix)


def test_of_very_many_names_the_nearest_three_are_told() -> None:
    names = [f"part.{at}" for at in range(130)] + ["hold.start", "hold.time", "hold.fill"]
    fix = suggest("hold.xyzzyxyzzy", names)
    assert fix.count(",") == 2 and "hold.fill" in fix
    assert suggest("zzz", ["one", "two"]) == "known: one, two"


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


def test_a_coarse_instrument_is_told_at_its_line_of_the_kit(tmp_path: Path) -> None:
    done = jobs.prepared(tmp_path, {"kit.yaml": [("resolution: 1 psi", "resolution: 50 psi")]})
    told = done.findings.errors()
    assert {one.code for one in told} == {"gauge-too-coarse"}
    text = (jobs.EXAMPLE / "kit.yaml").read_text(encoding="utf-8")
    line = 1 + text[: text.index("  pressure: {id")].count("\n")
    assert {(Path(one.place.file).name, one.place.line) for one in told} == {("kit.yaml", line)}
    assert all("gauges.pressure in steps of 50 psi" in one.message for one in told)
