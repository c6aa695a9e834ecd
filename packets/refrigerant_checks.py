"""Which refrigerants a job may have: those that the procedures cover, each other refused once."""

from __future__ import annotations

from packets import reference, saturation_data
from packets.findings import Findings, suggest
from packets.job_files import JobFiles

# What may follow the number of a refrigerant.
LETTERS = "ABCDEFGabcdefg()"
# Above this charge a class A3 machine needs the figure of its own label [kg]: the older limit of
# UL 471 for retail cabinets, 150 g (work practice, from memory; 300 g and 500 g by label today).
UNLABELED_A3 = 0.150
LABEL = ("nameplate",)


def check(files: JobFiles, circuit: str, findings: Findings) -> None:
    """Add one finding where the procedures do not cover a circuit's refrigerant."""
    record = files.equipment.circuits[circuit]
    name = record.refrigerant
    place = files.place("equipment", "circuits", circuit, "refrigerant")
    row = reference.table("refrigerants").find(refrigerant=name)
    listed = reference.table("not_covered").find(refrigerant=name)
    if row is not None and row["safety_class"].startswith("B"):
        # The standard work guards against fire and suffocation, not against poison.
        why = listed["why"] if listed else f"it is poisonous (class {row['safety_class']})"
        takes = listed["takes"] if listed else "the site's own plan, and those licensed for it"
        findings.error("refrigerant-toxic", place, _not_covered(name, why), _takes(takes))
    elif listed is not None:
        why, takes = listed["why"], listed["takes"]
        findings.error("refrigerant-not-covered", place, _not_covered(name, why), _takes(takes))
    elif name not in saturation_data.names() and not record.chart:
        _without_table(name, circuit, files, findings)
    elif row is not None and row["safety_class"] == "A3":
        _unlabeled(files, circuit, findings)


def _not_covered(name: str, why: str) -> str:
    return f"No procedure here covers {name}: {' '.join(why.split())}"


def _takes(takes: str) -> str:
    return f"Do not use this program for it. The work takes: {' '.join(takes.split())}"


def _unlabeled(files: JobFiles, circuit: str, findings: Findings) -> None:
    """The label decides what a class A3 machine may hold; without it the least limit holds."""
    record = files.equipment.circuits[circuit]
    if record.charge.value <= UNLABELED_A3 + 1e-9 or record.charge_from in LABEL:
        return
    findings.error(
        "flammable-label",
        files.place("equipment", "circuits", circuit, "charge"),
        f"{record.charge.text} of {record.refrigerant} (class A3) is more than 150 g (5.3 oz),"
        " and no figure of the unit's label is given",
        "Write the charge of the label, with charge_from: nameplate."
        " Do not charge more than 150 g without that figure.",
    )


def _without_table(name: str, circuit: str, files: JobFiles, findings: Findings) -> None:
    place = files.place("equipment", "circuits", circuit, "refrigerant")
    refused = saturation_data.refused()
    if name in refused:
        findings.error(
            "refrigerant-refused",
            place,
            f"{name} has no sound model: {refused[name]}",
            f"add its published chart as circuits.{circuit}.chart, and specific_gravity beside it",
        )
        return
    # A near name of another number is another refrigerant, and to suggest it would be a guess.
    known = [*saturation_data.names(), *refused]
    same = [other for other in known if other.rstrip(LETTERS) == name.rstrip(LETTERS)]
    fix = suggest(name, same) if same else f"known: {', '.join(sorted(known))}"
    findings.error("unknown-refrigerant", place, f"{name} is not known", fix)
