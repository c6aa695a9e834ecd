"""Tests that only several readings together decide: the hold, the rise, superheat, subcooling.

The printed limit of each reading has judged it already. Here stands what the readings say as a
whole, and the reason in words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from packets.formatting import System, show
from packets.formulas import hold_test, rise
from packets.formulas.ranges import OutOfRange
from packets.judging import clocks, entries, running
from packets.judging.feeds import Fed, Feeds, shown, word
from packets.judging.steps import Sheet
from packets.model.basis import CircuitBasis
from packets.model.record import StepDone, Test, Verdict


def tests(
    sheet: Sheet, steps: tuple[StepDone, ...], circuits: Mapping[str, CircuitBasis]
) -> tuple[Test, ...]:
    """The tests of all circuits that the packet asks for."""
    units = sheet.packet.units
    made: list[Test] = []
    for name, basis in circuits.items():
        feeds = Feeds(sheet, steps, name)
        made += [*_hold(feeds, basis, units), *_rise(feeds, basis, units)]
        made += running.tests(feeds, basis, units)
    printed = [step.number for step in steps]
    return tuple(sorted(made, key=lambda test: printed.index(test.step)))


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
        yield Test(end.step, "Pressure hold", word(verdict), verdict, _joined(reasons))
        return
    try:
        band = hold_test.allowed_band(
            p1 + basis.atmosphere, t1, t2,
            basis.pressure_step / 2, basis.temperature_step / 2,
        )  # fmt: skip
    except OutOfRange as problem:
        reasons.append(str(problem))
        yield Test(end.step, "Pressure hold", word(verdict), verdict, _joined(reasons))
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
    yield Test(end.step, "Pressure hold", word(verdict), verdict, _joined(reasons))


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
    """What the rise says: tight, leak, water, or undecided."""
    read = feeds.all("rise")
    if not read or basis.rise is None:
        return
    step = read[-1].step
    points = sorted(
        (fed.blank.after, value)
        for fed in read
        if (value := feeds.sheet.si(fed.blank)) is not None and fed.blank.after > 0
    )
    # The last reading with the pump on is the rise's start; a second rise was pulled anew.
    start = feeds.si("rise-start") if read[-1].judged.attempt < 2 else None
    if len(points) < len(read):
        missing = len(read) - len(points)
        if not points:
            yield Test(step, "Vacuum rise", "not judged", "missing", "no reading to judge by")
            return
    else:
        missing = 0
    try:
        said = rise.verdict(
            points if start is None else [(0.0, start), *points],
            basis.rise.coldest,
            _printed_limit(read, basis.rise.limit),
            basis.rise.wait,
            show=lambda value: shown(value, "vacuum", units),
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
    if (
        told is not None
        and told.judged.verdict != "not-plausible"
        and told.judged.text not in ("", answer)
    ):
        reasons.append(f"the paper says {told.judged.text}, the readings say {answer}")
    yield Test(step, "Vacuum rise", answer, verdict, _joined(reasons))


def _printed_limit(read: list[Fed], otherwise: float) -> float:
    """The limit that is printed beside a reading of the rise [Pa]: the paper's digits decide."""
    for fed in reversed(read):
        limit = fed.blank.limit
        if limit is not None and limit.kind == "at_most" and limit.high is not None:
            return entries.to_si(limit.high, fed.blank.quantity, fed.blank.unit)
    return otherwise


def _joined(parts: list[str]) -> str:
    return "; ".join(part for part in parts if part)
