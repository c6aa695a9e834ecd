"""Files and jobs made to hurt: each ends in a finding, none in a traceback, a hang or a fetch."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from packets import locating
from packets.cli import main
from packets.findings import Findings
from packets.pipeline import lint, prepare
from packets.sources import read
from tests import jobs

# file, changes, code
MUDDLES = [
    ("kit.yaml", [("id: C-114", "id: C-121")], "cylinder-twice"),
    ("kit.yaml", [("    contents: 0 lb\n    evacuated: true\n", "    contents: 0 lb\n    holds: R-22\n")], "cylinder-room"),
    ("kit.yaml", [("capacity: 220 lb", "capacity: 36 lb")], "cylinder-room"),
    ("kit.yaml", [("resolution: 0.5 oz", "resolution: 0 oz")], "quantity"),
    ("equipment.yaml", [("evaporating: {low: 18 degF, high: 30 degF}", "evaporating: {low: 30 degF, high: 18 degF}")], "range"),
    ("equipment.yaml", [("low: 250 psig}", "low: 550 psig}")], "range"),
    ("equipment.yaml", [("volts: 208 V", "volts: 0 V")], "quantity"),
    ("equipment.yaml", [("    charge: 14 lb 8 oz\n", "    charge: 14 lb 8 oz\n    small_appliance: true\n")], "small-appliance"),
    ("equipment.yaml", [("    internal_volume: 0.9 ft3", "    hold_time: 0 s\n    internal_volume: 0.9 ft3")], "quantity"),
    ("job.yaml", [("technicians: 2", "technicians: 2.0")], "schema-type"),
    ("job.yaml", [("acid_core: true, ", "")], "part-burnt"),
    ("job.yaml", [("R. Amsel, plant floor", '"R. Amsel \\a"')], "schema-pattern"),
    ("job.yaml", [("[universal]", "[type-iii]")], "certification"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "changes", "code"), MUDDLES, ids=lambda part: str(part)[:30])
def test_a_muddle_is_a_finding(
    tmp_path: Path, file: str, changes: list[jobs.Change], code: str
) -> None:
    done = jobs.prepared(tmp_path, {file: changes})
    assert done.packet is None
    assert code in jobs.codes(done), [str(f) for f in done.findings]


def test_the_weaker_of_two_parts_of_one_name_limits_the_hold(tmp_path: Path) -> None:
    two = (
        "      - {place: receiver, setting: 200 psig}\n      - {place: receiver, setting: 450 psig}"
    )
    done = jobs.prepared(
        tmp_path, {"equipment.yaml": [("      - {place: receiver, setting: 450 psig}", two)]}
    )
    limit = done.circuits["a"].context.register.number("hold.limit")
    assert limit is not None
    assert limit.value / 6894.757 == pytest.approx(180)
    assert limit.confidence == "practice"


SWEEP = (locating.procedures() / "sweep.yaml").read_text()
CAUSE = (locating.procedures() / "find-cause.yaml").read_text()
SILENT = (locating.procedures() / "weigh-in-charge.yaml").read_text()
# name, text of the fragment, code
FRAGMENTS = [
    ("sweep", SWEEP.replace("{purge.sweep_time}", "{hold.allowed}"), "text-table"),
    ("sweep", SWEEP.replace("title: Sweep with nitrogen", "title: Sweep {hold.limit}"), "text-brace"),
    ("sweep", SWEEP.replace("{purge.sweep_time}", "{purge.nosuch}"), "unknown-number"),
    ("sweep", SWEEP.replace("makes: [swept]", "makes: [swept, charged]"), "act-undeclared"),
    ("sweep", SWEEP.replace("    when: not purge_cycles\n", "    when: burnt == 'yes'\n", 1), "when-expression"),
    ("find-cause", CAUSE.replace("    minutes:", "    when: crew > 5\n    minutes:"), "section-empty"),
    ("weigh-in-charge", SILENT.replace("acts: [charges]", "acts: []"), "act-undeclared"),
    ("weigh-in-charge", SILENT.replace("limit: {at_least: start.cut_in}", "limit: {at_least: start.cut_in, write_in: look}"), "limit-kinds"),
    ("weigh-in-charge", SILENT.replace("limit: {at_least: start.cut_in}", "limit: {at_least: evac.target}"), "limit-kind"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "text", "code"), FRAGMENTS, ids=lambda part: str(part)[:20])
def test_a_careless_author_is_told(tmp_path: Path, name: str, text: str, code: str) -> None:
    shop = tmp_path / "ours"
    shop.mkdir()
    assert text not in (SWEEP, SILENT)
    (shop / f"{name}.yaml").write_text(text)
    done = prepare(jobs.copy(tmp_path), shop)
    assert code in jobs.codes(done), [str(f) for f in done.findings]


def test_pipes_devices_and_loops_are_not_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    (tmp_path / "device.yaml").symlink_to("/dev/zero")
    (tmp_path / "loop.yaml").symlink_to(tmp_path / "loop.yaml")
    for name in ("pipe.yaml", "device.yaml", "loop.yaml"):
        findings = Findings()
        assert read(tmp_path / name, name, findings) is None
        assert [f.code for f in findings] == ["file-unreadable"]
    for name in ("loop.yaml", "pipe.yaml", "x" * 400, "a\0b"):
        assert CliRunner().invoke(main, ["check", str(tmp_path / name)]).exit_code == 1


def test_a_fragment_that_is_a_link_out_of_its_folder_is_refused(tmp_path: Path) -> None:
    shop = tmp_path / "ours"
    shop.mkdir()
    (tmp_path / "sweep.yaml").write_text(SWEEP)
    (shop / "sweep.yaml").symlink_to(tmp_path / "sweep.yaml")
    assert "reference-outside" in [f.code for f in lint(shop)]


def test_a_shop_s_rules_in_place_of_ours_are_said(tmp_path: Path) -> None:
    shop = tmp_path / "ours"
    (shop / "rules").mkdir(parents=True)
    text = (locating.procedures() / "rules" / "us-federal.yaml").read_text()
    (shop / "rules" / "us-federal.yaml").write_text(text.replace("time: 60 min", "time: 1 min"))
    done = prepare(jobs.copy(tmp_path), shop)
    assert done.packet is not None, [str(f) for f in done.findings]
    assert any("replaces ours" in line for line in done.packet.dispatch.attention)


def test_ten_thousand_stray_keys_are_told_of_in_seconds(tmp_path: Path) -> None:
    job = jobs.copy(tmp_path)
    stray = "".join(f"stray{n}: 1\n" for n in range(4000))
    job.write_text(job.read_text() + stray)
    found = [f.code for f in prepare(job).findings]
    assert 100 <= found.count("unknown-key") <= 400


def test_the_packet_never_overwrites_the_job_s_own_files(tmp_path: Path) -> None:
    job = jobs.copy(tmp_path)
    for target in (job, tmp_path / "kit.yaml"):
        before = job.read_bytes()
        assert CliRunner().invoke(main, ["build", str(job), "-o", str(target)]).exit_code == 2
        assert job.read_bytes() == before


@pytest.mark.parametrize("units", ["ip", "si"])
def test_no_table_prints_one_entry_twice(tmp_path: Path, units: str) -> None:
    done = prepare(jobs.copy(tmp_path), units=units)  # type: ignore[arg-type]
    assert done.packet is not None, [str(f) for f in done.findings]
    for section in done.packet.sections:
        for step in section.steps:
            if step.table:
                entries = [row[0] for row in step.table.rows]
                assert len(entries) == len(set(entries))


def test_below_the_air_a_table_keeps_one_unit(tmp_path: Path) -> None:
    done = jobs.prepared(
        tmp_path,
        {
            "equipment.yaml": [
                ("refrigerant: R-448A", "refrigerant: R-134a"),
                ("evaporating: {low: 18 degF, high: 30 degF}", "evaporating: {low: -25 degF, high: -5 degF}"),
            ],
            "kit.yaml": [("refrigerant: R-448A", "refrigerant: R-134a")],
            "job.yaml": [("R-448A, R-449A", "R-134a, R-449A")],
        },
    )  # fmt: skip
    assert done.packet is not None, [str(f) for f in done.findings]
    tables = [s.table for x in done.packet.sections for s in x.steps if s.table]
    table = next(t for t in tables if t.id == "verify.superheat")
    entries = [float(row[0].replace("\N{MINUS SIGN}", "-")) for row in table.rows]
    assert entries == sorted(entries)
    assert entries[0] > -14.7
    texts = "".join(
        span.text for s in done.packet.sections for step in s.steps for span in step.action
    )
    assert "vacuum or less" not in texts
    assert "or deeper" in texts
