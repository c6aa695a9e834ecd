"""What a fragment's `when` may ask about: the job's circumstances, by declared names."""

from __future__ import annotations

import ast
from collections.abc import Mapping

from packets import cores, expressions, reference
from packets.expressions import Value
from packets.model.equipment import Equipment
from packets.model.hookups import Hookups
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
    "receiver": "the circuit has a receiver",
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
    "first_cylinder": "this is the first charging cylinder; only inside a group repeated for them",
    "valves_to_open": "valves have to be opened by hand before the circuit can be emptied",
    "one_recovery_port": "the whole circuit is recovered from one port",
    "liquid_trapped": "valves that are shut can trap liquid between them",
    "weigh_in_only": "a heat pump on a day too cold to judge its charge by anything but weight",
    "flared_drier": "the liquid-line drier is joined by flares",
    "hot_work": "the planned work lights a flame",
    "opened": "the planned work opens the circuit, or closes what was left open",
    "recovers": "the planned work recovers refrigerant",
    "charges": "the planned work weighs in a charge",
    "pressurizes": "the planned work puts the circuit under nitrogen pressure",
    "joints_made": "the planned work makes joints of the circuit",
    "left_open": "the job names joints that an earlier visit left open",
    "new_compressor": "the ordered work fits a new compressor",
    "at_height": "the machine stands on a roof or is reached by ladder",
    "mechanical_failure": "the compressor has failed mechanically, its winding is not burnt",
    "sealed_joint": "a joint that is opened is neither brazed nor flared",
    "fluxed_joint": "a joint that is brazed takes flux",
    "vented_cap": "nitrogen leaves by a vented cap at some joint",
    "crew": "number of technicians",
    "cores_recover": "number of ports with their cores out for recovery",
    "cores_sweep": "number of ports with their cores out for the sweep",
    "cores_unbraze": "number of ports with their cores out while stubs are unbrazed",
    "cores_braze": "number of ports with their cores out while joints are brazed",
    "cores_evacuate": "number of ports with their cores out for the evacuation",
    "ports_used": "number of service ports that this job opens",
    "fire_watch_required": "the rules ask for a fire watch after the last flame",
}

# Those that count: what a load's `count_by` may name.
COUNTS = frozenset(
    {"crew", "ports_used"}
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
) -> dict[str, Value | None]:
    """The value of every name for one circuit of the job; None where the files do not say."""
    record = equipment.circuits[circuit]
    state = job.now.circuits[circuit]
    kinds = {part.kind for part in hookups.found.parts.values()}
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
        "receiver": "receiver" in kinds,
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
        "first_cylinder": None,
        "valves_to_open": bool(hookups.recovery.valves),
        "one_recovery_port": len((*hookups.recovery.liquid, *hookups.recovery.vapor)) == 1,
        "liquid_trapped": bool(hookups.recovery.trapped),
        "weigh_in_only": "reversing-valve" in kinds and _cold(job),
        "flared_drier": "drier" in flares,
        "hot_work": "heats" in acts,
        "opened": bool({"opens", "heats"} & acts) or _left_open(state),
        "recovers": "removes-refrigerant" in acts,
        "charges": "charges" in acts,
        "pressurizes": "pressurizes" in acts,
        "joints_made": bool(hookups.opened.out or hookups.opened.joints),
        "left_open": _left_open(state),
        "new_compressor": any("compressor" in work[name].parts for name in job.work[circuit]),
        "at_height": equipment.space.ladder or equipment.space.kind == "roof",
        "mechanical_failure": state.compressor == "mechanical-failure" and not is_burnt(state),
        "sealed_joint": any(name.split(".")[0] in hookups.opened.out for name in sealed),
        "fluxed_joint": fluxed,
        "vented_cap": any(step.route and step.route.vent.end for step in hookups.braze.steps),
        "crew": job.crew.technicians,
        "cores_recover": out["recovery"],
        "cores_sweep": out["sweep"],
        "cores_unbraze": out["unbraze"],
        "cores_braze": out["braze"],
        "cores_evacuate": out["evacuation"],
        "ports_used": len(cores.opened(hookups)),
        "fire_watch_required": rules.fire_watch.time.value > 0,
    }


def _left_open(state: CircuitState) -> bool:
    return state.left is not None and bool(state.left.open)


def _vapor(hookups: Hookups, blend: bool | None) -> bool | None:
    """Whether no liquid goes into the hose; a blend is drawn as liquid whatever the port."""
    if hookups.charging_side != "low":
        return False
    return None if blend is None else not blend


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
