"""The pressure hold: which part governs, what to fill to at today's pipe, what the end may read."""

from __future__ import annotations

import math
from dataclasses import replace

from packets.formatting import System
from packets.formulas import hold_test
from packets.model.numbers import (
    Input,
    Number,
    NumberTable,
    TableRow,
    Words,
    WriteIn,
    weakest,
)
from packets.numbers import hold_limits
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import PSI

# K between rows, whole degrees of the packet, so close that the bands of neighbours overlap.
_ROW_STEP = {"ip": 2 / 1.8, "si": 1.0}
# Pa: a gauge's step in psi is printed in steps of 10 kPa.
SI_STEP = 1e4
_BELOW_TODAY = 20 / 1.8  # K: rows reach this far below the day's outdoor temperature
_SOURCE = "gas law at constant volume, absolute pressure and temperature (UK guidance note CS-17)"


def add(context: Context) -> Number | None:
    """Add the hold.* entries; returns the fill pressure at the day's expected pipe temperature."""
    _time(context)
    limits = hold_limits.limits(context)
    record = context.record
    if context.job.conditions.hottest_pipe.value < context.job.conditions.outdoor.value:
        context.findings.error(
            "hottest-pipe",
            context.place("job", "conditions", "hottest_pipe"),
            "the hottest pipe expected is colder than the outdoor air",
            "write the hottest the pipe may get in the sun while pressure is on",
        )
        return None
    if record.design_pressure.low is None and record.compressor.test_pressure is None:
        _worksheet(context, hold_test.governing_limit(limits))
        return None
    governing = hold_test.governing_limit(limits)
    step = context.kit.gauges.pressure.resolution
    gauge = step.value if step else PSI
    limit = context.number(
        "hold.limit",
        "Never above",
        "gauge-pressure",
        governing.pressure,
        round="down",
        step=gauge,
        to="gauges.pressure",
        formula="the least of what each part joined to the test allows",
        working="; ".join(
            f"{name} {context.shown(p, 'gauge-pressure', 'down')}" for name, p in limits.items()
        ),
        inputs=tuple(
            Input(name, context.shown(p, "gauge-pressure", "down"), "")
            for name, p in limits.items()
        ),
        source="nameplate, tags, Copper Tube Handbook (annealed); relief shares by practice",
        confidence=hold_limits.ground(governing.name),
        assumption="the compressor joins both sides, so the low side's figure holds for all",
    )
    context.register.add(
        Words("hold.governed_by", "Governed by", governing.name, "the least of the limits")
    )
    hold_limits.rules(context, limit)
    hold_limits.relief(context, limit)
    table = _table(context, limit, gauge)
    return _start(context, limit, table, gauge)


def _time(context: Context) -> None:
    hold = context.record.hold_time
    if hold is not None:
        context.number(
            "hold.time",
            "Hold for",
            "time",
            hold.value,
            round="up",
            formula="as given",
            working=hold.text,
            inputs=(context.given("hold time", hold, context.key("hold_time")),),
            source="equipment record",
            confidence="given",
        )
    else:
        small = context.equipment.use == "comfort-cooling"
        row = practice("hold-small" if small else "hold-commercial")
        seconds = row["wait_min"] * 60.0 if small else row["wait_low_h"] * 3600.0
        context.practice(
            "hold.time", "Hold for", "time", seconds, row, round="up", unit="" if small else "h"
        )
    relief = context.kit.regulator.relief if context.kit.regulator else None
    if relief is None:
        context.register.add(
            WriteIn(
                "hold.regulator_relief",
                "Relief of the nitrogen regulator",
                "gauge-pressure",
                "setting on its tag",
            )
        )
    else:
        context.number(
            "hold.regulator_relief",
            "Relief of the nitrogen regulator",
            "gauge-pressure",
            relief.value,
            formula="as given",
            working=relief.text,
            source="kit",
            confidence="given",
        )


def _table(context: Context, limit: Number, gauge: float) -> NumberTable:
    """Fill pressure and allowed end reading by pipe temperature.

    All rows lie on one line of constant volume, through the limit at the hottest pipe: filled to
    the row of the pipe's temperature now, the circuit reads the row of its temperature later.
    """
    conditions, air = context.job.conditions, context.atmosphere
    hottest, today = conditions.hottest_pipe.value, conditions.outdoor.value
    thermometer = context.kit.gauges.thermometer.resolution
    thermometer_step = thermometer.value if thermometer else 1 / 1.8
    step = _ROW_STEP[context.units]
    lowest = _on_step(today - _BELOW_TODAY, context.units)
    rows = []
    for at in range(math.floor((hottest - lowest) / step + 1e-6) + 1):
        temperature = lowest + at * step
        fill = hold_test.highest_fill(limit.value + air, temperature, hottest)
        band = hold_test.allowed_band(fill, temperature, temperature, gauge, thermometer_step)
        rows.append(
            TableRow(
                temperature, band.lowest - air, min(band.highest - air, limit.value), fill - air
            )
        )
    table = NumberTable(
        "hold.allowed",
        "Fill pressure and allowed end reading by pipe temperature",
        "Pipe",
        "temperature",
        step,
        "At the end",
        "gauge-pressure",
        gauge,
        tuple(rows),
        "Fill",
        "down",
        "p = (limit + air) x T / T of the hottest pipe, lowered for real nitrogen; less air",
        (
            Input("limit", context.shown(limit.value, "gauge-pressure", "down"), "hold.limit"),
            context.given("hottest pipe", conditions.hottest_pipe, "job, conditions.hottest_pipe"),
            Input("air pressure", context.shown(air, "absolute-pressure"), "site.atmosphere"),
        ),
        _SOURCE,
        weakest("seen", limit.confidence),
        note="A fill may read down to the row before. Between two rows: fill to the lower; take the"
        " higher low end and the lower high end. Outside the table: phone.",
        today=today,
    )
    context.register.add(table)
    # What a fill or a trimmed start may read.
    context.register.add(
        replace(
            table,
            id="hold.fill",
            title="Fill pressure by pipe temperature",
            rows=_fill_rows(rows, gauge if context.units == "ip" else max(gauge, SI_STEP)),
        )
    )
    return table


