"""Schema, dataclasses and kinds know the same words."""

from __future__ import annotations

import doctest
from dataclasses import fields
from typing import Any

import pytest

from packets import validation
from packets.circuit import differences, kinds, names, volumes
from packets.model.circuits import CircuitPart, Difference, ServicePort
from packets.model.hookups import End
from tests.circuit.known import IDS, circuit


def part() -> dict[str, Any]:
    """The schema of a part."""
    found: dict[str, Any] = validation.schema("circuit")["properties"]["parts"]
    return found["additionalProperties"]["properties"]  # type: ignore[no-any-return]


def test_the_schema_knows_every_kind_of_part() -> None:
    assert set(part()["kind"]["enum"]) == set(kinds.KINDS)
    assert set(part()["device"]["enum"]) == set(kinds.METERING)


def test_every_kind_can_be_set_only_with_a_tool_the_schema_knows() -> None:
    tools = {kind.set_with for kind in (*kinds.KINDS.values(), *kinds.METERING.values())}
    assert tools - {""} == set(part()["set_with"]["enum"]) - {"nothing"}


@pytest.mark.parametrize(
    ("cls", "where"),
    [(Difference, "difference"), (CircuitPart, "part"), (ServicePort, "port")],
)
def test_dataclasses_have_the_keys_of_their_schema(cls: Any, where: str) -> None:
    schema = validation.schema("circuit")
    keys = {
        "difference": schema["$defs"]["difference"]["properties"],
        "part": part(),
        "port": schema["properties"]["service_ports"]["additionalProperties"]["properties"],
    }[where]
    assert {field.name.rstrip("_") for field in fields(cls)} == set(keys)


def test_what_a_difference_changes_a_part_has() -> None:
    assert set(differences._CHANGED) < {field.name for field in fields(CircuitPart)}


@pytest.mark.parametrize("id", IDS)
def test_everything_has_a_name(id: str) -> None:
    plan = circuit(id)
    for name in (*plan.parts, *plan.lines):
        assert "-" not in names.element(plan, name).replace("liquid-line", "").replace(
            "two-way", ""
        )
    for name in plan.service_ports:
        assert names.service_port(plan, name)


def test_the_two_ends_of_a_joint_without_a_line() -> None:
    plan = circuit("capillary-cabinet")
    assert names.end(plan, End("drier.out", "metering")) == "capillary tube, its inlet"
    assert names.end(plan, End("drier.out", "drier")) == "capillary drier, its outlet"
    assert names.end(plan, End("drier.in", "stub")) == "cut stub at the capillary drier inlet"


def test_examples_in_docstrings_run() -> None:
    found = doctest.testmod(volumes)
    assert found.attempted and not found.failed
