"""Statements that cannot be true together, and numbers that no machine, tool or day has."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests import jobs

CHARGE = "    charge: 14 lb 8 oz\n"
CLINIC, LIBRARY = jobs.EXAMPLES / "clinic-wall-split", jobs.EXAMPLES / "library-heat-pump"

# file, old text, new text, code, what the finding says. Bounds: common practice, no source.
APART = [
    ("equipment.yaml", "length: 42 ft}", "length: 15840 ft}", "quantity", "not between 1/2 in and 1000 ft"),
    ("equipment.yaml", "length: 42 ft}", "length: -42 ft}", "quantity", "not between"),
    ("equipment.yaml", "charge: 14 lb 8 oz", "charge: 1 g", "quantity", "not between 0.5 oz"),
    ("equipment.yaml", "altitude: 980 ft", "altitude: 32000 ft", "altitude", "above the sea"),
    ("equipment.yaml", "rated_load_current: 13.7 A", "rated_load_current: 1 mA", "quantity", "0.1 A"),
    ("equipment.yaml", "setting: 450 psig", "setting: 1 psig", "quantity", "10 psig"),
    ("kit.yaml", "outlet: 500 psig", "outlet: 1 psig", "quantity", "25 psig"),
    ("kit.yaml", "core_tools: 2", "core_tools: 2\nvacuum_manifold: {bore: 0.01 in, length: 3 ft}", "quantity", "1/16 in"),
    ("job.yaml", "outdoor: 68 degF", "outdoor: 300 degF", "quantity", "130 degF"),
    ("equipment.yaml", "condensing: {low: 90 degF, high: 120 degF}", "condensing: {low: 0 degF, high: 10 degF}", "range", "highest condensing"),
    ("equipment.yaml", "superheat_within: 3 degF", "superheat_within: 10 degF", "range", "the superheat of 8 degF"),
    ("equipment.yaml", "low_pressure_cut_out: 18 psig", "low_pressure_cut_out: 41 psig", "range", "the cut-in's 40 psig"),
    ("equipment.yaml", "high_pressure_cut_out: 395 psig", "high_pressure_cut_out: 460 psig", "range", "the plate's 450 psig"),
    ("equipment.yaml", "coldest: 35 degF", "coldest: 50 degF", "range", "warmer than the setpoint"),
    ("equipment.yaml", "setpoint: 36 degF", "setpoint: 36 degC", "range", "far from the coldest"),
    ("equipment.yaml", "evaporating: {low: 18 degF, high: 30 degF}", "evaporating: {low: 18 degF, high: 60 degF}", "range", "cools no store to 36 degF"),
    ("job.yaml", "coldest_pipe: 36 degF", "coldest_pipe: 36 degC", "range", "warmer than the hottest, 95 degF"),
    ("equipment.yaml", "superheat: 8 degF", "superheat: 60 degF", "quantity", "45 degF"),
    ("equipment.yaml", "internal_volume: 0.9 ft3", "internal_volume: 0.2 ft3", "volume-charge", "as liquid"),
    ("equipment.yaml", CHARGE, f"{CHARGE}    additions: [{{date: 2030-01-01, mass: 3 lb}}]\n", "date-after", "2030-01-01"),
    ("equipment.yaml", CHARGE, f"{CHARGE}    leak_verified: 2030-01-01\n", "date-after", "2030-01-01"),
    ("kit.yaml", "as_of: 2026-03-16", "as_of: 2026-03-19", "date-after", "2026-03-19"),
    ("kit.yaml", "made: 2021-03-01", "made: 2031-03-01", "date-after", "2031-03-01"),
    ("kit.yaml", "pressure: 2015 psig", "pressure: 5015 psig", "range", "full cylinder's 2200 psig"),
    ("equipment.yaml", "{name: discharge-line,", "{name: liquid-line,", "line-twice", "described twice"),
    ("equipment.yaml", "internal_volume: 0.9 ft3", "internal_volume: 0.2 ft3", "volume-parts", "by themselves"),
    ("equipment.yaml", CHARGE, f"{CHARGE}    part_volumes: {{receiver: 5 ft3}}\n", "volume-parts", "by themselves"),
    ("equipment.yaml", "charge: 14 lb 8 oz", "charge: 2 lb", "charge-lines", "hold more than the charge"),
    ("kit.yaml", "resolution: 1 micron", "resolution: 1000 micron", "no-chart", "rise chart"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("file", "old", "new", "code", "says"), APART, ids=lambda part: str(part)[:30]
)
def test_what_cannot_be_stops_at_its_line(
    tmp_path: Path, file: str, old: str, new: str, code: str, says: str
) -> None:
    done = jobs.prepared(tmp_path, {file: [(old, new)]})
    assert done.packet is None
    found = [f for f in done.findings.errors() if f.code == code]
    assert any(says in f.message for f in found), [str(f) for f in done.findings]
    for finding in found:
        assert finding.place.line > 1 or finding.place.file.startswith("procedures")
        assert finding.fix


# file, old text, new text, code: what may be so, and is told.
ODD = [
    ("equipment.yaml", CHARGE, f"{CHARGE}    additions: [{{date: 2025-06-01, mass: 3 lb}}, {{date: 2025-06-01, mass: 3 lb}}]\n", "addition-twice"),
    ("equipment.yaml", "      drier.in:", "      dryer.in: {size: 1/2 in, kind: brazed, metals: [copper, copper]}\n      drier.in:", "joint-not-drawn"),
    ("job.yaml", "coldest_pipe: 36 degF", "coldest_pipe: 85 degF", "coldest-pipe"),
    ("equipment.yaml", "setpoint: 36 degF, coldest: 35 degF", "setpoint: 38 degC, coldest: 35 degC", "store-far"),
    ("equipment.yaml", "superheat: 8 degF", "superheat: 19 degF", "superheat-high"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "old", "new", "code"), ODD, ids=lambda part: str(part)[:30])
def test_what_is_odd_is_told_and_printed(
    tmp_path: Path, file: str, old: str, new: str, code: str
) -> None:
    done = jobs.prepared(tmp_path, {file: [(old, new)]})
    assert done.packet is not None, [str(f) for f in done.findings]
    assert code in [f.code for f in done.findings]


def test_a_receiver_s_charge_without_a_receiver_is_told(tmp_path: Path) -> None:
    held = "    receiver_charge: {evaporator: 3 lb, condenser: 2 lb, receiver_minimum: 1 lb}\n"
    plate = "    charge: 6 lb 2 oz\n"
    done = jobs.prepared(tmp_path, {"equipment.yaml": [(plate, plate + held)]}, LIBRARY)
    assert "receiver-none" in [f.code for f in done.findings]


@pytest.mark.parametrize("example", [jobs.EXAMPLE, CLINIC, LIBRARY], ids=lambda path: path.name)
def test_a_sound_job_is_not_doubted(tmp_path: Path, example: Path) -> None:
    done = jobs.prepared(tmp_path, example=example)
    assert done.packet is not None
    doubts = {"joint-not-drawn", "addition-twice", "receiver-none"}
    doubts |= {"coldest-pipe", "store-far", "superheat-high"}
    assert not doubts & {f.code for f in done.findings}


CIRCUIT = "    circuit: condensing-unit-receiver\n"
ADD = "{add: glass, in: liquid-line, kind: sight-glass, at: [3, 3]"
# the differences, code, the number of the difference at whose line it is told, or None
DIFFERENCES = [
    (["{remove: condenser}"], "no-condenser", None),
    (["{remove: evaporator}"], "no-evaporator", None),
    (["{remove: metering}"], "no-metering", None),
    ([f"{ADD}}}", "{add: other, in: suction-line, kind: sight-glass}"], "part-without-place", 1),
    ([f"{ADD}, name: 'glass \N{SNOWFLAKE}\N{VARIATION SELECTOR-16}'}}"], "unprintable", 0),
]  # fmt: skip


@pytest.mark.parametrize(("rows", "code", "at"), DIFFERENCES, ids=lambda part: str(part)[:30])
def test_a_machine_s_differences_leave_a_machine_that_can_be_drawn(
    tmp_path: Path, rows: list[str], code: str, at: int | None
) -> None:
    text = "    differences:\n" + "".join(f"      - {row}\n" for row in rows)
    done = jobs.prepared(tmp_path, {"equipment.yaml": [(CIRCUIT, CIRCUIT + text)]})
    assert done.packet is None
    lines = {f.place.line for f in done.findings.errors() if f.code == code}
    first = (tmp_path / "equipment.yaml").read_text().splitlines().index("    differences:") + 2
    assert lines == {first + (at or 0)}, [str(f) for f in done.findings]
