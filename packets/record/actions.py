"""What happens next, by when, and why; which records are kept, and until when."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from packets.judging import Judgement, clocks
from packets.judging.leaks import CHRONIC
from packets.judging.steps import ON_SITE
from packets.model.basis import DueRule, RulesBasis
from packets.model.blanks import blanks, circuit_of, plain
from packets.model.readings import DUTIES, LEAK_RATE, PACKET
from packets.model.record import (
    OPEN,
    PASSED,
    Action,
    Balance,
    Held,
    Judged,
    Keep,
    LeakRate,
    StepDone,
)

# The fact that the section makes in which a leak is repaired.
LEAK_FREE = "leak-free"
HANDOVER, CLOSING = "before handover", "before closing"
# Share of a full charge that recovery leaves in the oil: common practice, no source.
HELD_BACK = 0.05
_NAMED, _FEW = 8, 3
_SAY = {
    "out": "is out",
    "not-plausible": "cannot be right",
    "not-judged": "cannot be judged",
}
# What is done with a copy that was named and told nothing.
UNREAD = "Get what stands on the copies that were not read, and review all together."
_TAKE = "or take it as it is under `accepted:` in a readings file"
# What is done with an entry that cannot be right.
UNPROVED = (
    "Compare the printed packet with the job's files. A manager takes it as printed with"
    " `packet: name, why` under `accepted:`."
)
OWNER = (
    "Get the owner's signature for the leak rate and its duties: `leak-rate: name, why` under"
    " `accepted:`."
)
ASK = "ask who took the reading, and read again."


def actions(
    found: Judgement,
    day: date,
    leaks: tuple[LeakRate, ...],
    lost: dict[str, float | None],
    rules: RulesBasis,
) -> tuple[Action, ...]:
    """Everything that is due, in order: the machine first, then visits, then the rules."""
    made = [
        *_readings(found),
        *_unwritten(found),
        *_unsigned(found),
        *_unsettled(found),
        *_unread(found),
        *_unproved(found),
        *_owner(found, leaks),
        *_visits(found, day),
        *_rules(found, day, leaks, lost, rules),
        *_checks(found, day, rules),
    ]
    return tuple(made)


def _readings(found: Judgement) -> Iterator[Action]:
    """One action a step with a reading that is out, impossible or not to be judged."""
    tested = {test.step: test for test in found.tests if test.verdict in ("out", "not-judged")}
    for step in found.steps:
        wrong = [one for one in step.readings if one.final and one.verdict in _SAY]
        test = tested.get(step.number)
        if not wrong and test is None:
            continue
        why = "; ".join(_said(one) for one in wrong)
        if test is not None:
            why = "; ".join(part for part in (why, f"{test.title}: {test.answer}") if part)
        yield Action(_what(step, wrong), "", HANDOVER, why, step=step.number)


def _what(step: StepDone, wrong: list[Judged]) -> str:
    """What the paper itself says to do; for an entry that cannot be right, ask first."""
    if wrong and all(one.reason.startswith(ON_SITE) for one in wrong):
        return f"Step {step.number}: compare it with the limit that is written on the paper."
    if wrong and all(one.verdict != "out" for one in wrong):
        return f"Step {step.number}: {ASK}"
    return (
        f"Step {step.number}: {step.if_out}" if step.if_out else f"Step {step.number}: do it again."
    )


def way_on(step: StepDone, one: Judged) -> str:
    """What to do about a reading that keeps its job open."""
    if one.reason.startswith(ON_SITE):
        return f"compare it with the limit that is written on the paper; {_TAKE}"
    if one.verdict == "out":
        return f"{(step.if_out or 'do the step again').rstrip('.')}; {_TAKE}"
    if one.verdict == "not-plausible":
        return ASK
    missing = "not known" in one.reason
    return f"{'write that reading' if missing else 'judge it by the paper'}; {_TAKE}"


def _said(one: Judged) -> str:
    return f"{one.called} {one.measured} {_SAY[one.verdict]}, {one.reason}"


def _unwritten(found: Judgement) -> Iterator[Action]:
    """Boxes left empty and steps not ticked, each as one line. Visits have lines of their own."""
    boxes = [
        (step.number, one.called)
        for step in found.steps
        for one in step.readings
        if one.final and one.verdict == "missing" and one.feeds != "visit"
    ]
    if boxes:
        empty = list(dict.fromkeys(number for number, _ in boxes))
        labels = ", ".join(label for _, label in boxes)
        yield Action(
            f"Get the readings that are not written: {_few(empty)}.",
            "",
            CLOSING,
            f"nothing stands at {labels}"
            if len(boxes) <= _FEW
            else f"{len(boxes)} boxes are empty",
        )
    bare = [step.number for step in found.steps if not step.ticked]
    if bare:
        yield Action(
            f"Ask whether what is not ticked was done: {_few(bare)}.",
            "",
            CLOSING,
            f"{len(bare)} of {len(found.steps)} steps are not ticked",
        )


def _few(numbers: list[str]) -> str:
    """Steps by number, as many as a line holds."""
    more = len(numbers) - _NAMED
    word = "step" if len(numbers) == 1 else "steps"
    return f"{word} {', '.join(numbers[:_NAMED])}" + (f" and {more} more" if more > 0 else "")


def _unsigned(found: Judgement) -> Iterator[Action]:
    """Names that are missing: one line for the hold points, one for the other sign-offs."""
    for hold, what in ((True, "hold points"), (False, "sign-offs")):
        bare = [one.step for one in found.signed if not one.name and one.hold is hold]
        if bare:
            yield Action(
                f"Get the {what} signed, or the reason why not: {_few(bare)}.",
                "",
                CLOSING,
                "the work stops there until it is signed" if hold else "the name is missing",
            )


def _unsettled(found: Judgement) -> Iterator[Action]:
    """Figures of the refrigerant that do not agree; the balance itself says which."""
    for one in found.balances:
        if one.notes:
            count = len(one.notes)
            why = "1 disagreement" if count == 1 else f"{count} disagreements"
            why += f", circuit {one.circuit}: see the refrigerant's balance"
            yield Action("Settle the refrigerant's figures.", "", CLOSING, why)


def _unread(found: Judgement) -> Iterator[Action]:
    """Copies of the packet that were named and could not be read: they may say otherwise."""
    unread = found.sheet.readings.unread
    if unread:
        yield Action(UNREAD, "", CLOSING, f"not read: {', '.join(unread)}")


def _unproved(found: Judgement) -> Iterator[Action]:
    """Figures of the returned packet that the job's files on disk do not bear out."""
    readings = found.sheet.readings
    if readings.unproved and PACKET not in readings.accepted:
        more = len(readings.unproved) - 1
        why = readings.unproved[0] + (f"; and {more} more" if more else "")
        yield Action(UNPROVED, "", CLOSING, why)


