"""What a fragment's `when` may ask about: the job's circumstances, by declared names."""

from __future__ import annotations

import ast
from collections.abc import Iterable, Mapping

from packets import cores, expressions, reference
from packets.circuit import ports, sides
from packets.expressions import Value
from packets.held_off import outside_readings, starts_by_switch, temporary_switch
from packets.model.equipment import Circuit, Equipment
from packets.model.hookups import Hookups, PortUse
from packets.model.job import CircuitState, Job, is_burnt
from packets.model.kit import Kit
from packets.model.procedures import Rules, WorkItem

# Name and meaning; the writing guide and the checker read this list.
NAMES: dict[str, str] = {
    "burnt": "the compressor burnt out, or the acid test is positive",
    "refrigerant_present": "there is refrigerant in the circuit",
    "three_phase": "the supply has three phases",
    "scroll": "the compressor is a scroll",
    "semi_hermetic": "the compressor can be opened with tools",
    "crankcase_heater": "the compressor has a crankcase heater",
    "winding_failed": "the job reports the compressor's motor as burnt",
    "diagnosis_stated": "the job says who signed the earlier diagnosis, when and how",
    "temporary_switch": "a temporary switch in the contactor coil's circuit holds the compressor"
    " off; the unit has none of its own",
    "control_switch": "the unit has a switch of its own that holds its compressor off",
    "outside_readings": "volts and amps are read outside the closed panel, and nothing of ours is"
    " left in it",
    "starts_by_switch": "a switch, not the thermostat, starts and stops the compressor",
    "receiver": "the circuit has a receiver",
    "accumulator": "the circuit has a suction accumulator",
    "sight_glass": "the circuit has a sight glass in its liquid line",
    "liquid_solenoid": "the circuit has a liquid-line solenoid",
    "service_valves": "the circuit has service valves",
    "heat_pump": "the circuit has a reversing valve",
    "txv": "the metering device is a thermostatic expansion valve",
    "fixed_orifice": "the metering device is a fixed orifice",
    "capillary": "the metering device is a capillary tube",
    "eev": "the metering device is an electronic expansion valve",
    "superheat_stated": "the record states the superheat the maker asks for",
    "subcooling_stated": "the record states the subcooling the maker asks for",
    "approach_stated": "the record states the maker's approach",
    "split_stated": "the record states air flow and sensible heat for the temperature split",
    "reclaimed_charge": "a charging cylinder of this refrigerant holds reclaimed refrigerant",
    "flammable": "the refrigerant's safety class is A2L or higher in flammability",
    "zeotrope": "the refrigerant glides: its vapor and its liquid differ",
    "vapor_charge": "the charge goes in as vapor: one fluid, at a port of the low side",
    "closed_room": "gas let out at the machine would stay in a closed room",
    "indoor": "the machine stands indoors",
    "cold_store": "the machine serves a cold store with product in it",
    "flare_joints": "a joint that is opened is a flare",
    "brazed_joint": "this joint is brazed; only inside a group repeated for the joints",
    "flare_joint": "this joint is a flare; only inside a group repeated for the joints",
    "capped_outlet": "this joint's nitrogen leaves by a vented cap; only inside a group for joints",
    "first_cylinder": "this is the first cylinder; only inside a group repeated for cylinders",
    "valves_to_open": "valves have to be opened by hand before the circuit can be emptied",
    "hand_valves": "the machine has valves that are set or looked at by hand before recovery",
    "several_circuits": "the machine has two or more circuits",
    "recovery_gauge_port": "recovery uses the gauge port of a back-seating valve",
    "evacuation_gauge_port": "nitrogen and the pump use the gauge port of a back-seating valve",
    "joints_shut_off": "hand valves shut the joints that the job names off from the compressor",
    "one_recovery_port": "the whole circuit is recovered from one port",
    "one_hold_port": "the whole circuit is filled with nitrogen for the hold from one port",
    "cleared_by_weight": "the machine is a small appliance, which a share of its charge may clear",
    "liquid_trapped": "valves that are shut can trap liquid between them",
    "weigh_in_only": "a heat pump on a day too cold to judge its charge by anything but weight",
    "flared_drier": "the liquid-line drier is joined by flares",
    "hot_work": "the planned work lights a flame",
    "opened": "the planned work opens the circuit, or closes what was left open",
    "recovers": "the planned work recovers refrigerant",
    "charges": "the planned work weighs in a charge",
    "heater_due": "a charge is weighed in, or the heater had no power: the oil is cold",
    "pressurizes": "the planned work puts the circuit under nitrogen pressure",
    "joints_made": "the planned work makes joints of the circuit",
    "left_open": "the job names joints that an earlier visit left open",
    "compressor_out": "the planned work takes the compressor out",
    "new_compressor": "the ordered work fits a new compressor",
    "at_height": "the machine stands on a roof or is reached by ladder",
    "mechanical_failure": "the compressor has failed mechanically, its winding is not burnt",
    "sealed_joint": "a joint that is opened is neither brazed nor flared",
    "fluxed_joint": "a joint that is brazed takes flux",
    "vented_cap": "nitrogen leaves by a vented cap at some joint or stub",
    "purge_cycles": "the whole system is purged by pressure cycles, not by flow",
    "below_running": "joints made on the high side are proved below the pressure they run at",
    "comfort_cooling": "the machine cools rooms for people",
    "drier_fitted": "the circuit has a liquid-line drier when the work is done",
    "suction_drier": "the circuit has a suction drier when the work is done",
    "head_read": "a hose stays on a port of the high side after the charge",
    "process_tubes": "the circuit is entered at process tubes alone",
    "capacity_stated": "the record states the cooling capacity",
    "compressor_superheat": "the superheat at the compressor is stated, or the trade has one",
    "pressure_controls": "the record states pressure controls, or the circuit has a receiver",
    "low_control_by_valve": "a liquid valve of the high side can be closed to try the low-pressure"
    " control, which opens above the air's pressure",
    "crew": "number of technicians",
    "cores_recover": "number of ports with their cores out for recovery",
    "cores_sweep": "number of ports with their cores out for the sweep",
    "cores_unbraze": "number of ports with their cores out while stubs are unbrazed",
    "cores_braze": "number of ports with their cores out while joints are brazed",
    "cores_evacuate": "number of ports with their cores out for the evacuation",
    "ports_used": "number of service ports that this job opens",
    "cored_ports": "number of service ports with cores that this job opens",
    "fire_watch_required": "the rules ask for a fire watch after the last flame",
}

