"""Fill pressure and allowed end reading by pipe temperature: one line of constant volume."""

from __future__ import annotations

import math
from dataclasses import replace

from packets.formatting import System
from packets.formulas import hold_test
from packets.model.numbers import Input, Number, NumberTable, TableRow, weakest
from packets.numbers.context import Context
from packets.quantities import PSI

# K between rows, whole degrees of the packet, so close that the bands of neighbours overlap.
_ROW_STEP = {"ip": 2 / 1.8, "si": 1.0}
# Pa: a gauge's step in psi is printed in steps of 10 kPa.
SI_STEP = 1e4
_BELOW_TODAY = 20 / 1.8  # K: rows reach this far below the day's outdoor temperature
SOURCE = "gas law at constant volume, absolute pressure and temperature (UK guidance note CS-17)"


def add(context: Context, limit: Number, gauge: float) -> NumberTable:
    """Add hold.allowed and hold.fill.

    All rows lie on one line of constant volume, through the limit at the hottest pipe: filled to
    the row of the pipe's temperature now, the circuit reads the row of its temperature later.
    """
    conditions, air = context.job.conditions, context.atmosphere
    hottest, today = conditions.hottest_pipe.value, conditions.outdoor.value
    thermometer = thermometer_step(context)
    step = _ROW_STEP[context.units]
    coldest = conditions.coldest_pipe.value if conditions.coldest_pipe else today
    lowest = _on_step(min(today - _BELOW_TODAY, coldest), context.units)
    rows = []
    for at in range(math.floor((hottest - lowest) / step + 1e-6) + 1):
        temperature = lowest + at * step
        fill = hold_test.highest_fill(limit.value + air, temperature, hottest)
        band = hold_test.allowed_band(fill, temperature, temperature, gauge, thermometer)
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
        SOURCE,
        weakest("seen", limit.confidence),
        note="Fill to this row's figure or down to the row above's, between rows the colder's."
        " End between rows: in proportion. Outside: phone.",
        today=today,
        straight=True,
    )
    context.register.add(table)
    # What a fill or a trimmed start may read.
    context.register.add(
        replace(
            table,
            id="hold.fill",
            title="Fill pressure by pipe temperature",
            straight=False,
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


def gauge_step(context: Context) -> float:
    """Step of the pressure gauge [Pa]."""
    step = context.kit.gauges.pressure.resolution
    return step.value if step else PSI


def thermometer_step(context: Context) -> float:
    """Step of the pipe thermometer [K]."""
    step = context.kit.gauges.thermometer.resolution
    return step.value if step else 1 / 1.8
