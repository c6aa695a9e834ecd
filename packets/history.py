"""The file of a machine's past charges: read, and appended to; the equipment record is not touched.

A charge is added as one line at the end. The file is read again with the new line in it before it
takes the old one's place, so that it is whole and valid at any moment, or unchanged.
"""

from __future__ import annotations

from pathlib import Path

from packets import sources, validation
from packets.building import build
from packets.findings import Findings, Place
from packets.formatting import System, show
from packets.model.history import Charge, History
from packets.model.record import Record
from packets.writing import locked, write_whole

ENDING = ".history.yaml"


def beside(equipment: Path) -> Path:
    """Where the history of an equipment record's machine stands."""
    return equipment.with_name(equipment.stem + ENDING)


def load(path: Path, shown: str, equipment: str, findings: Findings) -> History | None:
    """The history of a machine ("" for any); None when there is no file, or, with findings, when
    it is wrong."""
    if not path.exists():
        return None
    document = sources.read(path, shown, findings)
    return _checked(document, equipment, findings) if document else None


def _checked(document: sources.Document, equipment: str, findings: Findings) -> History | None:
    data = validation.validate(document, "history", findings)
    if data is None:
        return None
    if equipment and data["equipment"] != equipment:
        findings.error(
            "history-other",
            document.place("equipment"),
            f"this is the history of {data['equipment']!r}, not of {equipment!r}",
            "keep one history a machine, beside its equipment record",
        )
        return None
    return History(
        data["equipment"],
        tuple(build(Charge, one) for one in data["charges"] or ()),
        data.get("complete_since"),
    )


def charge_line(made: Record, circuit: str, charged: float, recovered: float | None) -> str:
    """A job's charge as one line of the file; masses [kg] in the units of its packet and the steps
    of its scale."""
    step = next((one.scale_step for one in made.balances if one.circuit == circuit), 0.0)
    parts = [f"day: {made.finished}", f"circuit: {circuit}"]
    parts.append(f"charged: {_mass(charged, made.units, step)}")
    if recovered is not None:
        parts.append(f"recovered: {_mass(recovered, made.units, step)}")
    parts += [f'job: "{made.job}"', f'packet: "{made.packet}"']
    return f"- {{{', '.join(parts)}}}"


def _mass(value: float, units: System, step: float) -> str:
    return show(value, "mass", units, "nearest", step).text


def append(
    path: Path, shown: str, made: Record, circuit: str, line: str, findings: Findings
) -> bool:
    """Add a line; False when nothing was written: it is there already, or the file is wrong.

    Raises OSError when the file cannot be written or another program holds it.
    """
    equipment, job, packet = made.equipment, made.job, made.packet
    with locked(path):
        before = sources.read_text(path, shown, findings) if path.exists() else _head(equipment)
        document = None if before is None else sources.parse(before, shown, findings)
        old = _checked(document, equipment, findings) if document else None
        if before is None or document is None or old is None:
            return False
        if any(one.job == job and one.packet == packet and one.circuit == circuit
               for one in old.charges):  # fmt: skip
            findings.warn(
                "history-there",
                Place(shown),
                f"the charge of job {job}, packet {packet}, is in the history already",
                "nothing was added; mend its line by hand if it is wrong",
            )
            return False
        after = f"{before}{'' if before.endswith(chr(10)) else chr(10)}{_indent(document)}{line}\n"
        trial = Findings()
        again = sources.parse(after, shown, trial)
        new = _checked(again, equipment, trial) if again else None
        if new is None or len(new.charges) != len(old.charges) + 1:
            findings.error(
                "history-form",
                Place(shown),
                "the new charge does not fit at the end of the file",
                "put `charges:` last, one charge a line, each beginning with a dash",
            )
            return False
        write_whole(path, after.encode())
    return True


def _head(equipment: str) -> str:
    return f"format: history/1\nequipment: {equipment}\ncharges:\n"


def _indent(document: sources.Document) -> str:
    """The blanks before the dashes of the list."""
    first = document.values.get(("charges", 0))
    return " " * max(first.column - 3, 0) if first else "  "