# Those that count: what a load's `count_by` may name.
COUNTS = frozenset(
    {"crew", "ports_used", "cored_ports"}
    | {f"cores_{what}" for what in ("recover", "sweep", "unbraze", "braze", "evacuate")}
)


def circumstances(
    job: Job,
    equipment: Equipment,
    kit: Kit,
    rules: Rules,
    hookups: Hookups,
    work: Mapping[str, WorkItem],
    circuit: str,
    safety_class: str | None,
    glide: bool | None,
    blend: bool | None,
    acts: frozenset[str] = frozenset(),
    fluxed: bool = False,
    purge_cycles: bool = False,
    below_running: bool = False,
) -> dict[str, Value | None]:
    """The value of every name for one circuit of the job; None where the files do not say."""
    record = equipment.circuits[circuit]
    state = job.now.circuits[circuit]
    kinds = {part.kind for part in hookups.found.parts.values()}
    made = {part.kind for part in hookups.made.parts.values()}
    flares = {name.split(".")[0] for name, joint in record.joints.items() if joint.kind == "flare"}
    sealed = [name for name, one in record.joints.items() if one.kind not in ("brazed", "flare")]
    out = {what: len(ports) for what, ports in cores.out_at_once(hookups).items()}
    return {
        "burnt": is_burnt(state),
        "refrigerant_present": state.refrigerant == "present",
        "three_phase": equipment.supply.phases == 3,
        "scroll": record.compressor.type == "scroll",
        "semi_hermetic": record.compressor.semi_hermetic,
        "crankcase_heater": record.compressor.crankcase_heater,
        "winding_failed": state.compressor == "electrical-burnout",
        "diagnosis_stated": job.diagnosed is not None,
        "temporary_switch": temporary_switch(record, equipment.supply.phases, kinds),
        "control_switch": record.controls.control_switch,
        "outside_readings": outside_readings(record, equipment.supply.phases, kinds),
        "starts_by_switch": starts_by_switch(record, equipment.supply.phases, kinds),
        "receiver": "receiver" in kinds,
        "accumulator": "accumulator" in kinds,
        "sight_glass": "sight-glass" in kinds,
        "liquid_solenoid": "solenoid" in kinds,
        "service_valves": "service-valve" in kinds,
        "heat_pump": "reversing-valve" in kinds,
        "txv": record.metering.device == "txv",
        "fixed_orifice": record.metering.device == "fixed-orifice",
        "capillary": record.metering.device == "capillary",
        "eev": record.metering.device == "eev",
        "superheat_stated": record.metering.superheat is not None,
        "subcooling_stated": record.metering.subcooling is not None,
        "approach_stated": record.metering.approach is not None,
        "split_stated": record.air is not None,
        "reclaimed_charge": any(
            cylinder.refrigerant == record.refrigerant and cylinder.state == "reclaimed"
            for cylinder in kit.charging_cylinders
        ),
        "flammable": None if safety_class is None else safety_class not in ("A1", "B1"),
        "zeotrope": glide,
        "vapor_charge": _vapor(hookups, blend),
        "closed_room": equipment.space.closed_room,
        "indoor": equipment.space.kind == "indoor",
        "cold_store": equipment.store is not None,
        "flare_joints": bool(flares & {"compressor", "drier", "suction-drier"}),
        "brazed_joint": None,
        "flare_joint": None,
        "capped_outlet": None,
        "first_cylinder": None,
        "valves_to_open": bool(hookups.recovery.valves),
        "hand_valves": bool(hookups.recovery.valves)
        or any(
            part.kind in ("service-valve", "ball-valve") for part in hookups.found.parts.values()
        ),
        "several_circuits": len(equipment.circuits) > 1,
        "recovery_gauge_port": _gauge_port(
            hookups, (*hookups.recovery.liquid, *hookups.recovery.vapor)
        ),
        "evacuation_gauge_port": _gauge_port(hookups, hookups.evacuation.pumped),
        "joints_shut_off": bool(hookups.isolation.valves),
        "one_recovery_port": len((*hookups.recovery.liquid, *hookups.recovery.vapor)) == 1,
        "one_hold_port": len(hookups.evacuation.pumped) == 1,
        "cleared_by_weight": record.small_appliance
        and rules.recovery.table != "ask"
        and record.refrigerant not in rules.recovery.exempt.get(equipment.use, ()),
        "liquid_trapped": bool(hookups.recovery.trapped),
        "weigh_in_only": "reversing-valve" in kinds and _cold(job),
        "flared_drier": "drier" in flares,
        "hot_work": "heats" in acts,
        "opened": bool({"opens", "heats"} & acts) or _left_open(state),
        "recovers": "removes-refrigerant" in acts,
        "charges": "charges" in acts,
        "heater_due": "charges" in acts or state.heater == "off",
        "pressurizes": "pressurizes" in acts,
        "joints_made": bool(hookups.opened.out or hookups.opened.joints),
        "left_open": _left_open(state),
        "compressor_out": "compressor" in hookups.opened.out,
        "new_compressor": any("compressor" in work[name].parts for name in job.work[circuit]),
        "at_height": equipment.space.ladder or equipment.space.kind == "roof",
        "mechanical_failure": state.compressor == "mechanical-failure" and not is_burnt(state),
        "sealed_joint": any(name.split(".")[0] in hookups.opened.out for name in sealed),
        "fluxed_joint": fluxed,
        "vented_cap": any(
            route is not None and route.vent.end
            for route in (
                *(step.route for step in hookups.braze.steps),
                *(step.route for step in hookups.unbraze.steps),
            )
        ),
        "purge_cycles": purge_cycles,
        "below_running": below_running,
        "comfort_cooling": equipment.use == "comfort-cooling",
        "drier_fitted": "filter-drier" in made,
        "suction_drier": "suction-drier" in made,
        "head_read": bool(hookups.charging)
        and sides.side(hookups.made, hookups.charging) == "high",
        "process_tubes": _process_tubes(hookups, record),
        "capacity_stated": record.cooling_capacity is not None,
        "compressor_superheat": record.compressor.superheat is not None or "receiver" in made,
        "pressure_controls": _pressure_controls(record) or "receiver" in kinds,
        "low_control_by_valve": bool(sides.liquid_valve(hookups.made)) and _above_air(record),
        "crew": job.crew.technicians,
        "cores_recover": out["recovery"],
        "cores_sweep": out["sweep"],
        "cores_unbraze": out["unbraze"],
        "cores_braze": out["braze"],
        "cores_evacuate": out["evacuation"],
        "ports_used": len(cores.opened(hookups)),
        "cored_ports": sum(hookups.made.service_ports[port].core for port in cores.opened(hookups)),
        "fire_watch_required": rules.fire_watch.time.value > 0,
    }


