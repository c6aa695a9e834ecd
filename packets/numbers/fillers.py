"""The filler metals this job brazes with: where each melts, and the joints' nominal water sizes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from packets import reference
from packets.formatting import tube
from packets.formulas import brazing
from packets.model.numbers import Input
from packets.numbers.context import Context, JointAt
from packets.quantities import INCH

_COLUMNS = (
    ("solidus", "melts from", "solidus_f", "nearest"),
    ("liquidus", "flows from", "liquidus_f", "up"),
    ("range_low", "brazed from", "range_low_f", "up"),
    ("range_high", "brazed up to", "range_high_f", "down"),
)


class Filled(Protocol):
    """A joint with the filler chosen for it."""

    @property
    def joint(self) -> JointAt: ...
    @property
    def filler(self) -> str: ...


def add(context: Context, joints: Iterable[Filled]) -> None:
    """Add braze.<filler>.* and braze.nominal.<joint> for the joints that are brazed."""
    brazed = [plan for plan in joints if plan.joint.kind == "brazed"]
    names = {name for plan in brazed for name in plan.filler.split(" or ")}
    for row in reference.table("filler_metals").rows:
        if row["class"] in names:
            _metal(context, row)
    for plan in brazed:
        _nominal(context, plan.joint)


def _metal(context: Context, row: dict[str, object]) -> None:
    table, name = reference.table("filler_metals"), str(row["class"])
    for key, words, column, way in _COLUMNS:
        fahrenheit = row.get(column)
        if not isinstance(fahrenheit, (int, float)):
            continue
        source = table.source(row)
        context.number(
            f"braze.{name.lower()}.{key}",
            f"{name} {words}",
            "temperature",
            (fahrenheit + 459.67) / 1.8,
            round=way,  # type: ignore[arg-type]
            formula="as the table of filler metals gives it",
            working=f"{name}: {fahrenheit} °F",
            source=source.text,
            confidence=source.confidence,
        )


def _nominal(context: Context, joint: JointAt) -> None:
    """Copper fittings and filler tables go by the water size, 1/8 in under the outside diameter."""
    nominal = brazing.nominal_water_size(joint.size)
    context.number(
        f"braze.nominal.{joint.key.replace('.', '-')}",
        f"Nominal water size, {joint.name}",
        "length",
        nominal,
        unit="in" if context.units == "ip" else "mm",
        formula="outside diameter - 1/8 in",
        working=f"{tube(joint.size)} - 1/8 in = {nominal / INCH:.3f} in",
        inputs=(Input("outside diameter", tube(joint.size), context.key("joints", joint.key)),),
        source="CDA Copper Tube Handbook, tube dimensions (ASTM B88, from memory)",
        confidence="memory",
    )
