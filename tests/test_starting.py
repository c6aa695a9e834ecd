"""Starting files: every key of the schema once, valid as they are and with every # taken away."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from packets import beginning, locating, sources, validation
from packets.cli import main
from packets.findings import Findings
from tests import jobs

KINDS = ("job", "equipment", "kit", "fragment")
# What an empty file may be told: that something in it is empty.
EMPTY = {"schema-type", "unknown-word", "quantity", "schema-minitems", "schema-pattern"}


def starting(kind: str) -> str:
    """The starting file of a kind."""
    return beginning.fragment("polish-plate", ".") if kind == "fragment" else beginning.file(kind)


def read(folder: Path, text: str, kind: str) -> tuple[Any, Findings]:
    """The data of a text, and what its schema says of it."""
    path, findings = folder / f"{kind}.yaml", Findings()
    path.write_text(text, encoding="utf-8")
    document = sources.read(path, path.name, findings)
    assert document is not None, [str(finding) for finding in findings]
    validation.validate(document, kind, findings)
    return document.data, findings


def uncommented(text: str) -> str:
    """The file with every # at the beginning of a line taken away, explanations kept."""
    return re.sub(r"(?m)^#(?! \S)", "", text)


def keys(data: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """The path of every key, list items all alike."""
    if isinstance(data, dict):
        for name, value in data.items():
            yield (*path, name)
            yield from keys(value, (*path, name))
    if isinstance(data, list):
        for value in data:
            yield from keys(value, path)


@pytest.mark.parametrize("kind", KINDS)
def test_as_written_nothing_is_wrong_but_what_is_left_empty(tmp_path: Path, kind: str) -> None:
    _, findings = read(tmp_path, starting(kind), kind)
    assert {finding.code for finding in findings} <= EMPTY, [str(f) for f in findings]
    assert len(findings) > 3


@pytest.mark.parametrize("kind", KINDS)
def test_with_every_sign_taken_away_no_key_is_unknown_or_missing(tmp_path: Path, kind: str) -> None:
    text = uncommented(starting(kind))
    _, findings = read(tmp_path, text, kind)
    wrong = {finding.code for finding in findings} - EMPTY
    # A repeated kind of reading or step leaves out what only its other form has.
    assert not wrong & {"unknown-key", "missing-key", "yaml"}, [str(f) for f in findings]


@pytest.mark.parametrize("kind", ["job", "equipment", "kit"])
def test_every_key_that_the_example_uses_is_there(tmp_path: Path, kind: str) -> None:
    data, _ = read(tmp_path, uncommented(starting(kind)), kind)
    offered = {tuple(name for name in path) for path in keys(data)}
    used, _ = read(tmp_path, (jobs.EXAMPLE / f"{kind}.yaml").read_text(encoding="utf-8"), kind)
    own = re.compile(r"compressor\.\w+|drier\.\w+|suction-drier\.\w+")
    for path in keys(used):
        path = tuple("compressor.suction" if own.fullmatch(name) else name for name in path)
        assert path in offered, path


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_of_the_schema_is_described(kind: str) -> None:
    text = starting(kind)
    assert all(len(line) <= 100 for line in text.splitlines() if "Any of" not in line)
    for name, node in validation.schema(kind)["properties"].items():
        assert re.search(rf"(?m)^#?{name}:", text), name
        words = node["description"].split()[:3]
        assert name == "format" or " ".join(words) in text, name


def test_ids_there_are_to_choose_from_are_named() -> None:
    assert "replace-compressor, replace-drier" in starting("job")
    assert "condensing-unit-receiver" in starting("equipment")
    assert "refrigerant-out" in starting("fragment")


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["new", *words])


