"""What is said of a value its schema refuses, and what to write instead. Words alone: pure."""

from __future__ import annotations

import re
from typing import Any

EMPTY = "is left empty"

# What to write for a value of another type.
_WRITE = {
    "boolean": "write true or false",
    "integer": "write a whole number",
    "number": "write a number",
    "array": "write a list, in [ ] or each on a line of its own behind -",
    "object": "write keys with their values",
    "string": "write it as text",
    "null": "leave it empty",
}


def way_out(rule: str, wanted: Any, found: object, node: dict[str, Any]) -> str:
    """What to write instead: the form, an example where the schema has one, what the key is."""
    asked = [wanted] if isinstance(wanted, str) else list(wanted) if rule == "type" else []
    about = str(node.get("description", ""))
    if rule == "type" and isinstance(found, (bool, int, float)) and "string" in asked:
        return "; ".join(part for part in (f'put it in quotes: "{_yaml(found)}"', about) if part)
    near = _refrigerant(found, node)
    if near:
        return f"write {near}"
    form = _WRITE[asked[0]] if rule == "type" else ""
    if rule == "minItems":
        form = "list at least one" if wanted == 1 else f"list {wanted}"
    like = ", ".join(shown(one) for one in node.get("examples", ()))
    if asked == ["string"] and node.get("format") == "date":
        form = "write year-month-day"
    told = ", ".join([*([form] if form else []), *([f"e.g. {like}"] if like else [])])
    between = " " if told.endswith(".") else "; " if told and about else ""
    return f"{told}{between}{about}".strip() or "packets new shows how it is written"


def shown(example: object) -> str:
    """An example of a schema as it stands in a file: `R-448A`, `[A1, A2L]`, `2`."""
    return f"[{', '.join(map(str, example))}]" if isinstance(example, list) else _yaml(example)


def _refrigerant(found: object, node: dict[str, Any]) -> str:
    """`R134a`, `r 134a` or `134a` where R- and a number is asked for: how it is written."""
    if not isinstance(found, str) or not str(node.get("pattern", "")).startswith("^R-"):
        return ""
    number = re.fullmatch(r"[Rr]?[ -]*(\d{2,4}\w{0,5})", found.strip())
    return f"R-{number[1]}" if number else ""


def _yaml(found: object) -> str:
    return str(found).lower() if isinstance(found, bool) else str(found)


def _short(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _kinds(wanted: str | list[str]) -> str:
    names = {
        "object": "group of keys",
        "integer": "whole number",
        "array": "list",
        "string": "text",
        "boolean": "true or false",
    }
    named = [names.get(one, one) for one in ([wanted] if isinstance(wanted, str) else wanted)]
    return " or ".join(one for one in named if one != "null")


SAY: dict[str, Any] = {
    "type": lambda found, wanted: (
        EMPTY if found is None else f"{_short(found)} is no {_kinds(wanted)}"
    ),
    "pattern": lambda found, wanted: f"{_short(found)} is not of the form asked for",
    "const": lambda found, wanted: f"{_short(found)} must be {wanted!r}",
    "minItems": lambda found, wanted: f"needs at least {wanted}",
    "maxItems": lambda found, wanted: f"has more than {wanted}",
    "maxLength": lambda found, wanted: f"is longer than {wanted} characters",
    "minLength": lambda found, wanted: "is empty",
    "minProperties": lambda found, wanted: "is empty",
    "uniqueItems": lambda found, wanted: "says the same thing twice",
    "dependentRequired": lambda found, wanted: "goes with another key that is missing here",
    "minimum": lambda found, wanted: f"{_short(found)} is less than {wanted}",
    "maximum": lambda found, wanted: f"{_short(found)} is more than {wanted}",
}
