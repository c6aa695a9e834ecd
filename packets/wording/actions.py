"""Rules for the action of a step: one act, verb first, condition before it, short."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packets.model.procedures import Fragment, Library
from packets.wording.pieces import VALUE, Piece, Problem, pieces
from packets.wording.words import CONDITIONS, PROHIBITIONS, VERBS

# Words of one sentence: about twenty is the rule, a fifth more passes, half as much again does not.
LONG, TOO_LONG = 24, 30
# Acts of one sentence, and sentences of one step.
MOST_ACTS, MOST_SENTENCES = 3, 4

_THEN = re.compile(r"\band then\b|\bafter that\b|\bafterwards?\b|\bthereafter\b", re.IGNORECASE)
_SENTENCES = re.compile(r"(?<=[.])\s+")
_CLAUSES = re.compile(r"[.;:,]\s+|\s+and\s+")
_CONDITION = re.compile(r"(?<![.;:] )\b(if|unless)\b(?! (fitted|none|any|not)\b)")
_WORD = re.compile(r"[\w§][\w'§-]*")


def _actions(fragment: Fragment) -> Iterator[Piece]:
    return (piece for piece in pieces(fragment) if piece.role == "action")


def first_word(text: str) -> str:
    """The first word, in small letters."""
    found = _WORD.search(text)
    return found.group().lower() if found else ""


def acts(text: str) -> int:
    """Clauses of a text that begin with a verb; a bare verb shares the object of the next.

    >>> acts("Close the valve, stop the pump and read the gauge.")
    3
    >>> acts("Photograph, tag and pull each lead.")
    1
    """
    clauses = [clause for clause in _CLAUSES.split(text) if len(_WORD.findall(clause)) > 1]
    return sum(first_word(clause) in VERBS for clause in clauses)


def starts_with_verb(text: str) -> bool:
    """Whether an order begins with its verb, or with the condition or state that it needs.

    >>> starts_with_verb("After § read the gauge."), starts_with_verb("The gauge is read.")
    (True, False)
    """
    sentences = _SENTENCES.split(text)
    while len(sentences) > 1 and first_word(sentences[0]) in PROHIBITIONS:
        sentences = sentences[1:]
    order = sentences[0]
    first = first_word(order)
    if first in VERBS or first in PROHIBITIONS:
        return True
    later = [first_word(clause) for clause in re.split(r"[;:,]\s+", order)[1:]]
    if any(word in VERBS for word in later):
        return True
    words = [word.lower() for word in _WORD.findall(order)[1:]]
    return (first in CONDITIONS or first == VALUE) and any(word in VERBS for word in words)


def verb_first(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """The action begins with its verb, or with a condition and then the verb."""
    for piece in _actions(fragment):
        if not starts_with_verb(piece.plain):
            yield Problem(
                piece.path,
                f"it begins with {first_word(piece.plain)!r}, which is no verb known here",
                "begin with the verb, e.g. Close the low-side valve.",
            )


def and_then(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """ "And then" is two steps."""
    for piece in _actions(fragment):
        if found := _THEN.search(piece.plain):
            yield Problem(
                piece.path, f"{found.group()!r} joins two steps", "make two steps of them"
            )


def many_acts(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """Many acts in one sentence, or many sentences in one step, share one tick."""
    for piece in _actions(fragment):
        sentences = _SENTENCES.split(piece.plain.strip())
        count = max(acts(sentence) for sentence in sentences)
        if count > MOST_ACTS:
            yield Problem(
                piece.path,
                f"{count} acts in one sentence, {MOST_ACTS} at most",
                "make two sentences, or two steps",
            )
        elif len(sentences) > MOST_SENTENCES:
            yield Problem(
                piece.path,
                f"{len(sentences)} sentences in one step, {MOST_SENTENCES} at most",
                "make two steps",
            )


def condition_last(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """The condition stands before the act that hangs on it."""
    for piece in _actions(fragment):
        if found := _CONDITION.search(piece.plain):
            yield Problem(
                piece.path,
                f"the condition ({found.group()} …) comes after the act",
                f"begin with it: {found.group().capitalize()} …, then the verb",
            )


def length(text: str) -> int:
    """Words of the longest sentence of a text; a named value counts as one."""
    return max(len(_WORD.findall(sentence)) for sentence in _SENTENCES.split(text))


def long_action(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A sentence of more than about twenty words."""
    for piece in _actions(fragment):
        words = length(piece.plain)
        if LONG < words <= TOO_LONG:
            yield Problem(
                piece.path,
                f"{words} words in a sentence, about 20 is the rule",
                "shorten or split it",
            )


def too_long_action(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """So long that nobody reads it to the end with a torch in hand."""
    for piece in _actions(fragment):
        words = length(piece.plain)
        if words > TOO_LONG:
            yield Problem(
                piece.path, f"{words} words in a sentence, {TOO_LONG} at most", "split it"
            )
