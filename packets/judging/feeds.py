"""The readings of a circuit by what they feed: the word in the fragment, never the label."""

from __future__ import annotations

from dataclasses import dataclass

from packets.formatting import System, show
from packets.judging.steps import Sheet
from packets.model.blanks import blanks, circuit_of
from packets.model.packet import Blank
from packets.model.record import Judged, StepDone, Verdict


@dataclass(frozen=True)
class Fed:
    """A reading that feeds the record: its step's number, its blank, its verdict."""

    step: str
    blank: Blank
    judged: Judged


class Feeds:
    """The final readings of one circuit by what they feed."""

    def __init__(self, sheet: Sheet, steps: tuple[StepDone, ...], circuit: str) -> None:
        final = {one.field: one for step in steps for one in step.readings if one.final}
        self.sheet = sheet
        self.circuit = circuit
        self.found: dict[str, list[Fed]] = {}
        for _, step, _, blank in blanks(sheet.packet):
            own = blank.field in final and circuit_of(blank.field) == circuit
            if blank.feeds and own:
                fed = Fed(step.number, blank, final[blank.field])
                self.found.setdefault(blank.feeds, []).append(fed)

    def all(self, feeds: str) -> list[Fed]:
        """Every final reading that feeds this."""
        return self.found.get(feeds, [])

    def last(self, feeds: str) -> Fed | None:
        """The last one printed."""
        return next(reversed(self.all(feeds)), None)

    def si(self, feeds: str) -> float | None:
        """Its value in SI."""
        fed = self.last(feeds)
        return self.sheet.si(fed.blank) if fed else None


def shown(value: float, quantity: str, units: System) -> str:
    """A value as printed."""
    return show(value, quantity, units, "nearest").text


def word(verdict: Verdict) -> str:
    """A verdict as the answer of a test."""
    return {"pass": "holds", "accepted": "accepted", "out": "out", "missing": "missing"}.get(
        verdict, "not judged"
    )
