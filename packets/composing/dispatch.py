"""The dispatch sheet: what the manager and the crew read before the van leaves."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from packets.composing.sections import Sections
from packets.composing.texts import entry_text
from packets.composing.time import in_words
from packets.findings import Findings
from packets.formatting import System, in_si
from packets.job_files import JobFiles
from packets.model import packet as printed
from packets.model.job import is_burnt
from packets.model.kit import Instrument
from packets.model.procedures import Library
from packets.plan_needs import (
    CALIBRATED_WITHIN_DAYS,
    HANDLES,
    certificate,
    instruments_used,
)
from packets.quantities import Quantity
from packets.schedule import Schedule

_DECIDING = 3
# What the acts of a plan mean for whoever pays for them, in the order of work.
_BRINGS = {
    "removes-refrigerant": "recover the {refrigerant}",
    "heats": "braze",
    "pressurizes": "prove it tight under nitrogen",
    "evacuates": "evacuate",
    "charges": "weigh in {charge}",
    "energizes": "start and verify",
}


def sheet(
    files: JobFiles,
    library: Library,
    sections: tuple[printed.Section, ...],
    load: tuple[printed.LoadGroup, ...],
    acts: set[str],
    by_circuit: dict[str, Sections],
    findings: Findings,
    time: Schedule,
    units: System,
) -> printed.Dispatch:
    """The whole sheet."""
    return printed.Dispatch(
        scope=scope(files, library, acts, by_circuit),
        site=site(files),
        crew=crew(files),
        cautions=deciding(sections, library),
        timeline=timeline(sections),
        hands_on_minutes=sum(section.hands_on_minutes for section in sections),
        waiting_minutes=sum(section.waiting_minutes for section in sections),
        load=load,
        permits=permits(files, acts, by_circuit, library),
        instruments=instruments(
            files, units, instruments_used(library.fragments[one.fragment] for one in sections)
        ),
        attention=attention(findings),
        elapsed_minutes=time.elapsed,
        in_waits=in_words(time, sections),
    )


def deciding(sections: Iterable[printed.Section], library: Library) -> tuple[printed.Caution, ...]:
    """The printed cautions that weigh most in whether to go."""
    found = {c.id: c for section in sections for step in section.steps for c in step.cautions}
    weighed = [name for name in found if library.cautions.cautions[name].decides]
    weighed.sort(key=lambda name: (-library.cautions.cautions[name].decides, name))
    return tuple(found[name] for name in weighed[:_DECIDING])


def timeline(sections: Iterable[printed.Section]) -> tuple[printed.TimeLine, ...]:
    """One line a section: time, hold points, and what called for it."""
    return tuple(
        printed.TimeLine(
            section.number,
            section.title,
            section.hands_on_minutes,
            section.waiting_minutes,
            tuple(step.number for step in section.steps if step.sign and step.sign.hold),
            section.called_for,
        )
        for section in sections
    )


def scope(
    files: JobFiles, library: Library, acts: set[str], by_circuit: dict[str, Sections]
) -> str:
    """The job in one sentence: what is ordered, on which machine, and what that brings with it."""
    machine = files.equipment
    register = next(iter(by_circuit.values())).texts.register
    names = {"charge": "charge.total", "refrigerant": "machine.refrigerant"}
    units = next(iter(by_circuit.values())).texts.units
    found = {key: register.entries.get(name) for key, name in names.items()}
    filled = {key: entry_text(entry, units) if entry else "" for key, entry in found.items()}
    brings = [words.format(**filled) for act, words in _BRINGS.items() if act in acts]
    sentence = f"{title(files, library)} of {machine.equipment} ({machine.description})"
    return f"{sentence}: {', '.join(brings)}." if brings else f"{sentence}."


def title(files: JobFiles, library: Library) -> str:
    """What is ordered."""
    job = files.job
    titles = [library.work[name].title for names in job.work.values() for name in names]
    also = [library.work[name].title for name in job.also]
    orders = [titles[0], *(title[0].lower() + title[1:] for title in [*titles[1:], *also])]
    return orders[0] if len(orders) == 1 else f"{', '.join(orders[:-1])} and {orders[-1]}"


def permits(
    files: JobFiles, acts: set[str], by_circuit: dict[str, Sections], library: Library
) -> tuple[tuple[str, str], ...]:
    """What must be in hand before the work: permit, watch, certificate. "" prints a blank."""
    lines: list[tuple[str, str]] = []
    register = next(iter(by_circuit.values())).texts.register
    if "heats" in acts:
        for id in ("site.permit", "site.fire_watch"):
            entry = register.entries[id]
            lines.append((getattr(entry, "label", ""), getattr(entry, "text", "")))
    if acts & HANDLES:
        known = library.rules[files.job.rules].certification
        needed = {certificate(files, circuit).replace("-", " ") for circuit in by_circuit}
        fitting = [one for one in known if one.certificate.lower().partition(" or ")[0] in needed]
        lines += [(one.certificate, one.covers) for one in fitting or known[:1]]
    return tuple(lines)


def instruments(
    files: JobFiles, units: System, used: frozenset[str]
) -> tuple[tuple[str, str, str], ...]:
    """Name, step and state of calibration of each instrument that the work uses."""
    gauges = files.kit.gauges
    rows: list[tuple[str, str, str]] = []
    for name, label in (
        ("micron", "Micron gauge"),
        ("pressure", "Pressure gauge"),
        ("thermometer", "Thermometer"),
        ("meter", "Electrical meter"),
        ("torque_wrench", "Torque wrench"),
    ):
        instrument: Instrument | None = getattr(gauges, name)
        if instrument is not None and name in used:
            resolution = instrument.resolution
            step = _step_text(resolution, units) if resolution else instrument.category
            label = f"{label} {instrument.id}".strip()
            rows.append((label, step, _calibrated(instrument.calibrated, files.job.date)))
    if "scale" not in used:
        return tuple(rows)
    scale = files.kit.scale
    state = _calibrated(scale.calibrated, files.job.date)
    return (*rows, ("Scale", _step_text(scale.resolution, units), state))


def _calibrated(last: date | None, day: date) -> str:
    """The day of the last calibration, marked where the job comes too late after it."""
    if last is None:
        return "calibration not on record"
    late = (day - last).days > CALIBRATED_WITHIN_DAYS
    return f"{last.isoformat()}{', OVERDUE' if late else ''}"


def _step_text(step: Quantity, units: System) -> str:
    """An instrument's step as its display shows it; in SI what that is, to two figures."""
    if units == "si":
        return in_si(step)
    return step.text.replace("degF", "°F").replace("degC", "°C")


