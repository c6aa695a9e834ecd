"""How high each piece of a section stands on the page, before the page is laid out.

Estimates in millimetres with the sizes of packet.css, lines broken with the typeface's own widths.
They only steer where drawings stand; what stays together is the style sheet's to keep. `words` are
the templates' own, of which a route, a section's start and its end are told.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from packets.cautions import Frame, frames
from packets.fitting import LINE, fit, flow, height, out
from packets.lettering import BODY, FINE, POINT, lines, said, wide
from packets.model.packet import (
    Caution,
    Figure,
    RecordLine,
    RouteBlock,
    Section,
    SignBox,
    Step,
    TableBlock,
)
from packets.panelling import panels

Words = Mapping[str, str]
# What a step's line and padding take.
STEP_EDGE = 0.6
# The box to tick, which a line of words is lower than.
TICK = 5.8
# A caution's signal and frame take this width; its frame, padding and margins this height.
SIGNAL, CAUTION_LINE = 24.0, 1.14 * BODY
FRAMES = {"danger": 2.9, "warning": 2.3, "caution": 1.9, "notice": 1.9}
# A sign-off: its boxes, its margin with its frame, what is not its words, a line of them.
SIGN, HELD, SIGNED, SIGN_SIDES, SIGN_LINE = 12.0, 2.4, 1.3, 117.0, 1.12 * BODY
SIGN_CLEAR = 0.8  # between a sign-off and the tick box of its step under it
# Before the lines of a route, and between two of its parts.
ROUTE_BEFORE, ROUTE_GAP = 18.5, 5.0
# A table: its line, a row more than that, its title and margins.
TABLE_LINE, ROW, TABLE_EDGE, NOTE_BEFORE = 1.15 * 10.5 * POINT, 0.65, 1.5, 18.0
# A section's title, the states before it starts, what to do when work stops, the space after.
HEAD, TITLE, STATES, STOP, AFTER = 7.5, 7.3, 6.0, 0.54, 0.6
# Before the states beside a title and before each of them, and their sizes.
GATE_BEFORE, STATE_BEFORE, GATE_SIZE, TITLE_SIZE = 5.0, 9.6, 10.5 * POINT, 13.5 * POINT
# The record's title, a line to write on and one to read.
RECORD, WRITTEN, READ = 6.5, 8.7, 5.0
# A drawing's caption, and the room between two in a row.
CAPTION, BETWEEN, BARE = 4.7, 2.4, 0.6


def whole(step: Step, across: float, words: Words) -> float:
    """A step with all that belongs to it, on a page with text so wide [mm]."""
    found = _around(step, across) + _told(step, across, words)
    if step.table:
        beside = step.chart if step.chart and fit(step, across).chart == "table" else None
        found += table(step.table, across, beside)
    return found


def drawn(step: Step, figure: Figure, across: float, room: float, words: Words) -> float:
    """A step with its drawing in it: its words have so much room [mm] beside the drawing, what
    stands around them has the page, and so have the readings where that is lower."""
    beside = max(_told(step, room, words), _bare(figure))
    return _around(step, across) + min(beside, _under(step, figure, across, room, words)[0])


@dataclass(frozen=True)
class Beneath:
    """How the readings of a step with its drawing in it stand under both, across the page: run or
    flow; `if_out` tells whether what to do when one is out stands over them there."""

    place: str
    if_out: bool


def beneath(step: Step, figure: Figure, across: float, room: float, words: Words) -> Beneath | None:
    """The lowest way to set a step's readings under it and its drawing; None where they stand no
    higher beside the drawing."""
    beside = max(_told(step, room, words), _bare(figure))
    height, way = _under(step, figure, across, room, words)
    return way if height < beside else None


def _under(
    step: Step, figure: Figure, across: float, room: float, words: Words
) -> tuple[float, Beneath | None]:
    """The height of a step's words beside its drawing and its readings under both, and how these
    are set; infinite where it has none, or tries that need a column."""
    if len(step.readings) != 1 or not step.readings[0]:
        return math.inf, None
    row, place = min((flow(step, across, way), way) for way in ("run", "flow"))
    bare = replace(step, readings=())
    found = []
    for below in (False, True) if step.if_out else (False,):
        told = _told(replace(bare, if_out=()) if below else bare, room, words)
        under = out(step, across) if below else 0.0
        found.append((max(told, _bare(figure)) + under + row, below))
    height, if_out = min(found)
    return height, Beneath(place, if_out)


def _bare(figure: Figure) -> float:
    """A drawing in its step, whose words name it: without a caption."""
    return figure.height_mm + BARE


def _around(step: Step, across: float) -> float:
    """A step's line, its cautions and its sign-off."""
    found = STEP_EDGE + cautioned(step.cautions, across)
    if step.sign is None:
        return found
    return found + sign(step.sign, across) + (SIGN_CLEAR if step.sign.before else 0.0)


