"""How long the hold lasts: what is given, else by the size of the machine and what rules ask.

No hours are ordered to see what bubbles must show: a leak that the record states lengthens the
hold to a day at most, beyond that it is told.
"""

from __future__ import annotations

from typing import Any

from packets.model.numbers import Number
from packets.numbers import charge_parts
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import OUNCE

CABINET, SMALL, COMMERCIAL, DAY = (
    "hold-cabinet",
    "hold-small",
    "hold-commercial",
    "hold-specification",
)


def add(context: Context) -> None:
    """Add hold.time and hold.settle. The record's time wins, then the rules', then practice."""
    cabinet = is_cabinet(context)
    settle = practice("settle")
    context.practice(
        "hold.settle",
        "Settle after filling",
        "time",
        settle["wait_low_min" if cabinet else "wait_min"] * 60.0,
        settle,
        round="up",
    )
    given, asked = context.record.hold_time, context.rules.hold_test.time
    laid = not context.hookups.found.factory_built
    if given is not None:
        context.number(
            "hold.time",
            "Hold for",
            "time",
            given.value,
            round="up",
            formula="as given",
            working=given.text,
            inputs=(context.given("hold time", given, context.key("hold_time")),),
            source="equipment record",
            confidence="given",
        )
        return
    row = practice(_row(context))
    seconds = _seconds(row)
    if asked is not None and laid and asked.value > seconds:
        context.number(
            "hold.time",
            "Hold for",
            "time",
            asked.value,
            round="up",
            formula="as the rules ask of piping laid on site",
            working=asked.text,
            source=context.rules.hold_test.source,
            confidence=context.rules.hold_test.confidence,  # type: ignore[arg-type]
        )
        return
    _by_practice(context, row, seconds)


def is_cabinet(context: Context) -> bool:
    """A small machine closed in the factory: in the rules' sense, or by its circuit and charge."""
    record, found = context.record, context.hookups.found
    most = practice(CABINET)["up_to_oz"] * OUNCE
    sealed = found.factory_built and record.metering.device == "capillary"
    return record.small_appliance or (sealed and charge_parts.of(context).full <= most)


def overrule(context: Context, seconds: float) -> str:
    """What to write in the record for another hold time."""
    hours = -(-seconds // 3600)
    return (
        f"write hold_time: {hours:.0f} h under circuits.{context.circuit} in the equipment record"
    )


def longest(context: Context) -> float:
    """The longest hold that is ordered without the record's word [s]."""
    return _seconds(practice(DAY))


def _row(context: Context) -> str:
    """Cabinets; splits and packages; walk-ins, racks and all that is as large as they are."""
    if is_cabinet(context):
        return CABINET
    receiver = any(part.kind == "receiver" for part in context.hookups.found.parts.values())
    large = charge_parts.of(context).full > practice(SMALL)["up_to_oz"] * OUNCE
    comfort = context.equipment.use == "comfort-cooling"
    if large or (receiver and not comfort):
        return COMMERCIAL
    return SMALL if comfort or context.hookups.found.factory_built else COMMERCIAL


def _seconds(row: dict[str, Any]) -> float:
    for key, one in (("wait_min", 60.0), ("wait_low_h", 3600.0), ("wait_h", 3600.0)):
        if key in row:
            return float(row[key]) * one
    raise KeyError(row["id"])


def _by_practice(context: Context, row: dict[str, Any], seconds: float) -> Number:
    return context.practice(
        "hold.time",
        "Hold for",
        "time",
        seconds,
        row,
        round="up",
        unit="h" if seconds > 3600 else "",
        assumption=f"another time: {overrule(context, seconds)}",
    )
