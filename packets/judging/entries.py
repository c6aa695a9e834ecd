"""What a person wrote in a box, as a value in the box's own unit.

A bare number is in the unit printed beside the box, digit for digit. A number with a unit of its
own is converted. What can mean two things is not read: `NotRead` says why.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from packets import quantities
from packets.model.limits import VACUUM
from packets.quantities import INCH_HG, UNITS

POUNDS = "lb oz"
# Kinds whose unit is left off behind the degree sign: 52° is in the box's own degrees.
_DEGREES = ("temperature", "temperature-difference")
_MASS = "write pounds and ounces, e.g. 14 lb 8 oz, or one of: lb, oz, kg, g with the number"
_CLOCKED = "write hours:minutes, e.g. 13:40"
_BARE = re.compile(r"(?P<sign>[-+\N{MINUS SIGN}]?)\s*(?P<digits>\d{1,9}(?:\.\d{0,6})?|\.\d{1,6})")
_THOUSANDS = re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d{1,6})?")
_TWO = re.compile(
    r"(?P<lb>\d{1,4})\s*(?:lbs?\.?|#)?[\s-]\s*(?P<oz>\d{1,2}(?:\.\d{1,3})?)\s*(?:oz\.?)?"
)
_VACUUM = re.compile(
    r"[-\N{MINUS SIGN}]?\s*(?P<digits>\d{1,3}(?:\.\d{1,3})?)\s*"
    r"(?:in\.?|\")\s*hg(?:\s*vac(?:uum)?)?\.?",
    re.I,
)
# 1340 and 930 as people write them too: three or four digits read one way only.
_CLOCK = re.compile(
    r"(?:(?P<day>\d{4}-\d{2}-\d{2})[ T])?(?P<h>\d{1,2})[:.h]?(?P<m>\d{2})\s*(?P<half>[ap]\.?m\.?)?"
    r"\s*(?P<next>\+\s?1)?",
    re.I,
)
_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
_DAY_MONTH = re.compile(r"(?P<d>\d{1,2})\.?\s+(?P<m>[A-Za-z]{3,9})\.?,?\s+(?P<y>\d{4})")
_MONTH_DAY = re.compile(r"(?P<m>[A-Za-z]{3,9})\.?\s+(?P<d>\d{1,2}),?\s+(?P<y>\d{4})")
_FIGURES = re.compile(r"(\d{1,4})[/.-](\d{1,2})[/.-](\d{1,4})")
# Vulgar fractions, as a keyboard of a phone offers them, and the digits they stand for.
_VULGAR = {
    "\N{VULGAR FRACTION ONE HALF}": "5",
    "\N{VULGAR FRACTION ONE QUARTER}": "25",
    "\N{VULGAR FRACTION THREE QUARTERS}": "75",
    "\N{VULGAR FRACTION ONE EIGHTH}": "125",
    "\N{VULGAR FRACTION THREE EIGHTHS}": "375",
    "\N{VULGAR FRACTION FIVE EIGHTHS}": "625",
    "\N{VULGAR FRACTION SEVEN EIGHTHS}": "875",
}
_ONE_VULGAR = re.compile(rf"(\d*)\s?([{''.join(_VULGAR)}])(?!\d)")
_SLASHED = re.compile(r"(?<![\d/.])(?:(\d{1,4})\s)?([1357])/([248])(?![\d/.])")
TICKED = {"x", "yes", "y", "true", "done", "ok", "on", "1", "\N{CHECK MARK}"}
NOT_TICKED = {"no", "n", "false", "off", "0", "-"}


class NotRead(ValueError):
    """The entry cannot be read as what the box asks for. `fix` says what to write, where it is
    known."""

    def __init__(self, message: str, fix: str = "") -> None:
        super().__init__(message)
        self.fix = fix


@dataclass(frozen=True)
class Clock:
    """A time of day in minutes, with the day where it was written (0: the same day, 1: next)."""

    minutes: int
    day: date | None = None
    next: bool = False


def number(text: str, quantity: str, unit: str) -> Decimal:
    """The reading in the box's unit; `lb oz` counts in ounces, a vacuum gauge is negative.

    Raises:
        NotRead: no number, two meanings, or a unit of another kind.
    """
    written = _decimal(" ".join(text.split()))
    if quantity in _DEGREES:
        written = re.sub(r"(?<=\d)\s?(?:\N{DEGREE SIGN}|deg\.?)$", "", written)
    if not quantity:
        return _digits(written)
    if unit == POUNDS:
        return _ounces(written)
    if (plain := _bare(written)) is not None:
        return -plain if unit == VACUUM and plain > 0 else plain
    if quantity == "gauge-pressure" and (found := _VACUUM.fullmatch(written)):
        inches = -Decimal(found["digits"])
        return inches if unit == VACUUM else from_si(float(inches) * INCH_HG, quantity, unit)
    return _with_unit(written, quantity, unit)


def _decimal(written: str) -> str:
    """The text with its fractions as decimals: 8½ and 8 1/2 are 8.5."""
    written = _ONE_VULGAR.sub(lambda found: f"{found[1] or '0'}.{_VULGAR[found[2]]}", written)

    def digits(found: re.Match[str]) -> str:
        share = Decimal(found[2]) / Decimal(found[3])
        return f"{Decimal(found[1] or 0) + share:f}" if share < 1 else found[0]

    return _SLASHED.sub(digits, written)


def _with_unit(written: str, quantity: str, unit: str) -> Decimal:
    found = re.fullmatch(r"(.*?[\d.])\s*([^\d\s.,].*)", written)
    if found and (spelled := quantities.unit_named(quantity, found[2])) is not None:
        digits = _bare(found[1])
        if digits is not None and spelled.shown == unit:
            return digits
    try:
        read = quantities.parse(_plain_digits(written), quantity)
    except quantities.BadQuantity as problem:
        fix = problem.fix if _tells(problem.fix) else _units_of(quantity, unit)
        raise NotRead(str(problem), fix) from None
    return from_si(read.value, quantity, unit)


def _tells(fix: str) -> bool:
    """Whether a fix says just what to write, not only what such a thing looks like."""
    return fix.startswith("write ") and "e.g." not in fix


def _units_of(quantity: str, unit: str) -> str:
    """The units that a box reads, its own first."""
    named = dict.fromkeys([unit, *(known.shown for known in UNITS.get(quantity, {}).values())])
    if quantity == "gauge-pressure":
        named |= {VACUUM: None}
    return f"write the number in {unit}, or with its unit, one of: {', '.join(named)}"


def _plain_digits(written: str) -> str:
    return _THOUSANDS.sub(lambda found: found[0].replace(",", ""), written)


def _bare(written: str) -> Decimal | None:
    """A number without a unit; None when there is more than that."""
    text = written
    if _THOUSANDS.fullmatch(text.lstrip("-+\N{MINUS SIGN} ")):
        text = text.replace(",", "")
    found = _BARE.fullmatch(text)
    if not found:
        return None
    value = Decimal(found["digits"])
    return value if found["sign"] in ("", "+") else -value


def _digits(written: str) -> Decimal:
    found = _bare(written)
    if found is None:
        raise NotRead(f"{written!r} is no number", "write the number alone")
    return found


def _ounces(written: str) -> Decimal:
    """Pounds and ounces in ounces; a bare number could be either and is not read."""
    if found := _TWO.fullmatch(written):
        ounces = Decimal(found["oz"])
        if ounces >= 16:
            raise NotRead(f"{written!r} has 16 ounces or more beside its pounds", _MASS)
        return Decimal(found["lb"]) * 16 + ounces
    if (bare := _bare(written)) is not None:
        if bare == 0:
            return bare
        raise NotRead(f"{written!r}: pounds or ounces?", f"write {written} lb, or {written} oz")
    if found := re.fullmatch(r"(\d{1,4}(?:\.\d{1,4})?)\s*(lbs?|oz)\.?", written, re.I):
        factor = 1 if found[2].lower() == "oz" else 16
        return Decimal(found[1]) * factor
    try:
        read = quantities.parse(_plain_digits(written), "mass")
    except quantities.BadQuantity as problem:
        raise NotRead(str(problem), problem.fix if _tells(problem.fix) else _MASS) from None
    return from_si(read.value, "mass", POUNDS)


def to_si(value: Decimal, quantity: str, unit: str) -> float:
    """A reading in the box's unit as SI; gauge pressure in Pa above the local air."""
    if unit == VACUUM:
        return float(value) * INCH_HG
    return quantities.to_si(float(value), quantity, _name(quantity, unit))


