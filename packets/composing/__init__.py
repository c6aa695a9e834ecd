"""A plan and its numbers, made into the packet: everything that will be printed, and its hash."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from packets import numbers
from packets.catalog import OURS, Catalog
from packets.composing import card, dispatch, loading, record, worked
from packets.composing.basis import basis
from packets.composing.charts import Charts
from packets.composing.hashing import content_hash
from packets.composing.limits import Readings
from packets.composing.sections import Chosen, Sections
from packets.composing.texts import Texts
from packets.composing.time import crew_time
from packets.expressions import Value
from packets.findings import Findings, Place
from packets.formatting import System
from packets.job_files import JobFiles
from packets.model.numbers import Waiting
from packets.model.packet import Figure, Packet, Section
from packets.model.plans import Plan
from packets.numbers.context import Context


@dataclass(frozen=True)
class Circuit:
    """What composing needs of one circuit: numbers, lists and circumstances."""

    context: Context
    lists: numbers.Lists
    values: Mapping[str, Value | None]


def compose(
    files: JobFiles,
    catalog: Catalog,
    plan: Plan,
    circuits: Mapping[str, Circuit],
    units: System,
    findings: Findings,
) -> Packet:
    """The packet of a job. It may be printed only if `findings` does not stop."""
    by_circuit = {
        name: _sections(catalog, name, circuit, units, findings)
        for name, circuit in circuits.items()
    }
    chosen, steps = _choose(plan, by_circuit, catalog)
    sections = _compose_sections(plan, by_circuit, chosen, steps, catalog)
    planned = [(one, number) for number, one in enumerate(plan.order, 1)]
    load = loading.load_list(planned, by_circuit, catalog.library)
    first_name = next(iter(sorted(circuits)))
    first, texts = circuits[first_name], by_circuit[first_name].texts
    rules = catalog.library.rules[files.job.rules]
    acts = {act for one in plan.order for act in catalog.library.fragments[one.fragment].acts}
    for name, part in by_circuit.items():
        _missing(files, name, circuits[name].context, part.texts, findings)
    job = files.job
    made = Packet(
        job=job.job,
        revision=job.revision,
        date=job.date.isoformat(),
        equipment=files.equipment.equipment,
        machine=files.equipment.description,
        refrigerant=first.context.record.refrigerant,
        safety_class=first.context.safety_class or "",
        title=dispatch.title(files, catalog.library),
        phone=job.phone,
        units=units,
        rules_id=rules.rules,
        rules_title=rules.title,
        rules_as_of=rules.as_of.isoformat(),
        defer=rules.defer,
        hazards=dispatch.hazards(files, first_name, first.context.safety_class, acts),
        holds=tuple(
            (step.number, "".join(span.text for span in step.sign.text))
            for section in sections
            for step in section.steps
            if step.sign and step.sign.hold
        ),
        card=card.card(catalog.library.card, texts, first.lists, files.kit),
        sections=sections,
        card_chart=_card_chart(by_circuit[first_name], first.context, catalog),
        record=record.lines(rules, first.context.register, units, first_name, acts),
        notes=record.notes(rules, sections, _fluid(first.context), OURS),
        dispatch=dispatch.sheet(
            files,
            catalog.library,
            sections,
            load,
            acts,
            by_circuit,
            findings,
            crew_time(plan, sections, catalog.library, by_circuit),
            units,
        ),
        basis=basis(
            {name: (one.context, one.lists) for name, one in circuits.items()},
            files.equipment.use,
            rules,
        ),
    )
    _fields(made, findings, Place(str(job.job)))
    shown = [line.id for group in made.card for line in group.lines]
    explained = worked.explained(texts, first.lists, files.kit.scale.resolution.value, shown)
    return replace(made, hash=content_hash(made), worked=explained)


def _sections(
    catalog: Catalog, name: str, circuit: Circuit, units: System, findings: Findings
) -> Sections:
    texts = Texts(circuit.context.register, units, findings)

    def kit_place(name: str) -> Place:
        return circuit.context.place("kit", *name.removeprefix("kit.").split("."))

    readings = Readings(texts, circuit.context.kit, findings, kit_place)
    charts = Charts(circuit.context, readings)
    return Sections(catalog, name, circuit.values, circuit.lists, texts, readings, charts, findings)


def _card_chart(sections: Sections, context: Context, catalog: Catalog) -> Figure | None:
    """The chart of page 1, where the refrigerant's saturation is known."""
    kind = catalog.library.card.chart
    if not kind or context.fluid is None or sections.charts is None:
        return None
    return sections.charts.chart(kind, catalog.place("card", "card", "chart"))


