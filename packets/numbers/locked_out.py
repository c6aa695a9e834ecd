"""With the power locked out: what discharges a capacitor, how long, and what a winding must read.

Also what holds the compressor off when power returns.
"""

from __future__ import annotations

from packets.formulas import motor_circuit as formula
from packets.held_off import starts_by_switch, temporary_switch
from packets.model.equipment import RunCapacitor
from packets.model.numbers import Input, NumberTable, TableRow, Words, weakest
from packets.numbers.context import Context
from packets.numbers.machine import practice

# Lowest readings [ohm] for which the table of winding legs has a row.
_LEGS = (0.2, 1.0, 2.0, 4.0, 6.0, 10.0, 20.0, 40.0)
SOURCE = "worked out from the record"


def add(context: Context) -> None:
    """Add the diagnosis.*, discharge.*, winding.*, rotor.* and start.control entries."""
    _control(context)
    _diagnosis(context)
    _discharge(context)
    _windings(context)
    row = practice("locked-rotor")
    context.practice(
        "rotor.most", "One start of a seized compressor, at most", "time", row["most_s"], row,
        round="down", unit="s",
    )  # fmt: skip


def _control(context: Context) -> None:
    """What the compressor is started and held off with."""
    kinds = {part.kind for part in context.hookups.found.parts.values()}
    record, phases = context.record, context.equipment.supply.phases
    if temporary_switch(record, phases, kinds):
        name = "temporary control switch"
    else:
        name = "control switch" if starts_by_switch(record, phases, kinds) else "thermostat"
    context.register.add(Words("start.control", "The compressor is started with", name, SOURCE))


def _diagnosis(context: Context) -> None:
    """The earlier diagnosis as the job gives it."""
    told = context.job.diagnosed
    for name, label in (("by", "made by"), ("on", "made on"), ("readings", "readings")):
        id = f"diagnosis.{name}"
        if told is None:
            context.register.wait(id, "diagnosed", "the job does not say who signed it")
        else:
            text = str(getattr(told, name))
            context.register.add(Words(id, f"Earlier diagnosis, {label}", text, "job"))


def _known(context: Context) -> list[tuple[str, RunCapacitor, str]]:
    """The capacitors that the files give: name, marking, where it stands."""
    old, part = context.record.compressor, context.parts.compressor
    given = [
        ("run capacitor", old.run_capacitor, context.key("compressor", "run_capacitor")),
        ("start capacitor", old.start_capacitor, context.key("compressor", "start_capacitor")),
        (
            "new run capacitor",
            part.run_capacitor if part else None,
            f"parts.{context.circuit}.compressor.run_capacitor",
        ),
    ]
    return [(name, marked, where) for name, marked, where in given if marked is not None]


def _discharge(context: Context) -> None:
    """The resistor, how long it stays on at the least, and the reading that ends it."""
    row, end = practice("discharge-resistor"), practice("discharge-end")
    context.register.add(
        Words(
            "discharge.resistor",
            "Resistor for capacitors",
            f"{row['low_kohm']} to {row['high_kohm']} kohm, {row['power_w']} W,"
            f" leads insulated for {row['insulation_kv']} kV",
            "common practice, no source",
        )
    )
    context.practice(
        "discharge.volts", "DC voltage left on a capacitor", "voltage", end["end_v"], end,
        round="down",
    )  # fmt: skip
    ohms = row["high_kohm"] * 1e3
    usual = practice("capacitor-rating")["rated_v"]
    least, longest = float(end["least_s"]), 0.0
    working, inputs, assumed = [], [], False
    for name, marked, where in _known(context):
        rated = marked.voltage.value if marked.voltage else usual
        assumed = assumed or marked.voltage is None
        volts = formula.peak_voltage(rated)
        seconds = formula.discharge_time(ohms, marked.value.value, volts, end["end_v"])
        longest = max(longest, seconds)
        working.append(
            f"{name}: {row['high_kohm']} kohm x {marked.value.text}"
            f" x ln({volts:.0f} V / {end['end_v']} V) = {seconds:.1f} s"
        )
        inputs.append(context.given(name, marked.value, where))
    if not working:
        working = ["no capacitor is in the record: the DC reading alone decides"]
    inputs.append(Input("resistor", f"{row['high_kohm']} kohm", "“Resistor for capacitors”"))
    context.practice(
        "discharge.time",
        "Resistor on each capacitor at least",
        "time",
        max(least, longest),
        end,
        round="up",
        unit="s",
        formula="R x C x ln(1.414 x rated voltage / voltage left), at least the time of practice",
        working=f"{'; '.join(working)}; at least {end['least_s']} s",
        inputs=tuple(inputs),
        assumption="the DC reading decides, not the time"
        + (f"; no rating is stated, so {usual} V is taken" if assumed else ""),
    )


def _windings(context: Context) -> None:
    """How far the legs of a sound winding may differ, and its least resistance to ground."""
    legs, ground = practice("winding-legs"), practice("winding-ground")
    three = context.equipment.supply.phases == 3
    rows = tuple(
        TableRow(low, 0.0, formula.leg_difference(low, legs["share"], legs["step_ohm"]))
        for low in _LEGS
    )
    context.register.add(
        NumberTable(
            id="winding.legs",
            title="Legs of a sound winding, by ohms",
            by_label="Lowest leg" if three else "Start to run",
            by_quantity="resistance",
            by_step=0.1,
            label="Highest less lowest" if three else "Difference from the sum",
            quantity="resistance",
            step=legs["step_ohm"],
            rows=rows,
            target_label="",
            target_round="down",
            formula=f"{legs['share']:.0%} of the reading and {legs['step_ohm']} ohm of the meter",
            inputs=(Input("share", f"{legs['share']:.0%}", "common practice, no source"),),
            source="common practice, no source",
            confidence=weakest("computed", legs["confidence"]),
            note="Between two rows the smaller difference is the limit.",
        )
    )
    context.practice(
        "winding.ground", "Compressor lead to ground", "resistance", ground["least_mohm"] * 1e6,
        ground, round="up", unit="Mohm", step=1e6,
    )  # fmt: skip
