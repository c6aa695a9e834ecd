"""Whether a job orders what can be done, on a machine and with a kit that hang together."""

from __future__ import annotations

from packets import carried_checks, reference, saturation_data
from packets.catalog import Catalog
from packets.findings import Findings, suggest
from packets.formulas.atmosphere import ALTITUDE, pressure_at_altitude
from packets.formulas.recovery import ATMOSPHERE, SMALL_APPLIANCE_CHARGE
from packets.job_files import JobFiles

# What may follow the number of a refrigerant.
LETTERS = "ABCDEFGabcdefg()"


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
        _toxic(files, circuit, findings)
        carried_checks.check(files, circuit, library, findings)
    altitude = files.equipment.space.altitude
    if not _has_air(altitude.value):
        findings.error(
            "altitude",
            files.place("equipment", "space", "altitude"),
            f"{altitude.text} above the sea is higher or deeper than anybody works on a machine",
            "write the height of the site above the sea",
        )
    if job.rules not in library.rules:
        findings.error(
            "unknown-rules",
            files.place("job", "rules"),
            f"no rules are called {job.rules!r}",
            suggest(job.rules, catalog.known["rules"]),
        )


def _has_air(altitude: float) -> bool:
    """Whether the barometer at this altitude [m] is one for which the formulas hold."""
    if not ALTITUDE.low <= altitude <= ALTITUDE.high:
        return False
    return ATMOSPHERE.low <= pressure_at_altitude(altitude) <= ATMOSPHERE.high


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
            f"add its published chart as circuits.{circuit}.chart, and specific_gravity beside it",
        )
    else:
        # A near name of another number is another refrigerant, and to suggest it would be a guess.
        known = [*saturation_data.names(), *refused]
        same = [other for other in known if other.rstrip(LETTERS) == name.rstrip(LETTERS)]
        fix = suggest(name, same) if same else f"known: {', '.join(sorted(known))}"
        findings.error("unknown-refrigerant", place, f"{name} is not known", fix)


def _toxic(files: JobFiles, circuit: str, findings: Findings) -> None:
    """The standard work guards against fire and suffocation, not against poison."""
    name = files.equipment.circuits[circuit].refrigerant
    row = reference.table("refrigerants").find(refrigerant=name)
    if row is not None and row["safety_class"].startswith("B"):
        findings.error(
            "refrigerant-toxic",
            files.place("equipment", "circuits", circuit, "refrigerant"),
            f"{name} is poisonous (class {row['safety_class']}): no procedure here covers it",
            "have it done under the site's own plan, by those licensed for it",
        )
