"""Where the readings of a step go on the page: beside the action, or under it in a row.

Each way is tried first: heights are estimated from letters and the sizes of boxes, and the lowest
wins, so that a packet stays within its pages. Sizes in millimetres, as in packet.css.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from packets import markup
from packets.model.packet import Blank, Step, Text

LETTER, BOLD = 2.02, 1.16
LINE = 4.85
LABEL_LINE = 4.1
WRITE_IN = 9.2
CHOICE = 6.4
CHOICE_EXTRA = 9.6
# Text width of the page less margins, tick and number; side columns beside the action.
FULL = 169.0
COLUMNS = {"slim": 60.0, "narrow": 73.0, "wide": 92.0}
LONG, SHORT, UNIT, TRIED = 44.0, 26.0, 15.0, 25.5
# A pair of short words to ring, such as yes and no, needs no more than this.
PAIR = 33.0
# Names above boxes, and the space between two readings in a row.
MARK, GAP = 4.6, 4.0
# What to do when a reading is out runs on behind the action when it is no longer than this.
INLINE = 40
# Limits up to this many letters stay on one line.
KEPT = 16
# Values up to this many letters do, too.
VALUE = 24


@dataclass(frozen=True)
class Fit:
    """How a step is set: `place` is slim, narrow, wide, run, flow, under or "" (nothing to write).

    `beside` tells whether "if out" stands with the action or under the whole row; `inline`,
    whether it is so short that it runs on behind the action.
    """

    place: str
    beside: bool
    inline: bool = False


@dataclass(frozen=True)
class Row:
    """Blanks that stand in one row: one reading, or the tries of one reading."""

    blanks: tuple[Blank, ...]

    @property
    def tries(self) -> bool:
        return len(self.blanks) > 1


def fit(step: Step) -> Fit:
    """The lowest way to set a step; of two as low, the one with the readings beside."""
    inline = 0 < len(markup.plain(step.if_out)) <= INLINE
    ways = [Fit("", True, inline)]
    if step.readings:
        ways = [Fit(place, beside, inline) for place in COLUMNS for beside in (True, False)]
        under = ("run", "flow") if len(step.readings) == 1 else ("under",)
        ways += [Fit(place, True, inline) for place in under]
    return min(ways, key=lambda way: _height(step, way))


def rows(step: Step) -> list[Row]:
    """The rows in which the readings of a step are printed, the tries of one together."""
    return [Row(blanks) for blanks in zip(*step.readings, strict=True)]


def pair(blank: Blank) -> bool:
    """Whether the words to ring fit on one short line."""
    return blank.kind == "choice" and _choices(blank) <= PAIR


def _height(step: Step, way: Fit) -> float:
    """About how high the step stands [mm]."""
    action, if_out = markup.plain(step.action), markup.plain(step.if_out)
    if way.inline:
        action, if_out = f"{action} If out: {if_out}", ""
    if way.place in COLUMNS:
        column = COLUMNS[way.place]
        width = FULL - column - 3
        beside = _lines(action, width) + (_lines(if_out, width - 4, 8) if way.beside else 0)
        below = 0 if way.beside else _lines(if_out, FULL - 4, 8)
        return max(beside * LINE, _column(step, column)) + below * LINE
    text = (_lines(action, FULL) + _lines(if_out, FULL - 4, 8)) * LINE
    if way.place in ("run", "flow"):
        return text + _flow(step, above=way.place == "flow")
    return text + (_column(step, FULL) if way.place else 0)


def _lines(text: str, width: float, extra: int = 0) -> int:
    return math.ceil((len(text) + extra) * LETTER / width) if text else 0


def _wide(text: Text) -> float:
    """Width of a label on one line; values are bold."""
    return sum(len(s.text) * LETTER * (BOLD if s.kind == "value" else 1.0) for s in text)


def _column(step: Step, width: float) -> float:
    height = MARK if len(step.readings) > 1 else 0.0
    for row in rows(step):
        if row.tries:
            room = width - len(row.blanks) * TRIED - UNIT
            height += _reading(row.blanks[0], room, TRIED)
            continue
        (blank,) = row.blanks
        if blank.kind in ("choice", "words"):
            box = PAIR if pair(blank) else LONG
            height += _reading(blank, width - box, box)
        else:
            height += _reading(blank, width - SHORT - UNIT, SHORT)
    return height


def _flow(step: Step, above: bool) -> float:
    """Readings one after the other, as many to a row as there is room for."""
    height, left, high = 0.0, 0.0, 0.0
    for blank in step.readings[0]:
        width, own = _cell(blank, above)
        if width > left:
            height, left, high = height + high, FULL, 0.0
        left -= width + GAP
        high = max(high, own)
    return height + high


def _cell(blank: Blank, above: bool) -> tuple[float, float]:
    """Width and height of a reading in a row, named above or before its box."""
    name = _wide(blank.label)
    if blank.kind == "choice":
        return min(name + 3 + _choices(blank), FULL), CHOICE
    name += len(blank.limit_text) * LETTER * BOLD + 2
    unit = len(blank.unit) * LETTER + 2 if blank.unit else 0.0
    box = LONG if blank.kind == "words" else SHORT + unit
    if above:
        return min(max(name, box), FULL), MARK + WRITE_IN
    return min(name + box, FULL), WRITE_IN


def _choices(blank: Blank) -> float:
    return sum(CHOICE_EXTRA + len(choice.text) * LETTER for choice in blank.choices)


def _reading(blank: Blank, label: float, box: float) -> float:
    """One reading: its label with the limit under it, or its boxes, whichever is higher."""
    bold = BOLD if any(span.kind == "value" for span in blank.label) else 1.0
    name = markup.plain(blank.label)
    kept = [len(word) * bold for word in name.split()]
    kept += [len(s.text) * BOLD for s in blank.label if s.kind == "value" and len(s.text) <= VALUE]
    limit = blank.limit_text
    if limit and blank.kind == "choice":
        limit = f"go on if {limit}"
    if len(blank.limit_text) <= KEPT:
        kept.append(len(limit) * BOLD)
    if label < max(kept, default=0) * LETTER + 2:
        return math.inf
    lines = _lines(name, label / bold) + _lines(limit, label / BOLD)
    height = WRITE_IN
    if blank.kind == "choice":
        count, left = 1, box
        for choice in blank.choices:
            wide = min(CHOICE_EXTRA + len(choice.text) * LETTER, box)
            if wide > left:
                count, left = count + 1, box
            left -= wide
        height = count * CHOICE + 1
    return max(height, lines * LABEL_LINE + 0.6)
