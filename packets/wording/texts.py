"""Rules for every text: no typed number, no vague word, no abbreviation left unexplained."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packets.model.procedures import Fragment, Library
from packets.wording.pieces import ORDERS, REASONS, Problem, pieces
from packets.wording.words import AGAINST, CHECK, KNOWN_ABBREVIATIONS, RATES, TYPED, VAGUE

_VAGUE = [(re.compile(rf"\b({words})\b", re.IGNORECASE), fix) for words, fix in VAGUE.items()]
_CAPITALS = re.compile(r"(?<![\w-])[A-Z]{2,}(?![\w-])")


def typed_number(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """Digits or number words before a unit, or a unit behind a name that brings its own.

    Load items are let off: a size may be part of a tool's name ("flare tool, 1/4 to 3/4 in").
    Counts without a unit ("two hoses", "lines 1, 2 and 3") are let off everywhere.
    """
    for piece in pieces(fragment):
        if piece.role == "load":
            continue
        for found in TYPED.finditer(piece.plain):
            typed = found.group()
            if typed.startswith("§"):
                message, fix = "a unit behind a name that brings its own", "leave the unit out"
            else:
                message = f"{typed!r} is typed"
                fix = "name the number, as {hold.limit}; `packets numbers JOB` lists the names"
            yield Problem(piece.path, message, fix)


def vague_word(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A word in an order that two people read as two things."""
    for piece in pieces(fragment):
        if piece.role not in ORDERS:
            continue
        text = piece.plain
        for pattern, fix in _VAGUE:
            for found in pattern.finditer(text):
                yield Problem(piece.path, f"{found.group()!r} is vague", fix)
        for found in RATES.finditer(text):
            if "§" not in text and "until" not in text:
                yield Problem(piece.path, f"{found.group()!r} without a rate", "say the rate")


def bare_check(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """ "Check the pressure": against what?"""
    for piece in pieces(fragment):
        if piece.role not in ORDERS:
            continue
        for found in CHECK.finditer(piece.plain):
            if not AGAINST.search(found["rest"]):
                yield Problem(
                    piece.path,
                    "a check against nothing",
                    "read, measure or compare it with what is named",
                )


def abbreviation(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """Capitals that are not explained, in brackets, where the fragment first uses them."""
    explained: set[str] = set()
    for piece in pieces(fragment):
        for found in _CAPITALS.finditer(piece.plain):
            word, before = found.group(), piece.plain[: found.start()]
            if before.endswith("("):
                explained.add(word)
            elif word not in explained | KNOWN_ABBREVIATIONS:
                explained.add(word)
                yield Problem(
                    piece.path,
                    f"{word} is not explained",
                    f"write it out, or once as: the words ({word})",
                )


def long_reason(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A reason is read in a breath: three sentences at most."""
    for piece in pieces(fragment):
        if piece.role in REASONS and piece.role != "question":
            count = len(re.findall(r"[.!?](?:\s|$)", piece.plain))
            if count > 3:
                yield Problem(
                    piece.path, f"{count} sentences of reason", "what goes wrong, how it shows"
                )
