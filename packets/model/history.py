"""A machine's past charges, in a file of their own beside the equipment record."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from packets.quantities import Quantity


@dataclass(frozen=True)
class Charge:
    """Refrigerant put in, and taken out, on one day. `verified` is the day a follow-up test showed
    the repair to hold."""

    day: date
    charged: Quantity
    circuit: str = ""
    recovered: Quantity | None = None
    job: str = ""
    packet: str = ""
    why: str = ""
    verified: date | None = None

    @property
    def net(self) -> float:
        """What had gone missing [kg]."""
        return max(0.0, self.charged.value - (self.recovered.value if self.recovered else 0.0))


@dataclass(frozen=True)
class History:
    """All of them. `complete_since`: every charge from that day on is in the file."""

    equipment: str
    charges: tuple[Charge, ...] = ()
    complete_since: date | None = None

    def without(self, job: str) -> History:
        """The history before a job: reviewed twice, its own charge must not count twice."""
        return replace(self, charges=tuple(one for one in self.charges if one.job != job))

    def of(self, circuit: str) -> tuple[Charge, ...]:
        """The charges of one circuit, oldest first; one without a circuit counts for all."""
        own = (one for one in self.charges if one.circuit in ("", circuit))
        return tuple(sorted(own, key=lambda one: one.day))
