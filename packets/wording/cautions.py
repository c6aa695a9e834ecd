"""Rules for cautions: hazard, consequence, avoidance in forty words, and no step among them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packets.model.procedures import Fragment, Library
from packets.numbers.ids import NUMBERS, WORDS
from packets.wording.pieces import NAME, VALUE, Problem, steps
from packets.wording.words import TYPED, VAGUE

MOST_WORDS = 40
MOST_AT_A_STEP = 3
# A named value is a number and its unit; a named text is a port or a valve, or two.
_VALUE_WORDS, _TEXT_WORDS = 2, 5

_NUMBERED = re.compile(
    r"(?:^|\s)(?:\(?\d[.)]|step \d|first,|second,|then\b)|\{step:", re.IGNORECASE
)
_VAGUE = re.compile(rf"\b({'|'.join(VAGUE)})\b", re.IGNORECASE)
_PARTS = ("hazard", "consequence", "avoidance")


def _parts(library: Library) -> Iterator[tuple[str, str, str]]:
    for name, caution in library.cautions.cautions.items():
        for part in _PARTS:
            yield name, part, getattr(caution, part)


def holds_a_step(library: Library) -> Iterator[Problem]:
    """A numbered or "then" list, or a step referred to: that is a step, and has no tick box here.

    Numbers may be named; composing puts them in.
    """
    for name, part, text in _parts(library):
        if found := _NUMBERED.search(text):
            yield Problem(
                ("cautions", name, part),
                f"{found.group().strip()!r}: a caution holds no step",
                "make it a step, with a tick",
            )


def too_long(library: Library) -> Iterator[Problem]:
    """More than forty words are not read."""
    for name, caution in library.cautions.cautions.items():
        words = sum(_words(getattr(caution, part)) for part in _PARTS)
        if words > MOST_WORDS:
            yield Problem(("cautions", name), f"{words} words, {MOST_WORDS} at most", "shorten it")


def _words(text: str) -> int:
    """Words as printed, about: what is named brings its own."""
    named = [_TEXT_WORDS if NUMBERS.get(n) == WORDS else _VALUE_WORDS for n in NAME.findall(text)]
    return len(text.split()) + sum(named) - len(named)


def loose_words(library: Library) -> Iterator[Problem]:
    """A vague word or a typed number in a caution, or a unit behind a name that brings its own."""
    for name, part, text in _parts(library):
        for pattern, what in ((_VAGUE, "is vague"), (TYPED, "is typed")):
            if found := pattern.search(NAME.sub(VALUE, text)):
                yield Problem(
                    ("cautions", name, part),
                    f"{found.group().removeprefix(VALUE).strip()!r} {what}",
                    "say the act; name the number, as {hold.limit}, and leave its unit out",
                )


def at_no_step(library: Library) -> Iterator[Problem]:
    """A caution that no step carries warns nobody."""
    used = {
        name
        for fragment in library.fragments.values()
        for step, _, _ in steps(fragment)
        for name in step.caution
    }
    for name in library.cautions.cautions:
        if name not in used:
            yield Problem(
                ("cautions", name), f"no step carries {name}", "put it at the step, or drop it"
            )


def many_at_a_step(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A wall of cautions before one step guards nothing."""
    for step, path, _ in steps(fragment):
        if len(step.caution) > MOST_AT_A_STEP:
            yield Problem(
                (*path, "caution"),
                f"{len(step.caution)} cautions, {MOST_AT_A_STEP} at most",
                "keep this step's own hazards",
            )
