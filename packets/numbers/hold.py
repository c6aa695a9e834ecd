"""The pressure hold: which part governs, what to fill to at today's pipe, what the end may read."""

from __future__ import annotations

import math
from dataclasses import replace

from packets import reference
from packets.formatting import tube
from packets.formulas import hold_test
from packets.formulas.tube import allowable_stress, rated_pressure
from packets.model.numbers import Input, Number, NumberTable, TableRow, Words, WriteIn
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import INCH, PSI

_ROW_STEP = 2 / 1.8  # K: 2 degF between rows keeps the band of two neighbours wide
_BELOW_TODAY = 20 / 1.8  # K: rows reach this far below the day's outdoor temperature
_SOURCE = "gas law at constant volume, absolute pressure and temperature (UK guidance note CS-17)"


def add(context: Context) -> Number | None:
    """Add the hold.* entries; returns the fill pressure at the day's expected pipe temperature."""
    _time(context)
    limits = _limits(context)
    record = context.record
    if record.design_pressure.low is None and record.compressor.test_pressure is None:
        _worksheet(context)
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
        source="nameplate, tags, Copper Tube Handbook (annealed tube)",
        confidence="given",
        assumption="the compressor joins both sides, so the low side's figure holds for all",
    )
    context.register.add(
        Words("hold.governed_by", "Governed by", governing.name, "the least of the limits")
    )
    _rules(context, limit)
    _relief(context, limit)
    table = _table(context, limit, gauge)
    if table is None:
        return None
    return _start(context, limit, table, gauge)


def _limits(context: Context) -> dict[str, float]:
    """What each part that sees the test pressure allows [Pa gauge]."""
    record, limits = context.record, {}
    if record.compressor.test_pressure is not None:
        limits["compressor maker's test pressure"] = record.compressor.test_pressure.value
    elif record.design_pressure.low is not None:
        limits["low-side design pressure"] = record.design_pressure.low.value
    limits["high-side design pressure"] = record.design_pressure.high.value
    for relief in record.reliefs:
        share = hold_test.relief_limit(relief.setting.value)
        limits[f"0.9 x relief on the {relief.place}"] = share
    for part in record.limits:
        limits[part.part] = part.pressure.value
    for line in record.lines:
        pressure = _tube_limit(context, line.size.value)
        if pressure is None:
            context.findings.error(
                "tube-size",
                context.record_place("lines"),
                f"{line.name}: {tube(line.size.value)} is no size of the refrigeration tube table",
                "write the outside diameter as on the tube, e.g. 1-1/8 in",
            )
        else:
            limits[f"{line.name.replace('-', ' ')} {tube(line.size.value)} tube"] = pressure
    regulator = context.kit.regulator
    if regulator is not None:
        limits["nitrogen regulator outlet"] = regulator.outlet.value
        if regulator.relief is not None:
            limits["0.9 x regulator relief"] = hold_test.relief_limit(regulator.relief.value)
    return limits


def _tube_limit(context: Context, size: float) -> float | None:
    """Rated pressure of annealed tube at the hottest pipe [Pa gauge]. The thinner of two walls."""
    rows = [row for row in reference.table("tube").rows if abs(row["od_in"] * INCH - size) < 1e-4]
    if not rows:
        return None
    stress_rows = [
        row for row in reference.table("copper_stress").rows if row["temper"] == "annealed"
    ]
    points = [((r["temperature_f"] + 459.67) / 1.8, r["stress_psi"] * PSI) for r in stress_rows]
    stress = allowable_stress(context.job.conditions.hottest_pipe.value, points)
    return min(
        rated_pressure(
            row["od_in"] * INCH,
            row["wall_in"] * INCH,
            stress,
            over_diameter=row["tolerance"]["over_diameter_in"] * INCH,
            under_wall=row["tolerance"]["under_wall_in"] * INCH,
        )
        for row in rows
        if "tolerance" in row
    )


