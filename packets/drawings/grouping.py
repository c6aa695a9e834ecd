"""Which braze steps can share a drawing."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

from packets.model.hookups import BrazeStep, End


def grouped(steps: Sequence[BrazeStep]) -> Iterator[tuple[BrazeStep, ...]]:
    """Neighbouring steps that can share a drawing: same inlet, vent, valves, caps and waiting
    parts, and the last one's gas passes every joint of the group."""
    group: list[BrazeStep] = []
    for step in steps:
        if group and not _shares(group, step):
            yield tuple(group)
            group = []
        group.append(step)
    if group:
        yield tuple(group)


def _shares(group: Sequence[BrazeStep], step: BrazeStep) -> bool:
    one, two = group[0].route, step.route
    if one is None or two is None:
        return one is two
    own = {step.joint, *(other.joint for other in group)}
    passed = {leg.leaves for leg in two.legs[:-1]}
    return (
        (one.inlet, one.vent, one.valves) == (two.inlet, two.vent, two.valves)
        and set(group[0].waiting) == set(step.waiting)
        and own <= passed
        and _others(one.caps, own) == _others(two.caps, own)
        and _others(one.keep_closed, own) == _others(two.keep_closed, own)
    )


def _others(ends: Iterable[End], joints: Collection[str]) -> set[End]:
    return {end for end in ends if end.joint not in joints}