def site(files: JobFiles) -> tuple[tuple[str, str], ...]:
    """Who and where."""
    job = files.job
    lines = [("Name", job.site.name), ("Address", job.site.address), ("Contact", job.site.contact)]
    lines += [("Access", job.site.access), ("Found", job.diagnosis)]
    return tuple((label, value) for label, value in lines if value)


def crew(files: JobFiles) -> str:
    """The crew in a few words."""
    job = files.job
    people = "1 technician" if job.crew.technicians == 1 else f"{job.crew.technicians} technicians"
    return f"{people}, lead {job.crew.lead}" if job.crew.lead else people


def hazards(
    files: JobFiles, circuit: str, safety_class: str | None, acts: set[str]
) -> tuple[str, ...]:
    """The go/no-go line of page 1."""
    found = []
    state = files.job.now.circuits[circuit]
    if is_burnt(state):
        found.append("Burnt charge: acid oil, own recovery cylinder")
    if safety_class and safety_class not in ("A1", "B1"):
        until = "no flame until fuel-free" if "heats" in acts else "no flame and no spark"
        found.append(f"Class {safety_class}: flammable, {until}")
    if "heats" in acts:
        found.append("Hot work: permit and fire watch")
    if "pressurizes" in acts:
        found.append("Nitrogen under pressure")
    if files.equipment.space.closed_room:
        found.append("Closed room: oxygen meter, vent outside")
    if files.equipment.space.kind == "roof" or files.equipment.space.ladder:
        found.append("Work at height")
    return tuple(found)


def attention(findings: Findings) -> tuple[str, ...]:
    """What the checker warned of, as sentences that each begin a line of the sheet."""
    told = [f"{_sentence(f.message)} {_sentence(f.fix)}".strip() for f in findings.warnings()]
    return tuple(dict.fromkeys(told))


def _sentence(text: str) -> str:
    """With a capital letter and a full stop."""
    return f"{text[:1].upper()}{text[1:].rstrip('.')}." if text else ""
