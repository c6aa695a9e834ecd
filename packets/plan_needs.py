"""What the planned work needs of parts, crew, kit and instruments."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from packets import cores, kit_ratings, reference
from packets.findings import Findings
from packets.formatting import counted, tube
from packets.job_files import JobFiles
from packets.model.hookups import Hookups
from packets.model.job import NewCompressor, NewDrier, is_burnt
from packets.model.plans import Plan
from packets.model.procedures import Fragment, Library

CALIBRATED_WITHIN_DAYS = 365
# The act that brings a hook-up into a plan; nitrogen is swept through in most.
_HOOKUP_OF = {
    "recovery": "removes-refrigerant",
    "unbraze": "heats",
    "braze": "heats",
    "evacuation": "evacuates",
}
# A sweep is no act of its own; these take one.
_SWEEPS = frozenset({"heats", "frees-of-fuel"})
# Acts for which a refrigerant certificate is needed: even a gauge hose lets a little out.
HANDLES = frozenset({"removes-refrigerant", "charges", "joins-gauges"})
_PART_KEYS = {"compressor": "compressor", "drier": "drier", "suction_drier": "suction_drier"}


def check_plan(files: JobFiles, library: Library, plan: Plan, findings: Findings) -> None:
    """What the planned work needs of parts, crew and kit."""
    fragments = [library.fragments[item.fragment] for item in plan.order]
    acts = {act for fragment in fragments for act in fragment.acts}
    if "heats" in acts:
        _fire_watch(files, findings)
    if acts & HANDLES:
        _certification(files, findings)
    if "removes-refrigerant" in acts or "charges" in acts:
        _recovery_machine(files, findings)
    kit_ratings.check(files, acts, findings)
    for fragment in fragments:
        if fragment.crew > files.job.crew.technicians:
            findings.error(
                "crew",
                files.place("job", "crew", "technicians"),
                f"{fragment.title} takes {fragment.crew} people at once",
                f"send {fragment.crew}",
            )
    for item in plan.order:
        for part in library.fragments[item.fragment].remakes:
            _part(files, item.circuit, part.replace("-", "_"), findings)
    _ordered_parts(files, library, findings)
    _instruments(files, instruments_used(fragments), findings)


def _fire_watch(files: JobFiles, findings: Findings) -> None:
    job = files.job
    named = job.site.fire_watch
    if job.crew.technicians == 1 and not named:
        findings.error(
            "fire-watch",
            files.place("job", "site"),
            "one technician cannot braze and keep the fire watch",
            "name another person as site.fire_watch, or send two",
        )
    elif named and named == job.crew.lead and job.crew.technicians == 1:
        findings.error(
            "fire-watch",
            files.place("job", "site", "fire_watch"),
            "the one with the torch cannot be the fire watch",
            "name another person",
        )


def _certification(files: JobFiles, findings: Findings) -> None:
    job = files.job
    for circuit in job.work:
        needed = certificate(files, circuit)
        if not job.crew.certification:
            findings.warn(
                "certification",
                files.place("job", "crew"),
                "no refrigerant certificate is named",
                f"write crew.certification: [{needed}] or [universal]",
            )
        elif not {needed, "universal"} & set(job.crew.certification):
            findings.error(
                "certification",
                files.place("job", "crew", "certification"),
                f"this machine takes {needed} or universal certification",
                "send someone who has it",
            )


def _recovery_machine(files: JobFiles, findings: Findings) -> None:
    job, kit = files.job, files.kit
    for circuit in job.work:
        row = reference.table("refrigerants").find(
            refrigerant=files.equipment.circuits[circuit].refrigerant
        )
        if row is not None and row["safety_class"] not in kit.recovery_machine.rated_for:
            findings.error(
                "recovery-machine",
                files.place("kit", "recovery_machine", "rated_for"),
                f"the recovery machine is not rated for class {row['safety_class']}",
                "load one that is",
            )


def check_hookups(
    files: JobFiles, hookups: Hookups, acts: frozenset[str], findings: Findings
) -> None:
    """The kit has a core tool for each port that a planned hook-up draws the core of."""
    out = {
        what: ports
        for what, ports in cores.out_at_once(hookups).items()
        if _HOOKUP_OF.get(what, what) in acts or (what == "sweep" and acts & _SWEEPS)
    }
    what, ports = max(out.items(), key=lambda one: len(one[1]), default=("", frozenset()))
    if files.kit.core_tools < len(ports):
        findings.warn(
            "core-tools",
            files.place("kit", "core_tools"),
            f"{what} draws the cores of {counted(len(ports), 'port')} at once, the kit has "
            f"{counted(files.kit.core_tools, 'core tool')}",
            f"load {len(ports)}",
        )


def certificate(files: JobFiles, circuit: str) -> str:
    """The certificate a circuit takes, universal aside (40 CFR 82.161)."""
    record = files.equipment.circuits[circuit]
    if record.small_appliance:
        return "type-i"
    row = reference.table("refrigerants").find(refrigerant=record.refrigerant)
    low = row is not None and row.get("epa_category", {}).get("value") == "low"
    return "type-iii" if low else "type-ii"


def _part(files: JobFiles, circuit: str, part: str, findings: Findings) -> None:
    """A part that is fitted is named in the job and fits its joints."""
    parts = files.job.parts.get(circuit)
    new = getattr(parts, _PART_KEYS.get(part, ""), None) if parts else None
    if new is None:
        _missing_part(files, circuit, part, "the planned work fits", findings)
        return
    if isinstance(new, NewCompressor):
        _compressor(files, circuit, new, findings)
        sizes = {"suction": new.stubs.suction.value, "discharge": new.stubs.discharge.value}
    else:
        sizes = {"in": new.size.value, "out": new.size.value}
    burnt = is_burnt(files.job.now.circuits[circuit])
    if (
        burnt
        and isinstance(new, NewDrier)
        and not (new.ports if "suction" in part else new.acid_core)
    ):
        wanted = "a port on both sides" if "suction" in part else "an acid core"
        key = "ports" if "suction" in part else "acid_core"
        findings.error(
            "part-burnt",
            files.place("job", "parts", circuit, part),
            f"after a burnout the {part.replace('_', ' ')} needs {wanted}",
            f"order one that has it, and write {key}: true",
        )
    joints = files.equipment.circuits[circuit].joints
    name = part.replace("_", "-")
    for port, size in sizes.items():
        joint = joints.get(f"{name}.{port}")
        if joint is not None and abs(joint.size.value - size) > 1e-5:
            findings.error(
                "part-size",
                files.place("job", "parts", circuit, part),
                f"{name}.{port} is {tube(joint.size.value)}, the new part is {tube(size)}",
                "order the part that fits, or write down the reducers as joints",
            )


def _compressor(files: JobFiles, circuit: str, new: NewCompressor, findings: Findings) -> None:
    record, supply = files.equipment.circuits[circuit], files.equipment.supply
    path = ("parts", circuit, "compressor")
    if record.refrigerant not in new.refrigerants:
        findings.error(
            "part-refrigerant",
            files.place("job", *path, "refrigerants"),
            f"{new.model} is not listed for {record.refrigerant}",
            "order one that is, or correct the list from its data sheet",
        )
    if (new.supply.phases, new.supply.frequency.value) != (
        supply.phases,
        supply.frequency.value,
    ) or abs(new.supply.volts.value - supply.volts.value) > 0.1 * supply.volts.value:
        findings.error(
            "part-supply",
            files.place("job", *path, "supply"),
            f"{new.model} is {new.supply.volts.text}, {new.supply.phases} phase,"
            f" {new.supply.frequency.text}; the supply is {supply.volts.text},"
            f" {supply.phases} phase, {supply.frequency.text}",
            "order the part for this supply",
        )
    old_kind, new_kind = (oil.kind.split()[0].upper() for oil in (record.compressor.oil, new.oil))
    if old_kind != new_kind:
        findings.error(
            "part-oil",
            files.place("job", *path, "oil"),
            f"{new.model} comes with {new.oil.kind}, the system holds {record.compressor.oil.kind}",
            "order it with the system's oil, or plan an oil change with its maker",
        )


# What the job says of each new part, as it is written; left out where any part may be meant.
_FIELDS = {
    "compressor": "model, refrigerants, supply, oil, stubs and weight",
    "drier": "{model: as marked, size: 1/2 in}",
    "suction_drier": "{model: as marked, size: 1-1/8 in}",
}


def _missing_part(files: JobFiles, circuit: str, part: str, who: str, findings: Findings) -> None:
    """One finding a part, at the job's parts or at the work that asks for it."""
    key = f"parts.{circuit}.{part}"
    if key in findings.asked:
        return
    findings.asked.add(key)
    path = ("parts", circuit) if circuit in files.job.parts else ("work", circuit)
    said = _FIELDS.get(part, "")
    written = f": {said}" if said.startswith("{") else f", with {said}" if said else ""
    findings.error(
        "part-missing",
        files.place("job", *path),
        f"{who} a new {part.replace('_', ' ')}, the job names none",
        f"add {key}{written}",
    )