def _left_open(state: CircuitState) -> bool:
    return state.left is not None and bool(state.left.open)


def _gauge_port(hookups: Hookups, uses: Iterable[PortUse]) -> bool:
    """Whether one of these ports is the gauge port of a back-seating valve."""
    return any(ports.kind(hookups.made, use.port) == ports.GAUGE for use in uses)


def _vapor(hookups: Hookups, blend: bool | None) -> bool | None:
    """Whether no liquid goes into the hose; a blend is drawn as liquid whatever the port."""
    if hookups.charging_side != "low":
        return False
    return None if blend is None else not blend


def _process_tubes(hookups: Hookups, record: Circuit) -> bool:
    """A factory-sealed capillary circuit whose ports are all plain tubes."""
    ports = hookups.made.service_ports.values()
    sealed = hookups.made.factory_built and record.metering.device == "capillary"
    return sealed and bool(ports) and not any(port.core for port in ports)


def _pressure_controls(record: Circuit) -> bool:
    """Whether the record states a setting of a pressure control."""
    one = record.controls
    settings = (one.low_pressure_cut_in, one.low_pressure_cut_out, one.high_pressure_cut_out)
    return any(setting is not None for setting in settings)


def _above_air(record: Circuit) -> bool:
    """Whether the low-pressure control opens before the low side is under the air's pressure."""
    cut_out = record.controls.low_pressure_cut_out
    return cut_out is not None and cut_out.value > 0