def unsigned_rates(found: Judgement, leaks: tuple[LeakRate, ...]) -> list[LeakRate]:
    """Leak rates that the rules ask about and that are above the trigger or not known, where the
    owner has not signed for what follows."""
    if LEAK_RATE in found.sheet.readings.accepted:
        return []
    return [one for one in leaks if one.trigger is not None and one.above is not False]


def _owner(found: Judgement, leaks: tuple[LeakRate, ...]) -> Iterator[Action]:
    """What the owner signs for before the job may wait or close."""
    for one in unsigned_rates(found, leaks):
        said = "is above the trigger" if one.above else "is not known"
        yield Action(
            OWNER,
            "",
            CLOSING,
            f"the leak rate of circuit {one.circuit} {said}, and the rules ask for it",
        )


def visit_steps(found: Judgement) -> frozenset[str]:
    """The steps of return visits of which one day at least is not written yet."""
    packet = found.sheet.packet
    to_come = frozenset(
        section.id
        for section in packet.sections
        for step in section.steps
        for row in step.readings
        for blank in row
        if blank.feeds == "visit" and clocks.day(found.sheet, blank.field) is None
    )
    return frozenset(s.number for one in packet.sections if one.id in to_come for s in one.steps)


def _visits(found: Judgement, day: date) -> Iterator[Action]:
    """Return visits whose day is not written yet, each with the day it falls on."""
    packet = found.sheet.packet
    for _, step, _, blank in blanks(packet):
        if blank.feeds == "visit" and clocks.day(found.sheet, blank.field) is None:
            due = day + timedelta(seconds=blank.after)
            yield Action(
                f"Return visit, step {step.number}: {plain(step.action)}",
                due.isoformat(),
                "",
                f"{plain(blank.label)} is not written",
                waits=True,
            )


