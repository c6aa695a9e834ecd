"""Leak rate of an appliance by the two methods of the rule.

Source: 40 CFR 82.152 (the two methods named there, seen; the algebra from memory). One method
for all appliances of a facility; where the two disagree the owner's chosen one governs. Which
machines the rule covers, and at what rate it acts, is data of the rules file, not of this.
"""

from __future__ import annotations

from packets.formulas.ranges import Range, guard

CHARGE = Range(1e-3, 1e5, "kg")
MASS = Range(0.0, 1e5, "kg")
DAYS = Range(1.0, 36525.0, "days")
RATE = Range(1e-3, 10.0, "of the charge a year")
YEAR_DAYS = 365.0


def net_added(charged: float, recovered: float) -> float:
    """Refrigerant that had gone missing, after a change-out [kg]: charged - recovered.

    Nothing lost, or more taken out than put back: 0.

    Args:
        charged: put in, 0 to 100 000 [kg].
        recovered: taken out before, 0 to 100 000 [kg].

    Raises:
        OutOfRange: an argument outside its range.

    Source: common practice, no source.

    >>> round(net_added(6.58, 5.9), 2)
    0.68
    """
    return max(0.0, guard("charged", charged, MASS) - guard("recovered", recovered, MASS))


def annualized(added: float, full_charge: float, days: float) -> float:
    """Leak rate by the annualizing method, fraction of the full charge a year [1/yr].

    added / full x 365 / d, d = the shorter of days since the last addition and 365.

    Args:
        added: refrigerant added now, 0 to 100 000 [kg].
        full_charge: 0.001 to 100 000 [kg].
        days: since refrigerant was last added, 1 to 36 525 [d].

    Raises:
        OutOfRange: an argument outside its range.

    Source: 40 CFR 82.152 (method seen, algebra from memory).

    >>> round(annualized(10, 200, 60) * 100, 1)  # 10 lb into 200 lb after 60 days, percent
    30.4
    """
    period = min(guard("days", days, DAYS), YEAR_DAYS)
    full = guard("full charge", full_charge, CHARGE)
    return guard("added", added, MASS) / full * (YEAR_DAYS / period)


def rolling(added_in_period: float, full_charge: float) -> float:
    """Leak rate by the rolling-average method, fraction of the full charge [-].

    Added in the last 365 days (or since the last successful follow-up verification, if that
    is shorter) over the full charge.

    Args:
        added_in_period: 0 to 100 000 [kg].
        full_charge: 0.001 to 100 000 [kg].

    Raises:
        OutOfRange: an argument outside its range.

    Source: 40 CFR 82.152 (method seen, algebra from memory).

    >>> round(rolling(10, 200) * 100, 1)
    5.0
    """
    full = guard("full charge", full_charge, CHARGE)
    return guard("added", added_in_period, MASS) / full


def most_addition(trigger: float, full_charge: float, days: float) -> float:
    """Most that can be added without passing a trigger rate, annualizing [kg].

    trigger x full x d / 365. A maximum: round down.

    Args:
        trigger: rate that the rule acts above, 0.001 to 10 [1/yr].
        full_charge: 0.001 to 100 000 [kg].
        days: since refrigerant was last added, 1 to 36 525 [d].

    Raises:
        OutOfRange: an argument outside its range.

    Source: `annualized`, solved for the mass.

    >>> round(most_addition(0.20, 200, 60), 2)
    6.58
    """
    period = min(guard("days", days, DAYS), YEAR_DAYS)
    rate = guard("trigger", trigger, RATE)
    return rate * guard("full charge", full_charge, CHARGE) * period / YEAR_DAYS
