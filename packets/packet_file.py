"""The packet model as the file that rides inside the PDF, written and read back.

Reading is tolerant on purpose: a packet printed by an older or newer version must stay readable. A
key that is not known here is passed over, a key that is missing gets the field's default, or the
empty value of its kind. What is read is plain data and nothing is run.
"""

from __future__ import annotations

import dataclasses
import json
import types
import typing
from decimal import Decimal, InvalidOperation
from functools import cache
from typing import Any

from packets.composing.hashing import as_data, hash_of
from packets.findings import Findings, Place
from packets.model.packet import Packet

NAME = "packet.json"
FORMAT = "packet/1"
MAX_BYTES = 8_000_000
_MAX_DEPTH = 40


def dump(packet: Packet) -> bytes:
    """The whole packet model as JSON text."""
    model: Any = {"format": FORMAT, **as_data(packet, frozenset())}
    return json.dumps(model, ensure_ascii=False, indent=1, sort_keys=True).encode()


def load(data: bytes, shown: str, findings: Findings) -> Packet | None:
    """The packet of a packet.json; None, with a finding, when it is none."""
    place = Place(shown)
    raw = _parsed(data, place, findings)
    if raw is None:
        return None
    stated = raw.get("format", FORMAT)
    if stated != FORMAT:
        findings.error(
            "packet-format",
            place,
            f"the packet model is {str(stated)[:40]!r}, this program reads {FORMAT!r}",
            "review it with the version that printed it, or a later one",
        )
        return None
    try:
        packet = _fit(Packet, raw, "packet", 0)
    except _Misfit as problem:
        findings.error(
            "packet-model", place, f"the packet model is damaged: {problem}", "take another copy"
        )
        return None
    if not isinstance(packet, Packet) or not packet.job or not packet.sections:
        findings.error(
            "packet-model", place, "the packet model names no job or no steps", "take another copy"
        )
        return None
    if hash_of({key: value for key, value in raw.items() if key != "format"}) != packet.hash:
        findings.error(
            "packet-altered",
            place,
            f"the packet model was changed after printing: its content is not {packet.hash[:8]!r}",
            "take another copy of the printed packet",
        )
    return packet


def _parsed(data: bytes, place: Place, findings: Findings) -> dict[str, Any] | None:
    """The JSON object of the file."""
    reason = ""
    raw: Any = None
    if len(data) > MAX_BYTES:
        reason = f"larger than {MAX_BYTES} bytes"
    else:
        try:
            raw = json.loads(data.decode("utf-8"), parse_constant=_refuse)
        except RecursionError:
            reason = "nested too deep"
        except ValueError as problem:  # bad UTF-8, bad JSON, NaN, a number of a million digits
            reason = str(problem)[:120]
    if not reason and not isinstance(raw, dict):
        reason = "not a JSON object"
    if reason:
        findings.error(
            "packet-model", place, f"the packet model cannot be read: {reason}", "take another copy"
        )
        return None
    found: dict[str, Any] = raw
    return found


def _refuse(word: str) -> Any:
    raise ValueError(f"{word} is no number")


class _Misfit(ValueError):
    """A value that cannot stand where it stands."""


@cache
def _hints(cls: Any) -> dict[str, Any]:
    return typing.get_type_hints(cls)


def _fit(hint: Any, value: Any, at: str, depth: int) -> Any:
    """`value` as what `hint` asks for."""
    if depth > _MAX_DEPTH:
        raise _Misfit(f"{at} is nested too deep")
    origin = typing.get_origin(hint)
    if origin in (typing.Union, types.UnionType):
        inner = [part for part in typing.get_args(hint) if part is not type(None)]
        return None if value is None else _fit(inner[0], value, at, depth + 1)
    if origin is tuple:
        return _tuple(typing.get_args(hint), value, at, depth)
    if origin is dict:
        if not isinstance(value, dict):
            raise _Misfit(f"{at} is no mapping")
        kind = typing.get_args(hint)[1]
        return {str(k): _fit(kind, v, f"{at}.{k}", depth + 1) for k, v in value.items()}
    if origin is typing.Literal:
        hint = str
    if dataclasses.is_dataclass(hint):
        return _object(hint, value, at, depth)
    return _plain(hint, value, at)


def _tuple(parts: tuple[Any, ...], value: Any, at: str, depth: int) -> tuple[Any, ...]:
    if not isinstance(value, list):
        raise _Misfit(f"{at} is no list")
    if len(parts) == 2 and parts[1] is Ellipsis:
        return tuple(_fit(parts[0], one, f"{at}[{n}]", depth + 1) for n, one in enumerate(value))
    if len(parts) != len(value):
        raise _Misfit(f"{at} has {len(value)} parts, not {len(parts)}")
    pairs = enumerate(zip(parts, value, strict=True))
    return tuple(_fit(part, one, f"{at}[{n}]", depth + 1) for n, (part, one) in pairs)


def _object(cls: Any, value: Any, at: str, depth: int) -> Any:
    if not isinstance(value, dict):
        raise _Misfit(f"{at} is no object")
    hints = _hints(cls)
    filled = {}
    for item in dataclasses.fields(cls):
        if item.name in value:
            filled[item.name] = _fit(
                hints[item.name], value[item.name], f"{at}.{item.name}", depth + 1
            )
        elif item.default is dataclasses.MISSING and item.default_factory is dataclasses.MISSING:
            filled[item.name] = _empty(hints[item.name], f"{at}.{item.name}", depth)
    return cls(**filled)


def _empty(hint: Any, at: str, depth: int) -> Any:
    """The empty value of a kind, for a key that an older model lacks."""
    origin = typing.get_origin(hint)
    if origin in (typing.Union, types.UnionType):
        return None
    if origin is typing.Literal:
        return typing.get_args(hint)[0]
    if origin in (tuple, dict):
        return origin()
    if dataclasses.is_dataclass(hint):
        return _object(hint, {}, at, depth + 1)
    return hint()


def _plain(hint: Any, value: Any, at: str) -> Any:
    if hint is Decimal:
        try:
            number = Decimal(value if isinstance(value, str) else repr(value))
        except (InvalidOperation, ValueError):
            raise _Misfit(f"{at} is no number") from None
        if not number.is_finite() or abs(number) > 10**12:
            raise _Misfit(f"{at} is no number")
        return number
    if hint is float and isinstance(value, int) and not isinstance(value, bool):
        value = float(value) if abs(value) < 10**300 else None
    if not isinstance(value, hint) or (hint is not bool and isinstance(value, bool)):
        raise _Misfit(f"{at} is no {hint.__name__}")
    return value
