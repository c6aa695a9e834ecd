"""Fragments as planned, made into printed sections: steps chosen, repeated, numbered, filled in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from packets import expressions, numbers
from packets.catalog import Catalog
from packets.composing import routes, worked
from packets.composing.charts import Charts
from packets.composing.limits import Readings
from packets.composing.texts import Own, Texts
from packets.composing.turns import Turn, turns
from packets.expressions import Value
from packets.findings import Findings, Place
from packets.model import packet as printed
from packets.model.numbers import Number
from packets.model.plans import Plan, Planned
from packets.model.procedures import Fragment, Reading, Step

Path_ = tuple[str | int, ...]
# What a step's action names when it joins equipment to the circuit.
PORTS = "{ports."


@dataclass(frozen=True)
class Chosen:
    """A step that will be printed: where it stands in the file, which repetition, its number."""

    step: Step
    path: Path_
    number: str
    each: str = ""
    own: Own = field(default_factory=dict)
    title: str = ""
    first: bool = True  # of its step's repetitions: a turn may leave out what a later one has
    values: Mapping[str, Value | None] = field(default_factory=dict)


@dataclass
class Sections:
    """Makes the sections of one circuit. Without lists and charts: of no machine in particular."""

    catalog: Catalog
    circuit: str
    values: Mapping[str, Value | None]
    lists: numbers.Lists | None
    texts: Texts
    readings: Readings
    charts: Charts | None
    findings: Findings

    def choose(self, fragment: Fragment, number: int) -> list[Chosen]:
        """The steps of a fragment that hold for this job, groups repeated, numbered from 1."""
        chosen: list[Chosen] = []
        for at, step in enumerate(fragment.steps):
            path: Path_ = ("steps", at)
            if not step.group:
                if self.holds(step.when, "fragment", fragment.fragment, *path):
                    chosen.append(Chosen(step, path, f"{number}.{len(chosen) + 1}"))
                continue
            for each in self.turns(step.for_each):
                title = each.title
                for inner, sub in enumerate(step.steps):
                    below = (*path, "steps", inner)
                    where = ("fragment", fragment.fragment, *below)
                    if not self.holds(sub.when, *where, more=each.values):
                        continue
                    name = f"{number}.{len(chosen) + 1}"
                    first = all(c.step is not sub for c in chosen)
                    one = Chosen(sub, below, name, each.id, each.own, title, first, each.values)
                    chosen.append(one)
                    title = ""
        return chosen

    def turns(self, what: str) -> list[Turn]:
        """The repetitions of a group or a reading."""
        assert self.lists is not None
        return turns(what, self.lists, self.readings.kit.scale.resolution.value)

    def holds(
        self, when: str, *where: str | int, more: Mapping[str, Value | None] | None = None
    ) -> bool:
        """Whether a `when` holds for this job; a value the job does not state is a finding."""
        if not when:
            return True
        kind, name, *path = where
        place = self.catalog.place(str(kind), str(name), *path, "when")
        try:
            return expressions.settle(when, {**self.values, **(more or {})})
        except expressions.MissingValue as missing:
            self.findings.error(
                "when-missing",
                place,
                f"{when!r}: {missing}",
                "fill in what it asks about in the job's files",
            )
        except expressions.BadExpression as problem:
            self.findings.error(
                "when-expression", place, f"{when!r}: {problem}", "e.g. burnt and not txv"
            )
        return False

    def section(
        self,
        planned: Planned,
        number: int,
        chosen: list[Chosen],
        steps: Mapping[str, str],
        made_in: Mapping[str, int],
        gate: Iterable[str],
        plan: Plan,
    ) -> printed.Section:
        """One printed section of a machine. `steps` are the printed numbers by fragment/step,
        `gate` the facts to be seen before it starts."""
        assert self.lists is not None
        fragment = self.catalog.library.fragments[planned.fragment]
        if not chosen:
            self.findings.error(
                "section-empty",
                self.catalog.place("fragment", fragment.fragment, "steps"),
                f"{fragment.fragment} is planned and none of its steps holds for this job",
                "give it a step for this job, or take away what it makes",
            )
        begun = len(self.texts.trail)
        done = [self.step(fragment, one, chosen, steps) for one in chosen]
        facts = self.catalog.library.facts.facts
        needs = _states([(made_in[name], facts[name].short) for name in gate if name in made_in])
        place = self.catalog.place("fragment", fragment.fragment, "stop_here")
        return printed.Section(
            id=planned.id,
            number=number,
            title=fragment.title,
            purpose=fragment.purpose,
            called_for=called_for(planned, self.catalog, plan),
            do_not_start=needs,
            steps=tuple(done),
            stop_here=self.texts.fill(fragment.stop_here, place, {}, steps),
            fragment=fragment.fragment,
            fragment_revision=fragment.revision,
            origin=fragment.origin,
            questions=tuple((question.ask, question.answer) for question in fragment.questions),
            hands_on_minutes=sum(step.hands_on_minutes for step in done),
            waiting_minutes=sum(step.waiting_minutes for step in done),
            crew=fragment.crew,
            worked=worked.of_section(
                self.texts.trail[begun:], {step.for_each for step in fragment.steps}, self.lists
            ),
            circuit=self.circuit,
            makes=fragment.makes,
            ends=fragment.ends,
            lasting=tuple(name for name in fragment.makes if facts[name].lasts == "lasting"),
            proved=tuple(
                (name, facts[name].proof)
                for name in fragment.makes
                if facts[name].lasts == "proved"
            ),
        )

    def step(
        self, fragment: Fragment, one: Chosen, chosen: list[Chosen], steps: Mapping[str, str]
    ) -> printed.Step:
        step, place = one.step, self.place(fragment, one)
        # Inside a repetition a reference means the step of the same repetition.
        near = {c.step.id: c.number for c in chosen if not c.each or c.each == one.each}
        for c in chosen:
            near.setdefault(c.step.id, c.number)
        targets = {**steps, **near}
        base = "__".join(
            part for part in (self.circuit, fragment.fragment, one.each, step.id) if part
        )
        each = f".{one.each}" if one.each else ""
        # What is signed before a repeated step is signed once, before the first.
        before = step.hold_before if one.first else ""
        text = before or step.hold or step.sign
        blanks = self.blanks(fragment, one, base, place, targets)
        return printed.Step(
            id=f"{fragment.fragment}/{step.id}@{self.circuit}{each}",
            number=one.number,
            tick=f"{base}__tick",
            action=self.action(one, chosen, place, targets),
            why=self.texts.fill(step.why, place, one.own, targets) if step.why else (),
            group_title=one.title,
            # A repeated step's caution prints with the first of its repetitions.
            cautions=self.cautions(step.caution) if one.first else (),
            readings=blanks,
            table=self.readings.table(step.table, place) if step.table else None,
            route=self.route(one) if step.route else None,
            chart=self.charts.chart(step.chart, place) if step.chart and self.charts else None,
            # Where none of a step's readings is printed, nothing can be out.
            if_out=self.if_out(one, chosen, place, targets) if blanks or not step.readings else (),
            sign=printed.SignBox(
                f"{base}__sign",
                self.texts.fill(text, place, one.own, targets),
                bool(step.hold or before),
                bool(before),
            )
            if text
            else None,
            hands_on_minutes=self.minutes(step.minutes.hands_on, place),
            waiting_minutes=self.minutes(step.minutes.waiting, place),
            hooks_up=PORTS in step.action,
        )

    def action(
        self, one: Chosen, chosen: list[Chosen], place: Place, steps: Mapping[str, str]
    ) -> printed.Text:
        """What to do; a repetition says it shorter where the fragment does, and names the first."""
        if one.first or not one.step.again:
            return self.texts.fill(one.step.action, place, one.own, steps)
        first = next(c.number for c in chosen if c.step is one.step)
        return self.texts.fill(one.step.again, place, one.own, {**steps, one.step.id: first})

    def if_out(
        self, one: Chosen, chosen: list[Chosen], place: Place, steps: Mapping[str, str]
    ) -> printed.Text:
        """What to do when a reading is out; a repetition refers to the first of its kind."""
        if not one.step.if_out:
            return ()
        if not one.first:
            first = next(c.number for c in chosen if c.step is one.step)
            return (printed.Span("words", "as "), printed.Span("step", first))
        return self.texts.fill(one.step.if_out, place, one.own, steps)

    def place(self, fragment: Fragment, one: Chosen) -> Place:
        return self.catalog.place("fragment", fragment.fragment, *one.path)

    def blanks(
        self, fragment: Fragment, one: Chosen, base: str, place: Place, steps: Mapping[str, str]
    ) -> tuple[tuple[printed.Blank, ...], ...]:
        wanted: list[tuple[Reading, Place, str, Own]] = []
        for at, reading in enumerate(one.step.readings):
            path = (*one.path, "readings", at)
            here = ("fragment", fragment.fragment, *path)
            if not self.holds(reading.when, *here, more=one.values):
                continue
            where = self.catalog.place("fragment", fragment.fragment, *path)
            if reading.for_each:
                wanted += [
                    (reading, where, f"__{each.id}", {**one.own, **each.own})
                    for each in self.turns(reading.for_each)
                ]
            else:
                wanted.append((reading, where, "", one.own))
        tries = one.step.tries if wanted else 0
        return tuple(
            tuple(
                self.readings.blank(reading, f"{base}__r-", f"{each}{turn}", where, own, steps)
                for reading, where, each, own in wanted
            )
            for turn in ([f"__t{at}" for at in range(1, tries + 1)] if tries > 1 else [""] * tries)
        )

    def route(self, one: Chosen) -> printed.RouteBlock | None:
        flow = self.texts.register.number("purge.sweep_flow")
        return routes.block(one.own, self.texts.units, flow)

    def cautions(self, names: Iterable[str]) -> tuple[printed.Caution, ...]:
        """The cautions of a step that hold for this job."""
        shared = self.catalog.library.cautions
        made = []
        for name in names:
            caution = shared.cautions[name]
            where = ("cautions", "cautions", "cautions", name)
            if not self.holds(caution.when, *where):
                continue
            place = self.catalog.place(*where)
            made.append(
                printed.Caution(
                    name,
                    caution.signal,  # type: ignore[arg-type]
                    self.texts.plain(caution.hazard, place),
                    self.texts.plain(caution.consequence, place),
                    self.texts.plain(caution.avoidance, place),
                    f"{caution.defer_to}, {shared.defer}",
                    caution.defer_to,
                )
            )
        return tuple(made)

    def minutes(self, value: float | str, place: Place) -> float:
        """Minutes, given or by the id of a time."""
        if not isinstance(value, str):
            return float(value)
        entry = self.texts.entry(value, place)
        if isinstance(entry, Number) and entry.quantity == "time":
            return entry.value / 60
        if entry is not None:
            self.findings.error("minutes-kind", place, f"{value} is no time", "name a time")
        return 0.0


def called_for(planned: Planned, catalog: Catalog, plan: Plan) -> str:
    """Why a section is in the packet, in words."""
    meaning = catalog.library.facts.facts[planned.called_for].meaning
    if planned.by:
        who = catalog.library.fragments[planned.by].title
        return f"“{who}” needs: {meaning}"
    why = next(
        (goal.why for goal in plan.goals if goal.fact.partition("@")[0] == planned.called_for), ""
    )
    return f"{why}: {meaning}" if why != "when we leave" else f"When we leave: {meaning}"


def _states(made: Iterable[tuple[int, str]]) -> tuple[str, ...]:
    """The states to be seen before a section starts; those of one section share a box."""
    by_section: dict[int, list[str]] = {}
    for number, state in made:
        by_section.setdefault(number, []).append(state)
    return tuple(f"{', '.join(states)} ({number})" for number, states in by_section.items())
