"""Where the readings of a step go on the page: beside the action, or under it in a row.

Each way is tried first: lines are broken as the page will break them, and the lowest way wins, so
that a packet stays within its pages. Sizes in millimetres, as in packet.css.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from packets import markup
from packets.lettering import BODY, lines, longest, said, whole, wide
from packets.model.packet import Blank, Step, Text

LINE, LABEL_LINE, CHOICE_LINE = 1.16 * BODY, 1.05 * BODY, 1.12 * BODY
# A write-in box with its border, a row of words to ring, and the space under either.
WRITE_IN, CHOICE, UNDER = 8.64, 6.2, 0.4
# The same in a row, where a box and its name share a line.
FLOW_WRITE_IN, FLOW_CHOICE, FLOW_NAME = 9.3, 7.5, 5.4
CHOICE_EXTRA, OPTION_EXTRA = 9.5, 10.25
# An action narrower than this is not read, it is spelled; nor may a value run into the boxes.
NARROWEST = 30.0
# What of a page's width the tick and the number take, and the space right of the action.
MARGIN, BESIDE, INDENT = 18.5, 3.0, 3.0
# How wide the column of readings beside the action may be.
COLUMNS = (56.0, 66.0, 76.0, 86.0, 96.0, 106.0)
LONG, SHORT, UNIT, TRIED, WHAT = 44.0, 26.0, 15.0, 25.5, 1.5
# Two short words to ring, such as yes and no, need no more than this; three, this.
PAIR, THREE = 33.0, 53.0
ENTRIES = {"pair": PAIR, "three": THREE, "long": LONG}
# What a reading that does not go on one line may cost elsewhere before it is set so.
PARTED = 25.0
# Names above boxes, and the space between two readings in a row.
MARK, GAP = 3.4, 3.0
# What to do when a reading is out runs on behind the action when it is no longer than this.
INLINE = 40
# Limits up to this many letters stay on one line.
KEPT = 20
# The mark behind a limit that the maker must confirm.
MARKED = 2.2
# The width of the text on letter paper; A4 is 6 mm narrower.
LETTER_WIDE = 191.9
# The widest chart that leaves a table room beside it.
TABLE_BESIDE = 90.0
# Between a chart and the readings beside it.
CHART_GAP = 3.0
# How a time and a day are to be written, about as wide as the templates say it.
CLOCK, DAY = "h:min", "date"
_IF_OUT, _GO_ON = "If out: ", "go on if "


@dataclass(frozen=True)
class Fit:
    """How a step is set: `place` is column (`column` so wide), run, flow, under, chart or ""
    (nothing to write).

    `beside` tells whether "if out" stands with the action or under the whole row; `inline`,
    whether it is so short that it runs on behind the action. `chart` is act (under the action,
    beside the readings), readings (the readings stand beside it, both under the action), side
    (beside action and readings), table (beside the table), below or "" (none).
    """

    place: str
    beside: bool
    inline: bool = False
    chart: str = ""
    column: float = 0.0


@dataclass(frozen=True)
class Row:
    """Blanks that stand in one row: one reading, or the tries of one reading."""

    blanks: tuple[Blank, ...]

    @property
    def tries(self) -> bool:
        return len(self.blanks) > 1


def fit(step: Step, across: float = LETTER_WIDE) -> Fit:
    """The lowest way to set a step on a page with text so wide [mm]; of two as low, the one with
    the readings beside."""
    full = across - MARGIN
    inline = 0 < len(markup.plain(step.if_out)) <= INLINE
    ways = [Fit("", True, inline)]
    if step.readings:
        ways = [
            Fit("column", beside, inline, column=wide_)
            for wide_ in COLUMNS
            for beside in (True, False)
        ]
        under = ("run", "flow") if len(step.readings) == 1 else ("under",)
        ways += [Fit(place, True, inline) for place in under]
    if step.chart:
        ways = [replace(way, chart=where) for way in ways for where in _charted(step, way, full)]
        if step.readings and not step.table:
            ways += [Fit("chart", True, inline, where) for where in ("readings", "side")]
    return min(ways, key=lambda way: _height(step, way, full))


def height(step: Step, across: float = LETTER_WIDE) -> float:
    """About how high a step's action and readings stand when it is set in the lowest way [mm];
    infinite where there is no room for them."""
    return _height(step, fit(step, across), across - MARGIN)


def words(step: Step, across: float, if_out: bool) -> Fit:
    """The lowest way to set a step's action, and with `if_out` what to do when a reading is out,
    where its readings stand elsewhere."""
    return fit(replace(step, readings=(), if_out=step.if_out if if_out else ()), across)


def out(step: Step, across: float) -> float:
    """How high "if out" stands across the page under a step [mm]."""
    told = (*said(_IF_OUT, kept=True), *step.if_out)
    return lines(told, across - MARGIN - INDENT) * LINE


def flow(step: Step, across: float, place: str) -> float:
    """How high the readings stand in a row across the page under a step [mm]; `place` is run, or
    flow with names above the boxes."""
    return _flow(step, across - MARGIN, above=place == "flow")


def _charted(step: Step, way: Fit, full: float) -> list[str]:
    """Where the step's chart may stand when its readings are set so."""
    if step.table and step.chart:
        return ["table" if step.chart.width_mm <= TABLE_BESIDE else "below"]
    room = full - way.column - BESIDE if way.place == "column" else 0.0
    return ["act", "below"] if step.chart and step.chart.width_mm <= room else ["below"]


