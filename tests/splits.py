"""Jobs on a single-phase split unit, changed further from the plain one."""

from __future__ import annotations

from pathlib import Path

from packets.model.numbers import Number, NumberGrid, NumberTable, Register
from packets.pipeline import Prepared
from tests import jobs

CHARGE = "charge: 14 lb 8 oz\n    charge_from: recorded"
TXV = "metering: {device: txv, superheat: 8 degF, superheat_within: 3 degF, subcooling: 6 degF}"
ORIFICE = "metering: {device: fixed-orifice}"


def split(
    folder: Path,
    *changes: jobs.Change,
    kit: list[jobs.Change] | None = None,
    job: list[jobs.Change] | None = None,
    refrigerant: str = "R-410A",
) -> Prepared:
    """The plain split job with the equipment record's texts replaced."""
    made = {
        name: [(old, new.replace("R-410A", refrigerant)) for old, new in pairs]
        for name, pairs in jobs.PLAIN.items()
    }
    made["equipment.yaml"] += changes
    made["kit.yaml"] += kit or []
    made["job.yaml"] += job or []
    return jobs.prepared(folder, made)


def nameplate(charge: str, line_set: str = "", more: str = "") -> jobs.Change:
    """The charge as a nameplate gives it."""
    lines = [f"charge: {charge}", "    charge_from: nameplate"]
    lines += [f"    line_set: {line_set}"] if line_set else []
    return CHARGE, "\n".join(lines) + more


def register(done: Prepared) -> Register:
    return done.circuits["a"].context.register


def number(done: Prepared, name: str) -> Number:
    found = register(done).number(name)
    assert found is not None, (name, [str(f) for f in done.findings])
    return found


def table(done: Prepared, name: str) -> NumberTable:
    found = register(done).entries[name]
    assert isinstance(found, NumberTable)
    return found


def grid(done: Prepared, name: str) -> NumberGrid:
    found = register(done).entries[name]
    assert isinstance(found, NumberGrid)
    return found


def warned(done: Prepared, code: str) -> str:
    """Message and fix of the first warning of that code; "" when there is none."""
    for finding in done.findings.warnings():
        if finding.code == code:
            return f"{finding.message} {finding.fix}"
    return ""


def stopped(done: Prepared, code: str) -> str:
    """Message and fix of the first error of that code; "" when there is none."""
    for finding in done.findings.errors():
        if finding.code == code:
            return f"{finding.message} {finding.fix}"
    return ""
