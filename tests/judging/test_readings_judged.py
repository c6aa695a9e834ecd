"""Each reading against the limit that was printed: on it, over it, empty, impossible."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from packets import record
from packets.composing.hashing import as_data
from packets.findings import Findings
from packets.judging import judge
from packets.model.blanks import blanks
from packets.model.limits import VACUUM, Limit, plain
from packets.model.packet import Blank, Packet
from tests import filling

PACKET = filling.creamery()


def edges() -> list[tuple[str, str, Blank, Decimal, Decimal]]:
    """Every printed end of every limit in numbers of every example: on it, one step past it."""
    return [(folder, *edge) for folder in sorted(filling.RETURNED) for edge in edges_of(folder)]


def edges_of(folder: str) -> list[tuple[str, Blank, Decimal, Decimal]]:
    found = []
    for _, _, attempt, blank in blanks(filling.example(folder)):
        limit = blank.limit
        if attempt > 1 or limit is None or limit.kind not in ("at_most", "at_least", "between"):
            continue
        step = blank.step or Decimal(1)
        for end, sign in ((limit.low, -1), (limit.high, 1)):
            if end is not None:
                found.append((filling.key(blank), blank, end, end + sign * step))
    return found


def written(value: Decimal, blank: Blank) -> str:
    """A value as it is written in that box."""
    if blank.unit == "lb oz":
        return f"{value // 16} lb {value % 16} oz"
    return plain(value)


@pytest.mark.parametrize(("said", "asked"), [("yes", False), ("warmer", True)])
def test_a_reading_is_missed_only_where_another_asks_for_it(said: str, asked: bool) -> None:
    box = "verify__by-weight__r-{}".format
    open_ = {box("liquid-pressure-warm"): None, box("liquid-line-warm"): None}
    packet = filling.example("library-heat-pump")
    found = filling.judged(packet, {box("outdoor"): said, **open_})
    (step,) = [one for one in found.steps if one.id.startswith("verify/by-weight@")]
    missed = [one.field.partition("__")[2] for one in step.readings if one.verdict == "missing"]
    assert missed == (list(open_) if asked else [])
    assert len(step.readings) == (4 if asked else 2)


@pytest.mark.parametrize("edge", edges(), ids=lambda edge: f"{edge[0]}-{edge[1]}={edge[3]}")
def test_a_reading_on_the_printed_limit_passes_and_one_step_past_it_does_not(
    edge: tuple[str, str, Blank, Decimal, Decimal],
) -> None:
    folder, name, blank, on, past = edge
    packet = filling.example(folder)
    inside = filling.reading(filling.judged(packet, {name: written(on, blank)}), name)
    assert inside.verdict == "pass"
    if past >= 0 or blank.quantity != "mass":
        outside = filling.reading(filling.judged(packet, {name: written(past, blank)}), name)
        assert outside.verdict in ("out", "not-plausible")
        assert outside.reason


HOLD = "pressure-hold__end__r-end-pressure"
PIPE = "pressure-hold__end__r-end-temperature"


def hold_rows(
    folder: str = filling.EXAMPLE.parent.name,
) -> list[tuple[Decimal, Decimal, Decimal]]:
    """The rows of an example's hold table as the paper prints them."""
    for _, _, _, blank in blanks(filling.example(folder)):
        if filling.key(blank) == HOLD and blank.limit is not None:
            return [(row.by, row.low, row.high) for row in blank.limit.rows]
    raise AssertionError("the packet has no hold table")


HOLDS = [(folder, row) for folder in sorted(filling.RETURNED) for row in hold_rows(folder)[::4]]


@pytest.mark.parametrize(("folder", "row"), HOLDS, ids=lambda part: str(part)[:24])
def test_each_row_of_the_hold_table_judges_as_it_reads(
    folder: str, row: tuple[Decimal, Decimal, Decimal]
) -> None:
    by, low, high = row
    for value, verdict in ((low, "pass"), (high, "pass"), (low - 1, "out"), (high + 1, "out")):
        found = filling.judged(filling.example(folder), {PIPE: str(by), HOLD: str(value)})
        assert filling.reading(found, HOLD).verdict == verdict, value


def test_between_two_rows_the_straight_line_judges() -> None:
    (cold, low, high), (warm, upper_low, upper_high) = hold_rows()[:2]
    between = (cold + warm) / 2
    least, most = (low + upper_low) / 2, (high + upper_high) / 2
    for value in (low, low + 1, high, high + 1):
        found = filling.judged(PACKET, {PIPE: str(between), HOLD: str(value)})
        assert (filling.reading(found, HOLD).verdict == "pass") is (least <= value <= most), value


def test_a_pipe_outside_the_table_is_not_judged() -> None:
    one = filling.reading(filling.judged(PACKET, {PIPE: "150", HOLD: "248"}), HOLD)
    assert one.verdict == "not-judged"
    assert "outside the printed table" in one.reason


