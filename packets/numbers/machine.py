"""What the machine, the site, the new part and the rules themselves give, put into the register."""

from __future__ import annotations

from typing import Any

from packets import reference
from packets.formatting import tube
from packets.model.numbers import Input, Words, WriteIn
from packets.numbers.context import Context

JOB, RECORD, KIT = "job", "equipment record", "kit"


def add(context: Context) -> None:
    """Add the site.*, machine.*, part.*, fire.* and time.* entries."""
    _site(context)
    _machine(context)
    _part(context)
    _times(context)


def _site(context: Context) -> None:
    job, space = context.job, context.equipment.space
    altitude = space.altitude
    context.number(
        "site.altitude",
        "Altitude",
        "length",
        altitude.value,
        formula="as given",
        working=altitude.text,
        inputs=(),
        source="equipment record, space.altitude",
        confidence="given",
    )
    context.number(
        "site.atmosphere",
        "Air pressure at the site",
        "absolute-pressure",
        context.atmosphere,
        formula="p = 101.325 kPa x (1 - 2.25577e-5 x altitude in m)^5.2559",
        working=f"altitude {altitude.value:.0f} m -> {context.atmosphere / 1000:.2f} kPa",
        inputs=(context.given("altitude", altitude, "space.altitude"),),
        source="standard atmosphere as in ASHRAE Fundamentals, psychrometrics chapter",
        confidence="computed",
        assumption="standard weather; the day's barometer differs by 3 % at most",
    )
    add = context.register.add
    add(Words("site.phone", "Call to stop or ask", job.phone, JOB))
    if job.site.fire_watch:
        add(Words("site.fire_watch", "Fire watch", job.site.fire_watch, JOB))
    else:
        add(WriteIn("site.fire_watch", "Fire watch", "", "name of the person on watch"))
    if job.site.permit:
        add(Words("site.permit", "Hot-work permit", job.site.permit, JOB))
    else:
        add(WriteIn("site.permit", "Hot-work permit", "", "permit number"))


def _machine(context: Context) -> None:
    record = context.record
    add = context.register.add
    add(Words("machine.refrigerant", "Refrigerant", record.refrigerant, RECORD))
    add(Words("machine.name", "Machine", context.equipment.equipment, RECORD))
    add(Words("machine.oil", "Oil", record.compressor.oil.kind, RECORD))
    if context.safety_class:
        add(
            Words("machine.safety_class", "Safety class", context.safety_class, "refrigerant table")
        )
    charge = context.number(
        "machine.oil_charge",
        "Oil charge of the system",
        "volume",
        record.compressor.oil.charge.value,
        unit="fl oz" if context.units == "ip" else "mL",
        formula="as given",
        working=record.compressor.oil.charge.text,
        source="equipment record",
        confidence="given",
    )
    # A scroll or a rotary compressor has no drain, and keeps oil however it is tipped.
    kept = record.compressor.type in ("scroll", "rotary") and not record.compressor.semi_hermetic
    row, oil = practice("oil-short-kept" if kept else "oil-short"), record.compressor.oil.charge
    context.practice(
        "machine.oil_short",
        "Oil drained, ask where the rest is under",
        "volume",
        row["share"] * charge.value,
        row,
        unit=charge.unit,
        round="up",
        formula="this share of the oil charge",
        working=f"{row['share']:g} x {oil.text}",
        inputs=(context.given("oil charge", oil, context.key("compressor", "oil", "charge")),),
    )


