"""Limits: what is printed beside a write-in box, and what later judges what was written.

A limit holds decimals in the unit the instrument shows, already rounded to the safe side, and
is inclusive. `text` and `allows` are the only two readings of it, so paper and judgement agree.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Literal

# A gauge below the air's pressure: the decimal is negative, the print is not.
VACUUM = "in. Hg vacuum"

Kind = Literal["at_most", "at_least", "between", "rows", "choice", "write_in"]


def plain(value: Decimal) -> str:
    """A decimal as a gauge shows it: no exponent, a true minus sign."""
    return f"{value:f}".replace("-", "\N{MINUS SIGN}")


# A gauge below the air counts in inches of mercury; the box of a band across it is in psig.
_PSIG = "psig"
_INCHES_A_PSI = Decimal("2.036021")


def gauge_text(value: Decimal, unit: str) -> str:
    """A gauge pressure as a compound gauge shows it: inches of mercury below the air's pressure."""
    if unit == _PSIG and value < 0:
        inches = (-value * _INCHES_A_PSI).quantize(Decimal("0.1"))
        return f"{plain(inches)} {VACUUM}"
    return with_unit(value, unit)


def mass_text(ounces: Decimal) -> str:
    """Ounces as pounds and ounces, the way a charging scale shows them."""
    sign = "\N{MINUS SIGN}" if ounces < 0 else ""
    pounds, rest = divmod(abs(ounces), 16)
    whole = f"{int(pounds)} lb " if pounds else ""
    return f"{sign}{whole}{rest.normalize():f} oz"


def with_unit(value: Decimal, unit: str) -> str:
    """Value and unit as printed. The unit `lb oz` counts in ounces."""
    return mass_text(value) if unit == "lb oz" else f"{plain(value)} {unit}"


def _tenth(value: Decimal, rounding: str) -> Decimal:
    """To a tenth, which is finer than any gauge's step and than a pencil's line."""
    return value.quantize(Decimal("0.1"), rounding=rounding)


@dataclass(frozen=True)
class Row:
    """One row of a limit that depends on a second reading (`by`), all in instrument units."""

    by: Decimal
    low: Decimal
    high: Decimal


@dataclass(frozen=True)
class Limit:
    """A limit in the instrument's own unit. Unused parts are None or empty. `straight`: between
    two rows it runs straight from one to the other, as its chart draws it."""

    kind: Kind
    unit: str = ""
    low: Decimal | None = None
    high: Decimal | None = None
    rows: tuple[Row, ...] = ()
    by: str = ""
    by_unit: str = ""
    straight: bool = False
    choices: tuple[str, ...] = ()
    good: tuple[str, ...] = ()
    write_in: str = ""

    def text(self) -> str:
        """The limit as printed beside the box."""
        if self.kind == "at_most" and self.high is not None and self.unit == VACUUM:
            return f"{plain(-self.high)} {VACUUM} or deeper"
        if self.kind == "at_most" and self.high is not None:
            return f"{with_unit(self.high, self.unit)} or less"
        if self.kind == "at_least" and self.low is not None and self.unit == VACUUM:
            return f"{plain(-self.low)} {VACUUM} or shallower"
        if self.kind == "at_least" and self.low is not None:
            return f"{with_unit(self.low, self.unit)} or more"
        if self.kind == "between" and self.low is not None and self.high is not None:
            if self.unit == "lb oz":
                return f"{mass_text(self.low)} to {mass_text(self.high)}"
            if self.unit == VACUUM:
                return f"{plain(-self.high)} to {with_unit(-self.low, self.unit)}"
            if self.unit == _PSIG and self.low < 0:
                return f"{gauge_text(self.low, _PSIG)} to {gauge_text(self.high, _PSIG)}"
            return f"{plain(self.low)} to {with_unit(self.high, self.unit)}"
        if self.kind == "rows":
            return "as the table gives"
        if self.kind == "choice":
            return " or ".join(self.good) if self.good else ""
        return self.write_in

    def band(self, by: Decimal | None = None) -> tuple[Decimal | None, Decimal | None] | None:
        """Lowest and highest allowed reading; None where the limit gives no numbers.

        A table is entered with `by`. Between two rows the stricter row holds, or the straight line
        from one to the other, to a tenth and to the safe side; outside the table there is no band.
        """
        if self.kind in ("at_most", "at_least", "between"):
            return (self.low, self.high)
        if self.kind != "rows" or by is None or not self.rows:
            return None
        if not self.rows[0].by <= by <= self.rows[-1].by:
            return None
        exact = [row for row in self.rows if row.by == by]
        if exact:
            return (exact[0].low, exact[0].high)
        below = [row for row in self.rows if row.by < by][-1]
        above = next(row for row in self.rows if row.by > by)
        if self.straight:
            share = (by - below.by) / (above.by - below.by)
            low = below.low + share * (above.low - below.low)
            high = below.high + share * (above.high - below.high)
            return (_tenth(low, ROUND_CEILING), _tenth(high, ROUND_FLOOR))
        return (max(below.low, above.low), min(below.high, above.high))

    def allows(self, reading: Decimal | str, by: Decimal | None = None) -> bool | None:
        """Whether the reading meets the limit; None when that cannot be told from the paper."""
        if self.kind == "choice":
            return reading in self.good if self.good and reading in self.choices else None
        band = self.band(by)
        if band is None or not isinstance(reading, Decimal):
            return None
        low, high = band
        return (low is None or reading >= low) and (high is None or reading <= high)
