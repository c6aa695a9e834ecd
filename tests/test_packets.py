"""Whole packets from changed jobs: what is planned, what is printed, what is refused."""

from __future__ import annotations

import dataclasses
import re
import shutil
from itertools import pairwise
from pathlib import Path

import pytest
from click.testing import CliRunner

from packets import catalog, job_files, locating, plan_check, planning
from packets.cli import main
from packets.composing import field_names
from packets.findings import Findings
from packets.formatting import System
from packets.pipeline import Prepared, prepare
from tests import jobs

DRIER_ONLY = {
    "job.yaml": [
        (
            "compressor: electrical-burnout, acid_test: acid",
            "compressor: running, acid_test: clean",
        ),
        ("a: [replace-compressor]", "a: [replace-drier]"),
        ("also: [clean-condenser-coil]\n", ""),
    ]
}
EMPTY = {
    "job.yaml": [
        (
            "refrigerant: present, compressor: electrical-burnout, acid_test: acid",
            "refrigerant: recovered, compressor: mechanical-failure, acid_test: clean",
        )
    ]
}
FLAMMABLE = {
    "equipment.yaml": [("refrigerant: R-448A", "refrigerant: R-454B")],
    "kit.yaml": [("refrigerant: R-448A", "refrigerant: R-454B"), *jobs.RATED],
    "job.yaml": [("R-448A, R-449A, R-404A", "R-454B")],
}


def fragments(done: Prepared) -> list[str]:
    assert done.plan is not None, [str(f) for f in done.findings]
    return [one.fragment for one in done.plan.order]


def steps(done: Prepared) -> list[str]:
    assert done.packet is not None, [str(f) for f in done.findings]
    return [step.id for section in done.packet.sections for step in section.steps]


def test_the_burnt_walk_in_goes_in_the_order_the_trade_defends(tmp_path: Path) -> None:
    order = fragments(jobs.prepared(tmp_path))
    wanted = [
        "prepare-site", "lock-out", "confirm-diagnosis", "recover", "isolate", "sweep",
        "replace-compressor", "burnout-clean-up", "replace-drier", "purge-and-braze",
        "pressure-hold", "evacuate", "weigh-in-charge", "find-cause", "start-up", "verify",
        "close-panel", "leave-clean", "return-visit",
    ]  # fmt: skip
    assert [name for name in order if name in wanted] == wanted


def test_an_empty_machine_needs_no_recovery_but_the_proof_that_it_is_empty(tmp_path: Path) -> None:
    order = fragments(jobs.prepared(tmp_path, EMPTY))
    assert "recover" not in order
    assert order.index("isolate") < order.index("replace-compressor")


def test_a_mechanical_failure_needs_no_clean_up_and_no_return(tmp_path: Path) -> None:
    done = jobs.prepared(tmp_path, jobs.PLAIN)
    assert not {"burnout-clean-up", "return-visit"} & set(fragments(done))


def test_a_drier_job_does_not_touch_the_compressor(tmp_path: Path) -> None:
    order = fragments(jobs.prepared(tmp_path, DRIER_ONLY))
    assert not {"replace-compressor", "confirm-diagnosis", "burnout-clean-up"} & set(order)
    assert {"recover", "replace-drier", "pressure-hold", "evacuate", "weigh-in-charge"} <= set(
        order
    )


@pytest.mark.parametrize(
    ("changes", "most"), [({}, 170), (jobs.PLAIN, 125)], ids=["burnt", "plain"]
)
def test_each_step_earns_its_tick(
    tmp_path: Path, changes: dict[str, list[jobs.Change]], most: int
) -> None:
    assert len(steps(jobs.prepared(tmp_path, changes))) <= most


