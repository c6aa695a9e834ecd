"""A careless author of fragments: what cannot be done or written down is told at its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from packets import fragment_check, locating
from packets.circuit import kinds
from packets.pipeline import lint, prepare
from tests import jobs

PUMP = (locating.procedures() / "evacuate.yaml").read_text()
SWEEP = (locating.procedures() / "sweep.yaml").read_text()
HEAD, STEPS = "scope: circuit\n", "steps:\n"


def adds(part: str, kind: str = "sight-glass", before: str = "evaporator.in") -> str:
    return f"{{part: {part}, kind: {kind}, before: {before}}}"


# keys put into the fragment's head, code
HEADS = [
    (f"adds: [{adds('ghost')}]", "not-remade"),
    ("unbrazes: [condenser]", "not-remade"),
    ("unbrazes: [condenser]\nremakes: [condenser]", "act-undeclared"),
    ("remakes: [condenser]", "act-undeclared"),
    ("remakes_joints: [flare]", "act-undeclared"),
    (f"adds: [{adds('ghost', 'reversing-valve')}]\nremakes: [ghost]", "added-kind"),
    (f"adds: [{adds('ghost', 'compressor')}]\nremakes: [ghost]", "added-kind"),
    (f"adds: [{adds('ghost')}, {adds('ghost', before='drier.in')}]\nremakes: [ghost]", "added-twice"),
    (f"adds: [{adds('ghost', before='ghost.in')}]\nremakes: [ghost]", "added-before"),
    (f"adds: [{', '.join(adds(f'g{n}') for n in range(13))}]", "schema-maxitems"),
    ("drawings: [sweep]", "unknown-word"),
]  # fmt: skip


@pytest.mark.parametrize(("keys", "code"), HEADS, ids=lambda part: str(part)[:40])
def test_what_is_taken_apart_is_made_again(tmp_path: Path, keys: str, code: str) -> None:
    (tmp_path / "sweep.yaml").write_text(SWEEP.replace(HEAD, f"{HEAD}{keys}\n", 1))
    found = [f for f in lint(tmp_path).errors() if f.code == code]
    assert found
    start = SWEEP[: SWEEP.index(HEAD)].count("\n") + 2
    assert all(start <= f.place.line <= start + keys.count("\n") for f in found), found
    assert all(f.fix for f in found)


# keys of a step put first, code
FIRST = [
    ("route: joint", "route-no-joint"),
    ("readings: [{id: q, label: x, quantity: temperature, feeds: charged}]", "feeds-kind"),
    ("readings: [{id: q, label: x, kind: words, feeds: rise}]", "feeds-kind"),
    ("readings: [{id: q, label: x}, {id: q, label: y}]", "reading-twice"),
    ("readings: [{id: q, label: x, kind: clock, quantity: mass}]", "reading-kind"),
    ("readings: [{id: q, label: x, quantity: mass, with: gauges.micron}]", "instrument-kind"),
    ("readings: [{id: q, label: x, quantity: vacuum, with: gauges.__class__}]", "instrument"),
    ("readings: [{id: q, label: x, quantity: vacuum, feeds: rise, after: hold.limit}]", "after-kind"),
    ("readings: [{id: q, label: x, quantity: vacuum, feeds: rise, after: hold.allowed}]", "after-kind"),
    ("readings: [{id: q, label: x, limit: {choice: [a, a]}}]", "choice-twice"),
    ("readings: [{id: q, label: x, only_if: {reading: ghost, says: a}}]", "reading-order"),
    ("readings: [{id: q, label: x, only_if: {reading: gas, says: 'yes'}}]", "reading-order"),
    ("readings: [{id: p, label: y, limit: {choice: [a, b]}}, {id: q, label: x, only_if: {reading: p, says: c}}]", "limit-choice"),
    ("readings: [{id: p, label: y}, {id: q, label: x, only_if: {reading: p, says: c}}]", "limit-choice"),
]  # fmt: skip


@pytest.mark.parametrize(("keys", "code"), FIRST, ids=lambda part: str(part)[:60])
def test_what_is_read_can_be_written_and_judged(tmp_path: Path, keys: str, code: str) -> None:
    shop = tmp_path / "ours"
    shop.mkdir()
    step = f"{STEPS}  - id: first\n    action: Look.\n    {keys}\n"
    (shop / "sweep.yaml").write_text(SWEEP.replace(STEPS, step, 1))
    done = prepare(jobs.copy(tmp_path), shop)
    assert done.packet is None
    found = [f for f in done.findings.errors() if f.code == code]
    assert found, [str(f) for f in done.findings]
    line = SWEEP[: SWEEP.index(STEPS)].count("\n") + 4
    assert all(line - 2 <= f.place.line <= line and f.fix for f in found), found


@pytest.mark.parametrize("name", ["liquid-line", "liquid-port"])
def test_a_part_that_cannot_be_added_is_told_at_the_fragment(tmp_path: Path, name: str) -> None:
    shop = tmp_path / "ours"
    shop.mkdir()
    text = (locating.procedures() / "replace-drier.yaml").read_text()
    keys = f"remakes: [drier, {name}]\nadds: [{adds(name)}]"
    (shop / "replace-drier.yaml").write_text(text.replace("remakes: [drier]", keys))
    found = prepare(jobs.copy(tmp_path), shop).findings.errors()
    told = {f.code: Path(f.place.file).name for f in found}
    assert told == {"part-missing": "job.yaml", "name-taken": "replace-drier.yaml"}


def test_every_kind_that_stands_in_a_line_is_a_kind() -> None:
    assert set(fragment_check.IN_LINE) <= set(kinds.KINDS)
