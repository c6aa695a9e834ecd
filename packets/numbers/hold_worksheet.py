"""The hold without the low side's design pressure: what to read on the plate, how to work on."""

from __future__ import annotations

import math

from packets.formulas import hold_test
from packets.model.numbers import Words, WriteIn
from packets.numbers.context import Context


def add(context: Context, least: hold_test.Governing) -> None:
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
    add(WriteIn("hold.relief_most", "Relief that guards it", "gauge-pressure", "limit / 0.9"))
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
