"""One job to one PDF, from start to end, as a single call that another process can make."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from packets import pipeline
from packets.findings import Findings
from packets.formatting import System
from packets.writing import write_whole

GOOD, STOPPED, WRONG_USE, MACHINE = 0, 1, 2, 3


@dataclass(frozen=True)
class Order:
    """What to make of a job. `parts` are the editions, in one PDF."""

    job: Path
    output: Path
    parts: tuple[str, ...] = ("dispatch", "field")
    paper: str = "letter"
    units: System = "ip"
    shop: Path | None = None
    answers: bool = True


@dataclass
class Outcome:
    """What came of it: exit code, findings, what went wrong beside them, and a line if it went
    well."""

    job: Path
    code: int
    findings: Findings = field(default_factory=Findings)
    problem: str = ""
    made: str = ""


def make(order: Order) -> Outcome:
    """Take a job to its PDF. Nothing is written unless all of it is good."""
    done = pipeline.prepare(order.job, order.shop, order.units)
    if done.files is not None and order.output.resolve() in done.files.paths:
        problem = f"{order.output} is one of the job's own files"
        return Outcome(order.job, WRONG_USE, Findings(), problem)
    if done.packet is None or done.files is None:
        return Outcome(order.job, STOPPED, done.findings)
    from packets import pdf, rendering

    packet = done.packet
    try:
        html = rendering.html(
            packet,
            paper=order.paper,  # type: ignore[arg-type]
            parts=order.parts,
            answers=order.answers,
        )
        # What is filled in carries the files it came from; a trainer's copy goes to others.
        kept = set(order.parts) & set(rendering.STANDARD)
        attached = pipeline.attachments(done.files, packet) if kept else []
        data = pdf.write(html, attachments=attached, identifier=_identifier(done, order))
        write_whole(order.output.resolve(), data)
    except (rendering.Unprintable, pdf.RenderingProblem) as problem:
        return Outcome(order.job, STOPPED, Findings(), f"{order.job}: {problem}")
    except pdf.MissingLibrary as problem:
        return Outcome(order.job, MACHINE, Findings(), str(problem))
    except OSError as problem:
        said = f"{order.output}: {problem.strerror or problem}"
        return Outcome(order.job, MACHINE, Findings(), said)
    steps = sum(len(section.steps) for section in packet.sections)
    made = f"{order.output}: {len(packet.sections)} sections, {steps} steps, content {packet.hash}"
    return Outcome(order.job, GOOD, done.findings, "", made)


def check_one(order: Order) -> Outcome:
    """Take a job as far as a packet and no further."""
    findings = pipeline.prepare(order.job, order.shop, order.units).findings
    return Outcome(order.job, STOPPED if findings.stop else GOOD, findings)


def lost(order: Order, problem: BaseException) -> Outcome:
    """The outcome of a job whose process died or that met a fault of ours."""
    said = f"{order.job}: not finished: {type(problem).__name__}: {problem}".rstrip(": ")
    return Outcome(order.job, MACHINE, Findings(), said)


def _identifier(done: pipeline.Prepared, order: Order) -> str:
    """Tells printings apart: job, revision, content, and the editions unless they are the usual."""
    assert done.packet is not None
    from packets.rendering import STANDARD

    packet = done.packet
    usual = set(order.parts) == set(STANDARD)
    parts = [packet.job, str(packet.revision), packet.hash, *([] if usual else order.parts)]
    return "-".join(parts)
