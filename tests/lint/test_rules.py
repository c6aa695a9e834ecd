"""Each rule of writing has an example that it passes and one that it finds, at the marked lines."""

from __future__ import annotations

import doctest
import importlib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from packets import catalog, locating, sources, validation, wording
from packets.building import build
from packets.catalog import Catalog
from packets.cli import main
from packets.findings import Finding, Findings
from packets.model.procedures import Cautions, Fragment
from packets.pipeline import lint

FOLDER = Path(__file__).parent
CODES = [rule.code for rule in (*wording.RULES, *wording.CAUTION_RULES)]
MARK = "# found"
# What an example leaves out.
FRAGMENT = {
    "format": "fragment/1",
    "fragment": "example",
    "title": "Try a rule",
    "revision": 1,
    "purpose": "An example for one rule.",
    "prefer": 50,
    "scope": "circuit",
    "needs": [],
    "makes": [],
    "ends": [],
    "stop_here": "Cap both ports.",
    # What the examples' steps use, so that each is found for its own fault alone.
    "materials": [
        {"item": item, "place": "hand-tools"}
        for item in ("Vacuum pump, nitrogen regulator, flow meter", "Blanket, lamp, lugs, bubbles")
    ],
}
CAUTIONS = {"format": "cautions/1", "defer": "local codes govern."}


@pytest.fixture(scope="module")
def shipped() -> Catalog:
    loaded = catalog.load(Findings())
    assert loaded is not None
    return loaded


def document(path: Path, kind: str, base: dict[str, Any]) -> tuple[sources.Document, Any]:
    """An example file, filled up with what it leaves out, through its schema."""
    findings = Findings()
    read = sources.read(path, path.name, findings)
    assert read is not None, [str(f) for f in findings]
    read = replace(read, data={**base, **read.data})
    data = validation.validate(read, kind, findings)
    assert data is not None, [str(f) for f in findings]
    data.pop("format")
    return read, data


def found(path: Path, shipped: Catalog) -> list[Finding]:
    """What the rules say of one example, the shipped library standing behind it."""
    text, findings = path.read_text(encoding="utf-8"), Findings()
    if "\ncautions:" in f"\n{text}":
        read, data = document(path, "cautions", CAUTIONS)
        # Its cautions stand at a step, but for the one that is to be found idle.
        library = replace(shipped.library, cautions=build(Cautions, data))
        library = replace(library, fragments={"fire": library.fragments["purge-and-braze"]})
        step = replace(library.fragments["fire"].steps[0], caution=("fire", "slug"))
        fragment = replace(library.fragments["fire"], steps=(step,))
        library = replace(library, fragments={"fire": fragment})
        held = Catalog(library, {("cautions", "cautions"): read})
    else:
        read, data = document(path, "fragment", FRAGMENT)
        # An idle caution is a matter of the whole library, not of one fragment.
        library = replace(
            shipped.library,
            fragments={"example": build(Fragment, data)},
            cautions=replace(shipped.library.cautions, cautions={}),
        )
        held = Catalog(library, {("fragment", "example"): read})
    wording.check(held, findings)
    return list(findings)


def test_there_is_a_good_and_a_bad_example_for_every_rule_and_no_other() -> None:
    assert len(CODES) == len(set(CODES))
    for kind in ("good", "bad"):
        assert sorted(path.stem for path in (FOLDER / kind).glob("*.yaml")) == sorted(CODES)


@pytest.mark.parametrize("code", CODES)
def test_the_good_example_passes_every_rule(code: str, shipped: Catalog) -> None:
    assert not [str(f) for f in found(FOLDER / "good" / f"{code}.yaml", shipped)]


@pytest.mark.parametrize("code", CODES)
def test_the_bad_example_is_found_at_its_marked_lines(code: str, shipped: Catalog) -> None:
    path = FOLDER / "bad" / f"{code}.yaml"
    lines = path.read_text(encoding="utf-8").splitlines()
    marked = {at for at, line in enumerate(lines, 1) if line.rstrip().endswith(MARK)}
    told = found(path, shipped)
    assert marked
    assert {f.place.line for f in told} == marked, [str(f) for f in told]
    assert {f.code for f in told} == {code}, [str(f) for f in told]
    assert all(f.message and f.fix for f in told)


