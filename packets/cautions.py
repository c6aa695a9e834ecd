"""Cautions that stand together before one step: those of one signal word share a frame and say once
what they defer to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from packets.model.packet import Caution


@dataclass(frozen=True)
class Frame:
    """Cautions in one frame under one signal word; `defer` closes the last of them."""

    signal: str
    cautions: tuple[Caution, ...]
    defer: str


def frames(cautions: Sequence[Caution]) -> list[Frame]:
    """The cautions of a step in their order, neighbours with one signal word and one common end of
    the sentence that defers in one frame."""
    found = []
    for (signal, common), held in groupby(cautions, key=lambda one: (one.signal, _common(one))):
        together = tuple(held)
        found.append(Frame(signal, together, _defer(together, common)))
    return found


def _common(one: Caution) -> str:
    """What follows that which governs here in particular; the whole where that is not told."""
    return one.defer.removeprefix(one.governs) if one.governs else f"{one.id}: {one.defer}"


def _defer(together: Sequence[Caution], common: str) -> str:
    if len(together) == 1:
        return together[0].defer
    first, *others = [one.governs for one in together]
    return ", ".join([first, *map(_inside, others)]) + common


def _inside(words: str) -> str:
    """Words that began a sentence, inside one; an abbreviation keeps its capitals."""
    return words[0].lower() + words[1:] if words[1:2].islower() else words
