"""One function a verb: load, check, compute, plan, compose. Nothing is written here."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from packets import (
    agreement,
    catalog,
    circumstances,
    composing,
    fonts,
    fragment_check,
    hookups,
    job_checks,
    job_files,
    library_check,
    not_yet,
    numbers,
    packet_file,
    plan_check,
    plan_needs,
    planning,
    saturation_data,
)
from packets.catalog import Catalog
from packets.composing.hashing import as_data
from packets.findings import Findings, Place
from packets.formatting import System
from packets.formulas.saturation import ChartError, SaturationTable
from packets.job_files import JobFiles
from packets.joints import joints
from packets.model.numbers import Register
from packets.model.packet import Packet
from packets.model.plans import Plan
from packets.named_joints import named_joints
from packets.numbers.context import Context
from packets.numbers.purge import WITH_FLUX
from packets.saturation_data import SaturationData
from packets.sources import Document


@dataclass
class Prepared:
    """How far a job has come: later stages are None when an earlier one stopped."""

    findings: Findings = field(default_factory=Findings)
    files: JobFiles | None = None
    catalog: Catalog | None = None
    plan: Plan | None = None
    circuits: dict[str, composing.Circuit] = field(default_factory=dict)
    packet: Packet | None = None


def prepare(path: Path, shop: Path | None = None, units: System = "ip") -> Prepared:
    """Take a job as far as a composed packet. `packet` is None when anything stops it."""
    done = Prepared()
    done.files = job_files.load(path, done.findings)
    done.catalog = _library(done.files, shop, done.findings)
    if done.files is None or done.catalog is None:
        return done
    job_checks.check_orders(done.files, done.catalog, done.findings)
    not_yet.process_tubes(done.files, done.catalog.library, done.findings)
    if done.findings.stop:
        return done
    agreement.check(done.files, done.catalog, done.findings)
    done.plan = _plan(done.files, done.catalog, done.findings)
    if done.plan is None:
        return done
    plan_needs.check_plan(done.files, done.catalog.library, done.plan, done.findings)
    _wording(done.catalog, done.plan, done.findings)
    for name in sorted(done.files.job.work):
        circuit = _compute(done.files, done.catalog, done.plan, name, units, done.findings)
        if circuit is None:
            return done
        done.circuits[name] = circuit
    packet = composing.compose(
        done.files, done.catalog, done.plan, done.circuits, units, done.findings
    )
    _printable(done, packet)
    done.packet = None if done.findings.stop else packet
    return done


def _library(files: JobFiles | None, shop: Path | None, findings: Findings) -> Catalog | None:
    """The standard work, with the shop's folder over it, checked as a whole."""
    folder = shop or (files.procedures if files else None)
    wanted = {record.circuit for record in files.equipment.circuits.values()} if files else set()
    rules = {files.job.rules} if files else set()
    loaded = catalog.load(findings, folder, wanted, rules)
    if loaded is not None:
        library_check.check(loaded, findings)
        fragment_check.check(loaded, findings)
    return None if findings.stop else loaded


def _wording(loaded: Catalog, plan: Plan, findings: Findings) -> None:
    """How the shop's own fragments of the plan are written; for ours `packets lint` has asked."""
    names = sorted({planned.fragment for planned in plan.order})
    if any(loaded.library.fragments[name].origin != catalog.OURS for name in names):
        from packets import wording  # its word lists cost time that few jobs need spend

        wording.warn(loaded, names, findings)


def _plan(files: JobFiles, loaded: Catalog, findings: Findings) -> Plan | None:
    """The order of work, replayed independently before it is believed."""
    work = files.place("job", "work")
    try:
        plan = planning.plan(loaded.library, files.job, files.equipment)
    except planning.NoPlan as problem:
        for fact, by in problem.facts.items():
            meaning = loaded.library.facts.facts[fact].meaning
            titles = [
                loaded.library.fragments[name].title if name in loaded.library.fragments else name
                for name in by
            ]
            makers = [f.fragment for f in loaded.library.fragments.values() if fact in f.makes]
            if makers:
                how = f"`{fact}` ({meaning}) does not hold when it is needed; {', '.join(makers)}"
                how += " would make it, but cannot come in time"
                fix = "look for a circle of needs, or for what ends it too early"
            else:
                how = f"nothing makes `{fact}` ({meaning})"
                fix = f"add a fragment that makes `{fact}` to the procedures"
            message = f"{problem.reason}: {how}; wanted by: {', '.join(titles)}"
            findings.error("no-plan", work, message, fix)
        return None
    refusals = plan_check.replay(loaded.library, plan)
    for refusal in refusals:
        findings.error(
            "plan-refused", work, refusal.message, "mend the fragment's needs, makes and ends"
        )
    return None if refusals else plan


