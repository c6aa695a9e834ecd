"""Machines that the standard work has no way into or out of yet: refused in one finding each."""

from __future__ import annotations

from packets.circuit import differences, names, ports
from packets.findings import Findings
from packets.job_files import JobFiles
from packets.model.procedures import Library

_MADE = {
    "brazed": "brazed",
    "flare": "a flare joint",
    "rotary-lock": "a screwed (rotary-lock) joint",
}


def process_tubes(files: JobFiles, library: Library, findings: Findings) -> None:
    """Refuse a circuit with process tubes: nothing here pierces, pinches or seals a tube."""
    for name in sorted(files.job.work):
        record = files.equipment.circuits[name]
        if record.circuit not in library.circuits:
            continue
        circuit, wrong = differences.apply(library.circuits[record.circuit], record.differences)
        tubes = () if wrong else ports.tubes(circuit)
        if not tubes:
            continue
        called = names.joined([names.service_port(circuit, port) for port in tubes])
        what = "has no valve" if len(tubes) == 1 else "have no valve"
        findings.error(
            "process-tube",
            files.place("equipment", "circuits", name, "circuit"),
            f"the {called} {what} and no core; these procedures have no steps to open such a tube"
            " and to close it again",
            "do not use this packet for it; where access ports were fitted, write each under"
            f" circuits.{name}.differences: remove the tube and add the port",
        )


def joint_kinds(
    files: JobFiles, library: Library, circuit: str, fragment: str, findings: Findings
) -> None:
    """Refuse a part whose joints the fragment that takes it out has no way for.

    What is not brazed is never cut or heated: a fragment states under `joint_kinds` which joints
    its steps take apart, and it takes those of one part apart in one way.
    """
    one = library.fragments[fragment]
    record = files.equipment.circuits[circuit]
    for part in one.remakes:
        known = {
            key: joint for key, joint in record.joints.items() if key.partition(".")[0] == part
        }
        found = {joint.kind for joint in known.values()}
        other = [key for key, joint in known.items() if joint.kind not in one.joint_kinds]
        if not other and len(found) < 2:
            continue
        at = other[0] if other else next(k for k, j in known.items() if j.kind != "brazed")
        takes = " or ".join(_MADE[kind] for kind in one.joint_kinds)
        why = (
            f"{at} is {_MADE[known[at].kind]}; “{one.title}” takes apart only a joint that is"
            f" {takes}"
            if other
            else f"{at} is {_MADE[known[at].kind]} and the other joint of the {part} is not;"
            f" “{one.title}” takes both apart in one way"
        )
        findings.error(
            "joint-kind",
            files.place("equipment", "circuits", circuit, "joints", at, "kind"),
            f"{why}. A joint that is not brazed is never cut or heated",
            "correct the kind from the machine, or do this part of the work without a packet:"
            " these procedures have no steps for it yet",
        )
