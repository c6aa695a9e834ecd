"""A fixed orifice: target superheat from the day's air, and the suction line it asks for.

Both are found on site: the grid of targets is entered with outdoor air and indoor wet bulb, the
grid of line temperatures with suction pressure and target.
"""

from __future__ import annotations

import math
from itertools import pairwise

from packets import reference
from packets.formatting import printed_step
from packets.formulas import verification as formula
from packets.formulas.ranges import OutOfRange
from packets.model.equipment import Span
from packets.model.numbers import Cell, Input, NumberGrid, weakest
from packets.numbers.bands import pressure_steps
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.saturation_data import SaturationData

_K = 1 / 1.8
_ZERO_F, _ZERO_C = 459.67 * _K, 273.15
NAMES = ("verify.target_superheat", "verify.line_by_target")


def add(context: Context) -> None:
    """Add verify.target_superheat and verify.line_by_target for a fixed orifice."""
    if context.record.metering.device != "fixed-orifice":
        for name in NAMES:
            key = context.key("metering", "device")
            context.register.wait(name, key, "the machine has no fixed orifice")
        return
    _within(context)
    _targets(context)
    _lines(context)


def _within(context: Context) -> None:
    row = practice("superheat-installer")
    context.practice(
        "verify.superheat_within",
        "Superheat within of its target",
        "temperature-difference",
        row["band_f_diff"] * _K,
        row,
        round="down",
    )


def _targets(context: Context) -> None:
    """Target superheat by outdoor air and indoor wet bulb, over the span of published charts."""
    ip = context.units == "ip"
    outdoor = [_ZERO_F + f * _K for f in range(55, 116, 5)]
    wet_bulb = [_ZERO_F + f * _K for f in range(54, 77, 2)]
    if not ip:
        outdoor = [_ZERO_C + c for c in range(13, 47, 3)]
        wet_bulb = [_ZERO_C + c for c in range(12, 25)]
    context.register.add(
        NumberGrid(
            "verify.target_superheat",
            "Target superheat",
            "outdoor air",
            "temperature",
            tuple(outdoor),
            "indoor wet bulb",
            "temperature",
            tuple(wet_bulb),
            "temperature-difference",
            tuple(tuple(_target(wet, dry) for wet in wet_bulb) for dry in outdoor),
            "(3 x indoor wet bulb - 80 - outdoor) / 2, in °F",
            (),
            "field approximation, from memory; within about 4 °F of one published chart",
            "memory",
            note=f"Dash: target under {'5 °F' if ip else '2.8 K'}, or air out of range. No valid"
            " test; the weighed charge stands.",
        )
    )


def _target(wet_bulb: float, outdoor: float) -> Cell:
    try:
        target = formula.target_superheat(wet_bulb, outdoor)
    except OutOfRange:
        return None
    return target, target


def _lines(context: Context) -> None:
    """Suction-line band by suction pressure and target: what is right for any target that is
    nearest to its column."""
    span, fluid = context.record.evaporating, context.fluid
    if span is None or fluid is None:
        key = context.key("evaporating" if span is None else "chart")
        context.register.wait("verify.line_by_target", key, "no suction-line band without it")
        return
    thermometer = context.kit.gauges.thermometer.resolution
    step_line = thermometer.value if thermometer else _K
    within = practice("superheat-installer")["band_f_diff"] * _K
    ip = context.units == "ip"
    targets = [f * _K for f in range(5, 34, 4)] if ip else [float(k) for k in range(3, 19, 2)]
    half = (targets[1] - targets[0]) / 2
    pressures, cells = _grid(context, fluid, span, targets, within - half, step_line)
    source = reference.table("practice").source(practice("superheat-installer"))
    context.register.add(
        NumberGrid(
            "verify.line_by_target",
            "Suction line temperature",
            "suction pressure",
            "gauge-pressure",
            pressures,
            "target superheat",
            "temperature-difference",
            tuple(targets),
            "temperature",
            cells,
            "dew temperature at the gauge pressure + target, less and plus the allowed difference"
            " less half the width of a column",
            (
                Input(
                    "allowed difference",
                    context.shown(within, "temperature-difference"),
                    source.text,
                ),
                Input(
                    "air pressure",
                    context.shown(context.atmosphere, "absolute-pressure"),
                    "site.atmosphere",
                ),
            ),
            f"{fluid.source}; {fluid.checked_against}",
            weakest(source.confidence, fluid.confidence),  # type: ignore[arg-type]
            step_line,
            note="Take the column nearest to the target, and both rows beside the pressure.",
        )
    )


def _grid(
    context: Context,
    fluid: SaturationData,
    span: Span,
    targets: list[float],
    slack: float,
    step_line: float,
) -> tuple[tuple[float, ...], tuple[tuple[Cell, ...], ...]]:
    """Rows of pressure [Pa gauge] close enough that two neighbours share a reading."""
    table, air = fluid.table, context.atmosphere
    low, high = (table.dew_pressure(end.value) - air for end in (span.low, span.high))
    room = printed_step("temperature", context.units, step_line)
    pressures: list[float] = []
    dews: list[float] = []
    for step in pressure_steps(high - low, context.units):
        first = math.floor(low / step) * step
        count = math.ceil((high - first) / step - 1e-9) + 1
        pressures = [first + at * step for at in range(count)]
        dews = [table.dew_temperature(pressure + air) for pressure in pressures]
        if all(b - a <= 2 * slack - room for a, b in pairwise(dews)):
            break
    else:
        context.findings.error(
            "gauge-too-coarse",
            context.place("kit", "gauges", "thermometer"),
            "verify.line_by_target: rounded to the thermometer's steps, some line has no reading",
            "load a finer instrument and write its resolution into the kit",
        )
    cells = tuple(
        tuple((dew + target - slack, dew + target + slack) for target in targets) for dew in dews
    )
    return tuple(pressures), cells
