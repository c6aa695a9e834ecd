"""The content hash by which two printings are told apart."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from decimal import Decimal
from functools import cache
from typing import Any

from packets.model.packet import Packet

# Said for the trainer only, or the hash itself: a change there is not another packet.
_LEFT_OUT = {"why", "questions", "purpose", "worked", "hash"}
# Drawn after composing: a packet counts as the same with its drawings and without.
_DRAWN = "figures"


def content_hash(packet: Packet) -> str:
    """Eight hex digits of the sha256 of the packet's canonical JSON.

    Holds texts, limits, field names, units, rules and fragment revisions; not paper, edition or
    library versions.
    """
    return hash_of(as_data(packet))


def hash_of(data: Any) -> str:
    """The same of a packet that is plain data already, e.g. read back from a PDF."""
    text = json.dumps(_kept(data), sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:8]


def _kept(data: Any) -> Any:
    """The data without what is left out of the hash, and as it was before it was drawn."""
    if isinstance(data, dict):
        return {
            key: [] if key == _DRAWN else _kept(value)
            for key, value in data.items()
            if key not in _LEFT_OUT
        }
    return [_kept(item) for item in data] if isinstance(data, list) else data


def as_data(value: Any, left_out: frozenset[str] = frozenset(_LEFT_OUT)) -> Any:
    """Dataclasses and decimals as plain JSON data."""
    kind = type(value)
    if kind is str or value is None:  # most of it
        return value
    if kind is tuple or kind is list:
        return [as_data(item, left_out) for item in value]
    if dataclasses.is_dataclass(kind):
        return {
            name: as_data(getattr(value, name), left_out)
            for name in _names(kind)
            if name not in left_out
        }
    return str(value) if isinstance(value, Decimal) else value


@cache
def _names(kind: Any) -> tuple[str, ...]:
    """The fields of a dataclass."""
    return tuple(item.name for item in dataclasses.fields(kind))
