"""A handout: one fragment as a sheet of standard work, for one machine or with blanks for any."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from packets.model.packet import LoadLine, Step, Text, Worked


@dataclass(frozen=True)
class Condition:
    """When a step is done at all: only if one thing holds, and not if another does."""

    only_if: str = ""
    not_if: str = ""


@dataclass(frozen=True)
class Handout:
    """Everything that the sheet prints. `machine` is empty when it is for any machine; then
    `numbers` say how each blank is come by and `conditions` when a step is done, by its number.
    `elsewhere` names the sections of steps that are referred to and not on the sheet."""

    fragment: str
    revision: int
    origin: str
    title: str
    purpose: str
    units: Literal["ip", "si"]
    needs: tuple[str, ...]
    makes: tuple[str, ...]
    ends: tuple[str, ...]
    load: tuple[LoadLine, ...]
    steps: tuple[Step, ...]
    stop_here: Text
    questions: tuple[tuple[str, str], ...]
    numbers: tuple[Worked, ...]
    defer: str
    machine: str = ""
    job: str = ""
    hash: str = ""
    conditions: Mapping[str, Condition] = field(default_factory=dict)
    elsewhere: tuple[tuple[str, str], ...] = ()
