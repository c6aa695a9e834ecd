"""The load list: what the planned sections use, each thing once, and how many of it.

A tool is loaded as often as the section that needs most of it at once; materials are used up, so
those of all sections are added.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from packets.composing.sections import Sections
from packets.composing.texts import entry_text
from packets.model import packet as printed
from packets.model.numbers import Words
from packets.model.plans import Planned
from packets.model.procedures import Fragment, Library, Load

# Order in which a van is loaded and unloaded.
PLACES = {
    "paper": "Paper",
    "safety": "Safety",
    "electrical": "Electrical",
    "gauges-and-hoses": "Gauges and hoses",
    "recovery": "Recovery",
    "torch-and-nitrogen": "Torch and nitrogen",
    "vacuum": "Vacuum",
    "charging": "Charging",
    "hand-tools": "Hand tools",
    "parts": "Parts",
    "consumables": "Consumables",
}


@dataclass
class _Item:
    place: str
    amount: str = ""
    at_once: int = 0
    used_up: int = 0
    sections: list[int] = field(default_factory=list)

    @property
    def count(self) -> int:
        """How many to load; what has an amount is counted by it."""
        return 1 if self.amount else max(self.at_once, self.used_up, 1)


def load_list(
    planned: Sequence[tuple[Planned, int]], by_circuit: dict[str, Sections], library: Library
) -> tuple[printed.LoadGroup, ...]:
    """Everything the planned sections use, once each, in the order a van is loaded."""
    items: dict[str, _Item] = {}
    for one, number in planned:
        fragment, sections = library.fragments[one.fragment], by_circuit[one.circuit]
        for kind, at, load in _loads(fragment):
            if sections.holds(load.when, "fragment", fragment.fragment, kind, at):
                _add(items, load, (kind, at), number, sections, fragment.fragment)
    groups = []
    for place, title in PLACES.items():
        lines = [
            printed.LoadLine(
                f"load__{_slug(name)}", name, item.amount, tuple(item.sections), item.count
            )
            for name, item in items.items()
            if item.place == place
        ]
        if lines:
            groups.append(
                printed.LoadGroup(title, tuple(sorted(lines, key=lambda line: line.item)))
            )
    return tuple(groups)


def _loads(fragment: Fragment) -> Iterator[tuple[str, int, Load]]:
    """The things of a fragment, each with the key and the place of its list."""
    for kind, loads in (("tools", fragment.tools), ("materials", fragment.materials)):
        for at, load in enumerate(loads):
            yield kind, at, load


def _add(
    items: dict[str, _Item],
    load: Load,
    path: tuple[str, int],
    number: int,
    sections: Sections,
    name: str,
) -> None:
    count = _count(load, sections)
    if load.count_by and not count:
        return  # Ports without cores take no core tool.
    place = sections.catalog.place("fragment", name, *path)
    text = sections.texts.plain(load.item, place) + _rating(load, sections)
    item = items.setdefault(text, _Item(load.place))
    if path[0] == "tools":
        item.at_once = max(item.at_once, count)
    else:
        item.used_up += count
    if load.amount:
        entry = sections.texts.entry(load.amount, place)
        if entry is not None:
            item.amount = entry_text(entry, sections.texts.units)
    if number not in item.sections:
        item.sections.append(number)


def _count(load: Load, sections: Sections) -> int:
    counted = sections.values.get(load.count_by) if load.count_by else load.count
    return counted if isinstance(counted, int) else 0


def _rating(load: Load, sections: Sections) -> str:
    """What a tool that meets a flammable refrigerant has to be rated for."""
    safety = sections.texts.register.entries.get("machine.safety_class")
    if not load.rated or not sections.values.get("flammable") or not isinstance(safety, Words):
        return ""
    return f", rated {safety.text}"


def _slug(text: str) -> str:
    kept = "".join(c if c.isalnum() and c.isascii() else "-" for c in text.lower())
    return "-".join(part for part in kept.split("-") if part)
