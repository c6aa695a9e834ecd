"""Values as a file states them, with the packet's own unit beside a unit of the other system.

A plate says `250 psig` and stays quoted so; a packet in SI prints `250 psig (1724 kPa gauge)`, and
one in inch-pound units the same for a file that is written in SI. Done once, right after loading,
so that every text that quotes a file has both.
"""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from typing import Any, TypeVar

from packets.formatting import System
from packets.model.limits import mass_text
from packets.quantities import UNITS, Quantity, units_in

# Unit of a file, and what stands beside it in a packet of the other system.
_IN_SI: dict[str, str] = {
    "lb": "kg", "oz": "g", "in": "mm", "ft": "m", "ft2": "m2", "ft3": "L", "fl oz": "mL",
    "in3": "mL", "cfm": "L/s", "scfh": "L/min", "lb/min": "kg/min", "oz/ft": "g/m",
    "lb/kft3": "g/m3", "degF": "degC", "psig": "kPag", "psia": "kPa abs", "psi": "kPa",
    "micron": "Pa", "Btu/h": "kW", "lbf ft": "N m", "lbf in": "N m",
}  # fmt: skip
_IN_IP: dict[str, str] = {
    "kg": "oz", "g": "oz", "mm": "in", "cm": "in", "m": "ft", "m2": "ft2", "m3": "ft3", "L": "ft3",
    "mL": "fl oz", "L/min": "cfm", "L/s": "cfm", "m3/h": "cfm", "kg/min": "lb/min",
    "kg/h": "lb/min", "g/m": "oz/ft", "g/m3": "lb/kft3", "kg/m3": "lb/kft3", "degC": "degF",
    "K": "degF", "kPag": "psig", "MPag": "psig", "barg": "psig", "kPa abs": "psia", "bara": "psia",
    "kPa": "psi", "bar": "psi", "Pa": "micron", "mbar": "micron", "N m": "lbf ft",
}  # fmt: skip
_FIGURES = 4

Any_ = TypeVar("Any_")


def beside(thing: Any_, system: System) -> Any_:
    """The same record, with the packet's unit beside each quantity that states another.

    Values in SI and all else stay as they are. Takes dataclasses, tuples, dicts and quantities,
    each in the other; what is none of these is returned as it is.
    """
    return _beside(thing, system)  # type: ignore[no-any-return]


def _beside(thing: Any, system: System) -> Any:
    if isinstance(thing, Quantity):
        return quoted(thing, system)
    if isinstance(thing, tuple):
        return tuple(_beside(one, system) for one in thing)
    if isinstance(thing, dict):
        return {key: _beside(one, system) for key, one in thing.items()}
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        old = {one.name: getattr(thing, one.name) for one in dataclasses.fields(thing)}
        new = {name: _beside(value, system) for name, value in old.items()}
        changed = {name: value for name, value in new.items() if value != old[name]}
        return dataclasses.replace(thing, **changed) if changed else thing
    return thing


def quoted(quantity: Quantity, system: System) -> Quantity:
    """A quantity whose text has the packet's unit beside it, where the file states another.

    >>> from packets.quantities import parse
    >>> quoted(parse("250 psig", "gauge-pressure"), "si").text
    '250 psig (1724 kPa gauge)'
    >>> quoted(parse("6.6 kg", "mass"), "ip").text
    '6.6 kg (14 lb 8.8 oz)'
    >>> quoted(parse("60 min", "time"), "si").text
    '60 min'
    """
    other = _IN_SI if system == "si" else _IN_IP
    # A tube or a hose goes by its fraction of an inch in either system: it is a name.
    if quantity.kind == "length" and "/" in quantity.text:
        return quantity
    names = [name for name in units_in(quantity.text, quantity.kind) if name in other]
    if not names:
        return quantity
    name = _unit(quantity, other[names[0]])
    value = quantity.to(name)
    shown = mass_text(_ounces(value)) if name == "oz" else f"{_figures(value, quantity.kind)}"
    unit = "" if name == "oz" else f" {UNITS[quantity.kind][name].shown}"
    return Quantity(quantity.value, quantity.kind, f"{quantity.text} ({shown}{unit})")


def _unit(quantity: Quantity, name: str) -> str:
    """The unit by its kind: a difference of temperature is in kelvins."""
    if quantity.kind == "temperature-difference" and name == "degC":
        return "K"
    return name


def _ounces(value: float) -> Decimal:
    """Ounces to a tenth; less than an ounce to two figures, as the step of a scale is."""
    if value < 1:
        return Decimal(f"{Decimal(f'{value:.2g}'):f}")
    return Decimal(f"{value:.1f}")


def _figures(value: float, kind: str) -> str:
    """To four figures, a temperature to a tenth; no exponent and no zeros at the end."""
    exact = f"{value:.1f}" if kind == "temperature" else f"{value:.{_FIGURES}g}"
    text = f"{Decimal(exact):f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text.replace("-", "\N{MINUS SIGN}")
