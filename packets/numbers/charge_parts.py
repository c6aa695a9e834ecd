"""The parts of a charge: what the plate or the file gives, line set beyond that, larger new parts.

A recorded charge already holds its lines. A nameplate charge covers the length of line set that
its maker says, and the maker's adder for the rest wins over what bore and density give.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from packets import reference
from packets.formulas import charge as formula
from packets.formulas.ranges import OutOfRange
from packets.formulas.saturation import NoDensity
from packets.model.equipment import Line, LineSet
from packets.model.numbers import Confidence, Input, weakest
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import INCH, Quantity

# A line set is joined in the field: the circuit has service valves and a liquid line.
_FIELD_JOINED = "service-valve"
_LEAST = 1e-4  # kg; less than any scale shows


@dataclass(frozen=True)
class Part:
    """One part of a charge [kg], with its reasoning."""

    id: str
    label: str
    mass: float
    formula: str
    working: str
    inputs: tuple[Input, ...]
    source: str
    confidence: Confidence
    assumption: str = ""


@dataclass(frozen=True)
class ChargeParts:
    """What the machine holds when full, and what the new parts add to it.

    `missing` is the key without which the charge is not known, and why.
    """

    given: Part
    lines: Part | None
    new: tuple[Part, ...]
    missing: tuple[str, str] | None = None

    @property
    def full(self) -> float:
        """Charge of the machine as it stood [kg]."""
        return formula.total_charge([self.given.mass, self.lines.mass if self.lines else 0.0])

    @property
    def total(self) -> float:
        """Charge of the machine with its new parts [kg]."""
        return formula.total_charge([self.full, *(part.mass for part in self.new)])

    @property
    def parts(self) -> tuple[Part, ...]:
        return (self.given, *((self.lines,) if self.lines else ()), *self.new)


def of(context: Context) -> ChargeParts:
    """The parts of this circuit's charge."""
    record = context.record
    given = Part(
        "charge.given",
        f"Charge, {record.charge_from}",
        record.charge.value,
        f"the {record.charge_from} charge",
        record.charge.text,
        (context.given("charge", record.charge, context.key("charge")),),
        f"equipment record, {record.charge_from} charge",
        "given",
    )
    try:
        lines, missing = _beyond_plate(context)
        return ChargeParts(given, lines, tuple(_new(context)), missing)
    except OutOfRange as problem:
        # Told once here, and not by each subject that asks for the charge.
        key = context.key("line_set" if record.line_set else "part_volumes")
        return ChargeParts(given, None, (), (key, str(problem)))


def _beyond_plate(context: Context) -> tuple[Part | None, tuple[str, str] | None]:
    """The line set that a nameplate charge does not cover, or the key that is missing."""
    record = context.record
    if record.charge_from != "nameplate" or not (field_joined(context) or record.line_set):
        return None, None
    line = line_set(context)
    if record.line_set is None:
        why = "a nameplate charge covers only part of a line set; its plate says how much"
        return None, (context.key("line_set", "covers"), why)
    if line is None:
        why = "no liquid line of the circuit is given, so the line set cannot be reckoned"
        return None, (context.key("lines"), why)
    return _lines(context, line, record.line_set)


def full_text(context: Context) -> str:
    """The charge before the work as printed: as written in the record where it is that alone."""
    parts = of(context)
    if not parts.lines:
        return context.record.charge.text
    return context.shown(parts.full, "mass", step=context.kit.scale.resolution.value)


def total_text(context: Context) -> str:
    """The charge after the work, with its new parts, as printed."""
    parts = of(context)
    if not parts.new:
        return full_text(context)
    return context.shown(parts.total, "mass", step=context.kit.scale.resolution.value)


def field_joined(context: Context) -> bool:
    """Whether the machine is joined by a line set in the field."""
    return any(part.kind == _FIELD_JOINED for part in context.plan.parts.values())


def line_set(context: Context) -> Line | None:
    """The liquid line of the line set: the longest liquid line the record gives."""
    drawn = context.plan.lines
    liquid = [
        line for line in context.record.lines if line.name in drawn and drawn[line.name].liquid
    ]
    return max(liquid, key=lambda line: line.length.value, default=None)


def _lines(
    context: Context, line: Line, asked: LineSet
) -> tuple[Part | None, tuple[str, str] | None]:
    rate = _maker_rate(context, asked.adder) or _reckoned_rate(context, line, asked)
    if rate is None:
        why = "the liquid's density is not known, so the line set cannot be reckoned"
        return None, (context.key("line_set", "adder"), why)
    mass = formula.line_adder(line.length.value, asked.covers.value, rate.a_length)
    beyond = max(line.length.value - asked.covers.value, 0.0)
    return (
        Part(
            "charge.line_set",
            f"Line set beyond what the plate covers, {rate.called}",
            mass,
            "(length of line set - length the plate covers) x charge for each length",
            f"({line.length.text} - {asked.covers.text} = {context.shown(beyond, 'length')})"
            f" x {rate.working} = {context.shown(mass, 'mass')}",
            (
                context.given(f"length of {line.name}", line.length, context.key("lines")),
                context.given("plate covers", asked.covers, context.key("line_set", "covers")),
                *rate.inputs,
            ),
            rate.source,
            rate.confidence,
            rate.assumption,
        ),
        None,
    )