def rows(step: Step) -> list[Row]:
    """The rows in which the readings of a step are printed, the tries of one together."""
    return [Row(blanks) for blanks in zip(*step.readings, strict=True)]


def entry(blank: Blank) -> str:
    """How wide words to ring or to write stand in a column: pair, three or long."""
    room = _choices(blank) if blank.kind == "choice" else LONG
    return "pair" if room <= PAIR else "three" if LONG < room <= THREE else "long"


def _height(step: Step, way: Fit, full: float) -> float:
    """About how high the step stands [mm]."""
    act, if_out = action(step), step.if_out
    if way.inline:
        act, if_out = (*act, *said(f" {_IF_OUT}"), *if_out), ()
    elif if_out:
        if_out = (*said(_IF_OUT, kept=True), *if_out)
    chart = step.chart.height_mm if step.chart else 0.0
    under = lines(if_out, full - INDENT) * LINE
    if way.place == "column":
        width = full - way.column - BESIDE
        kept = max(longest(act), longest(if_out) + INDENT if way.beside else 0.0)
        if width < max(NARROWEST, kept):
            return math.inf
        beside = lines(act, width) + (lines(if_out, width - INDENT) if way.beside else 0)
        inside, outside = (chart, 0.0) if way.chart == "act" else (0.0, chart)
        left = beside * LINE + inside
        return max(left, _column(step, way.column)) + (0 if way.beside else under) + outside
    text = lines(act, full) * LINE + under
    if way.place == "chart" and step.chart:
        return _with_chart(step, way, full, (act, if_out))
    if way.place in ("run", "flow"):
        return text + chart + _flow(step, full, above=way.place == "flow")
    return text + chart + (_column(step, full) if way.place else 0)


def action(step: Step) -> Text:
    """The action, behind the title of its group where no route prints that."""
    title = step.group_title if not step.route else ""
    return (*said(f"{title}. ", kept=True), *step.action) if title else step.action


def _with_chart(step: Step, way: Fit, full: float, texts: tuple[Text, Text]) -> float:
    """The readings beside the chart: both under the action, or the chart beside it all."""
    assert step.chart is not None
    high, wide_ = step.chart.height_mm, step.chart.width_mm + CHART_GAP
    if way.chart == "side":
        room = full - wide_
        text = lines(texts[0], room) + lines(texts[1], room - INDENT)
        return max(high, text * LINE + _column(step, room))
    text = lines(texts[0], full) + lines(texts[1], full - INDENT)
    return text * LINE + max(high, _column(step, full + MARGIN - wide_))


def _column(step: Step, width: float) -> float:
    height = MARK if len(step.readings) > 1 else 0.0
    for row in rows(step):
        if row.tries:
            room = width - len(row.blanks) * TRIED - UNIT
            box = TRIED - WHAT
        elif row.blanks[0].kind in ("choice", "words"):
            box = ENTRIES[entry(row.blanks[0])]
            room = width - box
        else:
            room, box = width - SHORT - UNIT, SHORT
        height += _reading(row.blanks[0], room - WHAT, box)
    return height


def _flow(step: Step, full: float, above: bool) -> float:
    """Readings one after the other, as many to a row as there is room for."""
    height, left, high = 0.0, 0.0, 0.0
    for blank in step.readings[0]:
        width, own = _cell(blank, full, above)
        # Words to ring that are parted over two lines are read as two readings.
        height += PARTED if width >= full else 0.0
        if width + GAP > left:
            height, left, high = height + high, full, 0.0
        left -= width + GAP + wide(" ")
        high = max(high, own)
    return height + high


def _cell(blank: Blank, full: float, above: bool) -> tuple[float, float]:
    """Width and height of a reading in a row, named above or before its box."""
    name = whole(blank.label)
    if blank.kind == "choice":
        options = sum(OPTION_EXTRA + wide(choice.text) for choice in blank.choices)
        long = name + options
        return min(long, full), FLOW_CHOICE * math.ceil(long / full)
    name += wide(f" {blank.limit_text}", bold=True) if blank.limit_text else 0.0
    name += MARKED if blank.mark else 0.0
    said_as = {"clock": CLOCK, "date": DAY}.get(blank.kind, blank.unit)
    unit = wide(f" {said_as}") if said_as else 0.0
    box = (LONG if blank.kind == "words" else SHORT) + unit
    if above:
        return min(max(name, box), full), FLOW_NAME * math.ceil(name / full) + WRITE_IN
    long = name + 1.5 + wide(" ") + box
    return min(long, full), FLOW_WRITE_IN * math.ceil(long / full)


def _choices(blank: Blank) -> float:
    return sum(CHOICE_EXTRA + wide(choice.text) for choice in blank.choices)


def _reading(blank: Blank, label: float, box: float) -> float:
    """One reading: its label with the limit under it, or its boxes, whichever is higher."""
    short = len(blank.limit_text) <= KEPT
    limit = said(blank.limit_text, kept=short)
    if limit and blank.kind == "choice":
        limit = (*said(_GO_ON), *limit)
    mark = MARKED if blank.mark else 0.0
    kept = whole(limit) if short else longest(limit, bold=True)
    if label < max(longest(blank.label), kept + mark):
        return math.inf
    height = WRITE_IN
    if blank.kind == "choice":
        count, left, height = 1, box, 0.0
        for choice in blank.choices:
            long = min(CHOICE_EXTRA + wide(choice.text), box)
            if long > left:
                count, left = count + 1, box
            left -= long
        height = count * CHOICE
    text = (lines(blank.label, label) + lines(limit, label, bold=not short)) * LABEL_LINE
    return max(height, text) + UNDER
