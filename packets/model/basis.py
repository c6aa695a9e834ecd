"""What a packet carries for the day it comes back: the figures that its readings are judged from.

Values are SI. They are settled when the packet is made, so that a filled packet is judged by what
was printed and never by what a later version would compute.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class CylinderBasis:
    """A cylinder as the kit states it [kg]. `stop` is the gross weight it is filled or drawn to."""

    id: str
    use: Literal["recovery", "charging"]
    refrigerant: str
    tare: float
    contents: float
    start: float
    stop: float
    as_of: str = ""


@dataclass(frozen=True)
class SaturationPoint:
    """One point of the refrigerant: gauge pressure [Pa], bubble and dew temperature [K]."""

    pressure: float
    bubble: float
    dew: float


@dataclass(frozen=True)
class RiseBasis:
    """What the rise test is read against: coldest part [K], limit [Pa absolute], wait [s]."""

    coldest: float
    limit: float
    wait: float


@dataclass(frozen=True)
class CircuitBasis:
    """One circuit. `full_charge` is the charge after the work, `charge_before` before it [kg], 0
    where a packet of an earlier version names one alone;
    `atmosphere` [Pa absolute]; steps of scale [kg], gauge [Pa], thermometer [K].
    `warming` is the 100-year figure (AR4), 0 when not known."""

    circuit: str
    refrigerant: str
    full_charge: float
    charge_from: str
    atmosphere: float
    scale_step: float
    pressure_step: float = 0.0
    temperature_step: float = 0.0
    warming: float = 0.0
    ozone_depleting: bool = False
    hermetic: bool = False
    rise: RiseBasis | None = None
    hold_time: float = 0.0
    cylinders: tuple[CylinderBasis, ...] = ()
    saturation: tuple[SaturationPoint, ...] = ()
    charge_before: float = 0.0

    @property
    def held_before(self) -> float:
        """Charge of the machine before the work [kg]."""
        return self.charge_before or self.full_charge


@dataclass(frozen=True)
class KeepRule:
    """A record and how long it is kept; `years` is 0 where no number of years is given."""

    what: str
    keep: str
    years: float
    source: str
    confidence: str


@dataclass(frozen=True)
class DueRule:
    """What is due. `when` names the event that starts it, `days` counts from it; `next_year_on`
    is a month and day of the next year. With neither the text alone says by when."""

    what: str
    when: str
    within: str
    days: int
    source: str
    confidence: str
    next_year_on: str = ""


@dataclass(frozen=True)
class CoverRule:
    """Which machines the leak rule covers: kind of refrigerant, and from which full charge [kg]."""

    refrigerants: str
    charge: float


@dataclass(frozen=True)
class TriggerRule:
    """The leak rate a year [1/yr] above which something is due, by use of the machine."""

    use: str
    rate: float


@dataclass(frozen=True)
class CheckRule:
    """Leak checks every so many months, from so much refrigerant on: tonnes of carbon dioxide
    equivalent."""

    from_tonnes: float
    months: int


@dataclass(frozen=True)
class RulesBasis:
    """The parts of the rules that act after the work."""

    keep: tuple[KeepRule, ...] = ()
    due: tuple[DueRule, ...] = ()
    covers: tuple[CoverRule, ...] = ()
    triggers: tuple[TriggerRule, ...] = ()
    least_warming: float = 0.0
    checks: tuple[CheckRule, ...] = ()
    notes: tuple[str, ...] = ()
    ask: tuple[str, ...] = ()
    source: str = ""
    confidence: str = ""


@dataclass(frozen=True)
class Basis:
    """All circuits of the packet, and the rules it was made under."""

    use: str
    circuits: tuple[CircuitBasis, ...]
    rules: RulesBasis
