"""Superheat and subcooling as line-temperature bands by measured gauge pressure."""

from __future__ import annotations

import math
from itertools import pairwise

from packets import reference
from packets.formatting import System, printed_step
from packets.formulas import verification
from packets.formulas.saturation import SaturationTable
from packets.model.equipment import Span
from packets.model.numbers import Input, NumberTable, Rounding, TableRow, WriteIn
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import PSI, Quantity

_K = 1 / 1.8
_ROWS, _MOST_ROWS = 9, 24
_SUCTION: tuple[tuple[str, str, Rounding], ...] = (
    ("verify.suction_least", "Suction pressure, least", "up"),
    ("verify.suction_most", "Suction pressure, most", "down"),
)


def add(context: Context) -> None:
    """Add verify.superheat, verify.compressor_line and verify.subcooling, or note which key they
    wait for; and verify.suction_*."""
    _superheat(context)
    _at_compressor(context)
    _subcooling(context)
    _suction(context)


def _within(own: Quantity | None, row_id: str) -> tuple[float, str, str]:
    """Allowed difference, its source, its confidence: the record's, else the table of practice."""
    if own is not None:
        return own.value, "equipment record", "given"
    row = practice(row_id)
    source = reference.table("practice").source(row)
    return row["band_f_diff"] * _K, source.text, source.confidence


def _superheat(context: Context) -> None:
    metering, span = context.record.metering, context.record.evaporating
    _band(
        context,
        "verify.superheat",
        "superheat",
        metering.superheat,
        metering.superheat_within,
        "superheat-installer",
        span,
        "evaporating",
        title="Suction line temperature by suction pressure (superheat)",
    )


def _at_compressor(context: Context) -> None:
    """Suction line at the compressor: the maker's superheat there, else the trade's for a circuit
    with a receiver; on others it is read on site."""
    id, span, fluid = "verify.compressor_line", context.record.evaporating, context.fluid
    own, row = context.record.compressor.superheat, practice("compressor-superheat")
    kinds = {part.kind for part in context.plan.parts.values()}
    title = "Suction line at the compressor by suction pressure (superheat)"
    if own is None and "receiver" not in kinds:
        read = "superheat at the compressor in its maker's data"
        context.register.add(WriteIn(id, title, "temperature-difference", read))
        return
    if span is None or fluid is None:
        key = context.key("evaporating" if span is None else "chart")
        context.register.wait(id, key, "no superheat at the compressor without it")
        return
    source = reference.table("practice").source(row)
    least = own.low.value if own else row["low_f_diff"] * _K
    most = own.high.value if own else row["high_f_diff"] * _K
    words = " to ".join(context.shown(end, "temperature-difference") for end in (least, most))
    where = context.key("compressor", "superheat") if own else source.text
    _table(
        context,
        id,
        "superheat",
        span,
        (least, (least + most) / 2, most),
        title,
        (Input("superheat allowed there", words, where),),
        "given" if own else source.confidence,
    )


def _suction(context: Context) -> None:
    """Lowest and highest suction pressure: dew at the ends of the evaporating range."""
    span, fluid = context.record.evaporating, context.fluid
    for id, label, way in _SUCTION:
        if span is None or fluid is None:
            read = "suction range in the maker's data"
            context.register.add(WriteIn(id, label, "gauge-pressure", read))
            continue
        end = span.low if way == "up" else span.high
        dew = fluid.table.dew_pressure(end.value)
        context.number(
            id,
            label,
            "gauge-pressure",
            dew - context.atmosphere,
            round=way,
            formula="dew pressure at this end of the evaporating range, less the air pressure here",
            working=f"{end.text}: ({dew / 1000:.1f} - {context.atmosphere / 1000:.1f}) kPa",
            inputs=(context.given("evaporating", end, context.key("evaporating")),),
            source=f"equipment record; {fluid.source}",
            confidence=fluid.confidence,  # type: ignore[arg-type]
        )


def _subcooling(context: Context) -> None:
    metering, span = context.record.metering, context.record.condensing
    _band(
        context,
        "verify.subcooling",
        "subcooling",
        metering.subcooling,
        metering.subcooling_within,
        "subcooling-installer",
        span,
        "condensing",
        title="Liquid line temperature by liquid pressure (subcooling)",
    )


