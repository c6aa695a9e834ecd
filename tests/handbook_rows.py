"""Published figures as test rows; the tolerance follows from the digits that were printed.

A file `tests/handbook/NAME.yaml` is

    handbook: NAME
    rows:
      - id: short-name-unique-in-the-file
        inputs: {any: values}
        expected: "144.1"        # the text as printed, always quoted
        unit: psig               # unit of `expected`, for the reader
        source: Document and place
        tag: C                   # C seen, C~ secondary, X computed, M from memory

Optional keys: `last_digits` (how many units in the last place the source may be off, with
`because` saying why; without it, half a unit), `note`.
"""

from __future__ import annotations

import re
from collections.abc import Hashable
from pathlib import Path
from typing import Any

import yaml

FOLDER = Path(__file__).parent / "handbook"
TAGS = frozenset({"C", "C~", "X", "M"})
_REQUIRED = frozenset({"id", "inputs", "expected", "unit", "source", "tag"})
_OPTIONAL = frozenset({"last_digits", "because", "note"})

_DECIMAL = re.compile(
    r"(?P<sign>[+-]?)(?P<whole>[\d,]*)(?:\.(?P<part>\d*))?(?:e(?P<exp>[+-]?\d+))?"
)
_FRACTION = re.compile(r"(?:(?P<whole>\d+)[- ])?(?P<top>\d+)/(?P<bottom>[1-9]\d*)")


class _UniqueKeyLoader(yaml.SafeLoader):
    """Refuse a key written twice: YAML lets the second win silently."""

    def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[Hashable, Any]:
        seen: set[object] = set()
        for key_node, _ in node.value:
            key = self.construct_object(key_node, deep=True)
            if key in seen:
                raise ValueError(f"line {key_node.start_mark.line + 1}: key {key!r} twice")
            seen.add(key)
        return super().construct_mapping(node, deep=deep)


def printed(text: str) -> tuple[float, float]:
    """Value and tolerance of a figure as printed: half a unit of its last digit.

    >>> printed("1,406")
    (1406.0, 0.5)
    >>> printed("144.10")
    (144.1, 0.005)
    >>> printed("3.9e-6")
    (3.9e-06, 5e-08)
    >>> printed("1-1/8")
    (1.125, 0.0625)
    """
    text = text.strip()
    if match := _FRACTION.fullmatch(text):
        bottom = int(match["bottom"])
        return int(match["whole"] or 0) + int(match["top"]) / bottom, 0.5 / bottom
    match = _DECIMAL.fullmatch(text)
    digits = match and (match["whole"] + (match["part"] or "")).replace(",", "")
    if match is None or not digits:
        raise ValueError(f"not a printed figure: {text!r}")
    last_place = int(match["exp"] or 0) - len(match["part"] or "")
    return float(text.replace(",", "")), float(f"5e{last_place - 1}")


def agrees(value: float, row: dict[str, Any]) -> bool:
    """True if `value` would print as the row's `expected` (or within its `last_digits`)."""
    expected, half_unit = printed(row["expected"])
    tolerance = half_unit * 2 * float(row.get("last_digits", 0.5))
    return abs(value - expected) <= tolerance + 1e-9 * abs(expected)


def rows(name: str) -> list[dict[str, Any]]:
    """The rows of `tests/handbook/NAME.yaml`, each checked for its keys.

    Raises:
        ValueError: a file or row that is not in the form above.
    """
    with (FOLDER / f"{name}.yaml").open(encoding="utf-8") as file:
        content = yaml.load(file, Loader=_UniqueKeyLoader)
    if set(content) != {"handbook", "rows"} or content["handbook"] != name or not content["rows"]:
        raise ValueError(f"{name}: wants `handbook: {name}` and a filled `rows`")
    seen: set[str] = set()
    for row in content["rows"]:
        _check(name, row)
        if row["id"] in seen:
            raise ValueError(f"{name}: id {row['id']!r} twice")
        seen.add(row["id"])
    return list(content["rows"])


def _check(name: str, row: dict[str, Any]) -> None:
    place = f"{name}: row {row.get('id')!r}"
    if missing := _REQUIRED - set(row):
        raise ValueError(f"{place} lacks {sorted(missing)}")
    if unknown := set(row) - _REQUIRED - _OPTIONAL:
        raise ValueError(f"{place} has unknown keys {sorted(unknown)}")
    if not isinstance(row["expected"], str) or not row["expected"]:
        raise ValueError(f"{place}: quote `expected`, its digits are the tolerance")
    if row["tag"] not in TAGS:
        raise ValueError(f"{place}: tag {row['tag']!r} is none of {sorted(TAGS)}")
    if "last_digits" in row and not row.get("because"):
        raise ValueError(f"{place}: `last_digits` wants `because`")
    if not row["expected"][0].isalpha():  # a category or a name is compared as a word
        printed(row["expected"])


def ids(row: dict[str, Any]) -> str:
    """For `pytest.mark.parametrize("row", rows(name), ids=ids)`."""
    return str(row["id"])


def table(name: str) -> dict[str, Any]:
    """The table `packets/tables/NAME.yaml` as plain data, repeated keys refused."""
    path = FOLDER.parent.parent / "packets" / "tables" / f"{name}.yaml"
    with path.open(encoding="utf-8") as file:
        content: dict[str, Any] = yaml.load(file, Loader=_UniqueKeyLoader)
    return content
