"""Numbers with units: the only place that converts, and that reads what people write.

A `Quantity` holds SI: kg, m, m2, m3, m3/s, kg/s, kg/m, kg/m3, K, Pa, A, V, ohm, Hz, W, F, N m,
s. Gauge pressure is in Pa above the local air, and never mixes with absolute pressure.
Which kind a text means is decided by the schema's `x-quantity`, so ``8 degF`` is a temperature
in one place and a difference of 4.4 K in another.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

PSI = 6894.757293168361
INCH = 0.0254
FOOT = 0.3048
POUND = 0.45359237
OUNCE = POUND / 16
MICRON = 101325 / 760000
INCH_HG = 3386.389
CUBIC_FOOT = FOOT**3
FLUID_OUNCE = 2.95735295625e-5
LBF_FT = 1.3558179483314004

_F_ZERO = 459.67 / 1.8


@dataclass(frozen=True)
class Unit:
    """A unit of one kind: SI = number * factor + offset. `shown` is how it is printed."""

    kind: str
    shown: str
    factor: float
    offset: float = 0.0


def _units(kind: str, **named: float) -> dict[str, Unit]:
    return {name: Unit(kind, name, factor) for name, factor in named.items()}


UNITS: dict[str, dict[str, Unit]] = {
    "mass": _units("mass", lb=POUND, oz=OUNCE, kg=1.0, g=1e-3),
    "length": {"in": Unit("length", "in", INCH), "ft": Unit("length", "ft", FOOT)}
    | _units("length", m=1.0, mm=1e-3, cm=1e-2),
    "area": {
        "ft2": Unit("area", "ft²", FOOT**2),
        "m2": Unit("area", "m²", 1.0),
    },
    "volume": {
        "ft3": Unit("volume", "ft³", CUBIC_FOOT),
        "fl oz": Unit("volume", "fl oz", FLUID_OUNCE),
        "in3": Unit("volume", "in³", INCH**3),
        "m3": Unit("volume", "m³", 1.0),
        "L": Unit("volume", "L", 1e-3),
        "mL": Unit("volume", "mL", 1e-6),
    },
    "volume-flow": {
        "cfm": Unit("volume-flow", "cfm", CUBIC_FOOT / 60),
        "scfh": Unit("volume-flow", "scfh", CUBIC_FOOT / 3600),
        "L/min": Unit("volume-flow", "L/min", 1e-3 / 60),
        "L/s": Unit("volume-flow", "L/s", 1e-3),
        "m3/h": Unit("volume-flow", "m³/h", 1 / 3600),
    },
    "mass-flow": {
        "lb/min": Unit("mass-flow", "lb/min", POUND / 60),
        "kg/min": Unit("mass-flow", "kg/min", 1 / 60),
        "kg/h": Unit("mass-flow", "kg/h", 1 / 3600),
    },
    "mass-a-length": {
        "oz/ft": Unit("mass-a-length", "oz/ft", OUNCE / FOOT),
        "g/m": Unit("mass-a-length", "g/m", 1e-3),
    },
    "concentration": {
        "lb/kft3": Unit("concentration", "lb/1000 ft³", POUND / (1000 * CUBIC_FOOT)),
        "g/m3": Unit("concentration", "g/m³", 1e-3),
        "kg/m3": Unit("concentration", "kg/m³", 1.0),
    },
    "temperature": {
        "degF": Unit("temperature", "°F", 1 / 1.8, _F_ZERO),
        "degC": Unit("temperature", "°C", 1.0, 273.15),
    },
    "temperature-difference": {
        "degF": Unit("temperature-difference", "°F", 1 / 1.8),
        "degC": Unit("temperature-difference", "K", 1.0),
        "K": Unit("temperature-difference", "K", 1.0),
    },
    "gauge-pressure": {
        "psig": Unit("gauge-pressure", "psig", PSI),
        "kPag": Unit("gauge-pressure", "kPa gauge", 1e3),
        "MPag": Unit("gauge-pressure", "MPa gauge", 1e6),
        "barg": Unit("gauge-pressure", "bar gauge", 1e5),
    },
    "absolute-pressure": {
        "psia": Unit("absolute-pressure", "psia", PSI),
        "kPa abs": Unit("absolute-pressure", "kPa abs", 1e3),
        "bara": Unit("absolute-pressure", "bar abs", 1e5),
    },
    "pressure-difference": {
        "psi": Unit("pressure-difference", "psi", PSI),
        "kPa": Unit("pressure-difference", "kPa", 1e3),
        "bar": Unit("pressure-difference", "bar", 1e5),
    },
    "vacuum": {
        "micron": Unit("vacuum", "micron", MICRON),
        "Pa": Unit("vacuum", "Pa", 1.0),
        "mbar": Unit("vacuum", "mbar", 100.0),
    },
    "current": _units("current", A=1.0, mA=1e-3),
    "voltage": _units("voltage", V=1.0, kV=1e3),
    "resistance": {
        "ohm": Unit("resistance", "ohm", 1.0),
        "kohm": Unit("resistance", "kohm", 1e3),
        "Mohm": Unit("resistance", "Mohm", 1e6),
    },
    "frequency": _units("frequency", Hz=1.0),
    "power": _units("power", W=1.0, kW=1e3) | {"Btu/h": Unit("power", "Btu/h", 0.29307107017222)},
    "capacitance": {"uF": Unit("capacitance", "µF", 1e-6)},
    "torque": {
        "lbf ft": Unit("torque", "lbf ft", LBF_FT),
        "lbf in": Unit("torque", "lbf in", LBF_FT / 12),
        "N m": Unit("torque", "N m", 1.0),
    },
    "time": {
        "s": Unit("time", "s", 1.0),
        "min": Unit("time", "min", 60.0),
        "h": Unit("time", "h", 3600.0),
        "d": Unit("time", "d", 86400.0),
    },
    "ratio": {"%": Unit("ratio", "%", 0.01), "times": Unit("ratio", "times", 1.0)},
}

# Spellings that mean one unit. Lower case; compared after folding spaces.
_SPELLINGS = {
    "lbs": "lb", "pound": "lb", "pounds": "lb", "ounce": "oz", "ounces": "oz",
    "inch": "in", "inches": "in", '"': "in", "in.": "in", "foot": "ft", "feet": "ft", "'": "ft",
    "°f": "degF", "f": "degF", "deg f": "degF", "degf": "degF",
    "°c": "degC", "c": "degC", "deg c": "degC", "degc": "degC",
    "psi gauge": "psig", "psi g": "psig", "kpa gauge": "kPag", "kpa g": "kPag", "bar g": "barg",
    "bar gauge": "barg", "psi abs": "psia", "psi absolute": "psia", "kpa absolute": "kPa abs",
    "bar a": "bara", "bar abs": "bara", "microns": "micron", "mic": "micron", "mics": "micron",
    "µm": "micron", "um": "micron",
    "amp": "A", "amps": "A", "volt": "V", "volts": "V", "ohms": "ohm", "ω": "ohm", "ft³": "ft3",
    "cu ft": "ft3", "m³": "m3", "in³": "in3", "ft²": "ft2", "sq ft": "ft2", "m²": "m2",
    "m³/h": "m3/h", "µf": "uF", "mfd": "uF", "ft lb": "lbf ft", "ft-lb": "lbf ft",
    "lb-ft": "lbf ft", "lb ft": "lbf ft", "in lb": "lbf in", "in-lb": "lbf in", "nm": "N m",
    "n·m": "N m", "minutes": "min", "minute": "min", "hours": "h", "hour": "h", "hr": "h",
    "sec": "s", "day": "d", "days": "d", "percent": "%", "liter": "L", "litre": "L",
}  # fmt: skip

_LIMITS: dict[str, tuple[float, float]] = {
    "mass": (0, 1e6), "length": (-1000, 1e5), "area": (0, 1e6), "volume": (0, 1e4),
    "volume-flow": (0, 1e3), "mass-flow": (0, 1e3), "mass-a-length": (0, 50),
    "concentration": (0, 100), "temperature": (73.15, 1773.15),
    "temperature-difference": (-500, 500), "gauge-pressure": (-101325, 1e9),
    "absolute-pressure": (0, 1e9), "pressure-difference": (0, 1e9), "vacuum": (0, 2e5),
    "current": (0, 1e5), "voltage": (0, 1e6), "resistance": (0, 1e12), "frequency": (0, 1e6),
    "power": (0, 1e9), "capacitance": (0, 1.0), "torque": (0, 1e5), "time": (0, 1e9),
    "ratio": (0, 10),
}  # fmt: skip

_PART = re.compile(
    r"\s*(?P<sign>[-+\N{MINUS SIGN}]?)"
    r"(?:(?P<whole>\d{1,9})[\s-]+(?=\d{1,4}/))?"
    r"(?:(?P<top>\d{1,4})/(?P<bottom>\d{1,4})|(?P<decimal>\d{1,9}(?:\.\d{1,9})?))(?![\d.])"
    r"\s*(?P<unit>[^\d\s.][^\d\s]*(?:\s+[^\d\s]+)*(?:[23](?![\d.])(?:/\w+)?)?)"
)


class BadQuantity(ValueError):
    """A text that is no quantity of the wanted kind. `fix` says what to write."""

    def __init__(self, message: str, fix: str) -> None:
        super().__init__(message)
        self.fix = fix


@dataclass(frozen=True)
class Quantity:
    """A value in SI, its kind, and the text it was written as."""

    value: float
    kind: str
    text: str

    def to(self, unit: str) -> float:
        """The value in another unit of the same kind."""
        return from_si(self.value, self.kind, unit)


def from_si(value: float, kind: str, unit: str) -> float:
    """Convert an SI value to `unit`."""
    known = UNITS[kind][unit]
    return (value - known.offset) / known.factor


def to_si(number: float, kind: str, unit: str) -> float:
    """Convert a number in `unit` to SI."""
    known = UNITS[kind][unit]
    return number * known.factor + known.offset


def unit_named(kind: str, text: str) -> Unit | None:
    """The unit of `kind` that `text` spells, or None."""
    folded = " ".join(text.split())
    own = UNITS[kind]
    if folded in own:
        return own[folded]
    lower = folded.lower()
    spelled = _SPELLINGS.get(lower)
    if spelled in own:
        return own[spelled]
    same = [unit for name, unit in own.items() if name.lower() == lower]
    return same[0] if len(same) == 1 else None


def example(kind: str) -> str:
    """How a quantity of this kind is written."""
    return {
        "mass": "14 lb 8 oz", "length": "42 ft", "area": "120 ft2", "volume": "0.9 ft3",
        "volume-flow": "8 cfm", "mass-flow": "0.5 lb/min", "mass-a-length": "0.6 oz/ft",
        "concentration": "77 g/m3", "temperature": "88 degF",
        "temperature-difference": "8 degF", "gauge-pressure": "250 psig",
        "absolute-pressure": "14.7 psia", "pressure-difference": "1 psi", "vacuum": "500 micron",
        "current": "13.7 A", "voltage": "208 V", "resistance": "1.2 ohm", "frequency": "60 Hz",
        "power": "5 kW", "capacitance": "45 uF", "torque": "8 lbf ft", "time": "60 min",
        "ratio": "20 %",
    }[kind]  # fmt: skip


def parse(text: object, kind: str, like: str = "") -> Quantity:
    """Read what a person wrote as a quantity of `kind`.

    Reads decimals, fractions and sums of parts: ``9 lb 4 oz``, ``1-1/8 in``, ``1 1/8 in``.

    `like` is an example of what is asked for in this place; without it, one of the kind.

    Raises:
        BadQuantity: not a quantity, wrong kind, not finite, impossible; with what to write.
    """
    like = like or example(kind)
    if not isinstance(text, str):
        raise BadQuantity(f"{text!r} has no unit", f"write number and unit as text, e.g. {like}")
    if len(text) > 60:
        raise BadQuantity("too long for a quantity", f"write e.g. {like}")
    parts = _parts(text)
    if parts is None:
        raise BadQuantity(f"{text!r} is not a quantity", _guess(text, kind, like))
    total = 0.0
    previous: Unit | None = None
    for number, spelled in parts:
        unit = unit_named(kind, spelled)
        if unit is None:
            raise BadQuantity(*_wrong_unit(text, spelled, kind, like))
        if previous is not None and (unit.factor >= previous.factor or unit.offset):
            raise BadQuantity(f"{text!r} adds units that do not follow each other", f"e.g. {like}")
        total += float(number) * unit.factor + unit.offset
        previous = unit
    low, high = _LIMITS[kind]
    if not math.isfinite(total) or not low <= total <= high:
        raise BadQuantity(f"{text!r} cannot be a {kind.replace('-', ' ')}", f"e.g. {like}")
    return Quantity(total, kind, text)


def _parts(text: str) -> list[tuple[Fraction, str]] | None:
    """Number and unit of each part of the text, or None when it is not of that form."""
    parts: list[tuple[Fraction, str]] = []
    at = 0
    while at < len(text):
        found = _PART.match(text, at)
        if not found or len(parts) == 3:
            return None
        if found["decimal"]:
            number = Fraction(found["decimal"])
        elif int(found["bottom"]) == 0:
            return None
        else:
            number = Fraction(int(found["top"]), int(found["bottom"]))
            number += int(found["whole"] or 0)
        if found["sign"] in ("-", "\N{MINUS SIGN}"):
            if parts:
                return None
            number = -number
        parts.append((number, found["unit"].strip()))
        at = found.end()
    return parts or None


def units_in(text: str, kind: str) -> list[str]:
    """Names of the units that a quantity's text is written in, in order; empty where it is none.

    >>> units_in("14 lb 8 oz", "mass")
    ['lb', 'oz']
    """
    found = [unit_named(kind, spelled) for _, spelled in _parts(text) or []]
    return [name for unit in found for name, known in UNITS[kind].items() if known is unit]


def _wrong_unit(text: str, spelled: str, kind: str, like: str) -> tuple[str, str]:
    """Message and fix for a unit that is not of the wanted kind."""
    if spelled.lower() in ("psi", "kpa", "bar", "mpa") and kind in (
        "gauge-pressure",
        "absolute-pressure",
    ):
        bare = text.strip()
        gauge = {"psi": "psig", "kpa": "kPag", "bar": "barg", "mpa": "MPag"}[spelled.lower()]
        meant = bare[: -len(spelled)] + gauge
        if kind == "absolute-pressure":
            return f"{text!r}: gauge or absolute?", f"write psia or kPa abs, e.g. {like}"
        return f"{text!r}: gauge or absolute?", f"write {meant} (gauge)"
    other = [name for name in UNITS if unit_named(name, spelled) is not None]
    want = kind.replace("-", " ")
    if other:
        was = other[0].replace("-", " ")
        return f"{text!r} is a {was}, not a {want}", f"write e.g. {like}"
    return f"{spelled!r} in {text!r} is no unit of {want}", _guess(text, kind, like)


def _guess(text: str, kind: str, like: str) -> str:
    """What the writer most likely meant, as a fix."""
    tokens = re.findall(r"\d+(?:\.\d+)?(?:[\s-]\d+/\d+|/\d+)?|[^\W\d_°%\"']+|[°%\"']", text)
    if kind == "mass" and len(tokens) in (3, 4):
        first = unit_named("mass", tokens[1])
        if first and first.shown == "lb" and re.fullmatch(r"[\d.]+", tokens[2]):
            return f"write {tokens[0]} lb {tokens[2]} oz"
    if len(tokens) == 2 and re.fullmatch(r"[\d./\s-]+", tokens[0]):
        unit = unit_named(kind, tokens[1])
        if unit and not tokens[0].endswith("/0"):
            name = next(key for key, value in UNITS[kind].items() if value == unit)
            return f"write {tokens[0]} {name}"
    if len(tokens) == 1 and re.fullmatch(r"[\d./\s-]+", tokens[0]):
        usual = _parts(like) or []
        names = [spelled for _, spelled in usual] if len(usual) == 1 else list(UNITS[kind])[:3]
        return f"add the unit: {', '.join(f'{tokens[0]} {name}' for name in names)}"
    return f"write e.g. {like}"
