"""The example's context with parts of its files changed, for the numbers of one subject alone."""

from __future__ import annotations

import dataclasses
from functools import cache
from typing import Any

from packets.findings import Findings
from packets.model.numbers import Number, Register
from packets.numbers.context import Context
from packets.pipeline import prepare
from packets.quantities import Quantity, parse
from tests import jobs


@cache
def example() -> Context:
    """The example's own context; not to be written to."""
    return prepare(jobs.EXAMPLE / "job.yaml").circuits["a"].context


def changed(
    kit: dict[str, Any] | None = None,
    record: dict[str, Any] | None = None,
    equipment: dict[str, Any] | None = None,
    state: dict[str, Any] | None = None,
    conditions: dict[str, Any] | None = None,
    units: Any = "ip",
) -> Context:
    """The example with these fields replaced, its register and findings empty."""
    base = example()
    files, job, machine = base.files, base.job, base.equipment
    circuits = {**machine.circuits, "a": dataclasses.replace(base.record, **(record or {}))}
    now = {**job.now.circuits, "a": dataclasses.replace(base.state, **(state or {}))}
    job = dataclasses.replace(
        job,
        now=dataclasses.replace(job.now, circuits=now),
        conditions=dataclasses.replace(job.conditions, **(conditions or {})),
    )
    machine = dataclasses.replace(machine, circuits=circuits, **(equipment or {}))
    files = dataclasses.replace(
        files, job=job, equipment=machine, kit=dataclasses.replace(files.kit, **(kit or {}))
    )
    return dataclasses.replace(
        base, files=files, register=Register(), findings=Findings(), units=units
    )


def value(context: Context, id: str) -> float:
    """A number of the register, in SI."""
    return number(context, id).value


def number(context: Context, id: str) -> Number:
    found = context.register.number(id)
    assert found is not None, id
    return found


def quantity(text: str, kind: str) -> Quantity:
    """What a file would say."""
    return parse(text, kind)
