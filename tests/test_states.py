"""What keeps a job open, lets it wait, or closes it. Rates: 40 CFR 82.157, from memory."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from packets import record, record_files
from packets.findings import Findings, Place
from packets.model.basis import CoverRule
from packets.model.history import Charge, History
from packets.model.packet import Packet
from packets.model.readings import DUTIES, LEAK_RATE
from packets.model.record import Record
from packets.quantities import parse
from tests import filling
from tests.returned import Answers

PACKET = filling.creamery()
# Every answer of the return visits left empty.
VISITS: Answers = {
    name: None for name in filling.names(PACKET) if name.startswith("return-visit__")
}
FIRST_DAY = "return-visit__drop__r-first-day"
SECOND = ("return-visit__drop__r-second-day", "return-visit__drop__r-second-drop")


def made(
    answers: Answers,
    packet: Packet = PACKET,
    past: History | None = None,
    accepted: dict[str, str] | None = None,
    findings: Findings | None = None,
) -> Record:
    """The record of the good day with other answers."""
    given = filling.readings(packet, {**filling.GOOD, **answers})
    given = replace(given, accepted=accepted or {})
    return record.make(packet, given, past, findings or Findings())


def covered() -> Packet:
    """The packet of a machine that the rules' leak part covers."""
    assert PACKET.basis is not None
    rules = replace(PACKET.basis.rules, covers=(CoverRule("hfc", 5.0),))
    return replace(PACKET, basis=replace(PACKET.basis, rules=rules))


def past(charged: str, day: date) -> History:
    """A complete history with one earlier charge."""
    one = Charge(day, parse(charged, "mass"), "a")
    return History("cooler-2", (one,), date(2023, 1, 1))


def test_a_good_day_is_closed() -> None:
    one = made({})
    assert one.state == "closed" and record_files.settled(one, date(2099, 1, 1))


def test_visits_to_come_let_a_job_wait_until_their_day() -> None:
    one = made(VISITS)
    assert one.state == "waiting"
    due = sorted(action.due for action in one.actions if action.waits)
    # 24 h and 48 h after the day finished, 2026-03-20: common practice, no source.
    assert due == ["2026-03-21", "2026-03-22"]
    assert record_files.settled(one, date(2026, 3, 21))
    assert not record_files.settled(one, date(2026, 3, 22))


def test_one_visit_made_and_one_to_come_waits() -> None:
    one = made(dict.fromkeys(SECOND))
    assert one.state == "waiting"
    assert [action.due for action in one.actions if action.waits] == ["2026-03-22"]


def test_a_visit_with_a_day_and_no_reading_is_open() -> None:
    assert made({"return-visit__drop__r-second-drop": None}).state == "open"


def test_a_visit_that_found_acid_is_open_and_never_waits() -> None:
    late = {**dict.fromkeys(SECOND), "return-visit__acid__r-acid-two": "acid"}
    assert made(late).state == "open"


def test_anything_else_that_is_missing_is_open_beside_a_visit_to_come() -> None:
    assert made({**VISITS, "start-up__start__r-amps": None}).state == "open"
    assert made({**VISITS, "start-up__start__tick": None}).state == "open"


def test_an_error_against_the_readings_keeps_the_job_open() -> None:
    findings = Findings()
    findings.error("field-unknown", Place("paper", 4, 1), "no box is called so", "")
    assert made({}, findings=findings).state == "open"
    elsewhere = Findings()
    elsewhere.error("schema", Place("kit.yaml"), "of another file", "")
    assert made({}, findings=elsewhere).state == "closed"


def test_a_leak_rate_that_is_not_known_waits_for_the_owner() -> None:
    packet = covered()
    one = made({}, packet)
    assert one.leaks[0].trigger == 0.2 and one.leaks[0].above is None
    assert one.state == "open"
    assert any("owner" in action.what for action in one.actions)
    assert made({}, packet, accepted={LEAK_RATE: "R. Amsel, owner"}).state == "closed"


def test_below_the_size_of_the_rules_nothing_is_asked() -> None:
    one = made({})
    assert one.leaks[0].trigger is None and one.state == "closed"
    assert not any("owner" in action.what for action in one.actions)


def test_a_rate_above_the_trigger_is_open_then_waits_then_closes() -> None:
    # 1 lb net into 14.5 lb, 10 days after the last charge: 1 / 14.5 x 365 / 10 = 252 % a year.
    packet, before = covered(), past("2 lb", date(2026, 3, 10))
    assert made({}, packet, before).state == "open"
    owner = {LEAK_RATE: "R. Amsel, owner, told in writing"}
    waiting = made({}, packet, before, owner)
    assert waiting.leaks[0].above is True and waiting.state == "waiting"
    # 30 days to repair and 10 to the follow-up test, from 2026-03-20 (82.157(d), (e), from memory).
    assert {a.due for a in waiting.actions if a.waits} >= {"2026-03-30", "2026-04-19"}
    done = {**owner, DUTIES: "R. Lund, follow-up test passed 2026-03-28"}
    assert made({}, packet, before, done).state == "closed"


def test_a_rate_below_the_trigger_closes() -> None:
    # 1 lb net into 14.5 lb, 365 days: 6.9 % a year.
    before = past("2 lb", date(2024, 1, 10))
    assert made({}, covered(), before).state == "closed"