def from_si(value: float, quantity: str, unit: str) -> Decimal:
    """An SI value in a box's unit, to seven digits."""
    number = value / INCH_HG if unit == VACUUM else quantities.from_si(
        value, quantity, _name(quantity, unit)
    )  # fmt: skip
    return Decimal(f"{number:.7g}")


def _name(quantity: str, unit: str) -> str:
    """The key of a unit that is known by what is printed."""
    if unit == POUNDS:
        return "oz"
    for name, known in UNITS.get(quantity, {}).items():
        if known.shown == unit:
            return name
    raise NotRead(f"{unit!r} is no unit of {quantity or 'this box'}")


def clock(text: str) -> Clock:
    """A time of day: 13:40, 1:40 pm, 06:10 +1, 2026-03-19 06:10.

    Raises:
        NotRead: no time of day.
    """
    found = _CLOCK.fullmatch(" ".join(text.split()))
    if not found:
        raise NotRead(f"{text!r} is no time of day", _CLOCKED)
    hours, minutes = int(found["h"]), int(found["m"])
    half = (found["half"] or "").lower().replace(".", "")
    if minutes > 59 or hours > (12 if half else 23) or (half and hours == 0):
        raise NotRead(f"{text!r} is no time of day", _CLOCKED)
    if half:
        hours = hours % 12 + (12 if half == "pm" else 0)
    return Clock(
        hours * 60 + minutes, day(found["day"]) if found["day"] else None, bool(found["next"])
    )