@pytest.mark.parametrize(
    "changes", [{}, jobs.PLAIN, DRIER_ONLY, EMPTY, FLAMMABLE], ids=["burnt", "plain", "drier", "recovered", "flammable"]
)  # fmt: skip
def test_every_variant_composes_with_fields_of_its_own(
    tmp_path: Path, changes: dict[str, list[jobs.Change]]
) -> None:
    done = jobs.prepared(tmp_path, changes)
    assert done.packet is not None, [str(f) for f in done.findings]
    names = field_names(done.packet)
    assert len(names) == len(set(names))
    assert all(set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789_-") for name in names)
    for section in done.packet.sections:
        for step in section.steps:
            for caution in step.cautions:
                assert "local codes and licensed practice govern" in caution.defer


def overlaid(tmp_path: Path, drop: str = "", add: str = "") -> Path:
    """A copy of the shipped procedures with one dropped or one text added."""
    folder = tmp_path / "procedures"
    shutil.copytree(locating.procedures(), folder)
    if drop:
        (folder / f"{drop}.yaml").unlink()
    if add:
        (folder / "polish-plate.yaml").write_text(add)
    return folder


def test_without_the_hold_test_the_job_is_impossible_and_tight_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = overlaid(tmp_path, drop="pressure-hold")
    # Steps that lead to the dropped fragment would be found first; they go with it.
    text = (folder / "evacuate.yaml").read_text().replace("{step:pressure-hold/feed}", "the test")
    (folder / "evacuate.yaml").write_text(text)
    monkeypatch.setattr(locating, "procedures", lambda: folder)
    done = prepare(jobs.copy(tmp_path))
    assert done.packet is None
    messages = [f.message for f in done.findings.errors()]
    assert any("`tight`" in message for message in messages), messages


POLISH = """\
format: fragment/1
fragment: polish-plate
title: Polish the nameplate
revision: 1
purpose: It shines.
prefer: 1
scope: site
needs: []
makes: []
ends: []
stop_here: Leave it.
steps:
  - {id: polish, action: Polish the nameplate.}
"""


def test_an_unrelated_fragment_does_not_change_the_packet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = prepare(jobs.copy(tmp_path))
    folder = overlaid(tmp_path, add=POLISH)
    monkeypatch.setattr(locating, "procedures", lambda: folder)
    after = prepare(tmp_path / "job.yaml")
    assert before.packet is not None
    assert after.packet == before.packet


def test_a_shop_s_own_fragment_replaces_ours_and_the_packet_says_so(tmp_path: Path) -> None:
    shop = tmp_path / "our-way"
    shop.mkdir()
    ours = (locating.procedures() / "sweep.yaml").read_text()
    text = ours.replace("title: Sweep with nitrogen", "title: Sweep our way\nreplaces: 1")
    (shop / "sweep.yaml").write_text(text)
    done = prepare(jobs.copy(tmp_path), shop)
    assert done.packet is not None, [str(f) for f in done.findings]
    section = next(s for s in done.packet.sections if s.fragment == "sweep")
    assert (section.title, section.origin) == ("Sweep our way", "our-way")
    assert any("our-way" in note for note in done.packet.notes)
    stale = ours.replace("title: Sweep with nitrogen", "title: Sweep our way\nreplaces: 9")
    (shop / "sweep.yaml").write_text(stale)
    assert "overlay-stale" in [f.code for f in prepare(tmp_path / "job.yaml", shop).findings]


def test_an_acted_out_fragment_that_does_not_own_up_is_refused(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    ours = (locating.procedures() / "replace-drier.yaml").read_text()
    for wrong, code in (
        (ours.replace("closed, tight, dry, verified", "tight, dry, verified"), "act-ends"),
        (ours.replace("needs: [refrigerant-out, proved-empty, dead", "needs: [dead"), "act-needs"),
    ):
        assert wrong != ours
        (shop / "replace-drier.yaml").write_text(wrong)
        done = prepare(jobs.copy(tmp_path), shop)
        assert code in jobs.codes(done), [str(f) for f in done.findings]


def test_the_hash_is_of_what_is_printed_not_of_the_reasons(tmp_path: Path) -> None:
    first = jobs.prepared(tmp_path).packet
    assert first is not None
    shop = tmp_path / "shop"
    shop.mkdir()
    ours = (locating.procedures() / "sweep.yaml").read_text()
    said = ours.replace("purpose:", "replaces: 1\npurpose:")
    (shop / "sweep.yaml").write_text(said)
    same = prepare(tmp_path / "job.yaml", shop).packet
    assert same is not None
    # Another origin is another packet; the hash tells.
    assert same.hash != first.hash
    why = dataclasses.replace(first.sections[0], purpose="another reason")
    from packets.composing.hashing import content_hash

    assert (
        content_hash(dataclasses.replace(first, sections=(why, *first.sections[1:]))) == first.hash
    )
    moved = dataclasses.replace(first, revision=2)
    assert content_hash(moved) != first.hash


def test_a_nameplate_not_seen_prints_a_line_to_write_on(tmp_path: Path) -> None:
    done = jobs.prepared(
        tmp_path, {"equipment.yaml": [("{high: 450 psig, low: 250 psig}", "{high: 450 psig}")]}
    )
    assert done.packet is not None, [str(f) for f in done.findings]
    assert "write-in" in [f.code for f in done.findings.warnings()]
    section = next(s for s in done.packet.sections if s.fragment == "pressure-hold")
    blanks = [span.text for step in section.steps for span in step.action if span.kind == "blank"]
    assert any("low-side" in text for text in blanks)
    limits = [
        blank.limit.kind
        for step in section.steps
        for tries in step.readings
        for blank in tries
        if blank.limit and "pressure" in blank.id
    ]
    assert "rows" not in limits


def test_work_on_two_circuits_is_planned_in_turn_but_printed_as_two_jobs(tmp_path: Path) -> None:
    job = jobs.copy(tmp_path)
    text = (tmp_path / "equipment.yaml").read_text()
    head, circuit = text.split("circuits:\n")
    body = circuit.replace("  a:\n", "", 1)
    (tmp_path / "equipment.yaml").write_text(f"{head}circuits:\n  a:\n{body}  b:\n{body}")
    jobs.change(
        tmp_path,
        {
            "job.yaml": [
                ("acid_test: acid}\n", "acid_test: acid}\n    b: {refrigerant: present, compressor: running, acid_test: clean}\n"),
                ("  a: [replace-compressor]\n", "  a: [replace-compressor]\n  b: [replace-drier]\n"),
                ("parts:\n", "parts:\n  b:\n    drier: {model: LD-164 acid core, size: 1/2 in}\n"),
            ],
            "kit.yaml": [("gross: 35 lb 4 oz", "gross: 65 lb 4 oz")],
        },
    )  # fmt: skip
    done = prepare(job)
    assert jobs.codes(done) == ["one-circuit"]
    findings = Findings()
    files = job_files.load(job, findings)
    loaded = catalog.load(findings)
    assert files is not None
    assert loaded is not None
    plan = planning.plan(loaded.library, files.job, files.equipment)
    circuits = [one.circuit for one in plan.order]
    assert circuits == sorted(circuits)
    assert len({one.id for one in plan.order}) == len(plan.order)
    assert plan_check.replay(loaded.library, plan) == []


@pytest.mark.parametrize("units", ["ip", "si"])
@pytest.mark.parametrize("changes", [{}, jobs.PLAIN], ids=["superheat", "subcooling"])
def test_between_two_rows_of_a_band_some_reading_is_right(
    tmp_path: Path, changes: dict[str, list[jobs.Change]], units: System
) -> None:
    done = prepare(jobs.copy(tmp_path, changes), units=units)
    assert done.packet is not None, [str(f) for f in done.findings]
    limits = [
        blank.limit
        for section in done.packet.sections
        for step in section.steps
        for readings in step.readings
        for blank in readings
        if blank.limit is not None and blank.limit.kind == "rows" and section.fragment == "verify"
    ]
    assert limits
    for limit in limits:
        assert len(limit.rows) <= 25
        for a, b in pairwise(limit.rows):
            low, high = limit.band((a.by + b.by) / 2) or (1, 0)
            assert low <= high


def test_how_a_shop_s_fragment_is_written_is_warned_of_with_the_job_and_stops_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "shop"
    own = folder / "own"
    own.mkdir(parents=True)
    (folder / "packets.yaml").write_text("format: shop/1\nprocedures: own\n")
    ours = (locating.procedures() / "sweep.yaml").read_text()
    text = re.sub(r"(?m)^revision: (\d+)$", r"revision: \1\nreplaces: \1", ours)
    (own / "sweep.yaml").write_text(text)
    job = jobs.copy(folder)
    assert not [f for f in prepare(job).findings if f.code.startswith("lint-")]
    (own / "sweep.yaml").write_text(
        text.replace("Feed nitrogen into", "For 5 min feed nitrogen into", 1)
    )
    (own / "polish-plate.yaml").write_text(POLISH.replace("Polish the", "Polish 5 min the"))
    done = prepare(job)
    assert done.packet is not None, [str(f) for f in done.findings]
    told = [f for f in done.findings if f.code.startswith("lint-")]
    assert told and all(f.severity == "warning" and "packets lint" in f.fix for f in told)
    assert all(f.place.file.endswith("sweep.yaml") and f.place.line for f in told)
    monkeypatch.chdir(folder)
    linted = CliRunner().invoke(main, ["lint"])
    assert linted.exit_code == 1
    assert "number-typed" in linted.output and "polish-plate.yaml" in linted.output
