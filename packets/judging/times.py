"""Times of day judged: time that ran backwards, a wait cut short, a part open too long.

A blank's `after` and `within` say how long at the least and at the most since the time written
before it in its section. The reading itself takes the verdict.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from packets.judging import clocks
from packets.judging.clocks import FLAME_OUT, LAST_FLAME
from packets.judging.steps import Sheet, accepted
from packets.model.blanks import blanks, plain
from packets.model.packet import Blank, Section
from packets.model.record import Judged, StepDone, Verdict


@dataclass(frozen=True)
class Said:
    """The verdict on a time of day, why, and what was asked."""

    verdict: Verdict
    reason: str = ""
    limit: str = ""


def check(sheet: Sheet, steps: tuple[StepDone, ...]) -> tuple[StepDone, ...]:
    """The steps with their times of day and days judged."""
    said: dict[str, Said] = {}
    for section in sheet.packet.sections:
        said |= _waits(sheet, section)
    wrong = _last_flame(sheet) | clocks.backwards(sheet)
    said |= {field: Said("not-plausible", reason) for field, reason in wrong.items()}
    return tuple(
        replace(step, readings=tuple(_marked(one, said, sheet) for one in step.readings))
        for step in steps
    )


def _marked(one: Judged, said: dict[str, Said], sheet: Sheet) -> Judged:
    found = said.get(one.field)
    if found is None or one.verdict != "noted":
        return one
    judged = replace(one, verdict=found.verdict, reason=found.reason, limit=found.limit)
    return accepted(judged, sheet)


def _pairs(section: Section) -> Iterator[tuple[Blank, Blank]]:
    """Each time of day of a section with the one printed before it, try by try."""
    before: Blank | None = None
    for step in section.steps:
        for row in step.readings:
            for blank in row:
                if blank.kind == "clock":
                    if before is not None:
                        yield before, blank
                    before = blank


def _waits(sheet: Sheet, section: Section) -> dict[str, Said]:
    made = {}
    for start, end in _pairs(section):
        if not (end.after or end.within):
            continue
        begun, ended = clocks.read(sheet, start), clocks.read(sheet, end)
        if begun is None or ended is None:
            continue
        minutes = clocks.elapsed(begun, ended, end.after / 60)
        if minutes is not None:
            made[end.field] = _judged(minutes, start, end)
    return made


def _judged(minutes: int, start: Blank, end: Blank) -> Said:
    least, most = round(end.after / 60), round(end.within / 60)
    asked = f"{least} min or more" if least else f"{most} min or less"
    if least and most:
        asked = f"{least} to {most} min"
    limit = f"{asked} after “{plain(start.label)}”"
    if minutes < least or (most and minutes > most):
        return Said("out", f"{minutes} min", limit)
    return Said("pass", "", limit)


def _last_flame(sheet: Sheet) -> dict[str, str]:
    """Why a last flame cannot be the last: another step's flame went out later."""
    last: list[Blank] = []
    out: list[tuple[str, Blank]] = []
    for _, step, _, blank in blanks(sheet.packet):
        if blank.feeds == LAST_FLAME:
            last.append(blank)
        elif blank.feeds == FLAME_OUT:
            out.append((step.number, blank))
    wrong = {}
    for blank in last:
        end = clocks.read(sheet, blank)
        for number, flame in out:
            start = clocks.read(sheet, flame)
            if start is None or end is None or clocks.elapsed(start, end, 0) is not None:
                continue
            wrong[blank.field] = (
                f"step {number} writes a flame out at {clocks.shown(start)}, which is later:"
                " the watch counts from the last flame; write 08:30 +1 for the next day"
            )
    return wrong
