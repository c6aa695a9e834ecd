"""Every number id that a procedure may name, with its kind, so that lint needs no job.

The kind is a quantity, `words` for a text, `table` for a table entered with one reading, or `grid`
for one entered with two. A number that is a quantity on one machine and a text on another stands
here as `words`: a limit cannot be made of it. What is missing here or idle is found by
`tests/lint/test_number_ids.py`, which names it.
"""

from __future__ import annotations

from fnmatch import fnmatchcase

WORDS, TABLE, GRID = "words", "table", "grid"

NUMBERS: dict[str, str] = {
    "braze.rods": WORDS,
    "braze.valve_limit": "temperature",
    "capacitor.least": "capacitance",
    "capacitor.most": "capacitance",
    "capacitor.new_least": "capacitance",
    "capacitor.new_most": "capacitance",
    "card.saturation": TABLE,
    "card.standing": TABLE,
    "charge.accumulator": "mass",
    "charge.by_parts": "mass",
    "charge.cylinder": WORDS,
    "charge.drier": "mass",
    "charge.form": WORDS,
    "charge.hose": "mass",
    "charge.least": "mass",
    "charge.line_set": "mass",
    "charge.most": "mass",
    "charge.receiver_limit": "mass",
    "charge.tolerance": "mass",
    "charge.total": "mass",
    "drier.drop_limit": "pressure-difference",
    "evac.blank_off": "vacuum",
    "evac.break_pressure": "gauge-pressure",
    "evac.break_stand": "time",
    "evac.coldest": "temperature",
    "evac.first_pull": "vacuum",
    "evac.hook_up": WORDS,
    "evac.leak_first": "vacuum",
    "evac.leak_from": "vacuum",
    "evac.leak_second": "vacuum",
    "evac.pull_wait": "time",
    "evac.pull_wait_first": "time",
    "evac.pump_time": "time",
    "evac.pump_time_first": "time",
    "evac.rise_first": "time",
    "evac.rise_limit": "vacuum",
    "evac.rise_second": "time",
    "evac.rise_sees": "mass",
    "evac.rise_sees_words": WORDS,
    "evac.rise_time": "time",
    "evac.small_hose": WORDS,
    "evac.small_hose_time": "time",
    "evac.target": "vacuum",
    "evac.water_boils": "temperature",
    "evac.water_high": "vacuum",
    "evac.water_low": "vacuum",
    "evac.water_plateau": "vacuum",
    "fire.distance": "length",
    "fire.watch": "time",
    "flammable.class": WORDS,
    "flammable.least_area": "area",
    "flammable.lfl": "concentration",
    "flammable.m1": "mass",
    "flammable.m2": "mass",
    "flammable.m3": "mass",
    "flammable.room_charge": "mass",
    "hold.allowed": TABLE,
    "hold.fill": TABLE,
    "hold.governed_by": WORDS,
    "hold.leak_to_see": "mass",
    "hold.limit": "gauge-pressure",
    "hold.misses_words": WORDS,
    "hold.needed_words": WORDS,
    "hold.regulator_relief": "gauge-pressure",
    "hold.relief_most": "gauge-pressure",
    "hold.sees": "mass",
    "hold.sees_words": WORDS,
    "hold.settle": "time",
    "hold.start": "gauge-pressure",
    "hold.step_1": "gauge-pressure",
    "hold.step_2": "gauge-pressure",
    "hold.time": "time",
    "hold.time_needed": "time",
    "leak.annualized": "ratio",
    "leak.keep": WORDS,
    "leak.most": "mass",
    "leak.rolling": "ratio",
    "leak.rules": WORDS,
    "leak.then": WORDS,
    "leak.trigger": "ratio",
    "leak.worksheet": WORDS,
    "load.flare_nuts": WORDS,
    "load.pipe_caps": WORDS,
    "load.vented_caps": WORDS,
    "machine.air_side": WORDS,
    "machine.charge": "mass",
    "machine.name": WORDS,
    "machine.oil": WORDS,
    "machine.oil_charge": "volume",
    "machine.oil_short": "volume",
    "machine.refrigerant": WORDS,
    "machine.safety_class": WORDS,
    "machine.sources": WORDS,
    "nitrogen.cylinders": WORDS,
    "nitrogen.needed": "volume",
    "part.drier": WORDS,
    "part.model": WORDS,
    "part.oil": WORDS,
    "part.oil_charge": "volume",
    "part.stubs": WORDS,
    "part.suction_drier": WORDS,
    "part.weight": "mass",
    "ports.charge": WORDS,
    "ports.charge_how": WORDS,
    "ports.evacuate": WORDS,
    "ports.farthest": WORDS,
    "ports.gauge": WORDS,
    "ports.gauges": WORDS,
    "ports.hold": WORDS,
    "ports.keep_open": WORDS,
    "ports.low_gauge": WORDS,
    "ports.recover": WORDS,
    "ports.recover_first": WORDS,
    "ports.recover_then": WORDS,
    "ports.repair": WORDS,
    "ports.suction_read": WORDS,
    "ports.sweep_beside": WORDS,
    "ports.sweep_in": WORDS,
    "ports.sweep_out": WORDS,
    "ports.trapped": WORDS,
    "ports.warm": WORDS,
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
    "recovery.short": "mass",
    "recovery.time": "time",
    "recovery.warm_limit": "temperature",
    "return.first": "time",
    "return.second": "time",
    "room.concentration_charge": "mass",
    "site.altitude": "length",
    "site.atmosphere": "absolute-pressure",
    "site.fire_watch": WORDS,
    "site.permit": WORDS,
    "site.phone": WORDS,
    "start.cut_in": "gauge-pressure",
    "start.heater_hours": "time",
    "start.power_off": "time",
    "start.sump_above": "temperature-difference",
    "time.part_open": "time",
    "time.recheck": "time",
    "torque.core": WORDS,
    "torque.mounting": "torque",
    "torque.port_cap": "torque",
    "torque.terminal": "torque",
    "torque.valve_cap": "torque",
    "verify.approach_least": "temperature-difference",
    "verify.approach_most": "temperature-difference",
    "verify.box": "temperature",
    "verify.current_limit": "current",
    "verify.discharge_limit": "temperature",
    "verify.line_by_target": GRID,
    "verify.ratio": "ratio",
    "verify.ratio_limit": "ratio",
    "verify.settle": "time",
    "verify.split": "temperature-difference",
    "verify.split_least": "temperature-difference",
    "verify.split_most": "temperature-difference",
    "verify.spread_limit": "voltage",
    "verify.subcooling": TABLE,
    "verify.suction_least": "gauge-pressure",
    "verify.suction_most": "gauge-pressure",
    "verify.superheat": TABLE,
    "verify.superheat_within": "temperature-difference",
    "verify.target_superheat": GRID,
    "verify.unbalance_limit": "ratio",
    "verify.volts_high": "voltage",
    "verify.volts_low": "voltage",
    "verify.weigh_in_below": "temperature",
}

