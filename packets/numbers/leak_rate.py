"""The leak rate so far, by both methods, and the most that may be added before the rules act."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta

from packets.formulas import leak_rate as formula
from packets.model.numbers import Confidence, Input, Words, WriteIn
from packets.model.procedures import Deadline, LeakRateRule
from packets.numbers import charge_parts
from packets.numbers.context import Context

_METHODS = {"annualizing": "annualizing", "rolling-average": "rolling average"}
_RATES = ("leak.annualized", "leak.rolling", "leak.worksheet")
_NAMES = ("leak.trigger", *_RATES, "leak.most", "leak.then", "leak.keep")
_YEAR = timedelta(days=365)


@dataclass(frozen=True)
class _Case:
    """One machine under the rules: trigger rate, full charge [kg], and what was added when."""

    trigger: float
    full: float
    additions: tuple[tuple[date, float], ...]
    day: date
    since: date | None

    @property
    def days(self) -> float:
        """Days since refrigerant was last added; a year where nothing was."""
        last = self.additions[-1][0] if self.additions else self.day - _YEAR
        return max(1.0, float((self.day - last).days))

    @property
    def in_period(self) -> float:
        """Added in the last 365 days, or since a later verification that passed [kg]."""
        start = max([self.day - _YEAR, *([self.since] if self.since else [])])
        return sum(mass for when, mass in self.additions if when > start)


def add(context: Context) -> None:
    """Add the leak.* entries where the rules' leak-rate part applies to this charge."""
    rule = context.rules.leak_rate
    why = _applies(context, rule)
    context.register.add(
        Words(
            "leak.rules",
            "Leak-rate rules",
            f"apply: {why}" if why else "do not apply to this charge",
            f"{rule.source}; {'; '.join(rule.notes[:1])}",
        )
    )
    trigger = rule.triggers.get(context.equipment.use)
    if not why or trigger is None:
        for name in _NAMES:
            context.register.wait(name, context.key("charge"), "the leak-rate rules do not apply")
        return
    inputs = (
        context.given("trigger", trigger, f"rules, leak_rate.triggers.{context.equipment.use}"),
        Input("full charge", charge_parts.total_text(context), "charge.total"),
    )
    # The rates for HFC stand in another rule than those seen.
    other = "" if _ozone_depleting(context, rule) else rule.hfc_source
    source = other or rule.source
    confidence = "memory" if "memory" in source else rule.confidence
    context.number(
        "leak.trigger",
        "Leak rate that asks for action",
        "ratio",
        trigger.value,
        unit="%",
        formula="rate a year by use of the machine",
        working=f"{context.equipment.use}: {trigger.text}",
        inputs=inputs[:1],
        source=source,
        confidence=confidence,  # type: ignore[arg-type]
    )
    _then(context)
    _keep(context)
    record = context.record
    if record.additions is None:
        _unknown(context)
        return
    full = charge_parts.of(context).total
    additions = tuple(sorted((item.date, item.mass.value) for item in record.additions))
    case = _Case(trigger.value, full, additions, context.day, record.leak_verified)
    _future(context, case)
    _rates(context, case, inputs)
    _most(context, case, inputs)


def _applies(context: Context, rule: LeakRateRule) -> str:
    """Why the rules apply to this charge; "" when they do not."""
    full = charge_parts.of(context).total
    row = context.refrigerant_row
    threshold = rule.threshold_charge
    if threshold and _ozone_depleting(context, rule):
        return f"{threshold.text} or more, ozone-depleting" if full >= threshold.value else ""
    later = rule.hfc_threshold_charge
    known = [row["gwp"].get(basis) for basis in ("ar4", "ar5")] if row and "gwp" in row else []
    warming = max((value for value in known if value is not None), default=None)
    # A potential that is not known counts as one the rules cover.
    covered = warming is None or warming > rule.hfc_warming_above
    started = rule.hfc_from is None or context.day >= rule.hfc_from
    if later and covered and started and full >= later.value:
        return f"{later.text} or more of HFC or a substitute with its warming potential"
    return ""


def _ozone_depleting(context: Context, rule: LeakRateRule) -> bool:
    row = context.refrigerant_row
    parts = set(row["composition_percent"]) if row else {context.record.refrigerant}
    return bool(parts & set(rule.ozone_depleting))


def _unknown(context: Context) -> None:
    """Nobody wrote down what was added: the site's file must tell."""
    context.findings.warn(
        "leak-history",
        context.record_place("charge"),
        "the leak-rate rules apply, and the record does not say what was added before",
        f"write {context.key('additions')} from the owner's file; an empty list if nothing was",
    )
    for name in _RATES:
        context.register.wait(name, context.key("additions"), "past additions are not stated")
    context.register.add(
        WriteIn("leak.most", "Most net added, to stay under it", "mass", "owner's file, additions")
    )


def _future(context: Context, case: _Case) -> None:
    if any(when > case.day for when, _ in case.additions):
        context.findings.error(
            "addition-date",
            context.record_place("additions"),
            "an addition is dated after the job",
            "check the date",
        )


