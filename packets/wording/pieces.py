"""The texts of a fragment, each with its role and its place, and the rules they are held to."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from packets.findings import Severity
from packets.model.procedures import Fragment, Library, Step

Path_ = tuple[str | int, ...]

# Roles of texts that are read on site as orders, and of those that explain.
ORDERS = ("action", "if_out", "sign", "label", "stop_here")
REASONS = ("why", "purpose", "question")

STEP = re.compile(r"\{step:[a-z0-9/-]+\}")
NAME = re.compile(r"\{([a-z][a-z0-9_.-]*)\}")
# Stands for a named value in a text that is read word by word.
VALUE = "§"


@dataclass(frozen=True)
class Piece:
    """One text: what it is for, where it stands, and what it is repeated for."""

    role: str
    text: str
    path: Path_
    each: tuple[str, ...] = ()

    @property
    def plain(self) -> str:
        """The text with a sign in place of each named value and `step` for each reference."""
        return NAME.sub(VALUE, STEP.sub("step", self.text))


@dataclass(frozen=True)
class Problem:
    """What a rule found: where in the file, what is wrong, how to mend it."""

    path: Path_
    message: str
    fix: str


FragmentRule = Callable[[Fragment, Library], Iterator[Problem]]
LibraryRule = Callable[[Library], Iterator[Problem]]


@dataclass(frozen=True)
class Rule:
    """One rule of writing: its code, how hard it is, and what it asks in a sentence."""

    code: str
    severity: Severity
    asks: str
    check: FragmentRule


@dataclass(frozen=True)
class CautionRule:
    """The same for the cautions, which stand in a file of their own."""

    code: str
    severity: Severity
    asks: str
    check: LibraryRule


def steps(fragment: Fragment) -> Iterator[tuple[Step, Path_, tuple[str, ...]]]:
    """Every step, not the groups, with its path and what it is repeated for."""
    for at, step in enumerate(fragment.steps):
        if not step.group:
            yield step, ("steps", at), ()
        for inner, sub in enumerate(step.steps):
            yield sub, ("steps", at, "steps", inner), (step.for_each,)


def pieces(fragment: Fragment) -> Iterator[Piece]:
    """Every text of a fragment that is printed in some edition."""
    yield Piece("title", fragment.title, ("title",))
    yield Piece("purpose", fragment.purpose, ("purpose",))
    yield Piece("stop_here", fragment.stop_here, ("stop_here",))
    for part in ("tools", "materials"):
        for at, load in enumerate(getattr(fragment, part)):
            yield Piece("load", load.item, (part, at, "item"))
    for step, path, each in steps(fragment):
        yield from _of_step(step, path, each)
    for at, question in enumerate(fragment.questions):
        yield Piece("question", question.ask, ("questions", at, "ask"))
        yield Piece("question", question.answer, ("questions", at, "answer"))


def _of_step(step: Step, path: Path_, each: tuple[str, ...]) -> Iterator[Piece]:
    for role in ("action", "why", "if_out"):
        if text := getattr(step, role):
            yield Piece(role, text, (*path, role), each)
    if step.again:
        yield Piece("action", step.again, (*path, "again"), each)
    for at, row in enumerate(step.verdicts):
        for part in ("shows", "known", "do"):
            role = "if_out" if part == "do" else "why"
            yield Piece(role, getattr(row, part), (*path, "verdicts", at, part), each)
    for part in ("hold", "hold_before", "sign"):
        if text := getattr(step, part):
            yield Piece("sign", text, (*path, part), each)
    for at, reading in enumerate(step.readings):
        where = (*path, "readings", at)
        own = (*each, reading.for_each) if reading.for_each else each
        yield Piece("label", reading.label, (*where, "label"), own)
        if reading.limit and reading.limit.write_in:
            yield Piece("label", reading.limit.write_in, (*where, "limit", "write_in"))
