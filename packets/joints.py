"""Which joints a plan opens and makes again, in brazing order."""

from __future__ import annotations

from packets.findings import Findings
from packets.job_files import JobFiles
from packets.model.plans import Plan
from packets.model.procedures import CircuitPlan, Library
from packets.numbers.context import JointAt


def joints(
    files: JobFiles,
    library: Library,
    plan: Plan,
    drawn: CircuitPlan,
    circuit: str,
    findings: Findings,
) -> tuple[JointAt, ...]:
    """The joints of every part that the planned fragments remake.

    In the order the parts are made ready, so that the drier, made ready last, is open for the
    shortest time. A part that the circuit does not draw (one that is added) has an inlet and an
    outlet.
    """
    record = files.equipment.circuits[circuit]
    found: list[JointAt] = []
    for item in plan.order:
        if item.circuit != circuit:
            continue
        for part in library.fragments[item.fragment].remakes:
            known = drawn.parts.get(part)
            name = (known.name if known else "") or part.replace("-", " ")
            for port in known.ports if known else ("in", "out"):
                key = f"{part}.{port}"
                joint = record.joints.get(key)
                if joint is None:
                    findings.error(
                        "joint-missing",
                        files.place("equipment", "circuits", circuit, "joints"),
                        f"the plan makes joint {key}, the record does not describe it",
                        f"add {key}: {{size: ..., kind: brazed, metals: [copper, copper]}}",
                    )
                    continue
                found.append(
                    JointAt(
                        key,
                        f"{name} {_PORTS.get(port, port)}",
                        joint.size.value,
                        joint.kind,
                        joint.metals,
                    )
                )
    return tuple(found)


_PORTS = {"in": "inlet", "out": "outlet", "suction": "suction", "discharge": "discharge"}
