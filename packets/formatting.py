"""Values as printed: unit, decimals and the direction of rounding, in either unit system.

A maximum rounds down, a minimum up, so that what is printed never allows more than was computed.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import Literal

from packets.model.limits import mass_text, plain
from packets.quantities import INCH_HG, OUNCE, UNITS, Quantity, from_si

System = Literal["ip", "si"]
_ROUNDING = {"up": ROUND_CEILING, "down": ROUND_FLOOR, "nearest": ROUND_HALF_UP}

# Unit and usual step, by kind and system.
_SHOWN: dict[str, dict[System, tuple[str, str]]] = {
    "mass": {"ip": ("oz", "0.5"), "si": ("kg", "0.01")},
    "length": {"ip": ("ft", "1"), "si": ("m", "0.1")},
    "area": {"ip": ("ft2", "1"), "si": ("m2", "0.1")},
    "volume": {"ip": ("ft3", "0.1"), "si": ("L", "0.1")},
    "volume-flow": {"ip": ("scfh", "1"), "si": ("L/min", "0.1")},
    "mass-flow": {"ip": ("lb/min", "0.1"), "si": ("kg/min", "0.01")},
    "mass-a-length": {"ip": ("oz/ft", "0.01"), "si": ("g/m", "0.1")},
    "concentration": {"ip": ("lb/kft3", "0.1"), "si": ("g/m3", "1")},
    "temperature": {"ip": ("degF", "1"), "si": ("degC", "1")},
    "temperature-difference": {"ip": ("degF", "1"), "si": ("K", "0.5")},
    "gauge-pressure": {"ip": ("psig", "1"), "si": ("kPag", "1")},
    "absolute-pressure": {"ip": ("psia", "0.1"), "si": ("kPa abs", "1")},
    "pressure-difference": {"ip": ("psi", "0.1"), "si": ("kPa", "1")},
    "vacuum": {"ip": ("micron", "1"), "si": ("Pa", "1")},
    "current": {"ip": ("A", "0.1"), "si": ("A", "0.1")},
    "voltage": {"ip": ("V", "1"), "si": ("V", "1")},
    "resistance": {"ip": ("ohm", "0.1"), "si": ("ohm", "0.1")},
    "frequency": {"ip": ("Hz", "1"), "si": ("Hz", "1")},
    "power": {"ip": ("kW", "0.1"), "si": ("kW", "0.1")},
    "capacitance": {"ip": ("uF", "0.1"), "si": ("uF", "0.1")},
    "torque": {"ip": ("lbf ft", "1"), "si": ("N m", "0.1")},
    "time": {"ip": ("min", "1"), "si": ("min", "1")},
    "ratio": {"ip": ("%", "0.1"), "si": ("%", "0.1")},
}

# Usual step of a unit that is asked for by name.
_STEPS = {"fl oz": "1", "mL": "10", "lb": "1", "kg": "0.1", "h": "1", "lbf in": "1", "%": "1"}
_STEPS |= {"d": "1", "times": "0.1", "cfm": "1", "L/s": "1", "mm": "0.1", "in": "0.01"}


@dataclass(frozen=True)
class Shown:
    """A printed value: the decimal, the unit as printed, and both together."""

    value: Decimal
    unit: str
    text: str


def gauge_unit(quantity: str, system: System) -> str:
    """The unit to ask `show` for where a column keeps one unit through the air's pressure."""
    return "psig" if quantity == "gauge-pressure" and system == "ip" else ""


def unit_of(quantity: str, system: System) -> str:
    """The unit a person writes a reading of this kind in."""
    if quantity == "mass" and system == "ip":
        return "lb oz"
    name = _SHOWN[quantity][system][0]
    return UNITS[quantity][name].shown


def show(
    value: float, quantity: str, system: System, rounding: str, step: float = 0.0, unit: str = ""
) -> Shown:
    """Round an SI value and give it its unit.

    Args:
        value: SI value; gauge pressure in Pa above the local air.
        quantity: its kind.
        system: `ip` or `si`.
        rounding: up, down or nearest.
        step: the instrument's step in SI (a difference); 0 for the unit's usual step.
        unit: a unit of the kind, instead of the usual one.
    """
    name = unit or _SHOWN[quantity][system][0]
    known = UNITS[quantity][name]
    if quantity == "gauge-pressure" and system == "ip" and not unit and value < -1:
        return _below_air(value, rounding)
    size = _size(quantity, system, step, unit)
    found = rounded(from_si(value, quantity, name), size, rounding)
    if quantity == "mass" and name == "oz":
        return Shown(found, "lb oz", mass_text(found))
    text = f"{plain(found)} {known.shown}"
    return Shown(found, known.shown, text)


