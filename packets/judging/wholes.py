"""Tests that only several readings together decide: the hold, the rise, superheat, subcooling.

The printed limit of each reading has judged it already. Here stands what the readings say as a
whole, and the reason in words.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from packets.formatting import System, show
from packets.formulas import hold_test, rise, verification
from packets.formulas.ranges import OutOfRange
from packets.judging import clocks, entries
from packets.judging.steps import Sheet
from packets.model.basis import CircuitBasis
from packets.model.blanks import circuit_of
from packets.model.packet import Blank
from packets.model.record import Judged, StepDone, Test, Verdict

# What the paper calls the answers of a rise test.
_ON_PAPER = {"oil": "refrigerant out of the oil"}


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
        for section in sheet.packet.sections:
            for step in section.steps:
                for row in step.readings:
                    for blank in row:
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


def tests(
    sheet: Sheet, steps: tuple[StepDone, ...], circuits: Mapping[str, CircuitBasis]
) -> tuple[Test, ...]:
    """The tests of all circuits that the packet asks for."""
    units = sheet.packet.units
    made: list[Test] = []
    for name, basis in circuits.items():
        feeds = Feeds(sheet, steps, name)
        made += [*_hold(feeds, basis, units), *_rise(feeds, basis, units)]
        made += [*_superheat(feeds, basis, units), *_subcooling(feeds, basis, units)]
    return tuple(made)


def _shown(value: float, quantity: str, units: System) -> str:
    return show(value, quantity, units, "nearest").text


def _hold(feeds: Feeds, basis: CircuitBasis, units: System) -> Iterator[Test]:
    """The end reading judged by its table; the corrected change beside what the gauges can tell."""
    end = feeds.last("hold-end-pressure")
    if end is None:
        return
    verdict, reasons = end.judged.verdict, []
    held = _held(feeds, basis)
    if held is not None and held[1]:
        verdict = "out" if verdict == "pass" else verdict
    if held is not None:
        reasons.append(held[0])
    p1, t1 = feeds.si("hold-start-pressure"), feeds.si("hold-start-temperature")
    p2, t2 = feeds.si("hold-end-pressure"), feeds.si("hold-end-temperature")
    if p1 is None or t1 is None or p2 is None or t2 is None:
        reasons.append("start and end, gauge and pipe, are needed to tell the corrected change")
        yield Test(end.step, "Pressure hold", _word(verdict), verdict, _joined(reasons))
        return
    try:
        band = hold_test.allowed_band(
            p1 + basis.atmosphere, t1, t2,
            basis.pressure_step / 2, basis.temperature_step / 2,
        )  # fmt: skip
    except OutOfRange as problem:
        reasons.append(str(problem))
        yield Test(end.step, "Pressure hold", _word(verdict), verdict, _joined(reasons))
        return
    change, tells = p2 + basis.atmosphere - band.expected, band.expected - band.lowest
    reasons.append(
        f"corrected for temperature it changed by {_difference(change, units)};"
        f" gauge and thermometer can tell {_difference(tells, units)}"
    )
    if p2 + basis.atmosphere < band.lowest and verdict == "pass":
        reasons.append(
            "the table allows this end, but from this start it is more than that: look again"
        )
    yield Test(end.step, "Pressure hold", _word(verdict), verdict, _joined(reasons))


def _difference(value: float, units: System) -> str:
    return show(value, "pressure-difference", units, "nearest").text


def _held(feeds: Feeds, basis: CircuitBasis) -> tuple[str, bool] | None:
    """How long it was held, and whether that is too short."""
    start, end = feeds.last("hold-start-clock"), feeds.last("hold-end-clock")
    if start is None or end is None:
        return None
    begun, ended = clocks.read(feeds.sheet, start.blank), clocks.read(feeds.sheet, end.blank)
    if begun is None or ended is None:
        return None
    asked = basis.hold_time / 60
    minutes = clocks.elapsed(begun, ended, asked)
    if minutes is None:
        return "its times run backwards", True
    if minutes < asked:
        return f"held {_minutes(minutes)}, asked {_minutes(asked)}", True
    return f"held {_minutes(minutes)}", False


def _minutes(value: float) -> str:
    hours, rest = divmod(round(value), 60)
    return " ".join(
        [*([f"{hours} h"] if hours else []), *([f"{rest} min"] if rest or not hours else [])]
    )


def _rise(feeds: Feeds, basis: CircuitBasis, units: System) -> Iterator[Test]:
    """What the rise says: tight, leak, water, refrigerant out of the oil, or undecided."""
    read = feeds.all("rise")
    if not read or basis.rise is None:
        return
    step = read[-1].step
    points = sorted(
        (fed.blank.after, value)
        for fed in read
        if (value := feeds.sheet.si(fed.blank)) is not None and fed.blank.after > 0
    )
    if len(points) < len(read):
        missing = len(read) - len(points)
        if not points:
            yield Test(step, "Vacuum rise", "not judged", "missing", "no reading to judge by")
            return
    else:
        missing = 0
    try:
        said = rise.verdict(
            points,
            basis.rise.coldest,
            _printed_limit(read, basis.rise.limit),
            basis.rise.wait,
            show=lambda value: _shown(value, "vacuum", units),
        )
    except (OutOfRange, ValueError) as problem:
        yield Test(step, "Vacuum rise", "not judged", "not-judged", str(problem))
        return
    answer = said.answer.value
    verdict: Verdict = "out"
    if said.answer is rise.Answer.TIGHT:
        verdict = "pass"
    elif said.answer is rise.Answer.UNDECIDED:
        verdict = "not-judged"
    reasons = [said.reason.rstrip(".")]
    if missing:
        reasons.append(f"{missing} of {len(read)} readings missing or not plausible")
    told = feeds.last("rise-answer")
    if told is not None and told.judged.text and told.judged.verdict != "not-plausible":
        word = _ON_PAPER.get(told.judged.text, told.judged.text)
        if word != answer:
            reasons.append(f"the paper says {told.judged.text}, the readings say {answer}")
    yield Test(step, "Vacuum rise", answer, verdict, _joined(reasons))


def _printed_limit(read: list[Fed], otherwise: float) -> float:
    """The limit that is printed beside a reading of the rise [Pa]: the paper's digits decide."""
    for fed in reversed(read):
        limit = fed.blank.limit
        if limit is not None and limit.kind == "at_most" and limit.high is not None:
            return entries.to_si(limit.high, fed.blank.quantity, fed.blank.unit)
    return otherwise