def _rules(context: Context, limit: Number) -> None:
    """If the rules ask for more than the weakest part allows, people decide, not the planner."""
    rule, record = context.rules.hold_test, context.record
    if rule.asks != "lower-of-design-and-relief":
        return
    high = min([record.design_pressure.high.value, *(r.setting.value for r in record.reliefs)])
    if limit.value < high:
        context.findings.warn(
            "hold-below-rules",
            context.record_place("design_pressure"),
            f"The rules ask {context.shown(high, 'gauge-pressure')} for high-side field piping;"
            f" this hold stops at {context.shown(limit.value, 'gauge-pressure', 'down')}",
            "manager and authority decide: test the high side by itself in sections if they ask it",
        )


def _relief(context: Context, limit: Number) -> None:
    """A relief that opens above the limit does not guard the low side: a hand must."""
    relief = context.kit.regulator.relief if context.kit.regulator else None
    if relief is not None and relief.value > limit.value:
        context.findings.warn(
            "relief-above-limit",
            context.place("kit", "regulator", "relief"),
            f"the regulator's relief opens at {relief.text}, above the hold limit of"
            f" {context.shown(limit.value, 'gauge-pressure', 'down')}",
            "load one set just above the limit, or keep a hand on the regulator while filling",
        )


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


def _table(context: Context, limit: Number, gauge: float) -> NumberTable | None:
    """Fill pressure and allowed end reading by pipe temperature.

    All rows lie on one line of constant volume, through the limit at the hottest pipe: filled to
    the row of the pipe's temperature now, the circuit reads the row of its temperature later.
    """
    conditions, air = context.job.conditions, context.atmosphere
    hottest, today = conditions.hottest_pipe.value, conditions.outdoor.value
    if hottest < today:
        context.findings.error(
            "hottest-pipe",
            context.place("job", "conditions", "hottest_pipe"),
            "the hottest pipe expected is colder than the outdoor air",
            "write the hottest the pipe may get in the sun while pressure is on",
        )
        return None
    thermometer = context.kit.gauges.thermometer.resolution
    thermometer_step = thermometer.value if thermometer else 1 / 1.8
    lowest = _on_step(today - _BELOW_TODAY)
    rows = []
    for at in range(math.floor((hottest - lowest) / _ROW_STEP + 1e-6) + 1):
        temperature = lowest + at * _ROW_STEP
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
        _ROW_STEP,
        "At the end",
        "gauge-pressure",
        gauge,
        tuple(rows),
        "Fill to",
        "down",
        "p = (limit + air) x T / T of the hottest pipe, lowered for real nitrogen; less air",
        (
            Input("limit", context.shown(limit.value, "gauge-pressure", "down"), "hold.limit"),
            context.given("hottest pipe", conditions.hottest_pipe, "job, conditions.hottest_pipe"),
            Input("air pressure", context.shown(air, "absolute-pressure"), "site.atmosphere"),
        ),
        _SOURCE,
        "seen",
        note="Between two rows: fill to the lower; take the higher low end and the lower high end."
        " Outside the table: phone.",
        today=today,
    )
    context.register.add(table)
    # What a fill or a trimmed start may read.
    context.register.add(
        replace(
            table,
            id="hold.fill",
            title="Fill pressure by pipe temperature",
            rows=_fill_rows(rows, gauge),
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


def _on_step(temperature: float) -> float:
    """Down to a whole even number of degF, so that the rows are numbers a person reads."""
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
        confidence="seen",
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


def _worksheet(context: Context) -> None:
    """Without the low-side design pressure the packet asks for it and says how to work on."""
    conditions, air = context.job.conditions, context.atmosphere
    add = context.register.add
    plate = "low-side design or test pressure on the nameplate"
    add(WriteIn("hold.limit", "Never above", "gauge-pressure", plate))
    add(Words("hold.governed_by", "Governed by", plate, "not in the equipment record"))
    factors = []
    for fahrenheit in range(40, 121, 20):
        temperature = (fahrenheit + 459.67) / 1.8
        if temperature <= conditions.hottest_pipe.value:
            share = math.floor(temperature / conditions.hottest_pipe.value * 1000) / 1000
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
