"""The rules of a jurisdiction, as loaded."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from packets.quantities import Quantity


@dataclass(frozen=True)
class FireWatch:
    time: Quantity
    source: str
    confidence: str
    distance: Quantity | None = None


@dataclass(frozen=True)
class RecoveryRule:
    table: str
    source: str = ""
    confidence: str = ""
    ask: str = ""


@dataclass(frozen=True)
class HoldTestRule:
    asks: str
    source: str
    confidence: str
    applies_to: str = ""


@dataclass(frozen=True)
class RecordRule:
    what: str
    keep: str
    source: str
    confidence: str
    keep_years: float = 0.0


@dataclass(frozen=True)
class LeakRateRule:
    triggers: dict[str, Quantity]
    source: str
    confidence: str
    ozone_depleting: tuple[str, ...] = ()
    hfc_from: date | None = None
    hfc_warming_above: int = 0
    hfc_source: str = ""
    method_source: str = ""
    threshold_charge: Quantity | None = None
    hfc_threshold_charge: Quantity | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Deadline:
    what: str
    within: str
    source: str
    confidence: str
    when: str = ""
    days: int = 0
    next_year_on: str = ""


@dataclass(frozen=True)
class LeakCheck:
    from_tonnes: float
    months: int
    source: str
    confidence: str


@dataclass(frozen=True)
class RecordField:
    id: str
    label: str
    quantity: str = ""
    from_: str = ""
    moved: bool = False


@dataclass(frozen=True)
class Certificate:
    certificate: str
    covers: str
    source: str
    confidence: str


@dataclass(frozen=True)
class Rules:
    rules: str
    title: str
    as_of: date
    defer: str
    recovery: RecoveryRule
    fire_watch: FireWatch
    hold_test: HoldTestRule
    records: tuple[RecordRule, ...]
    leak_rate: LeakRateRule
    refrigerant_record: tuple[RecordField, ...]
    deadlines: tuple[Deadline, ...] = ()
    leak_checks: tuple[LeakCheck, ...] = ()
    ask: tuple[str, ...] = ()
    venting: str = ""
    certification: tuple[Certificate, ...] = ()
