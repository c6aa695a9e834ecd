"""The sheets round the steps: the numbers of page 1, the dispatch sheet, the refrigerant record."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from packets.model.spans import Caution


@dataclass(frozen=True)
class CardLine:
    """One number of the card. `other` is the value in the other unit system. `mark` is printed
    behind the value where its ground is weaker than a seen source ("confirm")."""

    id: str
    label: str
    value: str
    other: str = ""
    note: str = ""
    mark: bool = False
    blank: str = ""


@dataclass(frozen=True)
class CardGroup:
    """Numbers that belong together, on page 1 of the field packet or on the dispatch sheet."""

    title: str
    lines: tuple[CardLine, ...]
    sheet: Literal["field", "dispatch"] = "field"


@dataclass(frozen=True)
class LoadLine:
    """One thing to load. `amount` is the computed quantity, `count` how many where more than one,
    `sections` where used."""

    field: str
    item: str
    amount: str
    sections: tuple[int, ...]
    count: int = 1


@dataclass(frozen=True)
class LoadGroup:
    """Things that ride together on the van."""

    title: str
    lines: tuple[LoadLine, ...]


@dataclass(frozen=True)
class TimeLine:
    """One section on the dispatch sheet's order of work. `holds` are printed step numbers."""

    number: int
    title: str
    hands_on_minutes: float
    waiting_minutes: float
    holds: tuple[str, ...]
    called_for: str


@dataclass(frozen=True)
class Dispatch:
    """The sheet the service manager and the crew read before the van leaves. An instrument is its
    name, its step and the state of its calibration."""

    scope: str
    site: tuple[tuple[str, str], ...]
    crew: str
    cautions: tuple[Caution, ...]
    timeline: tuple[TimeLine, ...]
    hands_on_minutes: float
    waiting_minutes: float
    load: tuple[LoadGroup, ...]
    permits: tuple[tuple[str, str], ...]
    instruments: tuple[tuple[str, str, str], ...]
    attention: tuple[str, ...]
    # From first to last for the crew, work done in waits taken out, and in which wait it is done.
    elapsed_minutes: float = 0.0
    in_waits: tuple[str, ...] = ()


@dataclass(frozen=True)
class RecordLine:
    """One line of the refrigerant record; `value` when known, else a box to write in. `wide` lines
    stand under the columns; `mark` as on the card; `id` is the rules' own, `quantity` the kind of
    what is written."""

    field: str
    label: str
    value: str
    unit: str
    wide: bool = False
    mark: bool = False
    id: str = ""
    quantity: str = ""
