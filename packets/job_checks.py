"""Whether job, machine, parts, kit and crew fit each other: stops a bad plan before dispatch."""

from __future__ import annotations

from typing import Any

from packets import reference, saturation_data
from packets.catalog import Catalog
from packets.findings import Findings, suggest
from packets.formatting import tube
from packets.formulas.atmosphere import ALTITUDE
from packets.formulas.recovery import SMALL_APPLIANCE_CHARGE
from packets.job_files import JobFiles
from packets.model.plans import Plan
from packets.model.procedures import Library
from packets.model.records import NewCompressor, NewDrier, is_burnt

_CALIBRATED_WITHIN_DAYS = 365
_PART_KEYS = {"compressor": "compressor", "drier": "drier", "suction_drier": "suction_drier"}


def check_orders(files: JobFiles, catalog: Catalog, findings: Findings) -> None:
    """The job orders work that exists, under known rules, on a machine of a known circuit."""
    job, library = files.job, catalog.library
    for circuit, items in job.work.items():
        for at, name in enumerate(items):
            if name not in library.work:
                findings.error(
                    "unknown-work",
                    files.place("job", "work", circuit, at),
                    f"no work is called {name!r}",
                    suggest(name, library.work),
                )
    for at, name in enumerate(job.also):
        item = library.work.get(name)
        if item is None or not item.fills_waits:
            known = [key for key, work in library.work.items() if work.fills_waits]
            findings.error(
                "unknown-work",
                files.place("job", "also", at),
                f"{name!r} is no work that fills waiting time",
                suggest(name, known),
            )
    if len(job.work) > 1:
        findings.error(
            "one-circuit",
            files.place("job", "work"),
            "a packet covers the work on one circuit",
            "write one job for each circuit",
        )
    _cylinders(files, findings)
    for circuit in job.work:
        record = files.equipment.circuits[circuit]
        _spans(files, circuit, findings)
        if record.circuit not in library.circuits:
            findings.error(
                "unknown-circuit-plan",
                files.place("equipment", "circuits", circuit, "circuit"),
                f"no circuit file is called {record.circuit!r}",
                suggest(record.circuit, catalog.known["circuit"]),
            )
        _refrigerant(files, circuit, findings)
        _facts(files, circuit, library, findings)
    altitude = files.equipment.space.altitude
    if not ALTITUDE.low <= altitude.value <= ALTITUDE.high:
        findings.error(
            "altitude",
            files.place("equipment", "space", "altitude"),
            f"{altitude.text} above the sea is outside the standard atmosphere's formula",
            "write the height of the site above the sea",
        )
    if job.rules not in library.rules:
        findings.error(
            "unknown-rules",
            files.place("job", "rules"),
            f"no rules are called {job.rules!r}",
            suggest(job.rules, catalog.known["rules"]),
        )


def _cylinders(files: JobFiles, findings: Findings) -> None:
    """A cylinder stands once in the kit, or its contents would be counted twice."""
    seen: set[str] = set()
    for key in ("recovery_cylinders", "charging_cylinders"):
        for at, cylinder in enumerate(getattr(files.kit, key)):
            if cylinder.id in seen:
                findings.error(
                    "cylinder-twice",
                    files.place("kit", key, at, "id"),
                    f"cylinder {cylinder.id} stands twice in the kit",
                    "give each cylinder its own mark",
                )
            seen.add(cylinder.id)


def _spans(files: JobFiles, circuit: str, findings: Findings) -> None:
    """Ranges run upwards, limits agree, and a small appliance is one."""
    record, path = files.equipment.circuits[circuit], ("circuits", circuit)
    for key in ("evaporating", "condensing"):
        span = getattr(record, key)
        if span is not None and span.low.value >= span.high.value:
            findings.error(
                "range",
                files.place("equipment", *path, key),
                f"{key}: {span.low.text} is not below {span.high.text}",
                "write the lower temperature as low",
            )
    pressure = record.design_pressure
    if pressure.low is not None and pressure.low.value > pressure.high.value:
        findings.error(
            "range",
            files.place("equipment", *path, "design_pressure"),
            f"the low side's {pressure.low.text} is above the high side's {pressure.high.text}",
            "check both against the nameplate",
        )
    asked = record.evacuation
    if asked.target and asked.rise_limit and asked.rise_limit.value < asked.target.value:
        findings.error(
            "range",
            files.place("equipment", *path, "evacuation"),
            f"a rise limit of {asked.rise_limit.text} is below the target of {asked.target.text}",
            "check both with the maker",
        )
    if record.small_appliance and record.charge.value > SMALL_APPLIANCE_CHARGE:
        findings.error(
            "small-appliance",
            files.place("equipment", *path, "small_appliance"),
            f"{record.charge.text} is more than a small appliance holds",
            "leave small_appliance out",
        )