@pytest.mark.parametrize("kind", ["job", "equipment", "kit"])
def test_nothing_is_ever_overwritten(tmp_path: Path, kind: str) -> None:
    folder = tmp_path / "shop"
    assert run(kind, str(folder)).exit_code == 0
    written = folder / f"{kind}.yaml"
    assert written.read_text(encoding="utf-8") == starting(kind)
    written.write_text("mine", encoding="utf-8")
    assert run(kind, str(folder)).exit_code == 2
    assert written.read_text(encoding="utf-8") == "mine"
    assert [path.name for path in folder.iterdir()] == [written.name]


def test_a_fragment_of_ours_begins_as_a_copy_that_names_its_revision(tmp_path: Path) -> None:
    assert run("fragment", "sweep", str(tmp_path / "shop")).exit_code == 0
    text = (tmp_path / "shop" / "sweep.yaml").read_text(encoding="utf-8")
    ours = (locating.procedures() / "sweep.yaml").read_text(encoding="utf-8")
    assert re.sub(r"(?m)^replaces: \d+ .*\n", "", text) == ours
    checked = CliRunner().invoke(main, ["lint", str(tmp_path / "shop")])
    assert checked.exit_code == 0, checked.output
    assert "overlay" not in checked.output


@pytest.mark.parametrize("id", ["../evil", "Sweep", "", "a b", "a" * 61])
def test_a_fragment_s_id_cannot_lead_anywhere_else(tmp_path: Path, id: str) -> None:
    assert run("fragment", id, str(tmp_path)).exit_code == 2
    assert not list(tmp_path.iterdir())


def test_what_a_key_is_like_is_said_by_its_own_schema(tmp_path: Path) -> None:
    texts = "\n".join(starting(kind) for kind in KINDS)
    for line in texts.splitlines():
        key = re.match(r"[# -]*(\w+): +# .*E\.g\. (.+)", line)
        if key and key[1] in ("low_pressure_cut_in", "height", "flow", "bore"):
            wanted = {"low_pressure_cut_in": "40 psig", "height": "8 ft", "flow": "1600 cfm"}
            assert key[2] in (wanted.get(key[1]), "3/8 in", "1/2 in", "0.2 in"), line
    assert "one, another" not in texts
    assert "E.g. 10 times" in texts and "E.g. 1.15 times" in texts


def test_the_meter_that_most_jobs_need_stands_there_without_a_sign() -> None:
    assert re.search(r"(?m)^  meter:.*\n    calibrated:", starting("kit"))


@pytest.mark.parametrize("kind", KINDS)
def test_each_thing_left_empty_is_told_with_an_example_or_the_words_to_choose_from(
    tmp_path: Path, kind: str
) -> None:
    _, findings = read(tmp_path, starting(kind), kind)
    for finding in findings:
        assert re.search(r"e\.g\. |known: ", finding.fix), str(finding)


@pytest.mark.parametrize(
    "circuit", [path.stem for path in (locating.procedures() / "circuits").glob("*.yaml")]
)
def test_a_record_for_a_circuit_names_its_lines_and_joints(tmp_path: Path, circuit: str) -> None:
    assert run("equipment", str(tmp_path / "m"), "--circuit", circuit).exit_code == 0
    text = (tmp_path / "m" / "equipment.yaml").read_text(encoding="utf-8")
    assert f"\n    circuit: {circuit}" in text
    said = " ".join(re.sub(r"(?m)^[# ]+", "", text).split())
    read = sources.read(locating.procedures() / "circuits" / f"{circuit}.yaml", circuit, Findings())
    assert read is not None
    for name, line in read.data["lines"].items():
        assert line.get("direct") or re.search(rf"[ ,]{name}[,.]", said), name
        assert re.search(rf" {re.escape(line['from'])}[,.]", said), line
    for part in read.data["parts"]:
        assert re.search(rf" {part}[,.]", said), part


def test_a_circuit_there_is_not_is_told_with_those_there_are(tmp_path: Path) -> None:
    done = run("equipment", str(tmp_path / "m"), "--circuit", "wall")
    assert done.exit_code == 2 and "wall-split" in done.output
    assert not list(tmp_path.iterdir())
