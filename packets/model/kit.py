"""What is on the van: the kit.

Quantities are `Quantity` values in SI. A field that may be left out is None or empty; nothing is
filled in by default here.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from packets.quantities import Quantity


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
    left_hand: bool = False


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
    rated_for: tuple[str, ...] = ()


@dataclass(frozen=True)
class RatedTool:
    """A tool of which only its rating for flammable refrigerants counts."""

    rated_for: tuple[str, ...]
    id: str = ""


@dataclass(frozen=True)
class Hose:
    bore: Quantity
    length: Quantity


@dataclass(frozen=True)
class VacuumManifold:
    """A manifold that all hoses pull through, and the hose from it to the pump."""

    bore: Quantity
    length: Quantity
    hose: Hose | None = None


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
    vacuum_manifold: VacuumManifold | None = None
    leak_detector: RatedTool | None = None
    fan: RatedTool | None = None
    service_hoses: RatedTool | None = None
    # None: the usual hose of the table of practice is taken.
    charging_hose: Hose | None = None


# How each instrument is written in a kit.
EXAMPLES = {
    "micron": "micron: {id: G-3, resolution: 1 micron, calibrated: 2026-02-10}",
    "pressure": "pressure: {id: G-1, resolution: 1 psi, calibrated: 2026-02-10}",
    "thermometer": "thermometer: {id: T-5, resolution: 1 degF, calibrated: 2026-02-10}",
    "meter": "meter: {calibrated: 2026-02-10, category: CAT III 600 V}",
    "torque_wrench": "torque_wrench: {calibrated: 2026-02-10}",
    "scale": "scale: {resolution: 0.5 oz, capacity: 220 lb, calibrated: 2026-02-10}",
}
