"""Evacuation: what to pull to, how long to stand, and the levels of nitrogen breaks."""

from __future__ import annotations

from packets.formulas.rise import water_levels
from packets.model.numbers import Confidence
from packets.numbers import evacuation_water, pull_down, rise_test
from packets.numbers.context import Context
from packets.numbers.evacuation_table import row, source
from packets.numbers.evacuation_water import coldest
from packets.numbers.machine import practice
from packets.quantities import MICRON, PSI, Quantity

_ROW = "guide-specification"


def add(context: Context) -> None:
    """Add the evac.* entries. The maker's figures in the record win over the table."""
    step = _gauge_step(context)
    asked = context.record.evacuation
    _asked(context, "evac.target", "Evacuate to", asked.target, "pressure_micron", step)
    _rise_limit(context, step)
    _asked(context, "evac.rise_time", "Stand, pump shut off", asked.rise_time, "wait_min")
    _warm_enough(context)
    evacuation_water.add(context)
    _stages(context, step)
    pull_down.add(context)
    rise_test.add(context)


def breaks(context: Context) -> int:
    """How many nitrogen breaks this job's evacuation takes."""
    return int(row("breaks-after-burnout")["breaks_count"]) if context.burnt else 0


def _gauge_step(context: Context) -> float:
    micron = context.kit.gauges.micron.resolution
    return micron.value if micron else MICRON


def _asked(
    context: Context, id: str, label: str, own: Quantity | None, column: str, step: float = 0.0
) -> None:
    """One figure: the maker's, else the guide specification's."""
    value, working, where, confidence = _figure(own, column)
    vacuum = column.endswith("_micron")
    context.number(
        id,
        label,
        "vacuum" if vacuum else "time",
        value,
        round="down" if vacuum else "up",
        step=step,
        to="gauges.micron" if vacuum else "",
        formula="the maker's figure" if own else "as the table gives it",
        working=working,
        source=where,
        confidence=confidence,
    )


def _figure(own: Quantity | None, column: str) -> tuple[float, str, str, Confidence]:
    """Value in SI, working, source and confidence of one figure."""
    if own is not None:
        return own.value, own.text, "equipment record, evacuation", "given"
    found = row(_ROW)
    told = source(found)
    unit = MICRON if column.endswith("_micron") else 60.0
    return found[column] * unit, f"row {_ROW}", told.text, told.confidence


def _warm_enough(context: Context) -> None:
    """The guide specification's figures hold in air above a temperature; makers give their own."""
    asked, outdoor = context.record.evacuation, context.job.conditions.outdoor
    least = (row(_ROW)["ambient_above_f"] + 459.67) / 1.8
    own = asked.target and asked.rise_limit and asked.rise_time
    if own or context.equipment.space.kind == "indoor" or outdoor.value > least:
        return
    context.findings.warn(
        "evacuation-cold",
        context.place("job", "conditions", "outdoor"),
        f"the figures of the evacuation are for air above {context.shown(least, 'temperature')}:"
        f" it is {outdoor.text}",
        "shelter and warm the machine, or write the maker's figures into evacuation",
    )


def _rise_limit(context: Context, step: float) -> None:
    """Highest reading after the stand: the figure asked for, but below where water can stop.

    Where water on the coldest part can level under the figure, a reading under the figure does
    not show the circuit dry; the verdict says so, and so must the paper.
    """
    asked = context.record.evacuation.rise_limit
    value, working, where, confidence = _figure(asked, "rise_to_micron")
    cold, _ = coldest(context)
    wet = water_levels(cold.value)[0]
    lowered = wet <= value
    if lowered:
        value, old = wet * (1 - 1e-6), value
        shown, level = (context.shown(p, "vacuum", "down") for p in (old, wet))
        working = f"{working}; water at {cold.text} can level at {level}"
        context.findings.warn(
            "rise-limit-wet",
            context.record_place("evacuation"),
            f"water on the coldest part, {cold.text}, can level at {level}: the limit of the rise"
            f" is lowered to it from {shown}",
            "warm the coldest part before the stand, or leave the stricter limit",
        )
    context.number(
        "evac.rise_limit",
        "Highest after the stand",
        "vacuum",
        value,
        round="down",
        step=step,
        to="gauges.micron",
        formula="the figure asked for, below where water on the coldest part can level",
        working=working,
        source=where,
        confidence=confidence,
    )


def _stages(context: Context, step: float) -> None:
    """Blank-off, and the nitrogen breaks."""
    for id, label, row_id in (
        ("evac.blank_off", "Pump and hoses blanked off reach", "blank-off"),
        ("evac.first_pull", "Pull before a nitrogen break", "break-first"),
    ):
        found = row(row_id)
        told = source(found)
        context.number(
            id,
            label,
            "vacuum",
            found["pressure_micron"] * MICRON,
            round="down",
            step=step,
            to="gauges.micron",
            formula="as the table gives it",
            working=f"row {row_id}",
            source=told.text,
            confidence=told.confidence,
        )
    found = row("break-first")
    told = source(found)
    context.number(
        "evac.break_pressure",
        "Break the vacuum with nitrogen to",
        "gauge-pressure",
        found["nitrogen_high_psig"] * PSI,
        round="down",
        formula="as the table gives it",
        working="row break-first",
        source=told.text,
        confidence=told.confidence,
    )
    settle = practice("settle")
    context.practice(
        "evac.break_stand", "Nitrogen stands for", "time", settle["wait_min"] * 60.0, settle
    )
