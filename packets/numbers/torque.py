"""Torque values: the maker's in the record win, then the table; the rest is read on site."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from packets import reference
from packets.formatting import System, rounded, show, tube
from packets.model.numbers import Confidence, Entry, Number, Rounding, Words, WriteIn
from packets.numbers.context import Context, JointAt
from packets.quantities import LBF_FT, Quantity, to_si

_ROWS = {
    "mounting": ("compressor-mount", "Compressor mounting bolts"),
    "port_cap": ("gauge-port-cap", "Gauge port caps"),
    "valve_cap": ("service-valve-cap", "Service valve caps"),
    "core": ("access-valve-core", "Valve cores"),
    "terminal": ("terminal-screw-8-10", "Terminal screws"),
}
# Flare nuts by tube size; the maker's value for one size, or `flare` for all alike.
_FLARES = ("flare-1-4", "flare-3-8", "flare-1-2", "flare-5-8", "flare-3-4")
# The two ends of a joint's torque, and the side each is rounded to.
_ENDS: tuple[tuple[str, str, Rounding], ...] = (
    ("joint.torque_low", "Lowest torque", "up"),
    ("joint.torque_high", "Highest torque", "down"),
)
_ON_SITE = "torque in the maker's instructions"
# Values for small machines, or where the part's own marking governs: printed with the mark
# that sends the reader to the maker's instructions.


def add(context: Context) -> None:
    """Add the torque.* entries. Keys of the record's `torque` are the same names."""
    known = sorted([*(name.replace("_", "-") for name in _ROWS), *_FLARES, "flare"])
    for key in context.record.torque:
        if key not in known:
            context.findings.error(
                "torque-name",
                context.record_place("torque", key),
                f"no torque is called {key!r}",
                f"known: {', '.join(known)}",
            )
    for name, (row_id, label) in _ROWS.items():
        _one(context, name, label, reference.table("torque").find(id=row_id))


def _one(context: Context, name: str, label: str, row: dict[str, Any] | None) -> None:
    given = context.record.torque.get(name.replace("_", "-"))
    id = f"torque.{name}"
    if given is not None:
        context.number(
            id,
            label,
            "torque",
            given.value,
            unit=_unit(given.value, context.units),
            formula="the maker's value",
            working=given.text,
            source="equipment record",
            confidence="given",
        )
        return
    home = context.equipment.use == "comfort-cooling"
    # The table's mounting bolt is a small residential compressor's.
    if name == "mounting" and not home:
        row = None
    if row is None or row.get("write_in") or row.get("marking_governs"):
        context.register.add(WriteIn(id, label, "torque", "torque in the maker's instructions"))
        return
    source = reference.table("torque").source(row)
    if "torque_nm" in row:
        value = (
            row["torque_lbf_in"] / 12 * LBF_FT
            if "torque_lbf_in" in row
            else row["torque_lbf_ft"] * LBF_FT
        )
        unit = "lbf in" if "torque_lbf_in" in row and context.units == "ip" else ""
        context.number(
            id,
            label,
            "torque",
            value,
            unit=unit,
            formula="as the table gives it",
            working=f"{row['id']}: {row['torque_nm']} N m",
            source=source.text,
            confidence=source.confidence if home else "practice",
            assumption="" if home else "from guides of small residential machines",
        )
        return
    text = torque_range(row, context.units)
    mark = "" if source.confidence == "seen" else f" ({source.confidence})"
    context.register.add(Words(id, label, text, source.text + mark))


def of_joint(context: Context, joint: JointAt) -> str:
    """What a screwed joint is tightened to: the maker's value, the table's, or read on site.

    Rotary-lock nuts differ by maker, so they are never in the table.
    """
    given, row = _flare(context, joint)
    if given is not None:
        return show(
            given.value, "torque", context.units, "nearest", unit=_unit(given.value, context.units)
        ).text
    return torque_range(row, context.units) if row else f"the {_ON_SITE}"


def ends_of_joint(context: Context, joint: JointAt) -> tuple[Entry, ...]:
    """Lowest and highest torque of a screwed joint: the ends of the text that is printed."""
    given, row = _flare(context, joint)
    if given is not None:
        # The maker gives one value: what is printed of it is both ends.
        unit = _unit(given.value, context.units)
        shown = show(given.value, "torque", context.units, "nearest", unit=unit).value
        value = to_si(
            float(shown), "torque", unit or ("lbf ft" if context.units == "ip" else "N m")
        )
        return _ends(
            (value, value), "the maker's value", given.text, "equipment record", "given", unit
        )
    if row is None:
        return tuple(WriteIn(id, label, "torque", _ON_SITE) for id, label, _ in _ENDS)
    source = reference.table("torque").source(row)
    return _ends(
        (row["torque_low_nm"], row["torque_high_nm"]),
        "as the table gives it",
        f"{row['torque_low_nm']:g} to {row['torque_high_nm']:g} N m",
        source.text,
        source.confidence,
        step=1.0 if context.units == "si" else LBF_FT,
    )


def _ends(
    values: tuple[float, float],
    formula: str,
    working: str,
    source: str,
    confidence: Confidence,
    unit: str = "",
    step: float = 0.0,
) -> tuple[Entry, ...]:
    return tuple(
        Number(
            id,
            label,
            "torque",
            value,
            way,
            formula,
            working,
            (),
            source,
            confidence,
            step,
            unit=unit,
        )
        for (id, label, way), value in zip(_ENDS, values, strict=True)
    )


def _flare(context: Context, joint: JointAt) -> tuple[Quantity | None, dict[str, Any] | None]:
    """The maker's torque of a flare nut, or else the table's row; neither for other joints."""
    if joint.kind != "flare":
        return None, None
    size = tube(joint.size).removesuffix(" in")
    own = context.record.torque
    given = own.get(f"flare-{size.replace('/', '-')}") or own.get("flare")
    if given is not None:
        return given, None
    return None, reference.table("torque").find(joint="Flare nut", tube_od=size)


def source_of(text: str) -> str:
    """Where a printed range of the flare table stands; "" for any other text."""
    table = reference.table("torque")
    for row in table.rows:
        if row["joint"] == "Flare nut" and text in (
            torque_range(row, "ip"),
            torque_range(row, "si"),
        ):
            return table.source(row).text
    return ""


def torque_range(row: dict[str, Any], units: System) -> str:
    """A range of the table in the packet's units: as the row gives them, else rounded inward."""
    low, high = row["torque_low_nm"], row["torque_high_nm"]
    if units == "si":
        return f"{_inward(low, high)} N m"
    if "torque_low_lbf_in" in row:
        return f"{row['torque_low_lbf_in']:g} to {row['torque_high_lbf_in']:g} lbf in"
    return f"{_inward(low / LBF_FT, high / LBF_FT)} lbf ft"


# Rounding inward may take this share off the range at most; else a finer step is printed.
_NARROWER = 0.6
_STEPS = (Decimal(1), Decimal("0.1"), Decimal("0.01"))


def _inward(low: float, high: float) -> str:
    """Both ends rounded inward, in the coarsest step that leaves most of the range."""
    for step in _STEPS:
        least, most = rounded(low, step, "up"), rounded(high, step, "down")
        if float(most - least) >= (1 - _NARROWER) * (high - low):
            break
    return f"{least} to {most}"


def _unit(value: float, units: System) -> str:
    """The unit a maker's torque is printed in: small ones that are no whole lbf ft in lbf in."""
    feet = value / LBF_FT
    return "lbf in" if units == "ip" and feet < 10 and abs(feet - round(feet)) > 0.02 else ""
