"""Placed words as SVG, with the dotted line to what they name."""

from __future__ import annotations

from packets.drawings import letters, svg
from packets.drawings.labels import Placement
from packets.drawings.letters import LEADING, MM_A_POINT, RISE
from packets.drawings.shapes import BLACK

_LEADER, _DOTS = 0.3, "0.3 0.7"  # a thin dotted line: no tube looks like it


def drawn(one: Placement) -> str:
    """A label as SVG."""
    size = one.setting.points * MM_A_POINT
    if one.label.badge:
        return _disc(one, size)
    pieces = []
    if one.leader:
        pieces.append(svg.stroke(one.leader, "leader", _LEADER, dash=_DOTS))
    # Lines stand against the side that faces what they name.
    middle = (one.label.place.left + one.label.place.right) / 2
    for at, (line, bold) in enumerate(one.setting.lines):
        wide = letters.width(line, one.setting.points, bold)
        spare = one.box.right - one.box.left - wide
        lean = 0.0 if one.box.left >= middle else 1.0 if one.box.right <= middle else 0.5
        spot = (one.box.left + spare * lean, one.box.top + size * (RISE + LEADING * at))
        pieces.append(svg.text(line, spot, one.setting.points, bold))
    return svg.group("label", pieces)


def _disc(one: Placement, size: float) -> str:
    (number, _), *_ = one.setting.lines
    at = one.box.centre
    wide = letters.width(number, one.setting.points, True)
    pieces = [
        svg.circle(at, (one.box.right - one.box.left) / 2, "badge", 0, BLACK),
        svg.text(
            number, (at[0] - wide / 2, at[1] + size * 0.25 + size * 0.09), one.setting.points, True,
            "#fff",
        ),
    ]  # fmt: skip
    if one.leader:
        pieces.insert(0, svg.stroke(one.leader, "leader", _LEADER, dash=_DOTS))
    return svg.group("label", pieces)
