"""Every number id that a procedure may name, with its kind, so that lint needs no job.

The kind is a quantity, `words` for a text, or `table`. A number that is a quantity on one machine
and a text on another stands here as `words`: a limit cannot be made of it. What is missing here or
idle is found by `tests/lint/test_number_ids.py`, which names it.
"""

from __future__ import annotations

WORDS, TABLE = "words", "table"

NUMBERS: dict[str, str] = {
    "braze.rods": WORDS,
    "braze.valve_limit": "temperature",
    "charge.cylinder": WORDS,
    "charge.form": WORDS,
    "charge.least": "mass",
    "charge.most": "mass",
    "charge.tolerance": "mass",
    "charge.total": "mass",
    "drier.drop_limit": "pressure-difference",
    "evac.blank_off": "vacuum",
    "evac.break_pressure": "gauge-pressure",
    "evac.break_stand": "time",
    "evac.coldest": "temperature",
    "evac.first_pull": "vacuum",
    "evac.rise_first": "time",
    "evac.rise_limit": "vacuum",
    "evac.rise_second": "time",
    "evac.rise_time": "time",
    "evac.target": "vacuum",
    "evac.water_boils": "temperature",
    "evac.water_plateau": "vacuum",
    "fire.distance": "length",
    "fire.watch": "time",
    "hold.allowed": TABLE,
    "hold.fill": TABLE,
    "hold.governed_by": WORDS,
    "hold.limit": "gauge-pressure",
    "hold.regulator_relief": "gauge-pressure",
    "hold.settle": "time",
    "hold.start": "gauge-pressure",
    "hold.step_1": "gauge-pressure",
    "hold.step_2": "gauge-pressure",
    "hold.time": "time",
    "machine.charge": "mass",
    "machine.name": WORDS,
    "machine.oil": WORDS,
    "machine.oil_charge": "volume",
    "machine.refrigerant": WORDS,
    "machine.safety_class": WORDS,
    "nitrogen.needed": "volume",
    "part.drier": WORDS,
    "part.model": WORDS,
    "part.oil": WORDS,
    "part.oil_charge": "volume",
    "part.stubs": WORDS,
    "part.suction_drier": WORDS,
    "part.weight": "mass",
    "purge.flow": WORDS,
    "purge.flow_high": "volume-flow",
    "purge.flow_low": "volume-flow",
    "purge.sweep_flow": "volume-flow",
    "purge.sweep_time": "time",
    "recovery.cylinder": WORDS,
    "recovery.gravity": "ratio",
    "recovery.level": "gauge-pressure",
    "recovery.level_absolute": "absolute-pressure",
    "recovery.level_words": WORDS,
    "recovery.rise_wait": "time",
    "recovery.room": "mass",
    "recovery.time": "time",
    "recovery.warm_limit": "temperature",
    "return.first": "time",
    "return.second": "time",
    "site.altitude": "length",
    "site.atmosphere": "absolute-pressure",
    "site.fire_watch": WORDS,
    "site.permit": WORDS,
    "site.phone": WORDS,
    "start.cut_in": "gauge-pressure",
    "start.heater_hours": "time",
    "time.part_open": "time",
    "time.recheck": "time",
    "torque.core": WORDS,
    "torque.mounting": "torque",
    "torque.port_cap": "torque",
    "torque.terminal": "torque",
    "torque.valve_cap": "torque",
    "verify.box": "temperature",
    "verify.current_limit": "current",
    "verify.discharge_limit": "temperature",
    "verify.settle": "time",
    "verify.spread_limit": "voltage",
    "verify.subcooling": TABLE,
    "verify.superheat": TABLE,
    "verify.unbalance_limit": "ratio",
    "verify.volts_high": "voltage",
    "verify.volts_low": "voltage",
}

# What a text inside a repeated group or reading may name besides, by what it is repeated for.
OWN: dict[str, dict[str, str]] = {
    "joints": {
        "joint.filler": WORDS,
        "joint.flux": WORDS,
        "joint.metals": WORDS,
        "joint.name": WORDS,
        "joint.order": WORDS,
        "joint.size": WORDS,
        "joint.torque": WORDS,
    },
    "recovery-cylinders": {
        "cylinder.end": "mass",
        "cylinder.id": WORDS,
        "cylinder.start": "mass",
        "cylinder.stop": "mass",
        "cylinder.tare": "mass",
    },
    "charging-cylinders": {
        "cylinder.id": WORDS,
        "cylinder.start": "mass",
        "cylinder.stop": "mass",
        "cylinder.take": "mass",
    },
    "nitrogen-breaks": {"break.number": WORDS},
}

# What the card on page 1 prints for each cylinder; no text can name these.
CARD_LISTS = frozenset({"recovery-cylinders", "charging-cylinders"})


def known(each: tuple[str, ...] = ()) -> dict[str, str]:
    """Kinds of all ids that a text may name; `each` is what it is repeated for.

    >>> known()["hold.limit"]
    'gauge-pressure'
    >>> "cylinder.stop" in known(), "cylinder.stop" in known(("recovery-cylinders",))
    (False, True)
    """
    found = dict(NUMBERS)
    for what in each:
        found |= OWN.get(what, {})
    return found
