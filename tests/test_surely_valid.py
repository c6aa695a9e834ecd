"""The quick look at a file against jsonschema, which is the outside truth here: what the look
passes, the validator passes."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from packets import locating, sources, validation
from packets.findings import Findings
from packets.surely_valid import Looks
from tests import jobs

ODD: list[Any] = [
    None, True, False, 0, 1, -1, 2.0, 3.5, 10**9, "", "x", "A b", "10", "2026-03-18\n", "é" * 400,
    [], ["x"], ["x", "x"], [1, True], {}, {"x": 1}, {"group": "x"},
]  # fmt: skip


def documents() -> list[tuple[str, str, Any]]:
    """Kind, name and data of every file that ships, and of an example's."""
    found = []
    folder = locating.procedures()
    for path in sorted([*folder.rglob("*.yaml"), *jobs.EXAMPLE.glob("*.yaml")]):
        document = sources.read(path, path.name, Findings())
        assert document is not None
        found.append((document.data["format"].split("/")[0], path.name, document.data))
    return found


FILES = documents()


def sites(data: Any) -> list[tuple[Any, Any]]:
    """Every collection of the data with each of its keys or places."""
    found: list[tuple[Any, Any]] = []
    keys = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in keys:
        found.append((data, key))
        if isinstance(value, (dict, list)):
            found += sites(value)
    return found


def test_every_good_file_is_passed_at_first_look() -> None:
    assert len(FILES) > 30
    for kind, name, data in FILES:
        assert Looks(kind, validation.schema).passes(data), name


@given(st.data())
def test_what_is_passed_has_nothing_for_the_validator_to_find(drawn: st.DataObject) -> None:
    kind, _, good = drawn.draw(st.sampled_from(FILES))
    data = copy.deepcopy(good)
    for _ in range(drawn.draw(st.integers(1, 3))):
        held, key = drawn.draw(st.sampled_from(sites(data)))
        how = drawn.draw(st.sampled_from(("replace", "drop", "add", "repeat")))
        if how == "drop" and len(held) > 1:
            del held[key]
        elif how == "add" and isinstance(held, dict):
            held[drawn.draw(st.sampled_from(("x", "group", "Bad Key", "fragment")))] = 1
        elif how == "repeat" and isinstance(held, list):
            held.append(copy.deepcopy(held[key]))
        else:
            held[key] = copy.deepcopy(drawn.draw(st.sampled_from(ODD)))
    if Looks(kind, validation.schema).passes(data):
        assert list(validation._validator(kind).iter_errors(data)) == []


ASKED: list[dict[str, Any]] = [
    *({"type": kind} for kind in ("object", "array", "string", "boolean", "null", "integer")),
    {"type": "number"}, {"type": ["string", "null"]}, {"const": 1}, {"const": "x"},
    {"enum": ["x", 1, None]}, {"pattern": "^x$"}, {"uniqueItems": True}, {"required": ["x"]},
    {"dependentRequired": {"x": ["y"]}}, {"minLength": 1}, {"maxLength": 2}, {"minItems": 1},
    {"maxItems": 1}, {"minProperties": 1}, {"minimum": 0}, {"maximum": 2},
    {"exclusiveMinimum": 0}, {"properties": {"x": {"type": "string"}}},
    {"properties": {"x": {}}, "additionalProperties": False},
    {"additionalProperties": {"type": "string"}}, {"propertyNames": {"pattern": "^y"}},
    {"items": {"type": "string"}}, {"anyOf": [{"type": "string"}, {"minimum": 2}]},
    {"if": {"required": ["x"]}, "then": {"minProperties": 2}, "else": {"type": "array"}},
    {"$ref": "#/$defs/one", "minLength": 2, "$defs": {"one": {"type": "string"}}},
]  # fmt: skip


@pytest.mark.parametrize("schema", ASKED, ids=lambda schema: "-".join(schema))
def test_each_keyword_asks_what_the_validator_asks(schema: dict[str, Any]) -> None:
    # It may doubt what is good, but not all of it, or it would be of no use.
    right = passed = 0
    for data in ODD:
        valid = Draft202012Validator(schema).is_valid(data)
        sure = Looks("own", lambda _: schema).passes(data)
        assert valid or not sure, data
        right, passed = right + valid, passed + sure
    assert passed > right / 2


def test_what_it_does_not_know_it_doubts() -> None:
    for schema in ({"not": {}}, {"patternProperties": {}}, {"items": False}, {"if": {"const": 1}}):
        assert not Looks("own", lambda _, schema=schema: schema).passes([1])  # type: ignore[misc]
