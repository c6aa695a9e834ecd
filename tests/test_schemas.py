"""The schemas themselves: valid JSON Schema 2020-12, every property described, kinds that exist."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from packets import locating, quantities, validation
from packets.cli import main
from tests import jobs

JOB = str(jobs.EXAMPLE / "job.yaml")
READINGS = str(jobs.EXAMPLE / "readings-bad.yaml")
FILES = sorted(locating.schemas().glob("*.json"))


def nodes(schema: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every schema inside a schema, with where it stands."""
    if not isinstance(schema, dict):
        return
    yield path, schema
    for key in ("properties", "$defs"):
        for name, inner in schema.get(key, {}).items():
            yield from nodes(inner, f"{path}/{key}/{name}")
    for key in ("items", "additionalProperties", "if", "then", "else"):
        yield from nodes(schema.get(key), f"{path}/{key}")
    for at, inner in enumerate(schema.get("anyOf", [])):
        yield from nodes(inner, f"{path}/anyOf/{at}")


def load(path: Any) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return loaded


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_is_a_valid_schema(path: Any) -> None:
    Draft202012Validator.check_schema(load(path))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_property_is_described(path: Any) -> None:
    for where, node in nodes(load(path)):
        for name, inner in node.get("properties", {}).items():
            assert inner.get("description"), f"{where}/{name}"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_objects_refuse_keys_they_do_not_know(path: Any) -> None:
    if path.stem == "packet":
        return  # what a review reads of a model that newer versions may add to
    for where, node in nodes(load(path)):
        if node.get("type") == "object" and "properties" in node:
            assert node.get("additionalProperties") is False, where


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_quantity_kind_exists(path: Any) -> None:
    for where, node in nodes(load(path)):
        if "x-quantity" in node:
            assert node["x-quantity"] in quantities.UNITS, where


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_span_runs_upwards_in_its_own_kind(path: Any) -> None:
    for where, node in nodes(load(path)):
        if "x-within" in node:
            low, high = (quantities.parse(text, node["x-quantity"]) for text in node["x-within"])
            assert low.value < high.value, where


OUTPUTS = ("findings", "plan", "numbers", "record", "records", "packet")


def test_there_is_a_schema_for_every_kind_and_no_other() -> None:
    assert {path.stem for path in FILES} == {*validation.KINDS, *OUTPUTS, "common"}


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("findings", ("check", JOB, "--json")),
        ("findings", ("lint", "--json")),
        ("findings", ("check", "no-such.yaml", "--json")),
        ("plan", ("plan", JOB, "--json")),
        ("numbers", ("numbers", JOB, "--json")),
        ("record", ("review", JOB, READINGS, "--json")),
        ("records", ("review", str(jobs.EXAMPLE), "--json")),
        ("numbers", ("numbers", JOB, "--json", "--units", "si")),
    ],
)
def test_what_a_program_reads_fits_its_schema(kind: str, words: tuple[str, ...]) -> None:
    printed = CliRunner().invoke(main, list(words)).stdout
    Draft202012Validator(load(locating.schemas() / f"{kind}.json")).validate(json.loads(printed))


def test_the_common_list_of_quantities_is_the_real_one() -> None:
    kinds = load(locating.schemas() / "common.json")["$defs"]["quantity"]["enum"]
    assert set(kinds) == set(quantities.UNITS)


@pytest.mark.parametrize("kind", ["job", "equipment", "kit", "fragment"])
def test_every_example_in_a_schema_is_what_the_schema_asks_for(kind: str) -> None:
    whole = validation.schema(kind)
    found = 0
    shared: Any = Registry().with_resources(
        (f"{name}.json", DRAFT202012.create_resource(validation.schema(name)))
        for name in ("common", "circuit")
    )
    for at, node in nodes(whole):
        for example in node.get("examples", ()):
            found += 1
            alone = {**node, "$defs": whole.get("$defs", {})}
            checked = Draft202012Validator(alone, registry=shared)
            assert not list(checked.iter_errors(example)), (at, example)
            if "x-quantity" in node:
                read = quantities.parse(example, node["x-quantity"]).value
                low, high = (
                    quantities.parse(text, node["x-quantity"]).value
                    for text in node.get("x-within", [example, example])
                )
                assert low <= read <= high, (at, example)
    assert found >= 10


def test_the_examples_of_circuit_and_rules_are_all_that_are_shipped() -> None:
    record = validation.schema("equipment")["properties"]["circuits"]["additionalProperties"]
    shipped = [path.stem for path in (locating.procedures() / "circuits").glob("*.yaml")]
    assert sorted(record["properties"]["circuit"]["examples"]) == sorted(shipped)
    rules = [path.stem for path in (locating.procedures() / "rules").glob("*.yaml")]
    assert sorted(validation.schema("job")["properties"]["rules"]["examples"]) == sorted(rules)
