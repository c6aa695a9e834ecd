"""What people write about a machine: the equipment record.

Quantities are `Quantity` values in SI. A field that may be left out is None or empty; nothing is
filled in by default here.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from packets.model.circuits import Difference
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
    differences: tuple[Difference, ...] = ()
    small_appliance: bool = False
    evaporating: Span | None = None
    condensing: Span | None = None
    lines: tuple[Line, ...] = ()
    reliefs: tuple[Relief, ...] = ()
    limits: tuple[PressureLimit, ...] = ()
    controls: Controls = Controls()
    internal_volume: Quantity | None = None
    hold_time: Quantity | None = None
    leak_to_see: Quantity | None = None
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