# Numbers whose ids the machine itself makes: one for each of its filler metals or joints. Kinds by
# pattern. No text can name one, because the next machine has others.
FAMILIES: dict[str, str] = {
    "braze.*.liquidus": "temperature",
    "braze.*.range_high": "temperature",
    "braze.*.range_low": "temperature",
    "braze.*.solidus": "temperature",
    "braze.nominal.*": "length",
}

_VALVES = {"valve.how": WORDS, "valve.name": WORDS, "valve.state": WORDS}

_JOINTS = {
    "joint.caps": WORDS,
    "joint.filler": WORDS,
    "joint.flux": WORDS,
    "joint.inlet": WORDS,
    "joint.metals": WORDS,
    "joint.name": WORDS,
    "joint.order": WORDS,
    "joint.share": WORDS,
    "joint.size": WORDS,
    "joint.sweep_time": "time",
    "joint.torque": WORDS,
    "joint.torque_high": "torque",
    "joint.torque_low": "torque",
    "joint.valves": WORDS,
    "joint.vent": WORDS,
}

# What a text inside a repeated group or reading may name besides, by what it is repeated for.
OWN: dict[str, dict[str, str]] = {
    "joints": _JOINTS,
    "part-joints": _JOINTS,
    "named-joints": _JOINTS,
    "unbraze": {
        "joint.caps": WORDS,
        "joint.inlet": WORDS,
        "joint.name": WORDS,
        "joint.share": WORDS,
        "joint.sweep_time": "time",
        "joint.valves": WORDS,
        "joint.vent": WORDS,
    },
    "recovery-valves": _VALVES,
    "evacuation-valves": _VALVES,
    "other-ports": {"port.name": WORDS},
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


def kind_of(id: str) -> str | None:
    """Kind of an id of the list or of a family; None where there is no such number.

    >>> kind_of("hold.limit"), kind_of("braze.bcup-2.solidus"), kind_of("braze.bcup-2.colour")
    ('gauge-pressure', 'temperature', None)
    """
    fitting = (kind for pattern, kind in FAMILIES.items() if fnmatchcase(id, pattern))
    return NUMBERS.get(id) or next(fitting, None)


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
