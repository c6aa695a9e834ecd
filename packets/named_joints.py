"""The joints that the job itself names: a leaking flare is no part, and is made again in place."""

from __future__ import annotations

from packets.circuit import names
from packets.findings import Findings, suggest
from packets.job_files import JobFiles
from packets.model.plans import Plan
from packets.model.procedures import CircuitPlan, Library
from packets.numbers.context import JointAt


def named_joints(
    files: JobFiles,
    library: Library,
    plan: Plan,
    drawn: CircuitPlan,
    circuit: str,
    findings: Findings,
) -> tuple[JointAt, ...]:
    """The joints under `joints` of the job, as the equipment record describes them.

    They and the fragments that make them again must agree, or a nut would be loosened and never
    tightened.
    """
    named = files.job.joints.get(circuit, ())
    makers = [
        library.fragments[item.fragment]
        for item in plan.order
        if item.circuit == circuit and library.fragments[item.fragment].remakes_joints
    ]
    kinds = {kind for fragment in makers for kind in fragment.remakes_joints}
    if makers and not named:
        findings.error(
            "joints-not-named",
            files.place("job", "joints") if files.job.joints else files.place("job"),
            f"{makers[0].title} makes joints again, the job names none",
            f"add joints: {{{circuit}: [part.port, ...]}}",
        )
    if named and not makers:
        findings.error(
            "joints-not-made",
            files.place("job", "joints", circuit),
            "the job names joints, and no planned work makes them again",
            "order repair-leak, or take the joints out",
        )
        return ()
    found = []
    for at, key in enumerate(named):
        place = files.place("job", "joints", circuit, at)
        joint = files.equipment.circuits[circuit].joints.get(key)
        if joint is None:
            known = files.equipment.circuits[circuit].joints
            findings.error(
                "joint-missing",
                place,
                f"the job names joint {key}, the record does not describe it",
                suggest(key, known) if known else f"describe {key} in the equipment record",
            )
        elif joint.kind not in kinds:
            findings.error(
                "joint-kind",
                place,
                f"{key} is {joint.kind}; this work makes {', '.join(sorted(kinds))} joints again",
                "order the work that opens the part it belongs to",
            )
        else:
            found.append(
                JointAt(
                    key=key,
                    name=_name(drawn, key),
                    size=joint.size.value,
                    kind=joint.kind,
                    metals=joint.metals,
                    named=True,
                )
            )
    return tuple(found)


def _name(drawn: CircuitPlan, key: str) -> str:
    """As the circuit calls it; a joint that is not drawn keeps the record's own words."""
    part, _, port = key.partition(".")
    known = drawn.parts.get(part)
    if known is None or port not in known.ports:
        return key.replace(".", " ").replace("-", " ")
    return names.joint(drawn, key)
