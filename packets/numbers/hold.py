"""The pressure hold: which part governs, how long, and what to fill to at today's pipe."""

from __future__ import annotations

from packets.formulas import hold_test
from packets.model.numbers import Input, Number, NumberTable, Words, WriteIn, weakest
from packets.numbers import (
    hold_limits,
    hold_running,
    hold_sees,
    hold_table,
    hold_time,
    hold_worksheet,
)
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import PSI


def add(context: Context) -> Number | None:
    """Add the hold.* entries; returns the fill pressure at the day's expected pipe temperature."""
    hold_time.add(context)
    _regulator(context)
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
    if record.design_pressure.low is None:
        least = hold_test.governing_limit(limits)
        hold_worksheet.add(context, least)
        hold_running.add(context)
        hold_sees.add(context, least.pressure, f"at the most it can be, {least.name}")
        return None
    governing = hold_test.governing_limit(limits)
    gauge = hold_table.gauge_step(context)
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
    hold_limits.rules(context, limit, governing.name)
    hold_limits.kit(context, limits, governing.name)
    hold_limits.relief(context, limit)
    hold_running.add(context)
    context.number(
        "hold.relief_most",
        "Relief that guards the hold's limit",
        "gauge-pressure",
        limit.value / hold_test.RELIEF_SHARE,
        formula="hold limit / 0.9",
        working=f"{context.shown(limit.value, 'gauge-pressure', 'down')} / 0.9",
        source="that a relief holds shut up to 0.9 of its setting is common practice, no source",
        round="nearest",
        confidence="practice",
    )
    table = hold_table.add(context, limit, gauge)
    start = _start(context, limit, table, gauge)
    hold_sees.lengthen(context, start.value)
    hold_sees.coarse(context, start.value)
    hold_sees.add(context, start.value, "at today's fill")
    return start


def _regulator(context: Context) -> None:
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


def _start(context: Context, limit: Number, table: NumberTable, gauge: float) -> Number:
    conditions, air = context.job.conditions, context.atmosphere
    # By the table's own rule between two rows: fill to the lower.
    row = max(
        (row for row in table.rows if row.by <= conditions.outdoor.value + 1e-6),
        key=lambda row: row.by,
    )
    start = hold_test.highest_fill(limit.value + air, row.by, conditions.hottest_pipe.value)
    ideal = (limit.value + air) * row.by / conditions.hottest_pipe.value - air
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
            f"({limit.value / PSI:.1f} + {air / PSI:.2f}) x {row.by:.1f} /"
            f" {conditions.hottest_pipe.value:.1f} - {air / PSI:.2f} = {ideal / PSI:.1f} psig;"
            f" lowered for real nitrogen {(start - air) / PSI:.1f} psig"
        ),
        inputs=(
            *table.inputs,
            context.given("pipe now", conditions.outdoor, "job, conditions.outdoor"),
        ),
        source=hold_table.SOURCE,
        confidence=weakest("seen", limit.confidence),
        assumption="pipe as warm as the outdoor air, its row of the table or the one below; on site"
        " the measured pipe's row holds",
    )
    pauses = [psi * PSI for psi in practice("fill-pauses")["pressures_psig"]]
    # A colder pipe fills to less: both stops lie below every row of the table.
    lowest = min(start - air, *(row.target for row in table.rows if row.target is not None))
    margin = max(gauge, hold_table.SI_STEP)
    stops = hold_test.fill_steps(lowest - margin, pauses)[:-1]
    formula = "as the table gives it"
    if len(stops) < 2:
        stops, formula = (lowest / 3, lowest * 2 / 3), "a third and two thirds of the lowest fill"
    for id, at, value in (("hold.step_1", 0, stops[0]), ("hold.step_2", 1, stops[1])):
        context.practice(
            id,
            f"Stop {at + 1} while filling",
            "gauge-pressure",
            value,
            practice("fill-pauses"),
            formula=formula,
            round="down",
            step=gauge,
            to="gauges.pressure",
        )
    return number
