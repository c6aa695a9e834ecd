"""Which joints a plan opens and makes again, in the order of the braze plan."""

from __future__ import annotations

from packets.circuit import graph as graphs
from packets.circuit import names
from packets.findings import Findings
from packets.job_files import JobFiles
from packets.model.hookups import Hookups
from packets.model.plans import Plan
from packets.model.procedures import Library
from packets.numbers.context import JointAt


def joints(
    files: JobFiles,
    library: Library,
    plan: Plan,
    hookups: Hookups,
    circuit: str,
    findings: Findings,
) -> tuple[JointAt, ...]:
    """The joints of every part that the planned fragments remake, as the record describes them.

    In the order of the braze plan, each with its nitrogen route; without a plan (its problem is a
    finding already) in the order the parts are made ready.
    """
    record = files.equipment.circuits[circuit]
    graph = graphs.build(hookups.made)
    described = {
        graph.joint_of[key]: (key, joint)
        for key, joint in record.joints.items()
        if key in graph.joint_of
    }
    _undrawn(files, library, plan, hookups, circuit, findings)
    steps = {step.joint: step for step in hookups.braze.steps}
    left = files.job.now.circuits[circuit].left
    still_open = {graph.joint_of.get(key) for key in (left.open if left else ())}
    of_parts = [id for part in hookups.opened.out for id in graph.joints_at(part)]
    wanted = list(steps) or of_parts
    found: list[JointAt] = []
    for id in dict.fromkeys(wanted):
        if id not in described:
            findings.error(
                "joint-missing",
                files.place("equipment", "circuits", circuit, "joints"),
                f"the plan makes joint {id}, the record does not describe it",
                f"add {id}: {{size: ..., kind: brazed, metals: [copper, copper]}}",
            )
            continue
        key, joint = described[id]
        found.append(
            JointAt(
                key,
                names.joint(hookups.made, id),
                joint.size.value,
                joint.kind,
                joint.metals,
                steps.get(id),
                # A joint of a part that comes out is made again with the part, named or not.
                # So is one that an earlier visit left open.
                named=id in hookups.opened.joints and id not in of_parts and id not in still_open,
            )
        )
    return tuple(found)


def _undrawn(
    files: JobFiles,
    library: Library,
    plan: Plan,
    hookups: Hookups,
    circuit: str,
    findings: Findings,
) -> None:
    """A part that is fitted has a place in the circuit, or nobody can tell where the gas goes."""
    for item in plan.order:
        if item.circuit != circuit:
            continue
        for part in library.fragments[item.fragment].remakes:
            if part not in hookups.made.parts:
                findings.error(
                    "part-not-drawn",
                    files.place("equipment", "circuits", circuit, "circuit"),
                    f"the plan fits a {part.replace('-', ' ')}, the circuit has none",
                    f"add it under circuits.{circuit}.differences:"
                    f" {{add: {part}, in: the line it stands in, kind: ..., at: [x, y]}}",
                )
