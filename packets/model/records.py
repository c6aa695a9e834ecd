"""What people write about a job: the equipment record, the kit and the job itself.

Quantities are `Quantity` values in SI. A field that may be left out is None or empty; nothing is
filled in by default here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from packets.quantities import Quantity


@dataclass(frozen=True)
class Supply:
    volts: Quantity
    phases: int
    frequency: Quantity


@dataclass(frozen=True)
class Oil:
    kind: str
    charge: Quantity


@dataclass(frozen=True)
class Space:
    kind: str
    altitude: Quantity
    closed_room: bool = False
    ladder: bool = False


@dataclass(frozen=True)
class Store:
    setpoint: Quantity
    coldest: Quantity
    product: str = ""


@dataclass(frozen=True)
class DesignPressure:
    high: Quantity
    low: Quantity | None = None


@dataclass(frozen=True)
class Compressor:
    type: str
    oil: Oil
    model: str = ""
    semi_hermetic: bool = False
    rated_load_current: Quantity | None = None
    crankcase_heater: bool = False
    heater_time: Quantity | None = None
    test_pressure: Quantity | None = None


@dataclass(frozen=True)
class Metering:
    device: str
    superheat: Quantity | None = None
    superheat_within: Quantity | None = None
    subcooling: Quantity | None = None
    subcooling_within: Quantity | None = None


@dataclass(frozen=True)
class Span:
    """A range of temperature."""

    low: Quantity
    high: Quantity


@dataclass(frozen=True)
class Line:
    name: str
    size: Quantity
    length: Quantity
    temper: str = "annealed"


@dataclass(frozen=True)
class Joint:
    size: Quantity
    kind: str
    metals: tuple[str, ...]


@dataclass(frozen=True)
class Relief:
    place: str
    setting: Quantity


@dataclass(frozen=True)
class PressureLimit:
    part: str
    pressure: Quantity


@dataclass(frozen=True)
class Controls:
    low_pressure_cut_in: Quantity | None = None
    low_pressure_cut_out: Quantity | None = None
    high_pressure_cut_out: Quantity | None = None


@dataclass(frozen=True)
class Evacuation:
    target: Quantity | None = None
    rise_limit: Quantity | None = None
    rise_time: Quantity | None = None


@dataclass(frozen=True)
class ChartRow:
    temperature: Quantity
    bubble: Quantity
    dew: Quantity


@dataclass(frozen=True)
class Circuit:
    """One refrigerant circuit of a machine, as its nameplate and file give it."""

    circuit: str
    refrigerant: str
    charge: Quantity
    charge_from: str
    design_pressure: DesignPressure
    compressor: Compressor
    metering: Metering
    joints: dict[str, Joint]
    small_appliance: bool = False
    evaporating: Span | None = None
    condensing: Span | None = None
    lines: tuple[Line, ...] = ()
    reliefs: tuple[Relief, ...] = ()
    limits: tuple[PressureLimit, ...] = ()
    controls: Controls = Controls()
    internal_volume: Quantity | None = None
    hold_time: Quantity | None = None
    evacuation: Evacuation = Evacuation()
    torque: dict[str, Quantity] = field(default_factory=dict)
    chart: tuple[ChartRow, ...] = ()


@dataclass(frozen=True)
class Equipment:
    equipment: str
    description: str
    use: str
    supply: Supply
    space: Space
    circuits: dict[str, Circuit]
    store: Store | None = None
    history: str = ""


@dataclass(frozen=True)
class RecoveryMachine:
    made: date
    rated_for: tuple[str, ...]
    vapor_rate: Quantity
    liquid_rate: Quantity | None = None
    id: str = ""


@dataclass(frozen=True)
class RecoveryCylinder:
    id: str
    water_capacity: Quantity
    tare: Quantity
    rating: Quantity
    contents: Quantity
    as_of: date
    retest_by: date
    holds: str = ""
    evacuated: bool = False


@dataclass(frozen=True)
class ChargingCylinder:
    id: str
    refrigerant: str
    gross: Quantity
    tare: Quantity
    state: str = ""
    heel: Quantity | None = None


@dataclass(frozen=True)
class VacuumPump:
    displacement: Quantity
    ultimate: Quantity


@dataclass(frozen=True)
class Hose:
    bore: Quantity
    length: Quantity


@dataclass(frozen=True)
class Instrument:
    calibrated: date
    resolution: Quantity | None = None
    id: str = ""
    category: str = ""


@dataclass(frozen=True)
class Gauges:
    micron: Instrument
    pressure: Instrument
    thermometer: Instrument
    meter: Instrument | None = None
    torque_wrench: Instrument | None = None


@dataclass(frozen=True)
class Scale:
    resolution: Quantity
    capacity: Quantity
    calibrated: date | None = None


@dataclass(frozen=True)
class NitrogenCylinder:
    volume: Quantity
    pressure: Quantity
    full_pressure: Quantity


@dataclass(frozen=True)
class Regulator:
    outlet: Quantity
    relief: Quantity | None = None


@dataclass(frozen=True)
class Kit:
    kit: str
    recovery_machine: RecoveryMachine
    recovery_cylinders: tuple[RecoveryCylinder, ...]
    charging_cylinders: tuple[ChargingCylinder, ...]
    vacuum_pump: VacuumPump
    vacuum_hoses: tuple[Hose, ...]
    core_tools: int
    gauges: Gauges
    scale: Scale
    nitrogen: tuple[NitrogenCylinder, ...]
    regulator: Regulator | None = None


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
class CircuitState:
    """How one circuit is found today."""

    refrigerant: str
    compressor: str
    acid_test: str = "not-made"
    facts: tuple[str, ...] = ()


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


@dataclass(frozen=True)
class NewDrier:
    model: str
    size: Quantity
    acid_core: bool = False
    two_way: bool = False
    ports: bool = False
    kind: str = "brazed"


@dataclass(frozen=True)
class Parts:
    compressor: NewCompressor | None = None
    drier: NewDrier | None = None
    suction_drier: NewDrier | None = None


@dataclass(frozen=True)
class Conditions:
    outdoor: Quantity
    hottest_pipe: Quantity


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
    parts: dict[str, Parts] = field(default_factory=dict)