def test_a_misspelt_number_is_told_with_the_nearest_name(shipped: Catalog) -> None:
    told = {f.message: f.fix for f in found(FOLDER / "bad" / "unknown-number.yaml", shipped)}
    assert told["no number is called 'charge.totl'"] == "did you mean charge.total?"
    assert told["no number is called 'hold.alowed'"] == "did you mean hold.allowed?"


@pytest.mark.parametrize(
    ("number", "fix"),
    [
        ("drier.everything", "known: drier.drop_limit"),
        ("weather.wind", "`packets numbers JOB` lists the names"),
    ],
)
def test_a_name_like_no_other_is_told_with_its_subject_s_or_where_all_are_listed(
    number: str, fix: str, shipped: Catalog
) -> None:
    library = shipped.library
    sweep = library.fragments["sweep"]
    step = replace(sweep.steps[0], action=f"Read {{{number}}}.")
    library = replace(library, fragments={"sweep": replace(sweep, steps=(step,))})
    findings = Findings()
    wording.check(replace(shipped, library=library), findings)
    assert fix in [f.fix for f in findings if f.code == "unknown-number"]


def test_the_shipped_procedures_pass_without_a_word() -> None:
    assert not [str(f) for f in lint()]


def test_a_shop_s_text_is_found_by_the_command_with_file_line_and_fix(tmp_path: Path) -> None:
    text = (locating.procedures() / "sweep.yaml").read_text(encoding="utf-8")
    (tmp_path / "sweep.yaml").write_text(text.replace("{purge.sweep_flow}", "30 scfh"))
    line = next(
        at for at, words in enumerate(text.splitlines(), 1) if words.startswith("    action:")
    )
    told = CliRunner().invoke(main, ["lint", str(tmp_path)])
    assert told.exit_code == 1
    assert (
        f"{tmp_path}/sweep.yaml:{line}:13: error [number-typed] '30 scfh' is typed" in told.output
    )
    assert "fix: name the number" in told.output


def test_a_warning_alone_stops_nothing(tmp_path: Path) -> None:
    text = (locating.procedures() / "sweep.yaml").read_text(encoding="utf-8")
    (tmp_path / "sweep.yaml").write_text(
        text.replace("Feed nitrogen into", "Nitrogen goes into").replace("open\n", "there is\n")
    )
    told = CliRunner().invoke(main, ["lint", str(tmp_path)])
    assert "warning [verb-first]" in told.output
    assert told.exit_code == 0


@pytest.mark.parametrize("file", ["card", "rules", "cautions"])
def test_a_number_misspelt_on_the_card_in_the_record_or_in_a_caution_is_found(
    file: str, shipped: Catalog
) -> None:
    library = shipped.library
    if file == "card":
        group = library.card.groups[0]
        lines = (replace(group.lines[0], number="machine.charg"),)
        library = replace(
            library, card=replace(library.card, groups=(replace(group, lines=lines),))
        )
    elif file == "cautions":
        held = library.cautions.cautions
        fall = replace(held["fall"], hazard="Ladders at {machine.charg}.")
        cautions = replace(library.cautions, cautions={**held, "fall": fall})
        library = replace(library, cautions=cautions)
    else:
        (name, rules), *_ = library.rules.items()
        field = replace(rules.refrigerant_record[0], from_="machine.charg")
        library = replace(library, rules={name: replace(rules, refrigerant_record=(field,))})
    findings = Findings()
    wording.check(replace(shipped, library=library), findings)
    (told,) = [f for f in findings if f.code == "unknown-number"]
    assert told.fix == "did you mean machine.charge?"
    assert told.place.line > 1


@pytest.mark.parametrize("name", ["hold.allowed", "verify.line_by_target", "joint.name"])
def test_a_caution_names_no_table_and_nothing_that_repeats(name: str, shipped: Catalog) -> None:
    held = shipped.library.cautions.cautions
    fall = replace(held["fall"], avoidance=f"Keep to {{{name}}}.")
    cautions = replace(shipped.library.cautions, cautions={**held, "fall": fall})
    findings = Findings()
    wording.check(replace(shipped, library=replace(shipped.library, cautions=cautions)), findings)
    assert [f.code for f in findings] == ["unknown-number"]


@pytest.mark.parametrize("name", ["packets.wording.actions", "packets.numbers.ids"])
def test_examples_in_docstrings_run(name: str) -> None:
    result = doctest.testmod(importlib.import_module(name))
    assert result.attempted > 0
    assert not result.failed
