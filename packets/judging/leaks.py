"""Leak rate by both methods, whether the rules cover the machine, and what a trigger asks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from packets.formulas import leak_rate
from packets.formulas.ranges import OutOfRange
from packets.model.basis import Basis, CircuitBasis, RulesBasis
from packets.model.history import History
from packets.model.record import Balance, LeakRate

YEAR = 365
# Of the full charge, lost in a calendar year (40 CFR 82.157(j), from memory; the deadline is data).
CHRONIC = 1.25


def rate(
    basis: Basis, circuit: CircuitBasis, balance: Balance, day: date | None, past: History | None
) -> LeakRate:
    """The leak rate that this job shows. What cannot be known is said, not assumed."""
    covered, is_covered = _covered(basis.rules, circuit)
    trigger = next((t.rate for t in basis.rules.triggers if t.use == basis.use), None)
    notes: list[str] = []
    added = None if balance.net_added is None else max(0.0, balance.net_added)
    annual, annual_about = _annualized(circuit, added, day, past, balance)
    rolled = _rolling(circuit, added, day, past, balance)
    known = [value for value in (annual, rolled.value) if value is not None]
    above = None
    if trigger is not None and known:
        sides = {value > trigger for value in known}
        above = True in sides
        if len(sides) > 1:
            notes.append("the two methods disagree: the owner's chosen method governs")
    if trigger is not None and rolled.least is not None and rolled.least > trigger:
        above = True
    if trigger is None and basis.rules.triggers:
        notes.append(f"the rules name no rate for the use {basis.use!r}")
    if above and not is_covered and trigger is not None:
        notes.append(
            f"more than {trigger * 100:.0f} % a year, at which the rules act on machines they cover"
        )
    return LeakRate(
        circuit.circuit,
        covered,
        trigger if is_covered else None,
        annual,
        annual_about,
        rolled.value,
        rolled.about,
        above if is_covered else None,
        tuple(notes),
    )


def _covered(rules: RulesBasis, circuit: CircuitBasis) -> tuple[str, bool]:
    """Whether the rules' leak part covers this charge of this refrigerant, in words."""
    if not rules.covers:
        return "these rules set no leak rate", False
    kind = "ozone-depleting" if circuit.ozone_depleting else "hfc"
    if kind == "hfc" and circuit.warming and circuit.warming <= rules.least_warming:
        return f"{circuit.refrigerant} is under the rules' global warming potential", False
    for cover in rules.covers:
        if cover.refrigerants == kind:
            if circuit.full_charge >= cover.charge - 1e-9:
                return f"full charge at or over the rules' {_pounds(cover.charge)}", True
            return f"full charge under the rules' {_pounds(cover.charge)}", False
    return "the rules do not name this kind of refrigerant", False


def _pounds(mass: float) -> str:
    return f"{mass / 0.45359237:.4g} lb ({mass:.3g} kg)"


def _annualized(
    circuit: CircuitBasis,
    added: float | None,
    day: date | None,
    past: History | None,
    balance: Balance,
) -> tuple[float | None, str]:
    if added is None or day is None:
        return None, _unknown(balance, day)
    last = _last(circuit, day, past)
    if last is None:
        since = past.complete_since if past else None
        if since is None or (day - since).days < YEAR:
            return None, "no earlier charge is known: add the machine's past charges to its history"
        days, about = YEAR, f"nothing added since {since}, counted as {YEAR} days"
    else:
        days = (day - last).days
        about = f"{days} days since {last}"
        if days < 1:
            return None, f"already charged on {last}: no time to count"
    try:
        return leak_rate.annualized(added, circuit.full_charge, days), about
    except OutOfRange as problem:
        return None, str(problem)


def _last(circuit: CircuitBasis, day: date, past: History | None) -> date | None:
    """The last day before this one on which refrigerant was put in."""
    before = [
        one.day
        for one in (past.of(circuit.circuit) if past else ())
        if one.day <= day and one.charged.value > 0
    ]
    return before[-1] if before else None


@dataclass(frozen=True)
class _Rolled:
    """The rolling rate; or, where the history has gaps, the least that it can be."""

    value: float | None
    about: str
    least: float | None = None


def _rolling(
    circuit: CircuitBasis,
    added: float | None,
    day: date | None,
    past: History | None,
    balance: Balance,
) -> _Rolled:
    if added is None or day is None:
        return _Rolled(None, _unknown(balance, day))
    charges = past.of(circuit.circuit) if past else ()
    proved = [one.verified for one in charges if one.verified and one.verified <= day]
    start = max([day - timedelta(days=YEAR), *proved])
    # A charge on the day of a follow-up test was made before it.
    inside = sum(one.net for one in charges if start < one.day <= day)
    try:
        value = leak_rate.rolling(inside + added, circuit.full_charge)
    except OutOfRange as problem:
        return _Rolled(None, str(problem))
    since = past.complete_since if past else None
    if since is not None and since <= start:
        return _Rolled(value, f"since {start}")
    gap = f"history complete only since {since}" if since else "no complete history"
    return _Rolled(None, f"{gap}: at least {value * 100:.1f} %", value)


def _unknown(balance: Balance, day: date | None) -> str:
    if day is None:
        return "the day finished is not written"
    what = "recovered" if balance.recovered is None else "charged"
    return f"how much was {what} is not known"


def lost_in_year(
    circuit: CircuitBasis, balance: Balance, day: date, past: History | None
) -> float | None:
    """Share of the full charge that went missing in the calendar year, this job included."""
    if balance.net_added is None:
        return None
    charges = past.of(circuit.circuit) if past else ()
    own = sum(one.net for one in charges if one.day.year == day.year and one.day <= day)
    return (own + max(0.0, balance.net_added)) / circuit.full_charge