def test_without_the_pipes_temperature_the_gauge_is_not_judged() -> None:
    one = filling.reading(filling.judged(PACKET, {PIPE: None, HOLD: "248"}), HOLD)
    assert one.verdict == "not-judged"


@pytest.mark.parametrize(
    ("name", "text", "why"),
    [
        # 228 psig is 1,572 kPa gauge (x 6.894757): the band at 52 °F is a few psi wide.
        (HOLD, "1572", "kPa"),
        (HOLD, "2280", "slipped point"),
        (HOLD, "22.8", "slipped point"),
        ("verify__superheat__r-suction-line", "-1", "°C"),  # -1 °C is 30.2 °F
        ("verify__heat__r-discharge-line", "2010", "no field instrument"),
        ("evacuate__pull__r-pulled", "900000", "ends at the air's pressure"),
        ("recover__level__r-reached", "-20", "perfect vacuum"),
        ("weigh-in-charge__close__r-charged", "14.5", "pounds or ounces"),
    ],
)
def test_what_cannot_be_right_is_told_from_what_is_out(name: str, text: str, why: str) -> None:
    answers = {PIPE: "52", name: text}
    one = filling.reading(filling.judged(PACKET, answers), name)
    assert one.verdict == "not-plausible"
    assert why in one.reason


@pytest.mark.parametrize(
    ("name", "text", "fix"),
    [
        ("evacuate__answer__r-shows", "tihgt", "did you mean tight?"),
        ("evacuate__pull__r-pulled", "0.8 torr", "one of: micron, Pa, mbar"),
        (HOLD, "140 psi", "write 140 psig (gauge)"),
        (HOLD, "5 furlong", "one of: psig, kPa gauge, MPa gauge, bar gauge, in. Hg vacuum"),
        ("weigh-in-charge__close__r-charged", "14.5", "write 14.5 lb, or 14.5 oz"),
    ],
)
def test_what_cannot_be_read_says_what_to_write(name: str, text: str, fix: str) -> None:
    one = filling.reading(filling.judged(PACKET, {name: text}), name)
    assert one.verdict == "not-plausible"
    assert fix in one.fix


def test_every_reading_that_keeps_a_job_open_says_a_way_on() -> None:
    told = Findings()
    record.make(PACKET, filling.readings(PACKET, filling.BAD), None, told)
    found = [one for one in told if one.code.startswith("reading-")]
    assert {one.code for one in found} >= {"reading-out", "reading-not-plausible"}
    assert all(one.fix for one in found)


def in_vacuum(packet: Packet, step: Decimal) -> Packet:
    """The packet with the recovery's level in inches of vacuum, 9.5 or deeper."""
    limit = Limit("at_most", VACUUM, high=Decimal("-9.5"))
    own = next(section for section in packet.sections if section.id == "recover@a")
    changed = tuple(
        replace(
            one,
            readings=tuple(
                tuple(
                    replace(b, unit=VACUUM, limit=limit, step=step) if b.id == "reached" else b
                    for b in row
                )
                for row in one.readings
            ),
        )
        for one in own.steps
    )
    sections = [replace(s, steps=changed) if s is own else s for s in packet.sections]
    return replace(packet, sections=tuple(sections))


@pytest.mark.parametrize(
    ("text", "verdict", "reason"),
    [
        # 10 psi are 20.36 in. Hg, 29.86 from the limit: nobody reads a vacuum gauge like that.
        ("10 psig", "out", "this is over the air's pressure, no vacuum"),
        ("9", "out", "0.5 in. Hg too shallow"),
        ("9.4", "out", "less than 0.5 in. Hg too shallow"),
        ("-10 inHg", "pass", ""),
    ],
)
def test_a_vacuum_box_says_plainly_what_is_wrong(text: str, verdict: str, reason: str) -> None:
    packet = in_vacuum(PACKET, Decimal("0.5"))
    one = filling.reading(
        filling.judged(packet, {"recover__level__r-reached": text}), "recover__level__r-reached"
    )
    assert (one.verdict, one.reason) == (verdict, reason)


def test_what_is_over_is_told_in_the_gauges_steps_and_the_unit_once() -> None:
    name = "verify__heat__r-discharge-line"
    # 150 °C is 302 °F; 150.3 °C is 302.54 °F, of which the thermometer's steps show 302 or 303.
    over = filling.reading(filling.judged(PACKET, {name: "150.3 °C"}), name)
    assert over.verdict == "out" and over.reason == "78 °F over"
    found = filling.judged(PACKET, {"verify__superheat__r-suction-line": "52 degF"})
    (heat,) = [test for test in found.tests if test.title == "Superheat"]
    assert "line 52 degF," in heat.reason