def _told(step: Step, across: float, words: Words) -> float:
    """A step's route, action and readings."""
    led = route(step.route, step.group_title, across, words) if step.route else 0.0
    return max(TICK, height(step, across)) + led


def cautioned(held: Sequence[Caution], across: float) -> float:
    """Cautions with their margins; the words that defer are smaller than the rest."""
    return sum(_frame(one, across - SIGNAL) for one in frames(held))


def _frame(frame: Frame, width: float) -> float:
    told = [f"{one.hazard} {one.consequence} {one.avoidance}" for one in frame.cautions]
    told[-1] += " " + frame.defer[: math.ceil(len(frame.defer) * FINE / BODY)]
    count = sum(lines(said(words), width) for words in told)
    return FRAMES[frame.signal] + max(2, count) * CAUTION_LINE


def sign(box: SignBox, across: float) -> float:
    """A sign-off under or over its step."""
    room = max(across - SIGN_SIDES, 10.0)
    return max(SIGN, lines(box.text, room) * SIGN_LINE + 0.8) + (HELD if box.hold else SIGNED)


def route(way: RouteBlock, title: str, across: float, words: Words) -> float:
    """The joint's title and how gas is led past it: parts in rows, each as long as its words."""
    room, left, rows = across - ROUTE_BEFORE, 0.0, 0
    last = [words["gas_sweep"], way.sweep, words["gas_at"], way.flow] if way.sweep else []
    last += [words["gas_share"], way.share] if way.share else []
    parts = [
        (words["gas_in"], way.inlet),
        (words["gas_out"], way.vent),
        (words["gas_caps"], way.caps),
    ]
    parts += [(words["gas_valves"], way.valves)] if way.valves else []
    heads = [wide(title, bold=True) + ROUTE_GAP] if title else []
    told = (*parts, *([tuple(last)] if last else []))
    for long in (*heads, *(wide(" ".join(one)) + ROUTE_GAP for one in told)):
        if long > left:
            rows, left = rows + math.ceil(long / room), room
        left -= min(long, room)
    return rows * LINE


def table(block: TableBlock, across: float, chart: Figure | None = None) -> float:
    """A table with its title and note; where a chart stands beside it, without the chart's height,
    which counts as the step's."""
    held = panels(block, chart.width_mm if chart else 0.0)
    heads = 2 if any(" " in head for head in block.heads) else 1
    high = heads * TABLE_LINE + max(map(len, held), default=0) * (TABLE_LINE + ROW)
    high = max(0.0, high - chart.height_mm) if chart else high
    room = (across - NOTE_BEFORE) * BODY / FINE
    note = lines(said(block.note), room) * TABLE_LINE
    return high + note + (TABLE_LINE if block.title else 0.0) + TABLE_EDGE


def long_gate(section: Section, word: str, across: float) -> bool:
    """Whether "do not start until" needs a line of its own, under the section's title."""
    title = max(9.0, wide(str(section.number), True, TITLE_SIZE)) + GATE_BEFORE
    title += wide(f" {section.title}", True, TITLE_SIZE)
    return title + sum(_gate(section, word)) > across


def head(section: Section, words: Words, across: float) -> float:
    """A section's title with the states before it starts."""
    word = words["do_not_start"]
    if not long_gate(section, word, across):
        return HEAD
    left, rows = 0.0, 0
    for long in _gate(section, word):
        if long > left:
            rows, left = rows + 1, across
        left -= long
    return TITLE + rows * STATES


def _gate(section: Section, word: str) -> list[float]:
    """How wide the word before the states is, and each of them."""
    if not section.do_not_start:
        return []
    states = [STATE_BEFORE + wide(state, size=GATE_SIZE) for state in section.do_not_start]
    return [wide(f"{word} ", True, GATE_SIZE), *states]


def stop(section: Section, words: Words, across: float) -> float:
    """What to do when work stops, under the section's last step."""
    if not section.stop_here:
        return 0.0
    word = said(f"{words['stop_here']} ", kept=True)
    return STOP + lines((*word, *section.stop_here), across) * LINE


def record(lines: Sequence[RecordLine]) -> float:
    """The refrigerant record: its title, three columns of lines, and those across the page."""
    columns = sum(READ if line.value else WRITTEN for line in lines if not line.wide) / 3
    return RECORD + columns + WRITTEN * (0.5 + sum(line.wide for line in lines))


def figures(stood: Sequence[Figure]) -> float:
    """Drawings one under the other, each with its caption."""
    return sum(figure.height_mm + CAPTION for figure in stood)


def rows(stood: Sequence[Figure], across: float) -> list[float]:
    """Drawings of one width in rows: the height of each row."""
    width = max((figure.width_mm for figure in stood), default=across)
    count = max(1, int((across + BETWEEN) // (width + BETWEEN)))
    cut = (stood[at : at + count] for at in range(0, len(stood), count))
    return [max(figure.height_mm for figure in row) + CAPTION for row in cut]
