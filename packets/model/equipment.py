"""What people write about a machine: the equipment record.

Quantities are `Quantity` values in SI. A field that may be left out is None or empty; nothing is
filled in by default here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

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
class Room:
    """The smallest closed room that the charge could leak into."""

    area: Quantity
    height: Quantity | None = None
    install_height: Quantity | None = None
    release_offset: Quantity | None = None


@dataclass(frozen=True)
class Space:
    kind: str
    altitude: Quantity
    closed_room: bool = False
    ladder: bool = False
    room: Room | None = None


@dataclass(frozen=True)
class Store:
    setpoint: Quantity
    coldest: Quantity
    product: str = ""
    pull_down: Quantity | None = None


@dataclass(frozen=True)
class DesignPressure:
    high: Quantity
    low: Quantity | None = None


@dataclass(frozen=True)
class RunCapacitor:
    """A run or start capacitor as marked; `within` is a share of the value."""

    value: Quantity
    within: Quantity | None = None
    voltage: Quantity | None = None


@dataclass(frozen=True)
class Span:
    """A range of temperature or of temperature difference."""

    low: Quantity
    high: Quantity


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
    run_capacitor: RunCapacitor | None = None
    start_capacitor: RunCapacitor | None = None
    highest_ratio: Quantity | None = None
    superheat: Span | None = None
    discharge_limit: Quantity | None = None


@dataclass(frozen=True)
class Metering:
    device: str
    superheat: Quantity | None = None
    superheat_within: Quantity | None = None
    subcooling: Quantity | None = None
    subcooling_within: Quantity | None = None
    approach: Quantity | None = None
    approach_within: Quantity | None = None


@dataclass(frozen=True)
class Air:
    """Air through the evaporator, and the sensible heat the maker prints for it."""

    flow: Quantity
    sensible_heat: Quantity
    split_within: Quantity


@dataclass(frozen=True)
class Heating:
    """What the maker of a heat pump prints for heating."""

    evaporating: Span | None = None
    rise: Span | None = None
    discharge_limit: Quantity | None = None
    defrost_time: Quantity | None = None


@dataclass(frozen=True)
class LineSet:
    """What of the line set a nameplate charge covers, and the maker's adder beyond that."""

    covers: Quantity
    adder: Quantity | None = None
    liquid_temperature: Quantity | None = None


@dataclass(frozen=True)
class ReceiverCharge:
    """Parts of the charge of a machine with a receiver."""

    evaporator: Quantity
    condenser: Quantity
    receiver_minimum: Quantity
    flooding: Quantity | None = None


@dataclass(frozen=True)
class Addition:
    """Refrigerant added once; after a change-out the net."""

    date: date
    mass: Quantity


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
    within: Quantity | None = None
    control_switch: bool = False
    test_points: bool = False


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
    charge_within: Quantity | None = None
    line_set: LineSet | None = None
    receiver_charge: ReceiverCharge | None = None
    part_volumes: dict[str, Quantity] = field(default_factory=dict)
    # None: nobody wrote down what was added; empty: nothing was.
    additions: tuple[Addition, ...] | None = None
    leak_method: str = ""
    leak_verified: date | None = None
    air: Air | None = None
    small_appliance: bool = False
    evaporating: Span | None = None
    condensing: Span | None = None
    head_minimum: Quantity | None = None
    cooling_capacity: Quantity | None = None
    heating: Heating | None = None
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
    specific_gravity: Quantity | None = None


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
