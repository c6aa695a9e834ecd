"""The card on page 1: the numbers the technician keeps looking for."""

from __future__ import annotations

from packets import numbers
from packets.composing.texts import Texts, entry_text, marked, number_text, other_text
from packets.formatting import show
from packets.model.kit import Kit
from packets.model.numbers import Entry, Number, NumberGrid, NumberTable, WriteIn
from packets.model.packet import CardGroup, CardLine
from packets.model.procedures import Card


def card(layout: Card, texts: Texts, lists: numbers.Lists, kit: Kit) -> tuple[CardGroup, ...]:
    """The groups of the card whose numbers this packet uses."""
    groups = []
    for group in layout.groups:
        lines: list[CardLine] = []
        for line in group.lines:
            if line.number in ("recovery-cylinders", "charging-cylinders"):
                lines += _weights(line.number, line.label, texts, lists, kit)
                continue
            entry = texts.register.entries.get(line.number)
            if entry is not None and (line.always or {line.number, line.along_with} & texts.used):
                lines.append(card_line(entry, texts, line.label))
        if lines:
            groups.append(CardGroup(group.title, tuple(lines), group.sheet))
    return tuple(groups)


def card_line(entry: Entry, texts: Texts, label: str = "") -> CardLine:
    """One entry as a line of the card."""
    if isinstance(entry, WriteIn):
        return CardLine(entry.id, label or entry.label, "", blank=entry.read)
    if isinstance(entry, Number):
        other = other_text(entry) if texts.units == "ip" else ""
        return CardLine(
            entry.id,
            label or entry.label,
            number_text(entry, texts.units),
            other if other != number_text(entry, texts.units) else "",
            mark=marked(entry),
        )
    if isinstance(entry, (NumberTable, NumberGrid)):
        return CardLine(entry.id, label or entry.title, "see its table")
    text = entry_text(entry, texts.units)
    return CardLine(entry.id, label or entry.label, text, mark=marked(entry))


def _weights(what: str, label: str, texts: Texts, lists: numbers.Lists, kit: Kit) -> list[CardLine]:
    """Scale weights by cylinder."""
    step = kit.scale.resolution.value

    def mass(value: float, way: str = "nearest") -> str:
        return show(value, "mass", texts.units, way, step).text

    def other(*values: float) -> str:
        way = "nearest" if len(values) > 1 else "down"
        return " to ".join(show(value, "mass", "si", way).text for value in values)

    si = texts.units == "si"
    lines = []
    # The weights print with the sections that fill or draw cylinders, not without.
    if what == "recovery-cylinders" and "recovery.cylinder" in texts.used:
        for filling in lists.recovery:
            name = f"{filling.cylinder.id}: {label[0].lower()}{label[1:]}"
            beside = "" if si else other(filling.stop)
            id = f"recovery.stop.{filling.cylinder.id}"
            lines.append(CardLine(id, name, mass(filling.stop, "down"), beside))
    if what == "charging-cylinders" and "charge.cylinder" in texts.used:
        for draw in lists.charging:
            name = f"{draw.cylinder.id}: {label[0].lower()}{label[1:]}"
            beside = "" if si else other(draw.start, draw.stop)
            id = f"charge.scale.{draw.cylinder.id}"
            lines.append(CardLine(id, name, f"{mass(draw.start)} to {mass(draw.stop)}", beside))
    return lines
