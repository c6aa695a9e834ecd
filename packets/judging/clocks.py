"""Times of day and days as written: how they are read, and where they run backwards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from packets.judging import entries
from packets.judging.entries import Clock, NotRead
from packets.judging.steps import Sheet
from packets.model.packet import Blank, Section, Step

DAY = 24 * 60
# What the readings of flames feed.
FLAME_OUT, LAST_FLAME = "flame-out", "last-flame"
# Minutes before midnight in which an earlier time is taken for the next day's.
LATE = 120


@dataclass(frozen=True)
class At:
    """A clock reading: its blank, the time, and the minutes asked for since the one before."""

    blank: Blank
    clock: Clock
    wait: float


def backwards(sheet: Sheet) -> dict[str, str]:
    """Of the fields whose time or day comes before the one written before it: why."""
    wrong: dict[str, str] = {}
    for section in sheet.packet.sections:
        wrong |= _clocks(sheet, section)
    return wrong | _days(sheet)


def read(sheet: Sheet, blank: Blank) -> Clock | None:
    """The time in a blank."""
    one = sheet.entry(blank.field)
    if one is None or one.others or not isinstance(one.value, str):
        return None
    try:
        return entries.clock(one.value)
    except NotRead:
        return None


def _lines(section: Section) -> Iterator[list[Step]]:
    """The steps of a section in lines of time. A watch runs beside the other steps, from a flame
    before them, so it is a line of its own."""
    watches = [step for step in section.steps if _asks(step, LAST_FLAME)]
    yield [step for step in section.steps if step not in watches]
    yield from ([step] for step in watches)


def _asks(step: Step, feeds: str) -> bool:
    return any(blank.feeds == feeds for row in step.readings for blank in row)


def _in_order(sheet: Sheet, steps: Iterable[Step]) -> Iterator[At]:
    """The clock readings of a line of steps; a later try replaces the one before. A step's own time
    counts before its readings and, since the paper does not say which, after them too."""
    wait = 0.0
    for step in steps:
        takes = step.waiting_minutes + step.hands_on_minutes
        wait += takes
        for at in range(max((len(row) for row in step.readings), default=0)):
            column = [row[at] for row in step.readings if at < len(row)]
            if column[0].kind != "clock":
                continue
            found = [(b, c) for b in column if (c := read(sheet, b)) is not None]
            if found:
                yield At(*found[-1], wait)
                wait = takes


def _clocks(sheet: Sheet, section: Section) -> dict[str, str]:
    wrong: dict[str, str] = {}
    for steps in _lines(section):
        before: At | None = None
        for now in _in_order(sheet, steps):
            if before is not None and elapsed(before.clock, now.clock, now.wait) is None:
                wrong[now.blank.field] = (
                    f"{shown(now.clock)} comes before {shown(before.clock)}: afternoon, or the next"
                    " day? Write 13:40, or 06:10 +1"
                )
            before = now
    return wrong


def elapsed(start: Clock, end: Clock, wait: float) -> int | None:
    """Minutes from one time to the other; None when time would run backwards.

    An end before the start is the next day's only where it is written so, or where the wait asked
    for reaches past midnight.
    """
    if start.day and end.day:
        minutes = (end.day - start.day).days * DAY + end.minutes - start.minutes
        return minutes if minutes >= 0 else None
    minutes = end.minutes - start.minutes
    if end.next and not start.next:
        return minutes + DAY
    if minutes >= 0:
        return minutes
    return minutes + DAY if start.minutes + max(wait, LATE) >= DAY else None


def shown(clock: Clock) -> str:
    """A time of day as people write it."""
    return f"{clock.minutes // 60}:{clock.minutes % 60:02d}"


def _days(sheet: Sheet) -> dict[str, str]:
    """Days in printing order, none before the job's own."""
    wrong: dict[str, str] = {}
    last, named = _iso(sheet.packet.date), "the packet's day"
    for section in sheet.packet.sections:
        for step in section.steps:
            for row in step.readings:
                for blank in row:
                    found = day(sheet, blank.field) if blank.kind == "date" else None
                    if found is None:
                        continue
                    if last is not None and found < last:
                        wrong[blank.field] = f"{found} comes before {named}, {last}"
                    else:
                        last, named = found, "the day before it"
    return wrong


def day(sheet: Sheet, field: str) -> date | None:
    """The day in a field."""
    one = sheet.entry(field)
    if one is None or one.others or not isinstance(one.value, str):
        return None
    try:
        return entries.day(one.value)
    except NotRead:
        return None


def _iso(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