def in_si(quantity: Quantity) -> str:
    """What stands in a file, to two figures, in the SI unit that its kind is printed in."""
    name = _SHOWN[quantity.kind]["si"][0]
    return f"{Decimal(f'{quantity.to(name):.2g}'):f} {UNITS[quantity.kind][name].shown}"


def step_in(step: float, quantity: str, shown: str) -> Decimal:
    """An instrument's step [SI, a difference] in a unit as printed; `lb oz` counts in ounces."""
    name = "oz" if shown == "lb oz" else shown
    known = next((unit for unit in UNITS[quantity].values() if unit.shown == name), None)
    factor = known.factor if known else INCH_HG
    return Decimal(f"{step / factor:.6g}")


def printed_step(quantity: str, system: System, step: float) -> float:
    """The step that `show` rounds to for an instrument of this step; both in SI, differences."""
    size = _size(quantity, system, step, "")
    return float(size) * UNITS[quantity][_SHOWN[quantity][system][0]].factor


def _size(quantity: str, system: System, step: float, unit: str) -> Decimal:
    """The step to round to, in the unit shown."""
    usual, usual_step = _SHOWN[quantity][system]
    if step:
        known = UNITS[quantity][unit or usual]
        # A step finer than a millionth shows nothing that anybody reads.
        instrument = max(Decimal(str(round(step / known.factor, 6))).normalize(), Decimal("1E-6"))
        # An instrument's round step in one system is not round in the other: take the next
        # step of 1, 2, 5 that is no coarser, so that rounding never moves a value by more than
        # the instrument's own step. A vacuum is read in whole pascals.
        if quantity == "vacuum" and system == "si":
            return max(Decimal(usual_step), _round_step(instrument))
        return _round_step(instrument) if not _is_round(instrument) else instrument
    return Decimal(_STEPS.get(unit, usual_step) if unit else usual_step)


def _is_round(step: Decimal) -> bool:
    """Whether a step is 1, 2, 5 or 25 times a power of ten, as an instrument's own step is in the
    unit that it shows."""
    return step.normalize().as_tuple().digits in ((1,), (2,), (5,), (2, 5))


def _round_step(most: Decimal) -> Decimal:
    """The largest of 1, 2, 5 times a power of ten that is not more."""
    decade = Decimal(1).scaleb(most.adjusted())
    return next(decade * k for k in (5, 2, 1) if decade * k <= most)


def rounded(number: float, step: Decimal, rounding: str) -> Decimal:
    """A number rounded to a multiple of `step`: up, down or nearest. To nine digits first, so that
    250.0000000001 stays 250."""
    exact = Decimal(f"{number:.9g}")
    found = (exact / step).quantize(Decimal(1), rounding=_ROUNDING[rounding]) * step
    # A step of 0.5 prints one decimal, a step of 5 none; and there is no minus zero.
    return found.quantize(min(step.normalize(), Decimal(1))) + 0


def _below_air(value: float, rounding: str) -> Shown:
    """A gauge pressure below the air, as a compound gauge shows it: inches of mercury vacuum."""
    deeper = {"up": "down", "down": "up", "nearest": "nearest"}[rounding]
    inches = rounded(-value / INCH_HG, Decimal("0.5"), deeper)
    return Shown(-inches, "in. Hg vacuum", f"{plain(inches)} in. Hg vacuum")


def tube(size: float) -> str:
    """A tube's outside diameter as the trade writes it: 1-1/8 in."""
    sixteenths = round(size / 0.0254 * 16)
    if abs(sixteenths * 0.0254 / 16 - size) > 1e-4:
        return f"{size * 1000:g} mm"
    whole, rest = divmod(sixteenths, 16)
    if not rest:
        return f"{whole} in"
    top, bottom = rest, 16
    while top % 2 == 0:
        top, bottom = top // 2, bottom // 2
    return f"{whole}-{top}/{bottom} in" if whole else f"{top}/{bottom} in"


def ounces(value: float) -> Decimal:
    """Kilograms in ounces, to a tenth."""
    return rounded(value / OUNCE, Decimal("0.1"), "nearest")


def minutes(value: float) -> str:
    """Minutes as people say them: 45 min, 2 h, 2 h 15 min."""
    whole = round(value)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def counted(number: int, what: str) -> str:
    """A number of things: `1 step`, `2 steps`."""
    return f"{number} {what}{'' if number == 1 else 's'}"
