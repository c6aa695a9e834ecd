"""Validated data into frozen dataclasses, field by field from the type hints."""

from __future__ import annotations

import dataclasses
import types
import typing
from functools import cache
from typing import Any, TypeVar

T = TypeVar("T")


@cache
def _hints_of(cls: Any) -> dict[str, Any]:
    return typing.get_type_hints(cls)


def _hints(cls: Any) -> dict[str, Any]:
    return _hints_of(cls)


def build(cls: type[T], data: dict[str, Any]) -> T:
    """Make `cls` from data whose keys are its field names.

    A key that is a Python word (`with`, `from`) fills the field with an underscore behind it.
    The data has passed its schema, so a key without a field is a fault of ours: TypeError.
    """
    hints = _hints(cls)
    filled = {}
    for key, value in data.items():
        name = key if key in hints else f"{key}_"
        if name not in hints:
            raise TypeError(f"{cls.__name__} has no field for {key!r}")
        filled[name] = _fit(hints[name], value)
    return cls(**filled)


def _fit(hint: Any, value: Any) -> Any:
    origin = typing.get_origin(hint)
    if origin in (typing.Union, types.UnionType):
        inner = [part for part in typing.get_args(hint) if part is not type(None)]
        return value if value is None or len(inner) != 1 else _fit(inner[0], value)
    if origin is tuple:
        return tuple(_fit(typing.get_args(hint)[0], item) for item in value)
    if origin is dict:
        return {key: _fit(typing.get_args(hint)[1], item) for key, item in value.items()}
    if dataclasses.is_dataclass(hint) and isinstance(value, dict):
        return build(typing.cast(type, hint), value)
    return value
