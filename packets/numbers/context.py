"""What the subjects of the register compute from, and the few things they all need."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

from packets import reference
from packets.findings import Findings, Place
from packets.formatting import System, show
from packets.formulas.atmosphere import pressure_at_altitude
from packets.job_files import JobFiles
from packets.model.circuits import CircuitPlan
from packets.model.equipment import Circuit, Equipment
from packets.model.hookups import BrazeStep, Hookups
from packets.model.job import CircuitState, Job, Parts, is_burnt
from packets.model.kit import Kit
from packets.model.numbers import Confidence, Input, Number, Register, Rounding
from packets.model.procedures import Rules
from packets.quantities import Quantity
from packets.saturation_data import SaturationData


def no_sooner_step(seconds: float) -> float:
    """Step [s] of a time that something takes no less than. It rounds down, so that what is printed
    is never more than what was computed; short ones to a tenth of a minute, so that they are not 0.
    """
    return 6.0 if seconds < 600 else 60.0


@dataclass(frozen=True)
class JointAt:
    """A joint that this job opens and makes again: `key` is part.port as in the record, `step`
    what the braze plan says of it, `named` whether the job named it."""

    key: str
    name: str
    size: float
    kind: str
    metals: tuple[str, ...]
    step: BrazeStep | None = None
    named: bool = False


@dataclass
class Context:
    """One circuit of a job, with everything its numbers come from."""

    files: JobFiles
    circuit: str
    rules: Rules
    hookups: Hookups
    fluid: SaturationData | None
    joints: tuple[JointAt, ...]
    register: Register
    findings: Findings
    units: System = "ip"
    # What the planned fragments do to the machine.
    acts: frozenset[str] = frozenset()

    @property
    def job(self) -> Job:
        return self.files.job

    @property
    def equipment(self) -> Equipment:
        return self.files.equipment

    @property
    def kit(self) -> Kit:
        return self.files.kit

    @property
    def record(self) -> Circuit:
        return self.files.equipment.circuits[self.circuit]

    @property
    def state(self) -> CircuitState:
        return self.files.job.now.circuits[self.circuit]

    @property
    def parts(self) -> Parts:
        return self.files.job.parts.get(self.circuit, Parts())

    @property
    def plan(self) -> CircuitPlan:
        """The circuit that the machine has when we leave."""
        return self.hookups.made

    @property
    def burnt(self) -> bool:
        """Refrigerant that must not go onto clean refrigerant."""
        return is_burnt(self.state)

    @cached_property
    def atmosphere(self) -> float:
        """Air pressure at the site [Pa absolute]."""
        return pressure_at_altitude(self.equipment.space.altitude.value)

    @cached_property
    def refrigerant_row(self) -> dict[str, Any] | None:
        """The refrigerant's row in the table of refrigerants."""
        return reference.table("refrigerants").find(refrigerant=self.record.refrigerant)

    @property
    def safety_class(self) -> str | None:
        row = self.refrigerant_row
        return str(row["safety_class"]) if row else None

    @property
    def flammable(self) -> bool:
        """Whether the refrigerant's class says that it burns."""
        return self.safety_class not in (None, "A1", "B1")

    @property
    def glide(self) -> bool | None:
        """Whether bubble and dew pressure differ by more than 1 %, in the middle of the table."""
        if self.fluid is None:
            return None
        table = self.fluid.table
        middle = (table.low + table.high) / 2
        return table.bubble_pressure(middle) > 1.01 * table.dew_pressure(middle)

    def key(self, *path: str) -> str:
        """A key of the equipment record's circuit, as a person finds it."""
        return ".".join(("circuits", self.circuit, *path))

    def place(self, kind: str, *path: str | int) -> Place:
        return self.files.place(kind, *path)

    def record_place(self, *path: str | int) -> Place:
        return self.files.place("equipment", "circuits", self.circuit, *path)

    def shown(
        self, value: float, quantity: str, rounding: str = "nearest", step: float = 0.0
    ) -> str:
        """A value as printed."""
        return show(value, quantity, self.units, rounding, step).text

    def given(self, name: str, quantity: Quantity, where: str) -> Input:
        """An input that stands in one of the job's files."""
        return Input(name, quantity.text, where)

    def number(
        self,
        id: str,
        label: str,
        quantity: str,
        value: float,
        *,
        round: Rounding = "nearest",
        step: float = 0.0,
        to: str = "",
        formula: str = "",
        working: str = "",
        inputs: tuple[Input, ...] = (),
        source: str,
        confidence: Confidence,
        assumption: str = "",
        unit: str = "",
    ) -> Number:
        """Make a number, add it to the register and return it. One taken as it stands is its own
        working; words alone are no working, so the value is put behind them."""
        formula = formula or "as the source gives it"
        if not any(character.isdigit() for character in working):
            shown = show(value, quantity, self.units, round, step, unit).text
            working = f"{working}: {shown}" if working else shown
        entry = Number(
            id,
            label,
            quantity,
            value,
            round,
            formula,
            working,
            inputs,
            source,
            confidence,
            step,
            to,
            assumption,
            unit,
        )
        self.register.add(entry)
        return entry

    def practice(
        self, id: str, label: str, quantity: str, value: float, row: dict[str, Any], **more: Any
    ) -> Number:
        """A number that is one row of the table of practice."""
        source = reference.table("practice").source(row)
        more.setdefault("formula", "as the table gives it")
        return self.number(
            id, label, quantity, value, source=source.text, confidence=source.confidence, **more
        )

    @property
    def day(self) -> date:
        return self.job.date
