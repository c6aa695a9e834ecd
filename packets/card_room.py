"""How much of page 1 of the field packet its numbers take, and whether their chart has room there.

Heights [mm] are estimated as `fitting` does it. A chart that might not fit, with room to spare,
goes to the packet's end, so that the card never takes a second page; the work begins under both.
"""

from __future__ import annotations

from packets import columning
from packets.lettering import BODY, FINE, lines, said, wide
from packets.model.packet import CardLine, Packet

TITLE = 17 / 11  # of the body's size
SPARE = 5.5
CONFIRM = "x " * 60  # about as long as the words before the deferral
# Half a page less its inner margin, and what a line's label and value get of it.
LABEL, LINE, TALL = 39.0, 1.12 * BODY, 12 / 11 * 1.12 * BODY
WRITE_IN, GROUP, FIXED = 9.2, 1.25 * BODY + 1.3, 8.0


def has_room(packet: Packet, across: float, high: float) -> bool:
    """Whether the card with its chart stays on a page with `across` by `high` of text."""
    if packet.card_chart is None:
        return False
    return _card(packet, across) + packet.card_chart.height_mm + SPARE <= high


def taken(packet: Packet, across: float, high: float) -> float:
    """How far down page 1 the work begins [mm], under the numbers and their chart if it is there; 0
    where they take the page."""
    found = _card(packet, across)
    if packet.card_chart is not None and has_room(packet, across, high):
        found += packet.card_chart.height_mm
    return found if found < high else 0.0


def _card(packet: Packet, across: float) -> float:
    """The height of the card without its chart on a page with text so wide."""
    cut = columning.card(columning.on_sheet(packet.card, "field"))
    columns = [[line for group in groups for line in (None, *group.lines)] for groups in cut]
    least = max((_column(column, across / 2 - 3.5) for column in columns), default=0.0)
    hazards = sum(lines(said(one), across - 9) for one in packet.hazards) + 1
    holds = [lines(said(f"{number} {words}"), 0.46 * across) for number, words in packet.holds]
    pairs = zip(holds[::2], [*holds[1::2], 0], strict=False)
    return (
        FIXED
        + lines(said(packet.title), across / TITLE, bold=True) * TITLE * 1.15 * BODY
        + lines(said(f"{packet.equipment} {packet.machine}"), across, bold=True) * 1.25 * BODY
        + (hazards * 1.25 * BODY + 4.0 if packet.hazards else 0.0)
        + least
        + (sum(map(max, pairs)) * 1.15 * BODY + 7.0 if holds else 0.0)
        + lines(said(f"{CONFIRM} {packet.defer}"), across * BODY / FINE) * 1.25 * FINE
    )


def _column(column: list[CardLine | None], across: float) -> float:
    """The height of one column of the card."""
    height = 0.0
    for line in column:
        if line is None:
            height += GROUP
            continue
        label = lines(said(line.label), LABEL) * 1.1 * BODY
        if line.blank or not line.value:
            long = 24.0 + wide(f"({line.blank})", size=FINE)
            more = long // (across - LABEL - 4.0) * 1.12 * BODY
            height += max(label, WRITE_IN + more) + 0.3
            continue
        small = wide(f"{line.other}{line.note} ", size=FINE)
        value = wide(line.value, True, 12 / 11 * BODY) + small + (4.0 if line.mark else 0.0)
        height += max(label, TALL * -(-value // (across - LABEL - 1.0))) + 0.3
    return height
