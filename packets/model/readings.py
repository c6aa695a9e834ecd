"""What was written on a packet, before anything is judged."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from packets.findings import Place

Value = str | bool
# How a copy is called that is a dispatch sheet alone.
NO_FIELD = "has no field packet"
# The key under `accepted:` by which a named person takes the packet as it was printed.
PACKET = "packet"
# The keys by which the owner signs for a leak rate above the trigger or unknown, and by which a
# named person says that the duties with a date are done.
LEAK_RATE, DUTIES = "leak-rate", "duties"
JOB_KEYS = frozenset({PACKET, LEAK_RATE, DUTIES})
_UNIT_GAP = re.compile(r"(?<=\d) (?=[^\W\d])")


@dataclass(frozen=True)
class Written:
    """What one field holds. `others` are what other copies of the packet say instead."""

    value: Value
    source: str
    place: Place
    others: tuple[tuple[str, Value], ...] = ()


@dataclass(frozen=True)
class Readings:
    """The readings of one packet, by field name. `packet` is its content hash, `form` how they
    came. Fields that hold nothing are in `fields` and not in `written`. `accepted` are readings
    that the manager takes as they are, with who and why. `unread` are files
    that were named as copies and could not be read, or are of another packet. `unproved` is what
    the job's files on disk do not prove of the packet."""

    job: str
    packet: str
    form: str
    sources: tuple[str, ...]
    written: dict[str, Written] = field(default_factory=dict)
    fields: frozenset[str] = frozenset()
    accepted: dict[str, str] = field(default_factory=dict)
    unread: tuple[str, ...] = ()
    unproved: tuple[str, ...] = ()


def same(one: Value, other: Value) -> bool:
    """Whether two entries say the same: letter case, and spaces before a unit, do not count."""
    if isinstance(one, bool) or isinstance(other, bool):
        return one is other
    return _folded(one) == _folded(other)


def _folded(text: str) -> str:
    return _UNIT_GAP.sub("", " ".join(text.casefold().split()))


def shown(value: Value) -> str:
    """An entry as people see it."""
    return value if isinstance(value, str) else "ticked" if value else "not ticked"
