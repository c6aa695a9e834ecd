"""Head pressure: the band in which a settled machine condenses, and the high-pressure cut-out."""

from __future__ import annotations

from packets.circuit import names
from packets.circuit.sides import liquid_valve, side
from packets.model.numbers import Input, Words, WriteIn
from packets.numbers.context import Context

_MOST_AT_SITE = "highest head pressure in the maker's data for this outdoor air"
_LEAST_AT_SITE = "lowest head pressure in the maker's data"


def add(context: Context) -> None:
    """Add verify.head_least, verify.head_most, verify.high_cut_out, ports.head_read and
    ports.liquid_valve."""
    _read_at(context)
    _liquid_valve(context)
    _least(context)
    _most(context)
    high = context.record.controls.high_pressure_cut_out
    label = "High-pressure cut-out"
    if high is None:
        read = "high-pressure cut-out in the maker's data"
        context.register.add(WriteIn("verify.high_cut_out", label, "gauge-pressure", read))
        return
    context.number(
        "verify.high_cut_out",
        label,
        "gauge-pressure",
        high.value,
        round="down",
        formula="as given",
        working=high.text,
        source="equipment record",
        confidence="given",
    )


def port(context: Context) -> str:
    """The port whose hose reads the head: the charging port where that is on the high side."""
    charging = context.hookups.charging
    on_high = bool(charging) and side(context.hookups.made, charging) == "high"
    return charging if on_high else ""


def _read_at(context: Context) -> None:
    at = port(context)
    if not at:
        reason = "no hose is left on the high side"
        context.register.wait("ports.head_read", context.key("circuit"), reason)
        return
    text = names.service_port(context.hookups.made, at)
    context.register.add(
        Words("ports.head_read", "Head is read at", text, "worked out from the circuit")
    )


def _liquid_valve(context: Context) -> None:
    circuit = context.hookups.made
    valve = liquid_valve(circuit)
    if not valve:
        reason = "no service valve stops its liquid line"
        context.register.wait("ports.liquid_valve", context.key("circuit"), reason)
        return
    text = names.part(circuit, valve)
    context.register.add(
        Words(
            "ports.liquid_valve", "Liquid line is stopped at", text, "worked out from the circuit"
        )
    )


def _least(context: Context) -> None:
    own, span, fluid = context.record.head_minimum, context.record.condensing, context.fluid
    label = "Head pressure, least"
    if own is not None:
        context.number(
            "verify.head_least",
            label,
            "gauge-pressure",
            own.value,
            round="up",
            formula="the maker's minimum",
            working=own.text,
            inputs=(context.given("head minimum", own, context.key("head_minimum")),),
            source="equipment record",
            confidence="given",
        )
        return
    if span is None or fluid is None:
        read = WriteIn("verify.head_least", label, "gauge-pressure", _LEAST_AT_SITE)
        context.register.add(read)
        return
    dew = fluid.table.dew_pressure(span.low.value)
    context.number(
        "verify.head_least",
        label,
        "gauge-pressure",
        dew - context.atmosphere,
        round="up",
        formula="dew pressure at the lowest condensing temperature, less the air pressure here",
        working=f"{span.low.text}: ({dew / 1000:.1f} - {context.atmosphere / 1000:.1f}) kPa",
        inputs=(context.given("lowest condensing", span.low, context.key("condensing", "low")),),
        source=f"equipment record; {fluid.source}",
        confidence=fluid.confidence,  # type: ignore[arg-type]
    )


def _most(context: Context) -> None:
    """Never above the high-pressure cut-out, whatever the range says."""
    span, fluid = context.record.condensing, context.fluid
    cut_out = context.record.controls.high_pressure_cut_out
    label = "Head pressure, most"
    if span is None or fluid is None:
        read = WriteIn("verify.head_most", label, "gauge-pressure", _MOST_AT_SITE)
        context.register.add(read)
        return
    dew = fluid.table.dew_pressure(span.high.value)
    most, working = (
        dew - context.atmosphere,
        f"{span.high.text}: ({dew / 1000:.1f} - {context.atmosphere / 1000:.1f}) kPa",
    )
    inputs: tuple[Input, ...] = (
        context.given("highest condensing", span.high, context.key("condensing", "high")),
    )
    if cut_out is not None:
        where = context.key("controls", "high_pressure_cut_out")
        inputs += (context.given("high-pressure cut-out", cut_out, where),)
        if cut_out.value < most:
            context.findings.warn(
                "head-above-cut-out",
                context.record_place("controls", "high_pressure_cut_out"),
                f"at {span.high.text} the head is"
                f" {context.shown(most, 'gauge-pressure')}, the control opens at {cut_out.text}",
                "compare the highest condensing temperature and the cut-out with the maker's data",
            )
            most, working = cut_out.value, f"{working}; the cut-out is lower: {cut_out.text}"
    context.number(
        "verify.head_most",
        label,
        "gauge-pressure",
        most,
        round="down",
        formula="dew pressure at the highest condensing temperature, less the air pressure here;"
        " never above the high-pressure cut-out",
        working=working,
        inputs=inputs,
        source=f"equipment record; {fluid.source}",
        confidence=fluid.confidence,  # type: ignore[arg-type]
    )
