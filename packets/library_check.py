"""Whether the standard work hangs together: names, acts that own up, steps that lead on."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packets import expressions
from packets.catalog import Catalog, unknown
from packets.circumstances import NAMES
from packets.findings import Findings, Place, suggest
from packets.model.procedures import Fragment, Library, Step

STEP_REFERENCE = re.compile(r"\{step:([a-z0-9-]+(?:/[a-z0-9-]+)?)\}")

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
    _made(catalog, findings)


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
        for part in ("clears", "sets"):
            for at, name in enumerate(getattr(change, part)):
                named.append(("facts", name, ("equipment", feature, part, at)))
    for act, means in library.acts.acts.items():
        for part in ("requires", "loses"):
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
        self.apart()
        self.steps()

    def names(self) -> None:
        for part in ("needs", "makes", "ends"):
            for at, name in enumerate(getattr(self.fragment, part)):
                if name not in self.library.facts.facts:
                    known = self.library.facts.facts
                    unknown("fact", name, known, self.place(part, at), self.findings)

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
                readings.add(reading.id)
                if reading.limit and reading.limit.by and reading.limit.by not in readings:
                    self.findings.error(
                        "reading-order",
                        self.place(*path, "readings", at, "limit", "by"),
                        f"reading {reading.limit.by!r} is not taken before this one",
                        suggest(reading.limit.by, readings),
                    )
            self.references(step, path)
        for part in ("tools", "materials"):
            for at, load in enumerate(getattr(self.fragment, part)):
                self.expression(load.when, part, at, "when")

    def expression(self, text: str, *path: str | int) -> None:
        if not text:
            return
        try:
            asked = expressions.names(expressions.parse(text))
        except expressions.BadExpression as problem:
            self.findings.error(
                "when-expression",
                self.place(*path),
                f"{text!r}: {problem}",
                "e.g. burnt and not txv",
            )
            return
        for name in sorted(asked - set(NAMES)):
            unknown("circumstance", name, NAMES, self.place(*path), self.findings)

    def references(self, step: Step, path: Path_) -> None:
        for part in ("action", "if_out"):
            for target in STEP_REFERENCE.findall(getattr(step, part)):
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
