"""Whether the standard work hangs together: names, acts that own up, steps that lead on."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packets import expressions, reading_check
from packets.catalog import Catalog, unknown
from packets.circuit.checking import check as circuit_check
from packets.circuit.checking import lacking
from packets.circumstances import NAMES
from packets.features import NAMES as FEATURES
from packets.findings import Findings, Place, suggest
from packets.model.procedures import Fragment, Library, Step

# One step, or several of which the first that is printed is meant.
STEP_REFERENCE = re.compile(r"\{step:([a-z0-9/|-]+)\}")

Path_ = tuple[str | int, ...]


def steps_of(fragment: Fragment) -> Iterator[tuple[Step, Path_]]:
    """Every step with its path in the file; the steps of a group after the group itself."""
    for at, step in enumerate(fragment.steps):
        yield step, ("steps", at)
        for inner, sub in enumerate(step.steps):
            yield sub, ("steps", at, "steps", inner)


def check(catalog: Catalog, findings: Findings) -> None:
    """Add a finding for everything in the library that names what is not there."""
    library = catalog.library
    _facts(catalog, findings)
    for fragment in library.fragments.values():
        _Check(catalog, fragment, findings).run()
    for name, caution in library.cautions.cautions.items():
        place = catalog.place("cautions", "cautions", "cautions", name, "when")
        _expression(caution.when, place, findings)
    _made(catalog, findings)
    _circuits(catalog, findings)


def _circuits(catalog: Catalog, findings: Findings) -> None:
    """Each circuit hangs together: no port joined twice, no line to nowhere, one circuit a file."""
    for name, circuit in catalog.library.circuits.items():
        for problem in circuit_check(circuit) or lacking(circuit):
            place = catalog.place("circuit", name, *problem.path)
            findings.error(problem.code, place, problem.message, problem.fix)


def _facts(catalog: Catalog, findings: Findings) -> None:
    """facts.yaml, acts.yaml and work.yaml name facts that exist."""
    library = catalog.library
    known = library.facts.facts
    named: list[tuple[str, str, Path_]] = [
        ("facts", name, ("start", at)) for at, name in enumerate(library.facts.start)
    ]
    for key, words in library.facts.now.items():
        for word, change in words.items():
            for part in ("clears", "sets"):
                for at, name in enumerate(getattr(change, part)):
                    named.append(("facts", name, ("now", key, word, part, at)))
    for feature, change in library.facts.equipment.items():
        if feature not in FEATURES:
            place = catalog.place("facts", "facts", "equipment", feature)
            unknown("feature", feature, FEATURES, place, findings)
        for part in ("clears", "sets", "keeps"):
            for at, name in enumerate(getattr(change, part)):
                named.append(("facts", name, ("equipment", feature, part, at)))
    for act, means in library.acts.acts.items():
        for part in ("requires", "loses", "gives", "sees"):
            for at, name in enumerate(getattr(means, part)):
                named.append(("acts", name, ("acts", act, part, at)))
    for pair, both in enumerate(library.acts.apart):
        for at, name in enumerate(both):
            named.append(("acts", name, ("apart", pair, at)))
    for work, item in library.work.items():
        for part in ("clears", "waives"):
            for at, name in enumerate(getattr(item, part)):
                named.append(("work", name, ("work", work, part, at)))
    for file, name, path in named:
        if name not in known:
            unknown("fact", name, known, catalog.place(file, file, *path), findings)


def _made(catalog: Catalog, findings: Findings) -> None:
    """A fact that is needed or ended is made by something or holds at the start."""
    library = catalog.library
    held = {name for name, fact in library.facts.facts.items() if fact.leave}
    held |= set(library.facts.start)
    made = {name for fragment in library.fragments.values() for name in fragment.makes}
    for fragment in library.fragments.values():
        for part in ("needs", "ends"):
            for at, name in enumerate(getattr(fragment, part)):
                if name in library.facts.facts and name not in made | held:
                    findings.error(
                        "fact-never",
                        catalog.place("fragment", fragment.fragment, part, at),
                        f"nothing makes `{name}` and it does not hold at the start",
                        f"add a fragment that makes `{name}`, or take it out here",
                    )


class _Check:
    """The checks of one fragment."""

    def __init__(self, catalog: Catalog, fragment: Fragment, findings: Findings) -> None:
        self.library: Library = catalog.library
        self.catalog = catalog
        self.fragment = fragment
        self.findings = findings

    def place(self, *path: str | int) -> Place:
        return self.catalog.place("fragment", self.fragment.fragment, *path)

    def run(self) -> None:
        self.names()
        self.acts()
        self.beside()
        self.apart()
        self.gives()
        self.plain_texts()
        self.steps()

    def names(self) -> None:
        for part in ("needs", "makes", "ends"):
            for at, name in enumerate(getattr(self.fragment, part)):
                if name not in self.library.facts.facts:
                    known = self.library.facts.facts
                    unknown("fact", name, known, self.place(part, at), self.findings)
        for at, name in enumerate(self.fragment.only_for):
            if name not in FEATURES:
                unknown("feature", name, FEATURES, self.place("only_for", at), self.findings)

    def beside(self) -> None:
        """Work that fills waits names acts that exist."""
        filling = self.fragment.fills_waits
        for at, name in enumerate(filling.not_beside if filling else ()):
            if name not in self.library.acts.acts:
                place = self.place("fills_waits", "not_beside", at)
                unknown("act", name, self.library.acts.acts, place, self.findings)

    def acts(self) -> None:
        """An act must be owned up to: its requirements needed, its losses ended."""
        for at, name in enumerate(self.fragment.acts):
            act = self.library.acts.acts.get(name)
            if act is None:
                unknown("act", name, self.library.acts.acts, self.place("acts", at), self.findings)
                continue
            missing = [fact for fact in act.requires if fact not in self.fragment.needs]
            kept = [
                fact
                for fact in act.loses
                if fact not in self.fragment.ends and fact not in self.fragment.makes
            ]
            for facts, part in ((missing, "needs"), (kept, "ends")):
                if facts:
                    self.findings.error(
                        f"act-{part}",
                        self.place(part),
                        f"{self.fragment.fragment} {act.meaning}, so it must "
                        f"{'need' if part == 'needs' else 'end'} {', '.join(facts)}",
                        f"add {', '.join(facts)} to {part}",
                    )

    def apart(self) -> None:
        for one, other in self.library.acts.apart:
            for made, gone in ((one, other), (other, one)):
                if made in self.fragment.makes and gone not in self.fragment.ends:
                    self.findings.error(
                        "facts-apart",
                        self.place("makes"),
                        f"`{made}` and `{gone}` never hold together",
                        f"add {gone} to ends",
                    )

    def steps(self) -> None:
        seen: dict[str, Place] = {}
        readings: set[str] = set()
        for step, path in steps_of(self.fragment):
            name = step.id or step.group
            if name in seen:
                self.findings.error(
                    "step-twice",
                    self.place(*path),
                    f"step id {name!r} stands twice; the first is on line {seen[name].line}",
                    "give each step its own id",
                )
            seen[name] = self.place(*path)
            self.expression(step.when, *path, "when")
            for at, caution in enumerate(step.caution):
                if caution not in self.library.cautions.cautions:
                    known = self.library.cautions.cautions
                    place = self.place(*path, "caution", at)
                    unknown("caution", caution, known, place, self.findings)
            for at, reading in enumerate(step.readings):
                self.expression(reading.when, *path, "readings", at, "when")
            reading_check.check(step, path, readings, self.place, self.findings)
            self.references(step, path)
            if step.again and path.count("steps") < 2:
                self.findings.error(
                    "again-alone",
                    self.place(*path, "again"),
                    "a step outside a group is never repeated",
                    "take `again` away, or put the step in a group with `for_each`",
                )
        for part in ("tools", "materials"):
            for at, load in enumerate(getattr(self.fragment, part)):
                self.expression(load.when, part, at, "when")

    def plain_texts(self) -> None:
        """Titles and words to ring are printed as they stand: no names are put in."""
        texts: list[tuple[str, Path_]] = [(self.fragment.title, ("title",))]
        for step, path in steps_of(self.fragment):
            for at, reading in enumerate(step.readings):
                if reading.limit:
                    where = (*path, "readings", at, "limit")
                    texts += [(word, where) for word in reading.limit.choice]
                    texts.append((reading.limit.write_in, where))
        for text, where in texts:
            if "{" in text or "}" in text:
                self.findings.error(
                    "text-brace",
                    self.place(*where),
                    f"{text!r}: no names are put in here",
                    "write it out",
                )

    def gives(self) -> None:
        """What only an act brings about is made only by a fragment that owns up to it."""
        for name, act in self.library.acts.acts.items():
            for fact in act.gives:
                if fact in self.fragment.makes and name not in self.fragment.acts:
                    self.findings.error(
                        "act-undeclared",
                        self.place("makes"),
                        f"{self.fragment.fragment} makes `{fact}`, which takes the act {name!r}",
                        f"add {name} to acts",
                    )

    def expression(self, text: str, *path: str | int) -> None:
        _expression(text, self.place(*path), self.findings)

    def references(self, step: Step, path: Path_) -> None:
        for part in ("action", "again", "if_out"):
            targets = [
                target
                for found in STEP_REFERENCE.findall(getattr(step, part))
                for target in found.split("|")
            ]
            for target in targets:
                fragment, _, name = target.rpartition("/")
                home = self.library.fragments.get(fragment) if fragment else self.fragment
                known = {s.id for s, _ in steps_of(home) if s.id} if home else set()
                if name not in known:
                    self.findings.error(
                        "step-unknown",
                        self.place(*path, part),
                        f"there is no step {target!r}",
                        suggest(name, known) if home else f"no fragment {fragment!r}",
                    )


def _expression(text: str, place: Place, findings: Findings) -> None:
    """A `when` can be read and asks only about circumstances that exist."""
    if not text:
        return
    try:
        asked = expressions.names(expressions.parse(text))
    except expressions.BadExpression as problem:
        fix = "e.g. burnt and not txv"
        findings.error("when-expression", place, f"{text!r}: {problem}", fix)
        return
    for name in sorted(asked - set(NAMES)):
        unknown("circumstance", name, NAMES, place, findings)
