"""The last part of a drawing: equipment and words find their places, the sheet is cut."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from packets.drawings import labelling, labels, svg, written
from packets.drawings.drawing import Drawing
from packets.drawings.geometry import Box, around
from packets.drawings.hooking import ACROSS, NoRoom, hook_up
from packets.drawings.labels import Label
from packets.drawings.picture import Picture
from packets.drawings.sheet import LAYERS, Sheet

_EDGE = 0.7  # mm round what is drawn
_TALLER = 2.0  # what a millimetre counts by which the drawing is higher than its circuit


def finish(picture: Picture, title: str, description: str, caption: str = "") -> Drawing:
    """The drawing with equipment, hoses and words on it. Raises `NoRoom`."""
    sheet = _arranged(picture)
    sheet.hops()
    _words(sheet, [one for one in picture.wanted if not one.needed])
    size = picture.board.size
    whole = [*picture.board.extent, *sheet.extent]
    cut = around([corner for box in whole for corner in (box[:2], box[2:])])
    frame = Box(0, cut.top - _EDGE, size.width_mm, cut.bottom + _EDGE)
    pieces = [piece for layer in LAYERS for piece in sheet.layers[layer]]
    drawn = svg.document(pieces, frame, title, description)
    high = round(frame.bottom - frame.top, 2)
    return Drawing(drawn, size.width_mm, high, title, description, caption)


def _arranged(picture: Picture) -> Sheet:
    """What is hooked up first, then words; the other way round if words end up far off or a hose
    has to cross a line, and that is better."""
    cost, sheet, why = _tried(picture, words_first=not picture.gears)
    if picture.gears and cost >= ACROSS:
        other, turned, why = _tried(picture, words_first=True, most=cost)
        if other < cost:
            cost, sheet = other, turned
    if cost == inf:
        raise NoRoom(why)
    return sheet


def _tried(picture: Picture, words_first: bool, most: float = inf) -> tuple[float, Sheet, str]:
    """How good it comes out, the sheet, and what stands in the way of one better than the most."""
    sheet = picture.sheet.copy()
    needed = [one for one in picture.wanted if one.needed]
    try:
        cost = _words(sheet, needed, picture.lanes) if words_first else 0.0
        if cost + _TALLER * _growth(sheet) >= most:
            return inf, sheet, ""
        for gear in picture.gears:
            cost += hook_up(sheet, *gear, most - cost)
        if not words_first:
            cost += _words(sheet, needed)
        cost += _TALLER * _growth(sheet)
    except NoRoom as problem:
        return inf, sheet, str(problem)
    return cost, sheet, ""


def _growth(sheet: Sheet) -> float:
    """By how much what was added makes the drawing higher than its circuit [mm]."""
    (top, foot), (above, below) = sheet.board.reach, sheet.reach
    return top - above + below - foot


def _words(sheet: Sheet, wanted: Sequence[Label], lanes: Sequence[Box] = ()) -> float:
    """Words onto the sheet; lanes are kept free of them, and of nothing else. Returns how far off
    they stand, less is better."""
    taken = sheet.taken.copy() if lanes else sheet.taken
    for lane in lanes:
        taken.take(lane)
    letters = sheet.board.size.letters
    found, missed, strain = labelling.place(
        wanted, letters, taken, sheet.solid, sheet.written, sheet.reach
    )
    if missed:
        words = "; ".join(" ".join(run for run, _ in one.words) for one in missed)
        raise NoRoom(f"no room for: {words}")
    for one in found:
        sheet.put("label", written.drawn(one))
        for box in (one.box, *labels.along(one.leader)):
            sheet.taken.take(box)
        sheet.extent.append(one.box)
        sheet.ground.fill(sheet.lattice(one.box))
    return strain
