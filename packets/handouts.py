"""A fragment as a handout: found, checked, and composed for a job's machine or for any."""

from __future__ import annotations

from pathlib import Path

from packets import catalog, library_check, locating, pipeline
from packets.composing import blank_handout, handout
from packets.findings import Findings, Place, suggest
from packets.formatting import System
from packets.model.handout import Handout


def prepare(
    fragment: str, job: Path | None, shop: Path | None, units: System
) -> tuple[Handout | None, Findings]:
    """The handout of a fragment, with the job's numbers or with blanks; None when a finding
    stops it."""
    return _of_job(fragment, job, shop, units) if job else _for_any(fragment, shop, units)


def _of_job(
    fragment: str, job: Path, shop: Path | None, units: System
) -> tuple[Handout | None, Findings]:
    done = pipeline.prepare(job, shop, units)
    if done.packet is None or done.catalog is None:
        return None, done.findings
    made = handout.of_job(done.packet, done.catalog.library, fragment)
    if made is None:
        planned = list(dict.fromkeys(section.fragment for section in done.packet.sections))
        done.findings.error(
            "unknown-fragment",
            Place(str(job)),
            f"{fragment!r} is not in this job's packet",
            suggest(fragment, planned),
        )
    return made, done.findings


def _for_any(fragment: str, shop: Path | None, units: System) -> tuple[Handout | None, Findings]:
    findings = Findings()
    loaded = catalog.load(findings, shop)
    if loaded is None:
        return None, findings
    library_check.check(loaded, findings)
    if fragment not in loaded.library.fragments:
        known = list(loaded.library.fragments)
        findings.error(
            "unknown-fragment",
            Place(fragment),
            f"no fragment is called {fragment!r}",
            suggest(fragment, known),
        )
    if findings.stop:
        return None, findings
    examples = [pipeline.prepare(path, None, units) for path in locating.examples()]
    circuits = [circuit for done in examples for circuit in done.circuits.values()]
    if not circuits:
        findings.error(
            "examples-missing",
            Place(fragment),
            "no example job is installed to learn the names of the numbers from",
            "name a job with --job",
        )
        return None, findings
    first = circuits[0].context
    registers = [circuit.context.register for circuit in circuits]
    made = blank_handout.for_any(loaded, fragment, registers, first.kit, first.rules.defer, units)
    return made, findings
