"""One job to one file, from start to end, as a single call that another process can make."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from packets import ownership, pipeline
from packets.findings import Findings
from packets.formatting import System, counted
from packets.model.handout import Handout
from packets.model.packet import Packet
from packets.writing import write_whole

GOOD, STOPPED, WRONG_USE, MACHINE = 0, 1, 2, 3


@dataclass(frozen=True)
class Order:
    """What to make of a job. `parts` are the editions, in one file: a PDF to fill in, an archival
    one without form fields, or HTML for a browser."""

    job: Path
    output: Path
    parts: tuple[str, ...] = ("dispatch", "field")
    paper: str = "letter"
    units: System = "ip"
    shop: Path | None = None
    answers: bool = True
    as_html: bool = False
    archive: bool = False


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

    packet, files = pipeline.illustrated(done), done.files

    def data() -> bytes:
        html = rendering.html(
            packet,
            paper=order.paper,  # type: ignore[arg-type]
            parts=order.parts,
            answers=order.answers,
        )
        if order.as_html:
            return ownership.seal_html(rendering.standalone(html)).encode()
        # What is filled in carries the files it came from; a trainer's copy goes to others.
        kept = set(order.parts) & set(rendering.STANDARD)
        attached = pipeline.attachments(files, packet) if kept else []
        name = _identifier(packet, order)
        return pdf.write(html, attachments=attached, identifier=name, archive=order.archive)

    code, problem = _written(data, order.output, order.job)
    if code:
        return Outcome(order.job, code, Findings(), problem)
    steps = sum(len(section.steps) for section in packet.sections)
    size = f"{counted(len(packet.sections), 'section')}, {counted(steps, 'step')}"
    made = f"{order.output}: {size}, content {packet.hash}"
    return Outcome(order.job, GOOD, done.findings, "", made)


def print_handout(sheet: Handout, output: Path, paper: str, answers: bool) -> Outcome:
    """A handout as PDF, whole or not at all."""
    from packets import pdf, rendering

    def data() -> bytes:
        html = rendering.handout_html(sheet, paper=paper, answers=answers)  # type: ignore[arg-type]
        name = f"{sheet.fragment}-{sheet.revision}-{sheet.hash or 'any'}"
        return pdf.write(html, identifier=name)

    code, problem = _written(data, output, Path(sheet.fragment))
    made = f"{output}: {sheet.title}, {counted(len(sheet.steps), 'step')}" if not code else ""
    return Outcome(Path(sheet.fragment), code, Findings(), problem, made)


def _written(data: Callable[[], bytes], output: Path, about: Path) -> tuple[int, str]:
    """Make the bytes and write them; the exit code, and what went wrong."""
    from packets import pdf, rendering

    try:
        ownership.refuse_foreign(output)  # before the work, and again when it is to be replaced
        made = data()
        ownership.refuse_foreign(output)
        write_whole(output.resolve(), made)
    except ownership.NotOurs as problem:
        return WRONG_USE, str(problem)
    except (rendering.Unprintable, pdf.RenderingProblem) as problem:
        return STOPPED, f"{about}: {problem}"
    except pdf.MissingLibrary as problem:
        return MACHINE, str(problem)
    except OSError as problem:
        return MACHINE, f"{output}: {problem.strerror or problem}"
    return GOOD, ""


def check_one(order: Order) -> Outcome:
    """Take a job as far as a packet and no further."""
    findings = pipeline.prepare(order.job, order.shop, order.units).findings
    return Outcome(order.job, STOPPED if findings.stop else GOOD, findings)


def lost(order: Order, problem: BaseException) -> Outcome:
    """The outcome of a job whose process died or that met a fault of ours."""
    said = f"{order.job}: not finished: {type(problem).__name__}: {problem}".rstrip(": ")
    return Outcome(order.job, MACHINE, Findings(), said)


def _identifier(packet: Packet, order: Order) -> str:
    """Tells printings apart: job, revision, content, and the editions unless they are the usual."""
    from packets.rendering import STANDARD

    usual = set(order.parts) == set(STANDARD)
    parts = [packet.job, str(packet.revision), packet.hash, *([] if usual else order.parts)]
    return "-".join(parts)
