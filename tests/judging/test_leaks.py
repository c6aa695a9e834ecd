"""Leak rate, what triggers, and by when.

Source: 40 CFR 82.152 and 82.157 (the two methods; 10 lb into 200 lb after 60 days is 30.4 % a
year by the annualizing method and 5 % by the rolling average); deadlines of 30 and 10 days from
memory.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from packets.findings import Findings
from packets.judging import leaks
from packets.model.basis import Basis, CircuitBasis
from packets.model.history import Charge, History
from packets.model.record import Balance, LeakRate
from packets.quantities import Quantity
from packets.record import make
from packets.record.actions import months_after
from tests import filling

POUND = 0.45359237
PACKET = filling.creamery()
assert PACKET.basis is not None
RULES = PACKET.basis.rules
DAY = date(2026, 3, 20)


def circuit(full: float = 200.0, **more: object) -> CircuitBasis:
    """A circuit of an HFC with so many pounds."""
    made = CircuitBasis("a", "R-448A", full * POUND, "recorded", 1e5, 0.014, warming=1390.0)
    return replace(made, **more)  # type: ignore[arg-type]


def added(pounds: float | None) -> Balance:
    """A service that added so many pounds."""
    mass = None if pounds is None else pounds * POUND
    return Balance("a", "R-448A", 0.0, 0.0, mass, None, mass, mass, 0.03)


def past(*charges: tuple[str, float], since: str | None = "2020-01-01", **more: date) -> History:
    """A history of charges in pounds."""
    made = tuple(
        Charge(date.fromisoformat(day), Quantity(lb * POUND, "mass", f"{lb} lb"), "a", **more)
        for day, lb in charges
    )
    return History("rack", made, date.fromisoformat(since) if since else None)


def rate(balance: Balance, history: History | None, of: CircuitBasis | None = None) -> LeakRate:
    """The rate of a commercial machine on the day."""
    basis = Basis("commercial-refrigeration", (), RULES)
    return leaks.rate(basis, of or circuit(), balance, DAY, history)


def test_the_rules_own_example() -> None:
    found = rate(added(10), past(("2026-01-19", 3.0)))  # 60 days before
    assert found.annualized == pytest.approx(0.304, abs=5e-4)
    assert found.above is True  # over 20 %
    assert "60 days" in found.annualized_about


def test_the_rolling_average_adds_up_a_year() -> None:
    found = rate(added(10), past(("2025-03-20", 50.0), ("2025-06-01", 20.0), ("2026-01-19", 3.0)))
    # The charge of exactly 365 days before is out of the year: 10 + 20 + 3 = 33 of 200.
    assert found.rolling == pytest.approx(0.165, abs=1e-9)


def test_a_follow_up_that_passed_starts_the_year_anew() -> None:
    charges = past(("2025-06-01", 20.0), ("2026-01-19", 3.0), verified=date(2026, 1, 29))
    assert rate(added(10), charges).rolling == pytest.approx(0.05)


def test_where_the_methods_disagree_the_owners_governs() -> None:
    found = rate(added(10), past(("2026-01-19", 0.1)))
    assert found.annualized is not None and found.rolling is not None
    assert found.annualized > 0.2 > found.rolling
    assert any("owner's chosen method" in note for note in found.notes)


def test_without_a_history_no_rate_is_made_up() -> None:
    found = rate(added(10), None)
    assert found.annualized is None and found.rolling is None
    assert "no earlier charge is known" in found.annualized_about
    assert found.above is None


def test_a_gap_in_the_history_gives_the_least_it_can_be() -> None:
    found = rate(added(50), past(("2026-01-19", 10.0), since=None))
    assert found.rolling is None and "at least 30.0 %" in found.rolling_about
    assert found.above is True


def test_nothing_added_for_more_than_a_year_counts_a_year() -> None:
    found = rate(added(10), past(since="2020-01-01"))
    assert found.annualized == pytest.approx(0.05)


def test_what_was_not_weighed_has_no_rate() -> None:
    assert rate(added(None), past(("2026-01-19", 3.0))).annualized is None


@pytest.mark.parametrize(
    ("of", "covered"),
    [
        (circuit(15.0), True),
        (circuit(14.5), False),
        (circuit(49.0, ozone_depleting=True, refrigerant="R-22"), False),
        (circuit(50.0, ozone_depleting=True, refrigerant="R-22"), True),
        (circuit(100.0, warming=4.0, refrigerant="R-1234yf"), False),
    ],
)
def test_which_machines_the_rules_cover(of: CircuitBasis, covered: bool) -> None:
    found = rate(added(10), past(("2026-01-19", 3.0)), of)
    assert (found.trigger is not None) is covered
    assert covered or found.above is None


def test_a_trigger_brings_its_deadlines_with_days() -> None:
    large = replace(PACKET.basis.circuits[0], full_charge=30 * POUND)  # type: ignore[union-attr]
    packet = replace(PACKET, basis=replace(PACKET.basis, circuits=(large,)))  # type: ignore[type-var]
    answers = {"record__service-date": "2026-03-20"}
    record = make(
        packet,
        filling.readings(packet, {**WEIGHTS, **answers}),
        past(("2026-02-18", 1.0)),
        Findings(),
    )
    assert record.leaks[0].above is True
    due = {one.what.split(";")[0]: one.due for one in record.actions}
    assert due["Repair after a leak rate above its trigger"] == "2026-04-19"
    assert due["Follow-up verification test"] == "2026-03-30"
    assert all(one.until == "2029-03-20" for one in record.keep if "3 years" in one.keep)


# 10 lb out, 14 lb 8 oz in.
WEIGHTS = {
    "recover__cylinder-1__fill__r-weight-start": "27 lb 9.5 oz",
    "recover__cylinder-1__fill__r-weight-end": "37 lb 9.5 oz",
    "recover__clear__r-recovered": "10 lb 0 oz",
    "weigh-in-charge__cylinder-1__break-vacuum__r-scale-start": "35 lb 4 oz",
    "weigh-in-charge__cylinder-1__charge-on__r-scale-end-on": "20 lb 12 oz",
}


def test_more_than_the_charge_lost_in_a_year_is_reported_by_march() -> None:
    small = replace(PACKET.basis.circuits[0], full_charge=20 * POUND)  # type: ignore[union-attr]
    packet = replace(PACKET, basis=replace(PACKET.basis, circuits=(small,)))  # type: ignore[type-var]
    record = make(
        packet,
        filling.readings(packet, {**WEIGHTS, "record__service-date": "2026-03-20"}),
        past(("2026-02-18", 21.0)),  # 21 + 4.5 of 20 lb: 127 %
        Findings(),
    )
    assert "2027-03-01" in [one.due for one in record.actions]


def test_reviewed_twice_a_job_counts_once() -> None:
    own = replace(past(("2026-02-18", 1.0)).charges[0], job=PACKET.job, day=DAY)
    history = History("cooler-2", (*past(("2025-06-11", 1.5)).charges, own), date(2020, 1, 1))
    answers = {**WEIGHTS, "record__service-date": "2026-03-20"}
    twice = make(PACKET, filling.readings(PACKET, answers), history, Findings())
    once = make(PACKET, filling.readings(PACKET, answers), past(("2025-06-11", 1.5)), Findings())
    assert twice.leaks == once.leaks


@pytest.mark.parametrize(
    ("day", "months", "then"),
    [
        ("2026-03-20", 36, "2029-03-20"),
        ("2028-02-29", 12, "2029-02-28"),
        ("2026-08-31", 6, "2027-02-28"),
        ("2026-12-31", 1, "2027-01-31"),
    ],
)
def test_months_and_years_on(day: str, months: int, then: str) -> None:
    assert months_after(date.fromisoformat(day), months) == date.fromisoformat(then)
