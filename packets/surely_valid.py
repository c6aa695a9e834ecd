"""Whether data surely passes a JSON Schema: a quick first look, before the validator proper.

Nearly every file read is good, and to say so takes a tenth of the time that finding and wording a
problem does. The look only ever errs to one side: `True` means that the validator finds nothing,
`False` means ask it. What it does not know (a keyword, a whole number written 2.0) it doubts.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

Look = Callable[[Any], bool]
# A schema that others refer to, by its file's name without the ending.
Named = Callable[[str], dict[str, Any]]

# Keywords that ask nothing of the data; what begins with x- is ours and judged elsewhere.
_SAID = {
    "$schema", "$id", "$defs", "title", "description", "examples", "format", "then", "else",
}  # fmt: skip
_TYPES: dict[str, Look] = {
    "object": lambda data: isinstance(data, dict),
    "array": lambda data: isinstance(data, list),
    "string": lambda data: isinstance(data, str),
    "boolean": lambda data: isinstance(data, bool),
    "null": lambda data: data is None,
    "integer": lambda data: isinstance(data, int) and not isinstance(data, bool),
    "number": lambda data: _number(data),
}


def _number(data: Any) -> bool:
    return isinstance(data, (int, float)) and not isinstance(data, bool)


def _doubted(_: Any) -> bool:
    return False


class Looks:
    """The looks of one schema, made as they are first needed."""

    def __init__(self, kind: str, named: Named) -> None:
        """`kind` names the schema that a reference within the file means."""
        self.kind = kind
        self.named = named
        self.made: dict[tuple[str, str], Look] = {}

    def passes(self, data: Any) -> bool:
        """Whether the validator would surely find nothing."""
        return self.at(self.kind, "")(data)

    def at(self, home: str, pointer: str) -> Look:
        """The look at what a reference names; made once, when first called, for schemas recurse."""

        def first(data: Any) -> bool:
            look = self.made.get((home, pointer))
            if look is None:
                node: Any = self.named(home)
                for part in filter(None, pointer.split("/")):
                    node = node[part]
                look = self.made[(home, pointer)] = self.look(node, home)
            return look(data)

        return first

    def look(self, node: Any, home: str) -> Look:
        """All that a schema asks, one after the other."""
        if node is True or not node:
            return _doubted if node is False else lambda data: True
        asked = [
            self.keyword(name, node, home)
            for name in node
            if name not in _SAID and not name.startswith("x-")
        ]
        if len(asked) == 1:
            return asked[0]
        return lambda data: all(look(data) for look in asked)

    def keyword(self, name: str, node: dict[str, Any], home: str) -> Look:
        """What one keyword asks."""
        wanted = node[name]
        if name == "$ref":
            file, _, pointer = wanted.partition("#")
            return self.at(file.removesuffix(".json") or home, pointer)
        if name == "type":
            kinds = [_TYPES[one] for one in ([wanted] if isinstance(wanted, str) else wanted)]
            return kinds[0] if len(kinds) == 1 else lambda data: any(one(data) for one in kinds)
        if name == "properties":
            return self.properties(wanted, home)
        if name == "additionalProperties":
            return self.others(wanted, frozenset(node.get("properties", ())), home)
        if name == "items":
            one = self.look(wanted, home)
            return lambda data: not isinstance(data, list) or all(map(one, data))
        if name == "propertyNames":
            one = self.look(wanted, home)
            return lambda data: not isinstance(data, dict) or all(map(one, data))
        if name == "anyOf":
            some = [self.look(choice, home) for choice in wanted]
            return lambda data: any(one(data) for one in some)
        if name == "if":
            return self.either(node, home)
        return _PLAIN.get(name, lambda wanted: _doubted)(wanted)

    def properties(self, wanted: dict[str, Any], home: str) -> Look:
        """Each property that is there, by its own schema."""
        looks = {key: self.look(node, home) for key, node in wanted.items()}
        return lambda data: (
            not isinstance(data, dict)
            or all(looks[key](value) for key, value in data.items() if key in looks)
        )

    def others(self, wanted: Any, known: frozenset[str], home: str) -> Look:
        """Properties beside the known ones."""
        if wanted is False:
            return lambda data: not isinstance(data, dict) or data.keys() <= known
        one = self.look(wanted, home)
        return lambda data: (
            not isinstance(data, dict)
            or all(one(value) for key, value in data.items() if key not in known)
        )

    def either(self, node: dict[str, Any], home: str) -> Look:
        """Then or else. A condition must be known for certain, so only a key's presence is one."""
        if set(node["if"]) != {"required"}:
            return _doubted
        keys = set(node["if"]["required"])
        then, other = (self.look(node.get(name, True), home) for name in ("then", "else"))
        return lambda data: (
            other(data) if isinstance(data, dict) and not keys <= data.keys() else then(data)
        )


def _limited(measure: Look, size: Callable[[Any], float], within: Callable[[float], bool]) -> Look:
    return lambda data: not measure(data) or within(size(data))


def _is(kind: type) -> Look:
    return lambda data: isinstance(data, kind)


def _value(data: Any) -> float:
    result: float = data
    return result


def _same(wanted: list[Any]) -> Look:
    """One of these values; of the same type too, for 1 is not true."""
    known = {(type(one), one) for one in wanted if isinstance(one, (str, int, bool, type(None)))}
    return lambda data: (
        isinstance(data, (str, int, bool, type(None))) and (type(data), data) in known
    )


def _distinct(wanted: Any) -> Look:
    def look(data: Any) -> bool:
        if not isinstance(data, list):
            return True
        if all(isinstance(one, str) for one in data):
            return len(set(data)) == len(data)
        return not any(one in data[:at] for at, one in enumerate(data))

    return look if wanted is True else _doubted


def _pattern(wanted: str) -> Look:
    search = re.compile(wanted).search
    return lambda data: not isinstance(data, str) or search(data) is not None


_PLAIN: dict[str, Callable[[Any], Look]] = {
    "const": lambda wanted: _same([wanted]),
    "enum": _same,
    "pattern": _pattern,
    "uniqueItems": _distinct,
    "required": lambda wanted: (
        lambda data: not isinstance(data, dict) or all(key in data for key in wanted)
    ),
    "dependentRequired": lambda wanted: (
        lambda data: (
            not isinstance(data, dict)
            or all(other in data for key in wanted if key in data for other in wanted[key])
        )
    ),
    "minLength": lambda wanted: _limited(_is(str), len, lambda size: size >= wanted),
    "maxLength": lambda wanted: _limited(_is(str), len, lambda size: size <= wanted),
    "minItems": lambda wanted: _limited(_is(list), len, lambda size: size >= wanted),
    "maxItems": lambda wanted: _limited(_is(list), len, lambda size: size <= wanted),
    "minProperties": lambda wanted: _limited(_is(dict), len, lambda size: size >= wanted),
    "minimum": lambda wanted: _limited(_number, _value, lambda size: size >= wanted),
    "maximum": lambda wanted: _limited(_number, _value, lambda size: size <= wanted),
    "exclusiveMinimum": lambda wanted: _limited(_number, _value, lambda size: size > wanted),
}
