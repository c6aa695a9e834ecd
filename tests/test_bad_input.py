"""Anything wrong in any file: a finding at its line with a fix, and no packet."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from packets.pipeline import prepare
from tests import jobs

# file, old text, new text, code, part of the message or fix
WRONG = [
    ("equipment.yaml", "charge: 14 lb 8 oz", "charge: 9 lbs4", "quantity", "write 9 lb 4 oz"),
    ("equipment.yaml", "charge: 14 lb 8 oz", "charge: 14.5", "quantity", "14.5 has no unit"),
    ("equipment.yaml", "high: 450 psig", "high: 450 psi", "quantity", "write 450 psig (gauge)"),
    ("equipment.yaml", "high: 450 psig", "high: .nan", "quantity", "is not a quantity"),
    ("equipment.yaml", "altitude: 980 ft", "altitude: 98000 ft", "altitude", "above the sea"),
    ("equipment.yaml", "use: comm", "usage: comm", "unknown-key", "did you mean use?"),
    ("equipment.yaml", "type: scroll", "type: scrol", "unknown-word", "did you mean scroll?"),
    ("equipment.yaml", "phases: 3", "phases: '3'", "unknown-word", "did you mean 3?"),
    ("equipment.yaml", "R-448A", "R-448", "unknown-refrigerant", "did you mean R-448A?"),
    ("equipment.yaml", "R-448A", "R-999", "unknown-refrigerant", "known: R-"),
    ("equipment.yaml", "refrigerant: R-448A", "refrigerant: R448A", "schema-pattern", "write R-448A"),
    ("equipment.yaml", "oil: {kind: POE 32, charge: 56 fl oz}", "oil: {kind: POE 32, charge: 56 oz}", "quantity", "e.g. 56 fl oz"),
    ("equipment.yaml", "compressor.suction: {size: 1-1/8 in", "compressor.suction: {size: 3/8", "quantity", "add the unit: 3/8 in"),
    ("equipment.yaml", "crankcase_heater: true", "crankcase_heater: yes", "schema-type", "write true or false"),
    ("equipment.yaml", "condensing-unit-receiver", "''", "schema-pattern", "packaged-cooling, packaged-heat-pump"),
    ("job.yaml", "job: 26-1142", "job: 118", "schema-type", 'put it in quotes: "118"'),
    ("job.yaml", "technicians: 2", "technicians: two", "schema-type", "write a whole number, e.g. 1"),
    ("job.yaml", "a: [replace-compressor]", "a: []", "schema-minitems", "list at least one, e.g. [replace-compressor]"),
    ("job.yaml", "date: 2026-03-18", "date:", "schema-type", "year-month-day, e.g. 2026-03-18"),
    ("kit.yaml", "resolution: 1 degF", "resolution: 1", "quantity", "e.g. 1 degF"),
    ("kit.yaml", "resolution: 0.5 oz", "resolution: half", "quantity", "e.g. 0.5 oz"),
    ("kit.yaml", "core_tools: 2", "core_tools: some", "schema-type", "e.g. 2"),
    ("equipment.yaml", "R-448A", "R-408A", "refrigerant-refused", "published chart"),
    ("equipment.yaml", "condensing-unit-receiver", "condenser", "unknown-circuit-plan", "split"),
    ("equipment.yaml", "size: 1/2 in, length", "size: 9/16 in, length", "tube-size", "outside"),
    ("equipment.yaml", "    evaporating: {low: 18 degF, high: 30 degF}\n", "", "missing-input", "evaporating"),
    ("equipment.yaml", "metals: [copper, copper]", "metals: [copper, tin]", "unknown-word", "brass"),
    ("equipment.yaml", "drier.in:", "drier.inn:", "joint-missing", "add drier.in"),
    ("job.yaml", "format: job/1", "format: job/2", "format", "wanted 'job/1'"),
    ("job.yaml", "kit: kit.yaml", "kit: kot.yaml", "file-missing", "did you mean kit.yaml?"),
    ("job.yaml", "kit: kit.yaml", "kit: ../../../etc/passwd.yaml", "reference-outside", "shop"),
    ("job.yaml", "kit: kit.yaml", "kit: van-7", "reference", ".yaml"),
    ("job.yaml", "rules: us-federal", "rules: us-fed", "unknown-rules", "did you mean us-federal?"),
    ("job.yaml", "date: 2026-03-18", "date: 2026-02-30", "date", "is no date"),
    ("job.yaml", "date: 2026-03-18", "date: 18.3.2026", "date", "2026-03-18"),
    ("job.yaml", "a: [replace-compressor]", "a: [replace-compresor]", "unknown-work", "did you mean"),
    ("job.yaml", "a: [replace-compressor]", "b: [replace-compressor]", "unknown-circuit", "'b'"),
    ("job.yaml", "clean-condenser-coil", "replace-drier", "unknown-work", "fills waiting time"),
    ("job.yaml", "discharge: 7/8 in}", "discharge: 5/8 in}", "part-size", "7/8 in"),
    ("job.yaml", "volts: 208 V", "volts: 460 V", "part-supply", "460 V"),
    ("job.yaml", "R-448A, R-449A", "R-449A", "part-refrigerant", "not listed for R-448A"),
    ("job.yaml", "kind: POE 32", "kind: MO 32", "part-oil", "MO 32"),
    ("job.yaml", "hottest_pipe: 95 degF", "hottest_pipe: 40 degF", "hottest-pipe", "colder"),
    ("job.yaml", "[universal]", "[type-i]", "certification", "universal"),
    ("kit.yaml", "    evacuated: true\n", "", "cylinder-room", "empty, evacuated cylinder"),
    ("kit.yaml", "2029-02-28", "2026-02-28", "cylinder-room", "retest was due 2026-02-28"),
    ("kit.yaml", "rated_for: [A1, A2L]", "rated_for: [A2L]", "recovery-machine", "class A1"),
    ("kit.yaml", "refrigerant: R-448A, gross", "refrigerant: R-404A, gross", "charge-short", "load"),
    ("kit.yaml", "gross: 35 lb 4 oz", "gross: 25 lb", "charge-short", "14 lb 8 oz"),
    ("kit.yaml", "pressure: 2015 psig", "pressure: 300 psig", "nitrogen-short", "another cylinder"),
    ("kit.yaml", "resolution: 1 degF", "resolution: 10 degF", "gauge-too-coarse", "finer"),
    ("kit.yaml", "capacity: 220 lb", "capacity: 30 lb", "scale-capacity", "N-31"),
    ("kit.yaml", "calibrated: 2025-11-04", "calibrated: 2027-01-01", "calibration-date", "after"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("file", "old", "new", "code", "says"), WRONG, ids=lambda part: str(part)[:24]
)
def test_what_is_wrong_stops_with_place_and_fix(
    tmp_path: Path, file: str, old: str, new: str, code: str, says: str
) -> None:
    done = jobs.prepared(tmp_path, {file: [(old, new)]})
    assert done.packet is None
    found = [f for f in done.findings.errors() if f.code == code]
    assert found, [str(f) for f in done.findings]
    assert any(says in f"{f.message} {f.fix}" for f in found), [str(f) for f in found]
    for finding in done.findings.errors():
        assert finding.place.line > 0, str(finding)
        assert finding.fix, str(finding)


def test_all_problems_of_all_files_come_in_one_run_sorted(tmp_path: Path) -> None:
    done = jobs.prepared(
        tmp_path,
        {
            "job.yaml": [("date: 2026-03-18", "date: soon"), ("revision: 1\n", "")],
            "equipment.yaml": [("charge: 14 lb 8 oz", "charge: 14"), ("use: com", "used: com")],
            "kit.yaml": [("core_tools: 2", "core_tools: two")],
        },
    )
    places = [(f.place.file, f.place.line, f.code) for f in done.findings]
    assert places == sorted(places)
    assert {Path(file).name for file, _, _ in places} == {"job.yaml", "equipment.yaml", "kit.yaml"}
    assert len(places) == 6


def test_one_unreadable_file_does_not_hide_the_next(tmp_path: Path) -> None:
    job = jobs.copy(tmp_path, {"equipment.yaml": [("charge: 14 lb 8 oz", "charge: 14")]})
    (tmp_path / "kit.yaml").write_bytes(b"\xff\xfe")
    assert sorted(f.code for f in prepare(job).findings) == ["file-encoding", "quantity"]


def test_links_out_of_the_shop_are_not_followed(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    job = jobs.copy(shop)
    (tmp_path / "outside.yaml").write_text((shop / "kit.yaml").read_text())
    (shop / "kit.yaml").unlink()
    (shop / "kit.yaml").symlink_to(tmp_path / "outside.yaml")
    assert [f.code for f in prepare(job).findings.errors()] == ["reference-outside"]


def test_the_shop_s_root_is_where_its_packets_yaml_stands(tmp_path: Path) -> None:
    (tmp_path / "packets.yaml").write_text("format: shop/1\nname: Invented Shop\n")
    folder = tmp_path / "jobs" / "1142"
    folder.mkdir(parents=True)
    jobs.copy(folder, {"job.yaml": [("kit: kit.yaml", "kit: ../../kits/van-7.yaml")]})
    (tmp_path / "kits").mkdir()
    (folder / "kit.yaml").rename(tmp_path / "kits" / "van-7.yaml")
    assert prepare(folder / "job.yaml").packet is not None


def test_words_in_a_job_are_printed_not_obeyed(tmp_path: Path) -> None:
    done = jobs.prepared(
        tmp_path,
        {"job.yaml": [("R. Amsel, plant floor", "'<b>{{ 7*7 }}</b> {hold.limit} **x**'")]},
    )
    assert done.packet is not None
    assert ("Contact", "<b>{{ 7*7 }}</b> {hold.limit} **x**") in done.packet.dispatch.site


LINES = {name: (jobs.EXAMPLE / name).read_text().splitlines() for name in jobs.FILES}


@settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.data())
def test_any_damage_to_a_line_gives_a_packet_or_findings(
    tmp_path: Path, data: st.DataObject
) -> None:
    name = data.draw(st.sampled_from(jobs.FILES))
    lines = list(LINES[name])
    at = data.draw(st.integers(0, len(lines) - 1))
    lines[at] = data.draw(
        st.one_of(
            st.just(""),
            st.just(lines[at] * 2),
            st.just(lines[at].replace(" ", "", 1)),
            st.text(max_size=30).map(lambda text: lines[at] + text),
            st.from_regex(r"\d{1,6}", fullmatch=True).map(
                lambda digits: lines[at].replace("1", digits, 1)
            ),
        )
    )
    job = jobs.copy(tmp_path)
    (tmp_path / name).write_text("\n".join(lines), encoding="utf-8", errors="surrogatepass")
    done = prepare(job)
    assert (done.packet is None) == done.findings.stop