def _ordered_parts(files: JobFiles, library: Library, findings: Findings) -> None:
    for circuit, items in files.job.work.items():
        for item in items:
            for part in library.work[item].parts:
                parts = files.job.parts.get(circuit)
                if parts is None or getattr(parts, part) is None:
                    _missing_part(files, circuit, part, f"{item} needs", findings)


def instruments_used(fragments: Iterable[Fragment]) -> frozenset[str]:
    """The instruments that planned work reads or sets with, by their keys in the kit."""
    used = {"torque_wrench"}  # each packet ends with caps that are set to a torque
    for fragment in fragments:
        steps = [inner for step in fragment.steps for inner in (step, *step.steps)]
        used |= {r.with_.removeprefix("gauges.") for step in steps for r in step.readings}
        # A scale stands on the load list where cylinders are only filled to its mark.
        used |= {"scale" for load in fragment.tools if load.item == "Scale"}
    return frozenset(used - {""})


def _instruments(files: JobFiles, used: frozenset[str], findings: Findings) -> None:
    gauges, day = files.kit.gauges, files.job.date
    names = ("micron", "pressure", "thermometer", "meter", "torque_wrench")
    held: list[tuple[str, Any, tuple[str, ...]]] = [
        (name, getattr(gauges, name), ("gauges", name)) for name in names
    ]
    held.append(("scale", files.kit.scale, ("scale",)))
    for name, instrument, path in held:
        if name not in used or instrument is None or instrument.calibrated is None:
            continue
        place = files.place("kit", *path, "calibrated")
        age = (day - instrument.calibrated).days
        label = name.replace("_", " ")
        if age < 0:
            findings.error(
                "calibration-date",
                place,
                f"{label}: calibrated after the day of the job",
                "check both dates",
            )
        elif age > CALIBRATED_WITHIN_DAYS:
            findings.warn(
                "calibration-old",
                place,
                f"{label}: calibrated {age} days before the job",
                "calibrate it, or load another",
            )