def _refrigerant(files: JobFiles, circuit: str, findings: Findings) -> None:
    record = files.equipment.circuits[circuit]
    name = record.refrigerant
    if name in saturation_data.names() or record.chart:
        return
    place = files.place("equipment", "circuits", circuit, "refrigerant")
    refused = saturation_data.refused()
    if name in refused:
        findings.error(
            "refrigerant-refused",
            place,
            f"{name} has no sound model: {refused[name]}",
            f"add its published chart as circuits.{circuit}.chart",
        )
    else:
        known = [*saturation_data.names(), *refused]
        findings.error("unknown-refrigerant", place, f"{name} is not known", suggest(name, known))


def _facts(files: JobFiles, circuit: str, library: Library, findings: Findings) -> None:
    """Facts an earlier packet's record made true must be facts."""
    known = library.facts.facts
    now = files.job.now
    for path, names in (
        (("now", "facts"), now.facts),
        (("now", "circuits", circuit, "facts"), now.circuits[circuit].facts),
    ):
        for at, name in enumerate(names):
            if name not in known:
                findings.error(
                    "unknown-fact",
                    files.place("job", *path, at),
                    f"no fact is called {name!r}",
                    suggest(name, known),
                )


def check_plan(files: JobFiles, library: Library, plan: Plan, findings: Findings) -> None:
    """What the planned work needs of parts, crew and kit."""
    fragments = [library.fragments[item.fragment] for item in plan.order]
    acts = {act for fragment in fragments for act in fragment.acts}
    if "heats" in acts:
        _fire_watch(files, findings)
    if "removes-refrigerant" in acts or "charges" in acts:
        _recovery(files, findings)
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
    _needed_parts(files, library, findings)
    _instruments(files, findings)


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


def _recovery(files: JobFiles, findings: Findings) -> None:
    job, kit = files.job, files.kit
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
    if kit.core_tools < 2:
        findings.warn(
            "core-tools",
            files.place("kit", "core_tools"),
            "evacuation with both cores out takes two core tools",
            "load two",
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
        findings.error(
            "part-missing",
            files.place("job", "parts", circuit) if parts else files.place("job", "parts"),
            f"the planned work fits a new {part.replace('_', ' ')}, the job names none",
            f"add parts.{circuit}.{part}",
        )
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


def _needed_parts(files: JobFiles, library: Library, findings: Findings) -> None:
    for circuit, items in files.job.work.items():
        for item in items:
            for part in library.work[item].parts:
                parts = files.job.parts.get(circuit)
                if parts is None or getattr(parts, part) is None:
                    findings.error(
                        "part-missing",
                        files.place("job", "parts"),
                        f"{item} needs a new {part.replace('_', ' ')}, the job names none",
                        f"add parts.{circuit}.{part}",
                    )


def _instruments(files: JobFiles, findings: Findings) -> None:
    gauges, day = files.kit.gauges, files.job.date
    names = ("micron", "pressure", "thermometer", "meter", "torque_wrench")
    held: list[tuple[str, Any, tuple[str, ...]]] = [
        (name, getattr(gauges, name), ("gauges", name)) for name in names
    ]
    held.append(("scale", files.kit.scale, ("scale",)))
    for name, instrument, path in held:
        if instrument is None or instrument.calibrated is None:
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
        elif age > _CALIBRATED_WITHIN_DAYS:
            findings.warn(
                "calibration-old",
                place,
                f"{label}: calibrated {age} days before the job",
                "calibrate it, or load another",
            )