def _cold(job: Job) -> bool:
    row = reference.table("practice").find(id="heat-pump-weigh-in-only")
    return row is not None and job.conditions.outdoor.value < (row["outdoor_f"] + 459.67) / 1.8


_SIGNS = {ast.Lt: "less than", ast.LtE: "at most", ast.Gt: "more than", ast.GtE: "at least",
          ast.Eq: "is", ast.NotEq: "is not"}  # fmt: skip


def in_words(when: str) -> tuple[str, str]:
    """An expression as two texts: what must hold, and what must not.

    >>> in_words("txv and not receiver")
    ('the metering device is a thermostatic expansion valve', 'the circuit has a receiver')
    """
    tree = expressions.parse(when)
    both = isinstance(tree, ast.BoolOp) and isinstance(tree.op, ast.And)
    parts = tree.values if isinstance(tree, ast.BoolOp) and both else [tree]
    only = [_words(part) for part in parts if not isinstance(part, ast.UnaryOp)]
    unless = [_words(part.operand) for part in parts if isinstance(part, ast.UnaryOp)]
    return "; and ".join(only), "; or ".join(unless)


def _words(node: ast.expr) -> str:
    if isinstance(node, ast.Name):
        return NAMES.get(node.id, node.id).partition(";")[0]  # what follows is for the author
    if isinstance(node, ast.Constant):
        return str(node.value)
    if isinstance(node, ast.UnaryOp):
        return f"it is not so that {_words(node.operand)}"
    if isinstance(node, ast.BoolOp):
        joined = "; and " if isinstance(node.op, ast.And) else "; or "
        return joined.join(_words(part) for part in node.values)
    assert isinstance(node, ast.Compare)
    sign = _SIGNS[type(node.ops[0])]
    return f"{_words(node.left)} {sign} {_words(node.comparators[0])}"