def _fill_rows(rows: list[TableRow], gauge: float) -> tuple[TableRow, ...]:
    """A fill may read the row's pressure or down to the row below it, for temperatures between."""
    made = []
    below = rows[0].target or 0.0
    for row in rows:
        fill = row.target or 0.0
        made.append(TableRow(row.by, min(below, fill - gauge) - gauge, fill))
        below = fill
    return tuple(made)


def _on_step(temperature: float, units: System) -> float:
    """Down to a whole even degF or a whole degC, so that the rows are numbers a person reads."""
    if units == "si":
        return math.floor(temperature - 273.15 + 1e-9) + 273.15
    return (math.floor((temperature * 1.8 - 459.67) / 2 + 1e-9) * 2 + 459.67) / 1.8


def _start(context: Context, limit: Number, table: NumberTable, gauge: float) -> Number:
    conditions, air = context.job.conditions, context.atmosphere
    start = hold_test.highest_fill(
        limit.value + air, conditions.outdoor.value, conditions.hottest_pipe.value
    )
    ideal = (limit.value + air) * conditions.outdoor.value / conditions.hottest_pipe.value - air
    number = context.number(
        "hold.start",
        f"Fill to, pipe at {context.shown(conditions.outdoor.value, 'temperature')}",
        "gauge-pressure",
        start - air,
        round="down",
        step=gauge,
        to="gauges.pressure",
        formula=table.formula,
        working=(
            f"({limit.value / PSI:.1f} + {air / PSI:.2f}) x {conditions.outdoor.value:.1f} /"
            f" {conditions.hottest_pipe.value:.1f} - {air / PSI:.2f} = {ideal / PSI:.1f} psig;"
            f" lowered for real nitrogen {(start - air) / PSI:.1f} psig"
        ),
        inputs=(
            *table.inputs,
            context.given("pipe now", conditions.outdoor, "job, conditions.outdoor"),
        ),
        source=_SOURCE,
        confidence=weakest("seen", limit.confidence),
        assumption="pipe as warm as the outdoor air; on site the measured pipe's row holds",
    )
    pauses = [psi * PSI for psi in practice("fill-pauses")["pressures_psig"]]
    steps = hold_test.fill_steps(start - air, pauses)
    for at, id in enumerate(("hold.step_1", "hold.step_2")):
        value = steps[min(at, len(steps) - 1)]
        context.practice(
            id,
            f"Stop {at + 1} while filling",
            "gauge-pressure",
            value,
            practice("fill-pauses"),
            round="down",
            step=gauge,
            to="gauges.pressure",
        )
    return number


def _worksheet(context: Context, least: hold_test.Governing) -> None:
    """Without the low-side design pressure the packet asks for it and says how to work on."""
    conditions, air = context.job.conditions, context.atmosphere
    add = context.register.add
    known = context.shown(least.pressure, "gauge-pressure", "down")
    plate = f"low-side pressure on the nameplate, and never above {known}, {least.name}"
    add(WriteIn("hold.limit", "Never above", "gauge-pressure", plate))
    add(Words("hold.governed_by", "Governed by", plate, "not in the equipment record"))
    factors = []
    hottest = conditions.hottest_pipe.value
    wanted = {conditions.outdoor.value, *((f + 459.67) / 1.8 for f in range(20, 121, 20))}
    for temperature in sorted(wanted):
        if temperature <= hottest:
            share = math.floor(temperature / hottest * 1000) / 1000
            factors.append(f"{context.shown(temperature, 'temperature')}: {share:.3f}")
    air_text = context.shown(air, "absolute-pressure").split()[0]
    read = f"(limit + {air_text}) x F - {air_text}; F by pipe temperature {', '.join(factors)}"
    for id, label in (
        ("hold.start", "Fill to"),
        ("hold.step_1", "Stop 1"),
        ("hold.step_2", "Stop 2"),
    ):
        add(
            WriteIn(
                id,
                label,
                "gauge-pressure",
                read if id == "hold.start" else "a third, then two thirds of the fill",
            )
        )
    add(WriteIn("hold.fill", "Fill pressure", "gauge-pressure", read))
    add(
        WriteIn(
            "hold.allowed",
            "Allowed end reading",
            "gauge-pressure",
            "start reading worked to the end temperature: " + read,
        )
    )
    context.findings.warn(
        "write-in",
        context.record_place("design_pressure"),
        "the low-side design pressure is not in the record; the packet asks for it on site",
        f"add {context.key('design_pressure', 'low')} when the nameplate can be read",
    )
