"""Time limits that the packet's own minutes break: found before anybody is held to them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from packets.catalog import Catalog
from packets.findings import Findings
from packets.model.blanks import plain
from packets.model.packet import Blank, Section, Step


@dataclass(frozen=True)
class TimeBox:
    """Two times of day of a section: what is allowed between them and what is planned [s]."""

    section: Section
    step: Step
    first: Blank
    last: Blank
    planned: float

    @property
    def broken(self) -> bool:
        """Whether the planned minutes alone are more than the limit."""
        return self.planned > self.last.within


def time_boxes(sections: Iterable[Section]) -> Iterator[TimeBox]:
    """Yield each pair of times of day with an upper limit between them.

    Planned is the time of the step where both stand, or else the waiting of the first's step and
    all of each later step up to that of the last.
    """
    for section in sections:
        before: tuple[int, Blank] | None = None
        for at, step in enumerate(section.steps):
            for blank in (blank for row in step.readings for blank in row):
                if blank.kind != "clock":
                    continue
                if before is not None and blank.within:
                    planned = _planned(section.steps, before[0], at)
                    yield TimeBox(section, step, before[1], blank, planned)
                before = (at, blank)


def _planned(steps: Sequence[Step], first: int, last: int) -> float:
    """Seconds planned from a time in one step to a time in another or the same."""
    if first == last:
        return (steps[last].hands_on_minutes + steps[last].waiting_minutes) * 60
    later = sum(one.hands_on_minutes + one.waiting_minutes for one in steps[first + 1 : last + 1])
    return (steps[first].waiting_minutes + later) * 60


def check(sections: Iterable[Section], catalog: Catalog, findings: Findings) -> None:
    """Add a finding for each limit that the packet's own minutes break."""
    for box in time_boxes(sections):
        if box.broken:
            findings.error(
                "time-box",
                catalog.place("fragment", box.section.fragment, "steps"),
                f"Step {box.step.number} allows {box.last.within / 60:.0f} min from"
                f" “{plain(box.first.label)}” to “{plain(box.last.label)}”,"
                f" and the packet plans {box.planned / 60:.0f} min for it.",
                "Plan the work so that the limit can be met, or say what stops the clock.",
            )