def test_an_honest_out_is_never_talked_away() -> None:
    # 5,000 micron could be 500 with a slipped point; but a wet machine reads 5,000 too.
    one = filling.reading(
        filling.judged(PACKET, {"evacuate__rise__r-risen": "5000"}), "evacuate__rise__r-risen"
    )
    assert one.verdict == "out"


def test_a_reading_finer_than_its_gauge_is_noted_and_judged() -> None:
    one = filling.reading(filling.judged(PACKET, {PIPE: "52", HOLD: "228.4"}), HOLD)
    assert one.verdict == "pass"
    assert "finer than the instrument G-1" in one.doubt


def test_a_later_try_replaces_the_one_before() -> None:
    found = filling.judged(
        PACKET,
        {"recover__level__r-after-wait": "4", "recover__level__r-reached__t2": "0",
         "recover__level__r-after-wait__t2": "0"},
    )  # fmt: skip
    step = next(one for one in found.steps if one.id.startswith("recover/level"))
    assert [(one.attempt, one.verdict, one.final) for one in step.readings] == [
        (1, "pass", False),
        (1, "out", False),
        (2, "pass", True),
        (2, "pass", True),
    ]


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("tight", "pass"),
        ("leak", "out"),
        ("tight + leak", "not-plausible"),
        ("ok", "not-plausible"),
    ],
)
def test_words_to_ring(text: str, verdict: str) -> None:
    name = "verify__leaks-at-head__r-running-leak"
    assert filling.reading(filling.judged(PACKET, {name: text}), name).verdict == verdict


def test_an_empty_box_is_missing_and_an_entry_is_kept_as_written() -> None:
    name = "verify__heat__r-amps"
    assert filling.reading(filling.judged(PACKET, {name: None}), name).verdict == "missing"
    assert filling.reading(filling.judged(PACKET, {name: "n/a"}), name).text == "n/a"


@pytest.mark.parametrize(
    ("start", "end", "good"),
    [
        ("15:05", "16:05", True),  # the hour that was asked
        ("15:05", "4:05", False),  # a fire watch of an hour does not reach past midnight
        ("23:30", "00:40", True),
        ("15:05", "04:05 +1", True),
        ("15:05", "4:05 pm", True),
    ],
)
def test_time_does_not_run_backwards(start: str, end: str, good: bool) -> None:
    found = filling.judged(
        PACKET,
        {"pressure-hold__watch__r-last-flame": start, "pressure-hold__watch__r-watch-over": end},
    )
    one = filling.reading(found, "pressure-hold__watch__r-watch-over")
    assert one.verdict == ("pass" if good else "not-plausible")


def test_days_run_forward_from_the_jobs_own() -> None:
    found = filling.judged(PACKET, {"return-visit__drop__r-first-day": "2025-03-21"})
    assert filling.reading(found, "return-visit__drop__r-first-day").verdict == "not-plausible"


def test_a_limit_read_on_site_is_not_judged() -> None:
    found = filling.judged(PACKET)
    on_site = [one for step in found.steps for one in step.readings if one.verdict == "not-judged"]
    assert all("read on site" in one.reason for one in on_site)


def test_judging_reads_the_printed_model_and_nothing_else() -> None:
    # The same readings on a packet whose limit was printed otherwise: the print decides.
    data = as_data(PACKET, frozenset())
    assert data["hash"] == PACKET.hash
    loose = _with_limit(PACKET, "verify__heat__r-amps", Decimal("99"))
    name = "verify__heat__r-amps"
    assert filling.reading(filling.judged(PACKET, {name: "20"}), name).verdict == "out"
    assert filling.reading(filling.judged(loose, {name: "20"}), name).verdict == "pass"


def _with_limit(packet: Packet, name: str, high: Decimal) -> Packet:
    def blank(one: Blank) -> Blank:
        if filling.key(one) != name or one.limit is None:
            return one
        return replace(one, limit=replace(one.limit, high=high))

    sections = tuple(
        replace(
            section,
            steps=tuple(
                replace(step, readings=tuple(tuple(map(blank, row)) for row in step.readings))
                for step in section.steps
            ),
        )
        for section in packet.sections
    )
    return replace(packet, sections=sections)


def test_what_the_manager_takes_as_it_is_says_who_and_what_it_was() -> None:
    name = "verify__heat__r-amps"
    readings = filling.readings(PACKET, {name: "14.2"})
    accepted = replace(readings, accepted={f"a__{name}": "R. Lund: hot day, within the curve"})
    one = filling.reading(judge(PACKET, accepted), name)
    assert one.verdict == "accepted"
    assert "R. Lund" in one.reason and "0.5 A over" in one.reason
    good = replace(filling.readings(PACKET, {name: "12"}), accepted=accepted.accepted)
    assert filling.reading(judge(PACKET, good), name).verdict == "pass"
