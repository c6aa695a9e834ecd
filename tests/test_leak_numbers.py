"""Leak rates in the register and on the record: worked by hand beside each check."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.numbers.leak_rate import _Case
from packets.pipeline import Prepared
from tests import jobs
from tests.splits import number, register, stopped, warned

POUND = 0.45359237


def leaking(folder: Path, additions: str | None, more: str = "", charge: str = "60 lb") -> Prepared:
    """The creamery's machine with a charge that the leak rules cover."""
    history = f"    additions: {additions}\n" if additions is not None else ""
    record = [
        ("charge: 14 lb 8 oz", f"charge: {charge}"),
        ("    internal_volume", f"{history}{more}    internal_volume"),
    ]
    kit = [
        ("gross: 35 lb 4 oz", "gross: 120 lb"),
        ("water_capacity: 47.7 lb\n    tare: 27.6 lb", "water_capacity: 125 lb\n    tare: 60 lb"),
    ]
    return jobs.prepared(folder, {"equipment.yaml": record, "kit.yaml": kit})


TWICE = "[{date: 2026-01-17, mass: 2 lb}, {date: 2025-06-01, mass: 3 lb}]"


def test_both_methods_and_what_may_be_added(tmp_path: Path) -> None:
    # Job 2026-03-18. Annualizing at the last addition: 2/60 x 365/230 d = 5.3 %; rolling: 5/60 =
    # 8.3 %. To stay at 20 %: 0.2 x 60 x 60 d/365 = 1.97 lb, or 0.2 x 60 - 5 = 7 lb; no method is
    # stated, so the smaller.
    done = leaking(tmp_path, TWICE)
    assert number(done, "leak.annualized").value == pytest.approx(2 / 60 * 365 / 230)
    assert number(done, "leak.rolling").value == pytest.approx(5 / 60)
    assert number(done, "leak.most").value / POUND == pytest.approx(0.2 * 60 * 60 / 365)
    assert "smaller of the two" in number(done, "leak.most").assumption
    assert not warned(done, "leak-rate")


def test_the_owner_s_method_governs(tmp_path: Path) -> None:
    done = leaking(tmp_path, TWICE, "    leak_method: rolling-average\n")
    assert number(done, "leak.most").value / POUND == pytest.approx(7.0)
    assert "rolling average" in number(done, "leak.most").label


def test_over_the_trigger_already_is_told_before_dispatch_with_the_day(tmp_path: Path) -> None:
    # 10 lb after 77 days: 10/60 x 365/77 = 79 %. Repair within 30 days of 18 March: 17 April.
    much = "[{date: 2025-11-01, mass: 8 lb}, {date: 2026-01-17, mass: 10 lb}]"
    done = leaking(tmp_path, much)
    assert "79% annualizing and 30% rolling average" in warned(done, "leak-rate")
    assert "2026-04-17" in warned(done, "leak-rate")
    assert done.packet is not None
    assert any("79%" in words for words in done.packet.dispatch.attention)
    assert number(done, "leak.most").value == 0.0


def test_a_verification_passed_since_ends_the_period(tmp_path: Path) -> None:
    much = "[{date: 2025-11-01, mass: 8 lb}, {date: 2026-01-17, mass: 10 lb}]"
    done = leaking(tmp_path, much, "    leak_verified: 2026-02-01\n")
    assert number(done, "leak.rolling").value == 0.0
    assert not warned(done, "leak-rate")


def test_nothing_added_counts_a_whole_year(tmp_path: Path) -> None:
    done = leaking(tmp_path, "[]")
    assert number(done, "leak.most").value / POUND == pytest.approx(12.0)


def test_a_history_nobody_wrote_down_is_asked_for_and_left_blank_on_the_record(
    tmp_path: Path,
) -> None:
    done = leaking(tmp_path, None)
    assert "circuits.a.additions" in warned(done, "leak-history")
    assert done.packet is not None, [str(f) for f in done.findings]
    (line,) = [line for line in done.packet.record if line.wide and not line.value]
    assert line.field == "a__record__leak-most"


def test_the_record_carries_them_only_where_the_rules_apply(tmp_path: Path) -> None:
    small = jobs.prepared(tmp_path)
    assert small.packet is not None
    assert not [line for line in small.packet.record if line.wide]
    assert "leak.most" not in register(small)
    large = leaking(tmp_path, TWICE)
    assert large.packet is not None
    labels = [line.label for line in large.packet.record if line.wide]
    assert labels[-1] == "Keep this record"
    assert any(label.startswith("Most net added") for label in labels)


@pytest.mark.parametrize(
    ("refrigerant", "charge", "day", "applies"),
    [
        ("R-448A", "15 lb", "2026-03-18", True),
        ("R-448A", "14 lb 15 oz", "2026-03-18", False),
        ("R-448A", "49 lb", "2025-12-31", False),
        ("R-22", "49 lb", "2026-03-18", False),
        ("R-22", "50 lb", "2025-12-31", True),
        ("R-1234yf", "200 lb", "2026-03-18", False),
    ],
)
def test_which_charges_the_rules_cover(
    tmp_path: Path, refrigerant: str, charge: str, day: str, applies: bool
) -> None:
    # 40 CFR 82.157(a): 50 lb, ozone-depleting; 40 CFR 84.106: 15 lb of HFC or of a substitute with
    # a warming potential above 53, from 1 January 2026.
    done = jobs.prepared(
        tmp_path,
        {
            "equipment.yaml": [
                ("charge: 14 lb 8 oz", f"charge: {charge}"),
                ("refrigerant: R-448A", f"refrigerant: {refrigerant}"),
                ("    internal_volume", "    additions: []\n    internal_volume"),
            ],
            "kit.yaml": [("refrigerant: R-448A", f"refrigerant: {refrigerant}")],
            "job.yaml": [("date: 2026-03-18", f"date: {day}")],
        },
    )
    assert ("leak.most" in register(done)) == applies


def test_an_addition_after_the_job_is_a_slip(tmp_path: Path) -> None:
    done = leaking(tmp_path, "[{date: 2026-04-01, mass: 2 lb}]")
    assert "check the date" in stopped(done, "addition-date")


additions = st.lists(
    st.tuples(st.dates(date(2024, 1, 1), date(2026, 3, 18)), st.floats(0, 20)), max_size=8
)


@given(additions, st.floats(0.01, 20))
def test_one_more_addition_never_lowers_the_rolling_sum(
    held: list[tuple[date, float]], more: float
) -> None:
    day = date(2026, 3, 18)
    before = _Case(0.2, 50.0, tuple(sorted(held)), day, None)
    after = _Case(0.2, 50.0, tuple(sorted([*held, (day, more)])), day, None)
    assert after.in_period == pytest.approx(before.in_period + more)
    assert 1.0 <= after.days <= before.days
