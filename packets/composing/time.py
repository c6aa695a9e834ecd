"""The planned sections as the schedule sees them, and its answer in words for dispatch."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from packets.composing.sections import Sections
from packets.formatting import minutes
from packets.model import packet as printed
from packets.model.numbers import Number
from packets.model.plans import Plan
from packets.model.procedures import Library
from packets.schedule import Block, Schedule, Watch, schedule


def crew_time(
    plan: Plan,
    sections: Sequence[printed.Section],
    library: Library,
    by_circuit: Mapping[str, Sections],
) -> Schedule:
    """The crew's time for the sections as printed."""
    blocks = []
    for one, section in zip(plan.order, sections, strict=True):
        fragment = library.fragments[one.fragment]
        filling = fragment.fills_waits
        blocks.append(
            Block(
                section.id,
                section.hands_on_minutes,
                section.waiting_minutes,
                frozenset(fragment.needs),
                frozenset(fragment.makes),
                frozenset(fragment.ends),
                frozenset(fragment.acts),
                filling is not None,
                frozenset(filling.not_beside if filling else ()),
            )
        )
    start = frozenset(fact.partition("@")[0] for fact in plan.start)
    return schedule(blocks, start, _watches(plan, sections, library, by_circuit))


def _watches(
    plan: Plan,
    sections: Sequence[printed.Section],
    library: Library,
    by_circuit: Mapping[str, Sections],
) -> list[Watch]:
    """The fire watch, from the last flame to the section that ends it."""
    fragments = [library.fragments[one.fragment] for one in plan.order]
    flames = [s.id for s, f in zip(sections, fragments, strict=True) if "heats" in f.acts]
    ends = [s.id for s, f in zip(sections, fragments, strict=True) if "fire-safe" in f.makes]
    texts = next(iter(by_circuit.values())).texts
    time = texts.register.entries.get("fire.watch")
    if not flames or not ends or not isinstance(time, Number):
        return []
    return [Watch(flames[-1], ends[-1], time.value / 60)]


def in_words(done: Schedule, sections: Sequence[printed.Section]) -> tuple[str, ...]:
    """Which sections are done in whose wait, one line a wait."""
    numbers = {section.id: section.number for section in sections}
    waits: dict[int, list[str]] = {}
    for fill in done.fills:
        waits.setdefault(numbers[fill.during], []).append(str(numbers[fill.work]))
    lines = [f"{' and '.join(work)} in the wait of {host}" for host, work in sorted(waits.items())]
    if done.watching:
        lines.append(f"{minutes(done.watching)} of fire watch beyond the work")
    return tuple(lines)
