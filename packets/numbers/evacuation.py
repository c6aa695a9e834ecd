"""Evacuation: target, rise limit, and what water does at that pressure on the coldest part."""

from __future__ import annotations

from typing import Any

from packets import reference
from packets.formulas.water import boiling_temperature, saturation_pressure
from packets.model.numbers import Input
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import MICRON, PSI


def _row(id: str) -> dict[str, Any]:
    row = reference.table("evacuation").find(id=id)
    if row is None:
        raise ValueError(f"table evacuation has no row {id}")
    return row


def add(context: Context) -> None:
    """Add the evac.* entries. The maker's figures in the record win over the table."""
    asked = context.record.evacuation
    micron = context.kit.gauges.micron.resolution
    step = micron.value if micron else MICRON
    table, row = reference.table("evacuation"), _row("guide-specification")
    source = table.source(row)
    for id, label, own, value, kind, way in (
        (
            "evac.target",
            "Evacuate to",
            asked.target,
            row["pressure_micron"] * MICRON,
            "vacuum",
            "down",
        ),
        (
            "evac.rise_limit",
            "Highest after the stand",
            asked.rise_limit,
            row["rise_to_micron"] * MICRON,
            "vacuum",
            "down",
        ),
        (
            "evac.rise_time",
            "Stand, pump shut off",
            asked.rise_time,
            row["wait_min"] * 60.0,
            "time",
            "up",
        ),
    ):
        context.number(
            id,
            label,
            kind,
            own.value if own else value,
            round="down" if way == "down" else "up",
            step=step if kind == "vacuum" else 0.0,
            to="gauges.micron" if kind == "vacuum" else "",
            formula="the maker's figure" if own else "as the table gives it",
            working=own.text if own else f"row {row['id']}",
            source="equipment record, evacuation" if own else source.text,
            confidence="given" if own else source.confidence,
        )
    stand = context.register.number("evac.rise_time")
    assert stand is not None
    for id, label, share in (
        ("evac.rise_first", "First reading of the stand", 0.25),
        ("evac.rise_second", "Second reading of the stand", 0.5),
    ):
        context.number(
            id,
            label,
            "time",
            stand.value * share,
            formula=f"{share:g} of the stand",
            working=f"{share:g} x {stand.value / 60:.0f} min",
            source="three readings tell a line from a curve; common practice, no source",
            confidence="practice",
        )
    _water(context)
    _stages(context, step)


def _water(context: Context) -> None:
    """At the target water must boil at the coldest part, or it stays."""
    target = context.register.number("evac.target")
    assert target is not None
    boils = boiling_temperature(target.value)
    coldest = (
        context.equipment.store.coldest
        if context.equipment.store
        else context.job.conditions.outdoor
    )
    where = (
        "equipment record, store.coldest" if context.equipment.store else "job, conditions.outdoor"
    )
    inputs = (Input("target", context.shown(target.value, "vacuum"), "evac.target"),)
    context.number(
        "evac.water_boils",
        "Water boils (ice sublimes) at the target at",
        "temperature",
        boils,
        round="up",
        formula="saturation temperature of water or ice at the target pressure",
        working=f"{target.value:.1f} Pa -> {boils - 273.15:.1f} °C",
        inputs=inputs,
        source="IAPWS R14-08(2011) for ice, SR1-86(1992) for water",
        confidence="computed",
    )
    context.number(
        "evac.coldest",
        "Coldest part",
        "temperature",
        coldest.value,
        round="down",
        formula="as given",
        working=coldest.text,
        inputs=(context.given("coldest", coldest, where),),
        source=where,
        confidence="given",
    )
    plateau = saturation_pressure(coldest.value)
    context.number(
        "evac.water_plateau",
        "Water at the coldest part levels the rise at",
        "vacuum",
        plateau,
        formula="saturation pressure of water or ice at the coldest part",
        working=f"{coldest.text} -> {plateau:.0f} Pa",
        inputs=(context.given("coldest", coldest, where),),
        source="IAPWS R14-08(2011) for ice, SR1-86(1992) for water",
        confidence="computed",
        step=10 * MICRON,
    )
    if boils >= coldest.value:
        context.findings.error(
            "evacuation-target",
            context.record_place("evacuation"),
            f"at {context.shown(target.value, 'vacuum')} water does not boil at the coldest part,"
            f" {coldest.text}",
            "ask the maker for a deeper target, or warm the cold part",
        )


def _stages(context: Context, step: float) -> None:
    table = reference.table("evacuation")
    for id, label, row_id, column in (
        ("evac.blank_off", "Pump and hoses blanked off reach", "blank-off", "pressure_micron"),
        ("evac.first_pull", "Pull before a nitrogen break", "break-first", "pressure_micron"),
    ):
        row = _row(row_id)
        source = table.source(row)
        context.number(
            id,
            label,
            "vacuum",
            row[column] * MICRON,
            round="down",
            step=step,
            to="gauges.micron",
            formula="as the table gives it",
            working=f"row {row_id}",
            source=source.text,
            confidence=source.confidence,
        )
    row = _row("break-first")
    source = table.source(row)
    context.number(
        "evac.break_pressure",
        "Break the vacuum with nitrogen to",
        "gauge-pressure",
        row["nitrogen_high_psig"] * PSI,
        round="down",
        formula="as the table gives it",
        working="row break-first",
        source=source.text,
        confidence=source.confidence,
    )
    settle = practice("settle")
    context.practice(
        "evac.break_stand", "Nitrogen stands for", "time", settle["wait_min"] * 60.0, settle
    )


def breaks(context: Context) -> int:
    """How many nitrogen breaks this job's evacuation takes."""
    return int(_row("breaks-after-burnout")["breaks_count"]) if context.burnt else 0