def day(text: str) -> date:
    """A day: 2026-03-20, 20 Mar 2026, March 20, 2026, or figures of one day only (3/20/26).

    Raises:
        NotRead: no day, or one that could be two (3/4/26).
    """
    written = " ".join(text.split())
    if found := _DAY_MONTH.fullmatch(written) or _MONTH_DAY.fullmatch(written):
        month = found["m"][:3].lower()
        if month in _MONTHS:
            return _date(int(found["y"]), _MONTHS.index(month) + 1, int(found["d"]), text)
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", written):
        year, month, of_month = (int(part) for part in written.split("-"))
        return _date(year, month, of_month, text)
    meant = _meant(written)
    if len(meant) == 1:
        return meant[0]
    fix = " or ".join(f"write {one.isoformat()}" if not at else one.isoformat()
                      for at, one in enumerate(meant))  # fmt: skip
    raise NotRead(
        f"{text!r} is no day that reads one way only",
        fix or "write year-month-day, e.g. 2026-03-18",
    )


def _meant(written: str) -> list[date]:
    """The days that a date in figures can mean: month, day or year first; a year of two digits is
    of this century."""
    found = _FIGURES.fullmatch(written)
    if not found:
        return []
    one, two, three = found.groups()
    days = []
    for year, month, of_month in ((three, one, two), (three, two, one), (one, two, three)):
        if len(year) not in (2, 4) or len(month) > 2 or len(of_month) > 2:
            continue
        try:
            full = int(year) + (2000 if len(year) == 2 else 0)
            days.append(date(full, int(month), int(of_month)))
        except ValueError:
            continue
    return sorted(set(days))


def _date(year: int, month: int, of_month: int, text: str) -> date:
    try:
        return date(year, month, of_month)
    except ValueError:
        raise NotRead(f"{text!r} is no day of the calendar", "look at the calendar") from None


def ringed(text: str, words: Iterable[str]) -> str | None:
    """The printed word that an entry means: the word itself, or the only one that begins so."""
    said = " ".join(text.split()).casefold()
    printed = {word.casefold(): word for word in words}
    if said in printed:
        return printed[said]
    begun = [word for folded, word in printed.items() if said and folded.startswith(said)]
    return begun[0] if len(begun) == 1 else None


def ticked(value: str | bool) -> bool | None:
    """Whether a tick box was ticked; None when that cannot be told."""
    if isinstance(value, bool):
        return value
    word = value.strip().lower()
    if word in TICKED:
        return True
    return False if not word or word in NOT_TICKED else None