def _band(
    context: Context,
    id: str,
    name: str,
    target: Quantity | None,
    own: Quantity | None,
    row_id: str,
    span: Span | None,
    key: str,
    title: str,
) -> None:
    """Allowed line temperature by gauge pressure: superheat from dew, subcooling from bubble."""
    missing = (
        ("metering", name)
        if target is None
        else (key,)
        if span is None
        else ("chart",)
        if context.fluid is None
        else None
    )
    if missing is not None or target is None or span is None or context.fluid is None:
        context.register.wait(id, context.key(*(missing or ())), f"no {name} band without it")
        return
    within, source, confidence = _within(own, row_id)
    inputs = (
        context.given(name, target, context.key("metering", name)),
        Input("allowed difference", context.shown(within, "temperature-difference"), source),
    )
    ends = max(target.value - within, 0.0), target.value, target.value + within
    _table(context, id, name, span, ends, title, inputs, confidence)


def _table(
    context: Context,
    id: str,
    name: str,
    span: Span,
    ends: tuple[float, float, float],
    title: str,
    inputs: tuple[Input, ...],
    confidence: str,
) -> None:
    """The rows of a band: `ends` are least, aim and most superheat or subcooling [K]."""
    assert context.fluid is not None
    table, air = context.fluid.table, context.atmosphere
    dew = name == "superheat"
    pressure = table.dew_pressure if dew else table.bubble_pressure
    low, high = pressure(span.low.value) - air, pressure(span.high.value) - air
    resolution = context.kit.gauges.thermometer.resolution
    step_line = resolution.value if resolution else _K
    room = printed_step("temperature", context.units, step_line)
    for step in pressure_steps(high - low, context.units):
        rows = _rows(table, name, (low, high, step), ends, air)
        # Between two rows a reading must satisfy both, so their bands have to share one.
        if all(min(a.high, b.high) - max(a.low, b.low) >= room for a, b in pairwise(rows)):
            break
    side = "dew" if dew else "bubble"
    air_pressure = context.shown(air, "absolute-pressure")
    context.register.add(
        NumberTable(
            id,
            title,
            "Gauge",
            "gauge-pressure",
            step,
            "Line",
            "temperature",
            step_line,
            rows,
            "Aim",
            "nearest",
            f"{side} temperature at the gauge pressure {'plus' if dew else 'less'} {name}",
            (*inputs, Input("air pressure", air_pressure, "site.atmosphere")),
            f"{context.fluid.source}; {context.fluid.checked_against}",
            confidence if confidence != "given" else context.fluid.confidence,  # type: ignore[arg-type]
            note="Between two rows take the higher low end and the lower high end;"
            " outside the table: phone.",
        )
    )


def _rows(
    table: SaturationTable,
    name: str,
    pressures: tuple[float, float, float],
    band: tuple[float, float, float],
    air: float,
) -> tuple[TableRow, ...]:
    """One row for each step of gauge pressure [Pa: low, high, step], with least, aim and most
    superheat or subcooling [K]."""
    low, high, step = pressures
    least, aim, most = band
    first = math.floor(low / step) * step
    rows = []
    for at in range(math.ceil((high - first) / step - 1e-9) + 1):
        gauge = first + at * step
        if name == "superheat":
            saturated = table.dew_temperature(gauge + air)
            ends, line = verification.superheat_band(saturated, least, most), saturated + aim
        else:
            saturated = table.bubble_temperature(gauge + air)
            ends, line = verification.subcooling_band(saturated, least, most), saturated - aim
        rows.append(TableRow(gauge, min(ends), max(ends), line))
    return tuple(rows)


def pressure_steps(width: float, units: System) -> list[float]:
    """Round steps of the packet's own unit [Pa]: first that of about nine rows, then finer ones
    while the table stays within a page."""
    unit = PSI if units == "ip" else 1e4
    counts = [n * unit for n in (50, 20, 10, 5, 2, 1, 0.5, 0.2)]
    kept = [step for step in counts if width / step <= _ROWS] or counts[:1]
    finer = [step for step in counts if step < kept[-1] and width / step <= _MOST_ROWS]
    return [kept[-1], *finer]
