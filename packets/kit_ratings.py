"""Whether every tool that meets a flammable refrigerant is rated for its class.

Not only the recovery machine: pump, detector, hoses and fan can each be the spark. The left-hand
valve of a cylinder for flammable gas is looked at where cylinders are chosen.
"""

from __future__ import annotations

from packets import reference
from packets.findings import Findings
from packets.job_files import JobFiles

_NOT_FLAMMABLE = ("A1", "B1")
# Key in the kit, what it is called, and the acts that bring it near the gas.
_TOOLS = (
    ("service_hoses", "the gauge set and hoses", {"removes-refrigerant", "charges"}),
    ("vacuum_pump", "the vacuum pump", {"evacuates"}),
    ("leak_detector", "the leak detector", {"removes-refrigerant", "charges", "opens"}),
    ("fan", "a fan", {"removes-refrigerant", "opens"}),
)


def check(files: JobFiles, acts: set[str], findings: Findings) -> None:
    """Findings for the kit of a job on a flammable machine."""
    for circuit in files.job.work:
        name = files.equipment.circuits[circuit].refrigerant
        row = reference.table("refrigerants").find(refrigerant=name)
        if row is None or row["safety_class"] in _NOT_FLAMMABLE:
            continue
        _tools(files, str(row["safety_class"]), acts, findings)


def _tools(files: JobFiles, safety: str, acts: set[str], findings: Findings) -> None:
    for key, words, when in _TOOLS:
        tool = getattr(files.kit, key)
        rated = tool.rated_for if tool is not None else ()
        if not acts & when or safety in rated:
            continue
        state = f"is not rated for class {safety}" if rated else "has no rating in the kit"
        message = f"{words} {state}" if tool is not None else f"the kit lists no {key}"
        findings.error(
            "kit-rating",
            files.place("kit", key),
            f"{message}; {safety} refrigerant asks for it",
            f"load one that is rated and write {key}.rated_for: [..., {safety}]",
        )
