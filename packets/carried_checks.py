"""What a job says of the past: facts taken from an earlier record, and how the circuit was left."""

from __future__ import annotations

from packets import carried
from packets.features import DOES_NOT_BURN as NO_FIRE
from packets.features import safety_class
from packets.findings import Findings, Place, suggest
from packets.job_files import JobFiles
from packets.model.job import CircuitState, Left
from packets.model.procedures import Fact, Library
from packets.quantities import BadQuantity

_EXAMPLE = "{{open: [], sealed: nitrogen 20 psig at 68 degF, since: {day}}}"


def check(files: JobFiles, circuit: str, library: Library, findings: Findings) -> None:
    """Each fact exists and may be carried over; how a circuit without a charge was left is said."""
    now = files.job.now
    for path, names in (
        (("now", "facts"), now.facts),
        (("now", "circuits", circuit, "facts"), now.circuits[circuit].facts),
    ):
        for at, name in enumerate(names):
            place = files.place("job", *path, at)
            fact = library.facts.facts.get(name)
            if fact is None:
                findings.error(
                    "unknown-fact",
                    place,
                    f"no fact is called {name!r}",
                    suggest(name, library.facts.facts),
                )
            else:
                _fact(name, fact, now.circuits[circuit], place, findings)
                _done(files, circuit, name, library, place, findings)
    _left(files, circuit, findings)


def _fact(name: str, fact: Fact, state: CircuitState, place: Place, findings: Findings) -> None:
    """A passing fact is refused; one without its proof is not taken, and its work is planned."""
    if fact.lasts == "passing":
        findings.error(
            "fact-passing",
            place,
            f"`{name}` ({fact.meaning}) does not outlast the visit that made it",
            f"take {name} out: the packet makes it true again",
        )
    elif fact.lasts == "said":
        findings.error(
            "fact-said",
            place,
            f"`{name}` ({fact.meaning}) is said by the circuit's `refrigerant`",
            f"take {name} out, and write refrigerant: present, recovered or lost",
        )
    elif fact.lasts == "proved" and not carried.proved(fact, state):
        findings.warn(
            "fact-unproved",
            place,
            f"`{name}` is not taken over, for the job does not show that {fact.proof}",
            "nothing, where it is made again; or write `left`"
            if fact.proved_by != "on-site"
            else f"take {name} out: only a gauge of the day shows it, so the work is planned again",
        )


def _done(
    files: JobFiles, circuit: str, name: str, library: Library, place: Place, findings: Findings
) -> None:
    """Ordered work whose goal a fact says is reached is not planned again, and that is told."""
    if library.facts.facts[name].lasts != "lasting":
        return
    for item in (*files.job.work.get(circuit, ()), *files.job.also):
        work = library.work.get(item)
        if work is not None and name in work.clears:
            findings.warn(
                "work-done",
                place,
                f"`{name}` ({library.facts.facts[name].meaning}) is taken as done:"
                f" of {item} only the rest is planned",
                f"take {name} out where the work is to be done anew",
            )


def _left(files: JobFiles, circuit: str, findings: Findings) -> None:
    state, path = files.job.now.circuits[circuit], ("now", "circuits", circuit)
    left = state.left
    if left is None:
        if state.refrigerant == "recovered":
            findings.warn(
                "left-unknown",
                files.place("job", *path),
                f"the job does not say how circuit {circuit} was left: it counts as open for"
                " 15 min or more, so a new drier, a pressure hold and a vacuum are planned",
                f"write left: {_EXAMPLE.format(day=files.job.date)}",
            )
        return
    if state.refrigerant == "present":
        findings.error(
            "left-charged",
            files.place("job", *path, "left"),
            "`left` tells of a circuit whose charge is out; this one holds its refrigerant",
            "take left out, or write refrigerant: recovered",
        )
    burns = safety_class(files.equipment.circuits[circuit].refrigerant) not in NO_FIRE
    if left.open and burns:
        findings.error(
            "left-open-flammable",
            files.place("job", *path, "left", "open"),
            "a flammable circuit with an open joint cannot be cleared of its gas by this packet,"
            " which evacuates it between closed ends",
            "have the crew close the joint first; then write open: []",
        )
    _words(files, circuit, left, findings)


def _words(files: JobFiles, circuit: str, left: Left, findings: Findings) -> None:
    """The gas, the day and the joints of `left` can be what they are said to be."""
    path = ("now", "circuits", circuit, "left")
    if left.sealed:
        place = files.place("job", *path, "sealed")
        try:
            pressure, _ = carried.sealed(left.sealed)
        except BadQuantity as problem:
            findings.error("left-sealed", place, str(problem), problem.fix)
        else:
            if left.open or pressure.value <= 0:
                why = "with a joint open" if left.open else f"at {pressure.text}"
                findings.error(
                    "left-sealed",
                    place,
                    f"a circuit {why} is not sealed under nitrogen",
                    "leave sealed out, or correct the joints and the pressure",
                )
    if left.since > files.job.date:
        findings.error(
            "date-after",
            files.place("job", *path, "since"),
            f"{left.since} is after the day of the job, {files.job.date}",
            "check both dates",
        )
    joints = files.equipment.circuits[circuit].joints
    for at, key in enumerate(left.open):
        if key not in joints:
            findings.error(
                "joint-missing",
                files.place("job", *path, "open", at),
                f"the job leaves joint {key} open, the record does not describe it",
                suggest(key, joints) if joints else f"describe {key} in the equipment record",
            )