def saturation(basis: CircuitBasis, pressure: float) -> tuple[float, float] | None:
    """Bubble and dew temperature [K] at a gauge pressure [Pa], between the packet's points."""
    for below, above in pairwise(basis.saturation):
        if below.pressure <= pressure <= above.pressure:
            low, high, at = (
                math.log(p + basis.atmosphere) for p in (below.pressure, above.pressure, pressure)
            )
            share = (at - low) / (high - low) if high > low else 0.0
            return (
                below.bubble + share * (above.bubble - below.bubble),
                below.dew + share * (above.dew - below.dew),
            )
    return None


def _superheat(feeds: Feeds, basis: CircuitBasis, units: System) -> Iterator[Test]:
    """Line less dew temperature at the suction pressure; the line's printed band judges it."""
    line, pressure = feeds.last("suction-line"), feeds.si("suction-pressure")
    if line is None:
        return
    value, ends = feeds.si("suction-line"), None
    if pressure is not None:
        ends = saturation(basis, pressure)
    if value is None or ends is None:
        reason = line.judged.reason or "suction pressure and line are needed"
        yield Test(line.step, "Superheat", _word(line.judged.verdict), line.judged.verdict, reason)
        return
    heat = verification.superheat(value, ends[1])
    yield _degrees("Superheat", heat, f"dew {_shown(ends[1], 'temperature', units)}", line, units)


def _subcooling(feeds: Feeds, basis: CircuitBasis, units: System) -> Iterator[Test]:
    """Bubble temperature at the liquid pressure less line; the line's printed band judges it."""
    line, pressure = feeds.last("liquid-line"), feeds.si("liquid-pressure")
    if line is None:
        return
    value, ends = feeds.si("liquid-line"), None
    if pressure is not None:
        ends = saturation(basis, pressure)
    if value is None or ends is None:
        reason = line.judged.reason or "liquid pressure and line are needed"
        yield Test(line.step, "Subcooling", _word(line.judged.verdict), line.judged.verdict, reason)
        return
    cold = verification.subcooling(ends[0], value)
    yield _degrees(
        "Subcooling", cold, f"bubble {_shown(ends[0], 'temperature', units)}", line, units
    )


def _degrees(title: str, value: float, side: str, line: Fed, units: System) -> Test:
    """One of the two, in degrees, with what judged it."""
    amount = show(value, "temperature-difference", units, "nearest").text
    reason = f"{side}; line {line.judged.text} {line.judged.unit}, allowed {line.judged.limit}"
    if value < 0:
        reason += "; below zero: liquid, or an instrument that is off"
    return Test(line.step, title, amount, line.judged.verdict, reason)


def _word(verdict: Verdict) -> str:
    return {"pass": "holds", "out": "out", "missing": "missing"}.get(verdict, "not judged")


def _joined(parts: list[str]) -> str:
    return "; ".join(part for part in parts if part)
