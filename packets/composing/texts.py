"""Authors' texts with the job's values put in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from packets.findings import Findings, Place, suggest
from packets.formatting import System, show
from packets.model.numbers import (
    Entry,
    Number,
    NumberGrid,
    NumberTable,
    Register,
    Words,
    WriteIn,
)
from packets.model.packet import Span, Text

WEAK = ("memory", "practice")
# The values of one repetition, by id; they come before the register's.
Own = Mapping[str, Entry]
NONE: Own = {}

_NAME = re.compile(r"\{(?P<name>[a-z][a-z0-9_.-]*|step:[a-z0-9/|-]+)\}")


@dataclass
class Texts:
    """Puts values into texts for one circuit. `used` collects the number ids that were printed,
    `trail` the same in printing order, each time anew."""

    register: Register
    units: System
    findings: Findings
    used: set[str] = field(default_factory=set)
    missed: set[str] = field(default_factory=set)
    trail: list[str] = field(default_factory=list)

    def fill(
        self,
        text: str,
        place: Place,
        own: Own,
        steps: Mapping[str, str],
    ) -> Text:
        """Spans of a text: `own` are the values of a repeated group, `steps` printed numbers."""
        spans: list[Span] = []
        at = 0
        for found in _NAME.finditer(text):
            if found.start() > at:
                spans.append(Span("words", text[at : found.start()]))
            spans.append(self._span(found["name"], place, own, steps))
            at = found.end()
        if at < len(text):
            spans.append(Span("words", text[at:]))
        for brace in ("{", "}"):
            if any(brace in span.text for span in spans if span.kind == "words"):
                self.findings.error(
                    "text-brace", place, f"a stray {brace} in the text", "write {name.of-number}"
                )
        return tuple(spans)

    def _span(self, name: str, place: Place, own: Own, steps: Mapping[str, str]) -> Span:
        if name.startswith("step:"):
            asked = name.removeprefix("step:").split("|")
            target = next((one for one in asked if one in steps), asked[0])
            if target not in steps:
                # Steps repeated for what an error left unmade are missing with it.
                if self.register.broken:
                    return Span("words", "")
                self.findings.error(
                    "step-not-printed",
                    place,
                    f"step {target} is not in this packet",
                    "give this step the same `when`, or lead to a step that is always printed",
                )
                return Span("words", "")
            return Span("step", steps[target])
        entry = self.entry(name, place, own)
        if isinstance(entry, WriteIn):
            return Span("blank", entry.read)
        if isinstance(entry, Number):
            return Span("value", number_text(entry, self.units), marked(entry))
        if isinstance(entry, (NumberTable, NumberGrid)):
            self.findings.error(
                "text-table", place, f"{name} is a table", "print it with the step's `table`"
            )
        if isinstance(entry, Words):
            return Span("value", entry.text, marked(entry))
        return Span("value", "")

    def entry(self, name: str, place: Place, own: Own = NONE) -> Entry | None:
        """A repetition's own entry or the register's; a finding when there is neither."""
        if name in own:
            return own[name]
        entry = self.register.entries.get(name)
        if entry is not None:
            self.used.add(name)
            self.trail.append(name)
            return entry
        waiting = self.register.waiting.get(name)
        if waiting is not None:
            self.missed.add(name)
            return None
        if self.register.broken:
            return None
        self.findings.error(
            "unknown-number",
            place,
            f"no number is called {name!r}",
            suggest(name, [*own, *self.register.entries, *self.register.waiting]),
        )
        return None

    def plain(self, text: str, place: Place, own: Own = NONE) -> str:
        """A text as one plain string, for labels and load lists."""
        return "".join(span.text for span in self.fill(text, place, own, {}))


def marked(entry: Entry) -> bool:
    """Whether an entry stands on weaker ground than a seen source, and the paper says so."""
    if isinstance(entry, WriteIn):
        return False
    if isinstance(entry, Words):
        return "memory" in entry.source.lower() or "no source" in entry.source.lower()
    return entry.confidence in WEAK


def number_text(number: Number, units: System) -> str:
    """A number as printed in a step: value and unit in the packet's system."""
    return show(number.value, number.quantity, units, number.round, number.step, number.unit).text


def other_text(number: Number) -> str:
    """The same number in SI, for the card of an inch-pound packet."""
    if number.quantity in ("time", "current", "voltage", "ratio", "frequency", "resistance"):
        return ""
    return show(number.value, number.quantity, "si", number.round).text


def entry_text(entry: Entry, units: System) -> str:
    """Any entry as a short text."""
    if isinstance(entry, Number):
        return number_text(entry, units)
    if isinstance(entry, (NumberTable, NumberGrid)):
        return entry.title
    return entry.text if isinstance(entry, Words) else entry.read