def _part(context: Context) -> None:
    part, add = context.parts.compressor, context.register.add
    if part is None:
        for name in ("model", "oil", "stubs"):
            context.register.wait(
                f"part.{name}",
                f"parts.{context.circuit}.compressor",
                "the job names no new compressor",
            )
        context.register.wait(
            "part.weight", f"parts.{context.circuit}.compressor.weight", "no weight for the lift"
        )
    else:
        suction, discharge = tube(part.stubs.suction.value), tube(part.stubs.discharge.value)
        stubs = f"suction {suction}, discharge {discharge}"
        add(Words("part.model", "New compressor", part.model, JOB))
        add(
            Words(
                "part.oil",
                "Oil in the new compressor",
                f"{part.oil.kind}, {part.oil.charge.text}",
                JOB,
            )
        )
        add(Words("part.stubs", "Stubs of the new compressor", stubs, JOB))
        context.number(
            "part.oil_charge",
            "Oil charge of the new compressor",
            "volume",
            part.oil.charge.value,
            unit="fl oz" if context.units == "ip" else "mL",
            formula="as given",
            working=part.oil.charge.text,
            source="job, new part",
            confidence="given",
        )
        if part.weight is None:
            add(
                WriteIn(
                    "part.weight", "Weight of the new compressor", "mass", "weight on its carton"
                )
            )
        else:
            context.number(
                "part.weight",
                "Weight of the new compressor",
                "mass",
                part.weight.value,
                round="up",
                formula="as given",
                working=part.weight.text,
                source="job, new part",
                confidence="given",
                unit="lb" if context.units == "ip" else "kg",
            )
    for name, drier in (
        ("drier", context.parts.drier),
        ("suction_drier", context.parts.suction_drier),
    ):
        if drier is None:
            context.register.wait(
                f"part.{name}",
                f"parts.{context.circuit}.{name}",
                f"the job names no {name.replace('_', ' ')}",
            )
        else:
            label = name.replace("_", " ")
            add(
                Words(
                    f"part.{name}", f"New {label}", f"{drier.model}, {tube(drier.size.value)}", JOB
                )
            )


def _times(context: Context) -> None:
    watch = context.rules.fire_watch
    asked, source, confidence = watch.time, watch.source, watch.confidence
    site = context.job.site.fire_watch_time
    if site is not None and site.value > asked.value:
        asked, source, confidence = site, "job, the site's own rule", "given"
    context.number(
        "fire.watch",
        "Fire watch after the last flame",
        "time",
        asked.value,
        round="up",
        formula="the longer of the rules' watch and the site's",
        working=asked.text,
        inputs=(Input("rules", watch.time.text, context.rules.rules),),
        source=source,
        confidence=confidence,  # type: ignore[arg-type]
    )
    if watch.distance is not None:
        context.number(
            "fire.distance",
            "Cleared of what burns",
            "length",
            watch.distance.value,
            round="up",
            formula="as the rules give it",
            working=watch.distance.text,
            source=watch.source,
            confidence=watch.confidence,  # type: ignore[arg-type]
        )
    for id, label, row_id, column in (
        ("time.part_open", "Part open to the air", "part-open", "limit_min"),
        ("time.recheck", "Wait before the recheck", "recheck-before-cutting", "wait_high_min"),
        (
            "recovery.rise_wait",
            "Wait for the rise after recovery",
            "recovery-rise-wait",
            "wait_min",
        ),
        ("verify.settle", "Run before readings count", "stabilize", "wait_min"),
    ):
        row = practice(row_id)
        context.practice(id, label, "time", row[column] * 60.0, row)
    first, second = practice("burnout-returns")["after_h"]
    for id, hours in (("return.first", first), ("return.second", second)):
        context.practice(
            id,
            "Return visit after the start",
            "time",
            hours * 3600.0,
            practice("burnout-returns"),
            unit="h",
        )
    row = practice("receiver-warming")
    warm = (row["temperature_f"] + 459.67) / 1.8
    context.practice(
        "recovery.warm_limit",
        "Warm the receiver to less than",
        "temperature",
        warm,
        row,
        round="down",
    )
    row = practice("valve-heat")
    heat = (row["temperature_f"] + 459.67) / 1.8
    context.practice(
        "braze.valve_limit", "Keep valves below", "temperature", heat, row, round="down"
    )


def practice(row_id: str) -> dict[str, Any]:
    """A row of the table of practice."""
    row = reference.table("practice").find(id=row_id)
    if row is None:
        raise ValueError(f"table practice has no row {row_id}")
    return row
