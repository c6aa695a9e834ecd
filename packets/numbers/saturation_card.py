"""The refrigerant's pressures around the day's temperature, and what a cylinder must stand at."""

from __future__ import annotations

import math
from typing import cast

from packets.formulas.ranges import OutOfRange
from packets.model.numbers import Confidence, Input, NumberTable, TableRow, weakest
from packets.numbers.context import Context
from packets.quantities import PSI

_K = 1 / 1.8
# Rows from this far below the day's air to this far above the hottest pipe.
_REACH = 30 * _K
_MOST_ROWS = 24


def add(context: Context) -> None:
    """Add card.saturation and card.standing, or note what they wait for."""
    if context.fluid is None:
        for name in ("card.saturation", "card.standing"):
            context.register.wait(name, context.key("chart"), "no saturation data")
        return
    rows = _rows(context)
    _table(context, "card.saturation", _saturation(context), rows, 0.0)
    _table(context, "card.standing", "Pressure of a cylinder standing in the shade", rows, 1.0)


def _saturation(context: Context) -> str:
    return f"{context.record.refrigerant}: dew to bubble pressure by temperature"


def _rows(context: Context) -> list[tuple[float, float, float]]:
    """Temperature [K], dew and bubble pressure [Pa gauge here], at round temperatures."""
    assert context.fluid is not None
    table, air = context.fluid.table, context.atmosphere
    outdoor = context.job.conditions.outdoor.value
    hottest = context.job.conditions.hottest_pipe.value
    step, zero = (5 * _K, 459.67 * _K) if context.units == "ip" else (3.0, 273.15)
    first = math.floor((outdoor - _REACH - zero) / step)
    last = math.ceil((max(outdoor, hottest) + _REACH - zero) / step)
    found = []
    for at in range(first, min(last, first + _MOST_ROWS) + 1):
        kelvin = zero + at * step
        try:
            found.append(
                (kelvin, table.dew_pressure(kelvin) - air, table.bubble_pressure(kelvin) - air)
            )
        except OutOfRange:
            continue  # the table ends below the critical point
    return found


def _table(
    context: Context,
    id: str,
    title: str,
    rows: list[tuple[float, float, float]],
    errors: float,
) -> None:
    """Dew to bubble pressure by temperature; `errors` times what gauge and thermometer may err.

    On a standing cylinder all liquid is at one temperature, so its pressure lies at the bubble
    point; far above means air in it, elsewhere another refrigerant. A machine that just stood
    still has no one temperature, so its pressure tells nothing.
    """
    fluid, gauges = context.fluid, context.kit.gauges
    assert fluid is not None
    gauge = gauges.pressure.resolution.value if gauges.pressure.resolution else PSI
    thermometer = gauges.thermometer.resolution.value if gauges.thermometer.resolution else _K
    made = []
    for kelvin, dew, bubble in rows:
        slope = _slope(context, kelvin)
        slack = errors * (gauge + thermometer * slope)
        # A cylinder's pressure is the liquid's: between bubble and, nearly empty, dew.
        made.append(TableRow(kelvin, dew - slack, bubble + slack))
    if not made:
        why = "the day lies outside the refrigerant's table"
        context.register.wait(id, context.key("chart"), why)
        return
    context.register.add(
        NumberTable(
            id,
            title,
            "Temperature",
            "temperature",
            0.0,
            "Gauge",
            "gauge-pressure",
            0.0 if errors == 0 else gauge,
            tuple(made),
            "",
            "nearest",
            "dew and bubble pressure at the temperature, less the air's pressure here"
            + (", widened by one step of gauge and thermometer" if errors else ""),
            (
                context.given("outdoor air", context.job.conditions.outdoor, "conditions.outdoor"),
                Input(
                    "air pressure",
                    context.shown(context.atmosphere, "absolute-pressure"),
                    "site.atmosphere",
                ),
            ),
            f"{fluid.source}; {fluid.checked_against}",
            weakest("computed", cast(Confidence, fluid.confidence)),
            note="Only where all the liquid is at one temperature: a cylinder hours in the shade.",
            today=context.job.conditions.outdoor.value,
        )
    )


def _slope(context: Context, kelvin: float) -> float:
    """Pressure a kelvin of the bubble line [Pa/K]."""
    assert context.fluid is not None
    table = context.fluid.table
    try:
        return table.bubble_pressure(kelvin + 0.5) - table.bubble_pressure(kelvin - 0.5)
    except OutOfRange:
        return table.bubble_pressure(kelvin) - table.bubble_pressure(kelvin - 1.0)
