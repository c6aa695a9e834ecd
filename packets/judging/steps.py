"""Each reading against the very limit that was printed beside its box."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from packets.findings import suggest
from packets.judging import entries, plausible
from packets.judging.entries import NotRead
from packets.model.basis import CircuitBasis
from packets.model.blanks import circuit_of, plain
from packets.model.limits import VACUUM, Limit, mass_text, with_unit
from packets.model.limits import plain as digits
from packets.model.packet import Blank, Packet, Section, Step
from packets.model.readings import Readings, Written, shown
from packets.model.record import OPEN, Judged, Signed, StepDone, Verdict

# The reason for no verdict where the limit itself was written in by hand.
ON_SITE = "the limit was read on site"


class Sheet:
    """The readings laid over the packet: finds the entry of a blank, and its value."""

    def __init__(self, packet: Packet, readings: Readings) -> None:
        self.packet = packet
        self.readings = readings
        circuits = packet.basis.circuits if packet.basis else ()
        self.circuits: Mapping[str, CircuitBasis] = {c.circuit: c for c in circuits}

    def entry(self, field: str) -> Written | None:
        """What stands in a field."""
        return self.readings.written.get(field)

    def circuit(self, field: str) -> CircuitBasis | None:
        """The figures of the circuit that a field belongs to."""
        return self.circuits.get(circuit_of(field))

    def value(self, blank: Blank) -> Decimal | None:
        """The number in a blank, in its unit; None when there is none to rely on."""
        one = self.entry(blank.field)
        if one is None or one.others or not isinstance(one.value, str):
            return None
        try:
            found = entries.number(one.value, blank.quantity, blank.unit)
        except NotRead:
            return None
        impossible = plausible.impossible(found, blank, self.circuit(blank.field))
        return None if impossible else found

    def si(self, blank: Blank) -> float | None:
        """The same in SI."""
        found = self.value(blank)
        return None if found is None else entries.to_si(found, blank.quantity, blank.unit)


def judge(sheet: Sheet) -> tuple[StepDone, ...]:
    """Every step with its readings judged."""
    return tuple(
        _step(sheet, section, step) for section in sheet.packet.sections for step in section.steps
    )


def _step(sheet: Sheet, section: Section, step: Step) -> StepDone:
    tick = sheet.entry(step.tick)
    used = _used_tries(sheet, step)
    judged: list[Judged] = []
    for attempt in used:
        for blank in step.readings[attempt - 1]:
            if not _wanted(sheet, blank, step.readings[attempt - 1]):
                continue
            one = _judge(sheet, section, step, blank, step.readings[attempt - 1])
            one = accepted(one, sheet)
            judged.append(
                replace(one, attempt=attempt if len(step.readings) > 1 else 0,
                        final=attempt == used[-1])
            )  # fmt: skip
    return StepDone(
        step.number,
        step.id,
        plain(step.action),
        bool(tick and entries.ticked(tick.value)),
        tuple(judged),
        plain(step.if_out),
    )


def _wanted(sheet: Sheet, blank: Blank, row: tuple[Blank, ...]) -> bool:
    """Whether a blank is one to fill in; what was written in one that is not is judged all the
    same."""
    if blank.only_if is None or sheet.entry(blank.field) is not None:
        return True
    asked = sheet.entry(blank.only_if.field)
    if asked is None:
        return False
    words = [c.text for one in row if one.field == blank.only_if.field for c in one.choices]
    says = entries.ringed(shown(asked.value), words) or shown(asked.value)
    return says.casefold() == blank.only_if.says.casefold()


def _used_tries(sheet: Sheet, step: Step) -> list[int]:
    """The tries in which something was written; the first when nothing was."""
    if not step.readings:
        return []
    used = [
        at
        for at, row in enumerate(step.readings, 1)
        if any(sheet.entry(blank.field) is not None for blank in row)
    ]
    return used or [1]


def _judge(
    sheet: Sheet, section: Section, step: Step, blank: Blank, row: tuple[Blank, ...]
) -> Judged:
    one = sheet.entry(blank.field)
    text = shown(one.value) if one else ""
    base = Judged(
        step.number,
        blank.field,
        plain(blank.label),
        text,
        _unit(blank),
        _limit_text(blank),
        "noted",
        feeds=blank.feeds,
        about=blank.about,
    )
    if one is None:
        return replace(base, verdict="missing", reason="nothing written")
    if one.others:
        said = "; ".join(f"{source}: {shown(value)}" for source, value in one.others)
        return replace(
            base,
            verdict="not-judged",
            reason=f"copies disagree, {one.source}: {text}; {said}",
        )
    if blank.choices or (blank.limit is not None and blank.limit.kind == "choice"):
        return _choice(base, blank)
    if blank.kind in ("clock", "date"):
        return _time(base, blank)
    if blank.kind == "words" or not blank.quantity:
        return base
    return _number(base, sheet, section, blank, row)


def accepted(one: Judged, sheet: Sheet) -> Judged:
    """A reading that the manager takes as it is; what it was stays to be read."""
    why = sheet.readings.accepted.get(one.field, "")
    if not why or one.verdict not in OPEN:
        return one
    was = one.verdict.replace("-", " ")
    return replace(one, verdict="accepted", reason=f"{why} (was {was}: {one.reason})")


def _choice(base: Judged, blank: Blank) -> Judged:
    """A ringed word: one of those printed, and a good one where the paper tells which are good."""
    words = [choice.text for choice in blank.choices]
    word = entries.ringed(base.text, words)
    if word is None:
        folded = [text.casefold() for text in words]
        reason, fix = "none of the words on the paper", suggest(base.text.casefold(), folded)
        if " + " in base.text:
            reason, fix = "more than one word ringed", "ask which one is meant"
        return replace(base, verdict="not-plausible", reason=reason, fix=fix)
    allowed = blank.limit.allows(word) if blank.limit else None
    if allowed is None:
        return replace(base, text=word)
    return replace(
        base,
        text=word,
        verdict="pass" if allowed else "out",
        reason="" if allowed else f"asked for {base.limit}",
    )


def _time(base: Judged, blank: Blank) -> Judged:
    try:
        (entries.clock if blank.kind == "clock" else entries.day)(base.text)
    except NotRead as problem:
        return replace(base, verdict="not-plausible", reason=str(problem), fix=problem.fix)
    return base


def _number(
    base: Judged, sheet: Sheet, section: Section, blank: Blank, row: tuple[Blank, ...]
) -> Judged:
    """A number with a unit: read, possible, inside its limit."""
    try:
        value = entries.number(base.text, blank.quantity, blank.unit)
    except NotRead as problem:
        return replace(base, verdict="not-plausible", reason=str(problem), fix=problem.fix)
    if why := plausible.impossible(value, blank, sheet.circuit(blank.field)):
        return replace(base, verdict="not-plausible", reason=why)
    doubt = plausible.finer(value, blank)
    if blank.limit is None:
        return replace(base, doubt=doubt)
    band, by, why = _band(sheet, section, blank, blank.limit, row)
    if band is None:
        return replace(base, verdict="not-judged", reason=why, doubt=doubt)
    limit = base.limit if by is None else _band_text(band, blank.limit, by)
    allowed = blank.limit.allows(value, by)
    if allowed:
        return replace(base, verdict="pass", limit=limit, doubt=doubt)
    if why := plausible.mistaken(value, blank, band):
        verdict: Verdict = "not-plausible"
    else:
        verdict, why = "out", _by_how_much(value, band, blank)
    return replace(base, verdict=verdict, reason=why, limit=limit, doubt=doubt)


def _band(
    sheet: Sheet, section: Section, blank: Blank, limit: Limit, row: tuple[Blank, ...]
) -> tuple[plausible.Band | None, Decimal | None, str]:
    """The allowed band, the reading it was entered with, and why there is no band."""
    if limit.kind == "write_in":
        return None, None, f"{ON_SITE}: {limit.write_in}"
    if limit.kind != "rows":
        band = limit.band()
        return band, None, "" if band else "the paper gives no limit in numbers"
    other = _named(section, limit.by, row)
    if other is None:
        return None, None, f"the packet has no reading called {limit.by}"
    value = sheet.value(other)
    if value is None:
        return None, None, f"the table is entered with “{plain(other.label)}”, which is not known"
    if other.unit != limit.by_unit:
        value = entries.from_si(
            entries.to_si(value, other.quantity, other.unit), other.quantity, limit.by_unit
        )
    band = limit.band(value)
    outside = f"{with_unit(value, limit.by_unit)} is outside the printed table"
    return band, value, "" if band else outside


def _named(section: Section, name: str, row: tuple[Blank, ...]) -> Blank | None:
    """The reading of that id: of the same try, else of the same section."""
    near = [blank for blank in row if blank.id == name]
    far = [b for step in section.steps for r in step.readings for b in r if b.id == name]
    return next(iter([*near, *far]), None)


def _by_how_much(value: Decimal, band: plausible.Band, blank: Blank) -> str:
    low, high = band
    if blank.unit == VACUUM and value > 0:
        return "this is over the air's pressure, no vacuum"
    shallow, deep = ("too shallow", "too deep") if blank.unit == VACUUM else ("over", "under")
    if high is not None and value > high:
        return f"{_amount(value - high, blank)} {shallow}"
    return f"{_amount(low - value, blank)} {deep}" if low is not None else ""


def _amount(value: Decimal, blank: Blank) -> str:
    """A difference in the instrument's steps: a converted entry has digits that nobody read."""
    unit = "in. Hg" if blank.unit == VACUUM else blank.unit
    less = ""
    if blank.step and blank.step > 0:
        steps = (value / blank.step).to_integral_value()
        less = "" if steps else "less than "
        value = max(steps, Decimal(1)) * blank.step
    return less + (mass_text(value) if unit == "lb oz" else f"{digits(value)} {unit}")


def _band_text(band: plausible.Band, limit: Limit, by: Decimal) -> str:
    low, high = band
    assert low is not None and high is not None
    return f"{digits(low)} to {with_unit(high, limit.unit)} at {with_unit(by, limit.by_unit)}"


def _limit_text(blank: Blank) -> str:
    return blank.limit.text() if blank.limit is not None else ""


def _unit(blank: Blank) -> str:
    return "" if blank.kind in ("clock", "date", "words", "choice") else blank.unit


def signatures(sheet: Sheet) -> tuple[Signed, ...]:
    """Every sign-off with the name that stands in it."""
    made = []
    for section in sheet.packet.sections:
        for step in section.steps:
            if step.sign is None:
                continue
            one = sheet.entry(step.sign.field)
            name = "" if one is None else shown(one.value)
            made.append(
                Signed(step.number, step.sign.field, plain(step.sign.text), step.sign.hold, name)
            )
    return tuple(made)