def _rates(context: Context, case: _Case, inputs: tuple[Input, ...]) -> None:
    """The rate of the last addition, and of the year so far; over the trigger, say so."""
    rule = context.rules.leak_rate
    source = rule.method_source or rule.source
    confidence: Confidence = "memory" if "memory" in source else "seen"
    annual, last = 0.0, 0.0
    if case.additions:
        (when, last), before = case.additions[-1], case.additions[:-1]
        days = max(1.0, float((when - before[-1][0]).days)) if before else formula.YEAR_DAYS
        annual = formula.annualized(last, case.full, days)
        words = f"{last:.2f} kg / {case.full:.2f} kg x 365 / {min(days, 365.0):.0f} d"
    else:
        words = f"0 kg / {case.full:.2f} kg"
    rolling = formula.rolling(case.in_period, case.full)
    for id, label, rate, formula_words, working in (
        (
            "leak.annualized",
            "Leak rate at the last addition, annualizing",
            annual,
            "added / full charge x 365 / days since the addition before it, at most 365",
            f"{words} = {annual:.1%}",
        ),
        (
            "leak.rolling",
            "Leak rate before this job, rolling average",
            rolling,
            "added in the last 365 days, or since the last verification that passed / full charge",
            f"{case.in_period:.2f} kg / {case.full:.2f} kg = {rolling:.1%}",
        ),
    ):
        context.number(
            id,
            label,
            "ratio",
            rate,
            round="up",
            formula=formula_words,
            working=working,
            inputs=inputs,
            source=source,
            confidence=confidence,
        )
    # A verification passed since then says that the leak was repaired.
    repaired = case.since is not None and case.additions and case.additions[-1][0] <= case.since
    over = {"annualizing": 0.0 if repaired else annual, "rolling-average": rolling}
    method = context.record.leak_method
    named = {_METHODS[name]: rate for name, rate in over.items() if not method or name == method}
    above = [f"{rate:.0%} {name}" for name, rate in named.items() if rate > case.trigger]
    if above:
        entry = context.register.entries["leak.then"]
        context.findings.warn(
            "leak-rate",
            context.record_place("additions"),
            f"the leak rate is over its trigger of {case.trigger:.0%} a year already:"
            f" {' and '.join(above)}",
            f"{entry.text.partition(';')[0].lower()}; the record page has the rest"
            if isinstance(entry, Words)
            else "tell the owner what the rules ask",
        )


def _most(context: Context, case: _Case, inputs: tuple[Input, ...]) -> None:
    """The most that may be added net this time; by the owner's method, else the smaller."""
    rule, method = context.rules.leak_rate, context.record.leak_method
    ways = {
        "annualizing": (
            formula.most_addition(case.trigger, case.full, case.days),
            f"{case.trigger:.0%} x {case.full:.2f} kg x {min(case.days, 365.0):.0f} / 365",
        ),
        "rolling-average": (
            max(0.0, case.trigger * case.full - case.in_period),
            f"{case.trigger:.0%} x {case.full:.2f} kg - {case.in_period:.2f} kg added already",
        ),
    }
    chosen = method or min(ways, key=lambda name: ways[name][0])
    most, words = ways[chosen]
    worked = f"net added / {charge_parts.total_text(context)}"
    if chosen == "annualizing":
        worked += f" x 365 / {min(case.days, 365.0):.0f}"
    else:
        worked = f"(net added + {context.shown(case.in_period, 'mass')}) / "
        worked += charge_parts.total_text(context)
    context.register.add(
        Words("leak.worksheet", "Leak rate a year this time", worked, rule.method_source)
    )
    context.number(
        "leak.most",
        f"Most net added, to stay at {case.trigger:.0%} a year ({_METHODS[chosen]})",
        "mass",
        most,
        round="down",
        formula="trigger x full charge x days / 365"
        if chosen == "annualizing"
        else "trigger x full charge - added in the period",
        working=f"{words} = {most:.2f} kg",
        inputs=inputs,
        source=rule.method_source or rule.source,
        confidence="memory",
        assumption=""
        if method
        else "the owner's method is not stated, so the smaller of the two is printed",
    )


def _then(context: Context) -> None:
    """What passing the trigger asks for, and by when."""
    due = []
    for deadline in context.rules.deadlines:
        by = _by(deadline, context.day)
        due.append(f"{_short(deadline.what)}: {by}")
    sources = dict.fromkeys(deadline.source for deadline in context.rules.deadlines)
    context.register.add(
        Words("leak.then", "Over it, the rules ask", "; ".join(due[:3]), "; ".join(sources))
    )


def _by(deadline: Deadline, day: date) -> str:
    """A stretch of days as the day it ends on."""
    found = re.match(r"(\d{1,4}) days", deadline.within)
    if found is None:
        return deadline.within
    whole = found.end() == len(deadline.within)
    return f"by {day + timedelta(days=int(found[1]))}" if whole else f"within {deadline.within}"


def _short(what: str) -> str:
    return what.partition(";")[0].partition(" after ")[0]


def _keep(context: Context) -> None:
    """How long the record is kept, by the rule that speaks of leak rates."""
    rules = context.rules.records
    found = next((rule for rule in rules if "leak rate" in rule.what), rules[0] if rules else None)
    if found is not None:
        context.register.add(Words("leak.keep", "Keep this record", found.keep, found.source))
    else:
        context.register.wait("leak.keep", "rules.records", "the rules do not say how long")