@dataclass(frozen=True)
class _Rate:
    """Charge for a length of line set [kg/m], where it is from, and how it is called."""

    a_length: float
    working: str
    inputs: tuple[Input, ...]
    source: str
    confidence: Confidence
    called: str
    assumption: str = ""


def _maker_rate(context: Context, adder: Quantity | None) -> _Rate | None:
    if adder is None:
        return None
    key = context.key("line_set", "adder")
    source = "equipment record, the maker's adder"
    inputs = (context.given("maker's adder", adder, key),)
    return _Rate(adder.value, adder.text, inputs, source, "given", "by the maker's adder")


def _reckoned_rate(context: Context, line: Line, asked: LineSet) -> _Rate | None:
    """Bore x liquid density at the stated temperature, else at the usual one."""
    bore, row = tube_bore(line.size.value), practice("liquid-line-temperature")
    if bore is None or context.fluid is None:
        return None
    own = asked.liquid_temperature
    kelvin = own.value if own else (row["temperature_f"] + 459.67) / 1.8
    try:
        density = context.fluid.table.liquid_density(kelvin)
    except NoDensity:
        return None
    rate = formula.mass_in_tube(bore, 1.0, density)
    at = context.shown(kelvin, "temperature")
    ground: Confidence = "given" if own else row["confidence"]
    shown = context.shown(rate, "mass-a-length")
    return _Rate(
        rate,
        f"{shown} (bore {bore / INCH:.3f} in, {density:.0f} kg/m³ at {at})",
        (
            context.given(f"size of {line.name}", line.size, context.key("lines")),
            Input("liquid taken at", at, "equipment record" if own else "common practice"),
        ),
        f"bore by ASTM B280 x liquid density, {context.fluid.source}",
        weakest("computed", ground, context.fluid.confidence),  # type: ignore[arg-type]
        "by bore and density",
        f"liquid line full of liquid at {at}; the gas in the suction line is left out",
    )


def tube_bore(size: float) -> float | None:
    """Bore of annealed tube of an outside diameter [m]; of two walls the thinner."""
    rows = [
        row
        for row in reference.table("tube").rows
        if row["temper"] == "annealed" and math.isclose(row["od_in"] * INCH, size, abs_tol=1e-4)
    ]
    return max((float(row["bore_in"]) * INCH for row in rows), default=None)


def _new(context: Context) -> list[Part]:
    """What new parts hold more than the old ones; a smaller part takes nothing off."""
    made, parts = [], context.parts
    for name, part, liquid in (
        ("drier", parts.drier, True),
        ("suction-drier", parts.suction_drier, False),
        ("accumulator", parts.accumulator, False),
    ):
        volume = part.volume if part is not None else None
        if volume is None:
            continue
        density = _density(context, liquid)
        old = context.record.part_volumes.get(name)
        more = volume.value - (old.value if old else 0.0)
        # A drier without a stated old volume takes the place of one as large.
        if density is None or more <= 0 or (name == "drier" and old is None):
            continue
        mass = more * density.kg_m3
        if mass < _LEAST:
            continue
        made.append(_more(context, name, volume, old, mass, density))
    return made


@dataclass(frozen=True)
class _Density:
    kg_m3: float
    at: str


def _density(context: Context, liquid: bool) -> _Density | None:
    """Density of what fills a part: liquid as in a line set, or gas at the highest evaporating."""
    if context.fluid is None:
        return None
    table, span = context.fluid.table, context.record.evaporating
    try:
        if liquid:
            asked = context.record.line_set
            own = asked.liquid_temperature if asked else None
            usual = (practice("liquid-line-temperature")["temperature_f"] + 459.67) / 1.8
            kelvin = own.value if own else usual
            return _Density(
                table.liquid_density(kelvin), f"liquid at {context.shown(kelvin, 'temperature')}"
            )
        if span is None:
            return None
        at = f"gas at {context.shown(span.high.value, 'temperature')}"
        return _Density(table.vapor_density(span.high.value), at)
    except NoDensity:
        return None


def _more(
    context: Context, name: str, new: Quantity, old: Quantity | None, mass: float, held: _Density
) -> Part:
    inputs = [context.given(f"new {name}", new, f"job, parts.{context.circuit}.{_key(name)}")]
    if old is not None:
        inputs.append(
            context.given(f"old {name}", old, context.key("part_volumes", name)),
        )
    return Part(
        f"charge.{_key(name)}",
        f"Added for the larger {name.replace('-', ' ')}",
        mass,
        "(new volume - old volume) x density of what fills it",
        f"({new.text} - {old.text if old else '0'}) x {held.kg_m3:.1f} kg/m³"
        f" = {context.shown(mass, 'mass')}",
        tuple(inputs),
        f"geometry; density {context.fluid.source if context.fluid else ''}",
        "practice",
        f"full of {held.at}",
    )


def _key(name: str) -> str:
    return name.replace("-", "_")