def _choose(
    plan: Plan, by_circuit: Mapping[str, Sections], catalog: Catalog
) -> tuple[list[list[Chosen]], dict[str, dict[str, str]]]:
    """The printed steps of every section, and by circuit the numbers of fragment/step."""
    chosen = []
    steps: dict[str, dict[str, str]] = {name: {} for name in by_circuit}
    for number, one in enumerate(plan.order, 1):
        fragment = catalog.library.fragments[one.fragment]
        picked = by_circuit[one.circuit].choose(fragment, number)
        chosen.append(picked)
        for step in picked:
            steps[one.circuit].setdefault(f"{one.fragment}/{step.step.id}", step.number)
    return chosen, steps


def _compose_sections(
    plan: Plan,
    by_circuit: Mapping[str, Sections],
    chosen: list[list[Chosen]],
    steps: Mapping[str, Mapping[str, str]],
    catalog: Catalog,
) -> tuple[Section, ...]:
    made_in: dict[str, dict[str, int]] = {name: {} for name in by_circuit}
    # A fact is looked at by the first section that needs it after it came true; some each time.
    # A section that acts on the machine looks again at all it stands on that can pass away.
    seen: dict[str, set[str]] = {name: set() for name in by_circuit}
    facts = catalog.library.facts.facts
    # What has held since before the work: a section that makes it again is none to wait for.
    standing = set(plan.start)
    done = []
    for number, (one, picked) in enumerate(zip(plan.order, chosen, strict=True), 1):
        made, looked = made_in[one.circuit], seen[one.circuit]
        fragment = catalog.library.fragments[one.fragment]
        acts = [catalog.library.acts.acts[act] for act in fragment.acts]
        asked = dict.fromkeys((*fragment.needs, *(name for act in acts for name in act.sees)))
        gate = [
            name
            for name in asked
            if name not in looked
            or facts[name].recheck
            or (acts and facts[name].lasts != "lasting")
        ]
        looked |= set(fragment.needs)
        done.append(
            by_circuit[one.circuit].section(
                one, number, picked, steps[one.circuit], made, gate, plan
            )
        )
        own = {
            name: f"{name}@{one.circuit}" if fact.scope == "circuit" else name
            for name, fact in facts.items()
        }
        standing -= {own[name] for name in {*fragment.ends}.union(*(act.loses for act in acts))}
        for name in fragment.ends:
            made.pop(name, None)
        for name in fragment.makes:
            if own[name] not in standing:
                made[name] = number
        looked -= {*fragment.ends, *fragment.makes}
    return tuple(done)


def _fluid(context: Context) -> str:
    fluid = context.fluid
    return f"{fluid.name} {fluid.ground}" if fluid else ""


def _missing(
    files: JobFiles, name: str, context: Context, texts: Texts, findings: Findings
) -> None:
    """One finding for each missing key, naming the numbers that wait for it."""
    waits: dict[str, list[Waiting]] = {}
    for number in sorted(texts.missed):
        waiting = context.register.waiting[number]
        waits.setdefault(waiting.key, []).append(waiting)
    for key, waiting_list in waits.items():
        if findings.has_asked(key):
            continue
        kind = "job" if key.startswith(("parts", "conditions", "site")) else "equipment"
        path = [int(part) if part.isdigit() else part for part in key.split(".")]
        names = ", ".join(waiting.number for waiting in waiting_list)
        findings.error(
            "missing-input",
            files.place(kind, *path),
            f"{key}: {waiting_list[0].why}; waiting for it: {names}",
            f"fill in {key}",
        )


def _fields(made: Packet, findings: Findings, place: Place) -> None:
    """Field names are unique in the packet."""
    seen: set[str] = set()
    for name in field_names(made):
        if name in seen:
            findings.error(
                "field-twice", place, f"two boxes are called {name}", "rename one of the steps"
            )
        seen.add(name)


def field_names(made: Packet) -> list[str]:
    """Every tick, blank, choice, sign-off, load line and open record line, in printing order."""
    names = [line.field for group in made.dispatch.load for line in group.lines]
    for section in made.sections:
        for step in section.steps:
            names.append(step.tick)
            for blanks in step.readings:
                for blank in blanks:
                    names += [choice.field for choice in blank.choices] or [blank.field]
            if step.sign:
                names.append(step.sign.field)
    return names + [line.field for line in made.record if not line.value]