def _rules(
    found: Judgement,
    day: date,
    leaks: tuple[LeakRate, ...],
    lost: dict[str, float | None],
    rules: RulesBasis,
) -> Iterator[Action]:
    """What the rules ask for after what happened."""
    above = [leak for leak in leaks if leak.above]
    chronic = [name for name, share in lost.items() if share is not None and share >= CHRONIC]
    short = [one.circuit for one in found.balances if _missing(one)]
    repaired = {one.fact for one in facts(found)}
    leaky = [name for name in short if f"{LEAK_FREE}@{name}" not in repaired]
    happened = {
        "leak-not-repaired": "refrigerant was missing, and no leak was made good" if leaky else "",
        "refrigerant-missing": "refrigerant was missing before the work" if short else "",
        "leak-rate-above": "leak rate over "
        + ", ".join(f"{leak.trigger * 100:.0f} % a year" for leak in above if leak.trigger),
        "chronic-leak": "125 % of the full charge lost in the year" if chronic else "",
        "every-service": "at each service",
    }
    if not above:
        happened["leak-rate-above"] = ""
    for rule in rules.due:
        if why := happened.get(rule.when, ""):
            by = _due(rule, day)
            waits = bool(by) and DUTIES not in found.sheet.readings.accepted
            yield Action(rule.what, by, rule.within, why, rule.source, waits=waits)


def _missing(one: Balance) -> bool:
    """Whether more is missing than the scale and the oil explain."""
    held_back = max(one.within, HELD_BACK * one.full_charge)
    return one.missing_before is not None and one.missing_before > held_back


def _due(rule: DueRule, day: date) -> str:
    if rule.days:
        return (day + timedelta(days=rule.days)).isoformat()
    return f"{day.year + 1}-{rule.next_year_on}" if rule.next_year_on else ""


def _checks(found: Judgement, day: date, rules: RulesBasis) -> Iterator[Action]:
    """The next leak check, where the rules set one by the amount of refrigerant."""
    for basis in found.sheet.circuits.values():
        tonnes = basis.full_charge * basis.warming / 1000
        reached = [check for check in rules.checks if tonnes >= check.from_tonnes]
        if not reached:
            continue
        strictest = min(reached, key=lambda check: check.months)
        yield Action(
            "Check the machine for leaks.",
            months_after(day, strictest.months).isoformat(),
            f"every {strictest.months} months",
            f"{basis.full_charge:.2f} kg of {basis.refrigerant} weigh {tonnes:.1f} t of carbon"
            " dioxide",
            rules.source,
        )


def months_after(day: date, months: int) -> date:
    """The same day so many months on; the month's last day where it has no such day."""
    year, month = divmod(day.month - 1 + months, 12)
    for of_month in (day.day, 30, 29, 28):
        try:
            return date(day.year + year, month + 1, of_month)
        except ValueError:
            continue
    raise ValueError(f"no day {months} months after {day}")


def keep(rules: RulesBasis, day: date) -> tuple[Keep, ...]:
    """The records that are kept, and until when."""
    return tuple(
        Keep(
            one.what,
            months_after(day, round(one.years * 12)).isoformat() if one.years else "",
            one.keep,
            one.source,
        )
        for one in rules.keep
    )


def open_readings(steps: tuple[StepDone, ...]) -> list[tuple[StepDone, Judged]]:
    """The final readings that keep the job open, worst first within printing order."""
    found = [(step, one) for step in steps for one in step.readings
             if one.final and one.verdict in OPEN]  # fmt: skip
    return sorted(found, key=lambda pair: OPEN.index(pair[1].verdict))


def facts(found: Judgement) -> tuple[Held, ...]:
    """What outlasts the visit, by circuit: the lasting facts of the sections that were done whole,
    and those that a proof may carry over, less those that a later section ended, done or not.
    Passing facts are no part of it: the next visit earns them again."""
    unsigned = {one.step for one in found.signed if not one.name}
    good = {
        step.number
        for step in found.steps
        if step.ticked
        and step.number not in unsigned
        and not any(one.final and one.verdict in OPEN for one in step.readings)
    }
    bad = {test.step for test in found.tests if test.verdict not in PASSED}
    begun = {
        step.number for step in found.steps if step.ticked or any(r.text for r in step.readings)
    }
    held: dict[str, Held] = {}
    for section in found.sheet.packet.sections:
        numbers = {step.number for step in section.steps}
        circuit = section.circuit or circuit_of(section.steps[0].tick if section.steps else "")
        if numbers & begun:
            for name in section.ends:
                held.pop(f"{name}@{circuit}", None)
        if numbers and numbers <= good and not numbers & bad:
            by = f"section {section.number}, {section.title}: done whole"
            carried = [(name, "") for name in section.lasting] + list(section.proved)
            for name, proof in carried:
                held[f"{name}@{circuit}"] = Held(f"{name}@{circuit}", by, proof)
    return tuple(held.values())