def _compute(
    files: JobFiles, loaded: Catalog, plan: Plan, name: str, units: System, findings: Findings
) -> composing.Circuit | None:
    """The numbers, lists and circumstances of one circuit."""
    library = loaded.library
    fluid = _fluid(files, name, findings)
    found = hookups.work_out(files, loaded, plan, name, fluid, findings)
    if found is None:
        return None
    made = joints(files, library, plan, found, name, findings)
    named = named_joints(files, library, plan, found.made, name, findings)
    rules = library.rules[files.job.rules]
    context = Context(
        files,
        name,
        rules,
        found,
        fluid,
        (
            *made,
            *(one for one in named if one.key not in {joint.key for joint in made}),
        ),
        Register(),
        findings,
        units,
        frozenset(act for one in plan.order for act in library.fragments[one.fragment].acts),
    )
    lists = numbers.compute(context)
    values = circumstances.circumstances(
        files.job,
        files.equipment,
        files.kit,
        rules,
        found,
        library.work,
        name,
        context.safety_class,
        context.glide,
        None if fluid is None else len(fluid.composition) != 1,
        context.acts,
        fluxed=any(plan.flux == WITH_FLUX for plan in lists.joints),
        purge_cycles=lists.purge_cycles > 0,
    )
    plan_needs.check_hookups(files, found, context.acts, findings)
    return composing.Circuit(context, lists, values)


def _fluid(files: JobFiles, name: str, findings: Findings) -> SaturationData | None:
    """Saturation data: the record's own chart where it has one, else our table."""
    record = files.equipment.circuits[name]
    if not record.chart:
        return saturation_data.load(record.refrigerant)
    points = [
        (row.temperature.value, row.bubble.value + 101325.0, row.dew.value + 101325.0)
        for row in record.chart
    ]
    try:
        table = SaturationTable.from_chart(points)
    except (ChartError, ValueError) as problem:
        row = getattr(problem, "row", None)
        path = ("chart",) if row is None else ("chart", row)
        findings.error(
            "chart",
            files.place("equipment", "circuits", name, *path),
            str(problem),
            "check this row",
        )
        return None
    return SaturationData(
        record.refrigerant,
        table,
        {},
        "",
        "given",
        math.inf,
        "chart in the equipment record",
        "given",
        "the published chart itself",
    )


def _printable(done: Prepared, packet: Packet) -> None:
    """Every character of the packet and its drawings has a sign in its typeface."""
    assert done.files is not None and done.catalog is not None
    documents = [*done.files.documents.values(), *done.catalog.documents.values()]
    drawn = [
        part.name
        for circuit in done.circuits.values()
        for kind in ("parts", "lines", "service_ports")
        for part in getattr(circuit.context.plan, kind).values()
    ]
    texts = "".join([*_strings(as_data(packet, frozenset())), *drawn])
    for character in fonts.unprintable(texts):
        done.findings.error(
            "unprintable",
            _written(documents, character) or done.files.place("job"),
            f"the packet's typeface has no sign for {character!a}",
            "write it otherwise, in the file that has it",
        )


def _written(documents: list[Document], character: str) -> Place | None:
    """Where a character is first written in these files; None where it is in none."""
    for document in documents:
        for path, place in document.values.items():
            at: Any = document.data
            for key in path:
                at = at[key] if isinstance(key, int) or key in at else ""
            if isinstance(at, str) and character in at:
                return place
    return None


def _strings(data: Any) -> list[str]:
    """Every text in plain data."""
    found, left = [], [data]
    while left:
        one = left.pop()
        if isinstance(one, str):
            found.append(one)
        elif isinstance(one, dict):
            left.extend(one.values())
        elif isinstance(one, list):
            left.extend(one)
    return found


def illustrated(done: Prepared) -> Packet:
    """The packet with the drawings of its circuits, ready to render. Only a packet that may be
    printed is drawn."""
    assert done.packet is not None and done.files is not None and done.catalog is not None
    from packets.illustrating import illustrate

    name = next(iter(sorted(done.circuits)))
    return illustrate(
        done.packet,
        done.catalog.library.fragments,
        {name: circuit.context.hookups for name, circuit in done.circuits.items()},
        done.files.place("equipment", "circuits", name, "circuit"),
        done.findings,
        [name for name, circuit in done.circuits.items() if circuit.values["burnt"]],
    )


def lint(shop: Path | None = None) -> Findings:
    """Check all the standard work, circuits and rules included, and how it is written."""
    from packets import wording  # no other verb needs its word lists

    findings = Findings()
    loaded = catalog.load(findings, shop)
    if loaded is not None:
        library_check.check(loaded, findings)
        fragment_check.check(loaded, findings)
        wording.check(loaded, findings)
    return findings


def attachments(files: JobFiles, packet: Packet) -> list[tuple[str, bytes, str]]:
    """The job files and the packet model, to be carried inside the PDF."""
    listed = [(name, data, "job file") for name, data in sorted(files.texts.items())]
    return [*listed, (packet_file.NAME, packet_file.dump(packet), "packet model")]
