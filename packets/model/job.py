"""What people write about one visit: the job.

Quantities are `Quantity` values in SI. A field that may be left out is None or empty; nothing is
filled in by default here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from packets.model.equipment import Oil, RunCapacitor, Supply
from packets.quantities import Quantity


@dataclass(frozen=True)
class Site:
    name: str
    contact: str
    address: str = ""
    fire_watch: str = ""
    fire_watch_time: Quantity | None = None
    permit: str = ""
    access: str = ""


@dataclass(frozen=True)
class Left:
    """How a circuit without a charge was left: joints not made, the gas it is sealed under."""

    open: tuple[str, ...]
    since: date
    sealed: str = ""


@dataclass(frozen=True)
class CircuitState:
    """How one circuit is found today."""

    refrigerant: str
    compressor: str
    acid_test: str = "not-made"
    facts: tuple[str, ...] = ()
    left: Left | None = None


def is_burnt(state: CircuitState) -> bool:
    """Whether what is in the circuit must not touch clean refrigerant or a clean machine."""
    return state.compressor == "electrical-burnout" or state.acid_test == "acid"


@dataclass(frozen=True)
class Now:
    circuits: dict[str, CircuitState]
    facts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Stubs:
    suction: Quantity
    discharge: Quantity


@dataclass(frozen=True)
class NewCompressor:
    model: str
    refrigerants: tuple[str, ...]
    supply: Supply
    oil: Oil
    stubs: Stubs
    rated_load_current: Quantity | None = None
    weight: Quantity | None = None
    run_capacitor: RunCapacitor | None = None


@dataclass(frozen=True)
class NewDrier:
    model: str
    size: Quantity
    acid_core: bool = False
    two_way: bool = False
    ports: bool = False
    kind: str = "brazed"
    volume: Quantity | None = None


@dataclass(frozen=True)
class NewVessel:
    """A new receiver or suction accumulator."""

    model: str
    volume: Quantity


@dataclass(frozen=True)
class Parts:
    compressor: NewCompressor | None = None
    drier: NewDrier | None = None
    suction_drier: NewDrier | None = None
    accumulator: NewVessel | None = None
    receiver: NewVessel | None = None


@dataclass(frozen=True)
class Conditions:
    outdoor: Quantity
    hottest_pipe: Quantity
    coldest_pipe: Quantity | None = None


@dataclass(frozen=True)
class Crew:
    technicians: int
    lead: str = ""
    certification: tuple[str, ...] = ()


@dataclass(frozen=True)
class Job:
    job: str
    revision: int
    equipment: str
    kit: str
    rules: str
    date: date
    phone: str
    site: Site
    diagnosis: str
    now: Now
    work: dict[str, tuple[str, ...]]
    conditions: Conditions
    crew: Crew
    also: tuple[str, ...] = ()
    joints: dict[str, tuple[str, ...]] = field(default_factory=dict)
    parts: dict[str, Parts] = field(default_factory=dict)
