"""Groups cut into columns: the numbers of page 1, the load list."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from itertools import combinations_with_replacement, groupby, pairwise
from typing import TypeVar

from packets.model.packet import CardGroup, LoadGroup

T = TypeVar("T")
# Letters that fit a line of the card's label and value, and the lines of one to write in.
LABEL_LETTERS, CARD_LETTERS, BLANK_HEIGHT = 19, 30, 2.2
# Letters a line of the load list in two or three columns, and millimetres of a side.
LOAD_LETTERS, LOAD_HIGH = {2: 44, 3: 27}, 225.0
# Millimetres of a group's title.
HEAD_HIGH = 7.0


def columns(items: Sequence[T], weight: Callable[[T], float], count: int = 2) -> list[Sequence[T]]:
    """The items in reading order, cut where the tallest of so many columns is least high."""
    heights = [weight(item) for item in items]
    cuts = combinations_with_replacement(range(len(items) + 1), count - 1)

    def tallest(cut: tuple[int, ...]) -> tuple[float, list[int]]:
        ends = pairwise((0, *cut, len(items)))
        height = max(sum(heights[start:end]) for start, end in ends)
        return height, [-end for end in cut]  # of two as good, the one that fills the first column

    best = min(cuts, key=tallest)
    return [items[start:end] for start, end in pairwise((0, *best, len(items)))]


def on_sheet(groups: Sequence[CardGroup], sheet: str) -> list[CardGroup]:
    """The groups of numbers that stand on the field packet's page 1, or on the dispatch sheet."""
    return [group for group in groups if group.sheet == sheet]


def card(groups: Sequence[CardGroup]) -> list[Sequence[CardGroup]]:
    """The numbers of page 1 in two columns."""
    return columns(groups, _card_height)


def load(groups: Sequence[LoadGroup]) -> list[Sequence[LoadGroup]]:
    """The load list in two columns; where these would not go on one side in three, of which each
    may begin in the middle of a group, under the group's title."""
    two = columns(groups, partial(_load_height, letters=LOAD_LETTERS[2]))
    if max(sum(_load_height(g, LOAD_LETTERS[2]) for g in column) for column in two) <= LOAD_HIGH:
        return two
    single = [
        (replace(group, lines=(line,)), HEAD_HIGH if at == 0 else 0.0)
        for group in groups
        for at, line in enumerate(group.lines)
    ]
    cut = columns(single, lambda one: _load_height(one[0], LOAD_LETTERS[3], one[1]), 3)
    return [_joined([group for group, _ in column]) for column in cut]


def _joined(singles: Sequence[LoadGroup]) -> list[LoadGroup]:
    """Groups of one line each as groups again, those of one title together."""
    return [
        replace(held[0], lines=tuple(line for one in held for line in one.lines))
        for held in (list(same) for _, same in groupby(singles, key=lambda group: group.title))
    ]


def _card_height(group: CardGroup) -> float:
    """About how many lines a group of the card takes in its column."""

    def lines(label: str, value: str, small: str) -> float:
        return max(1 + len(label) // LABEL_LETTERS, 1.2 + (len(value) + len(small)) // CARD_LETTERS)

    return 1.5 + sum(
        lines(x.label, x.value, x.other + x.note) if x.value else BLANK_HEIGHT for x in group.lines
    )


def _load_height(group: LoadGroup, letters: int, head: float = HEAD_HIGH) -> float:
    """About how high a group of the load list stands [mm]: a line or a box, whichever is higher."""
    height = head
    for line in group.lines:
        sections = ", ".join(map(str, line.sections))
        count = 4 if line.count > 1 else 0
        long = count + len(line.item) + len(line.amount) * 1.15 + len(sections) * 0.85 + 2
        height += max(6.2, 4.1 * math.ceil(long / letters) + 0.9)
    return height
