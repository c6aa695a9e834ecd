"""The `packets` command: arguments, printing, exit codes.

Exit 0 good, 1 findings that stop, 2 wrong use, 3 the machine (a library missing, a disk full).
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import click

from packets import __version__
from packets.findings import Findings

GOOD, STOPPED, MACHINE = 0, 1, 3

_job = click.argument("job", type=click.Path(path_type=Path))
_shop = click.option(
    "--procedures",
    "shop",
    type=click.Path(path_type=Path),
    help="Folder of the shop's own procedures, laid over ours.",
)
_json = click.option("--json", "as_json", is_flag=True, help="Print for a program.")
_units = click.option(
    "--units", type=click.Choice(["ip", "si"]), default="ip", show_default=True,
    help="Inch-pound with SI beside it, or SI alone.",
)  # fmt: skip


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__)
def main() -> None:
    """Job packets for sealed-system refrigeration work."""


@main.command()
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path))
@_shop
@_json
@_units
def check(jobs: tuple[Path, ...], shop: Path | None, as_json: bool, units: Any) -> None:
    """Check JOBS and everything they name; print every problem."""
    from packets import pipeline

    findings = Findings()
    for job in jobs:
        findings.extend(pipeline.prepare(job, shop, units).findings)
    _report(findings, as_json)
    if not as_json and not findings.stop:
        click.echo(f"{len(jobs)} job{'s' if len(jobs) > 1 else ''} checked: nothing stops.")
    sys.exit(STOPPED if findings.stop else GOOD)


@main.command()
@_job
@_shop
@_json
def plan(job: Path, shop: Path | None, as_json: bool) -> None:
    """Print the order of work and what called for each part of it."""
    from packets import pipeline, reports

    done = pipeline.prepare(job, shop)
    if done.plan is None or done.catalog is None:
        _stop(done.findings, as_json)
        return
    if as_json:
        click.echo(json.dumps(reports.plan_data(done), indent=2, ensure_ascii=False))
    else:
        click.echo(reports.plan_text(done))
        _warn(done.findings)
    sys.exit(STOPPED if done.findings.stop else GOOD)


@main.command(name="numbers")
@_job
@_shop
@_json
@_units
def numbers_(job: Path, shop: Path | None, as_json: bool, units: Any) -> None:
    """Print every number of JOB with formula, working, inputs, source and confidence."""
    from packets import pipeline, reports

    done = pipeline.prepare(job, shop, units)
    if not done.circuits:
        _stop(done.findings, as_json)
        return
    if as_json:
        click.echo(json.dumps(reports.numbers_data(done, units), indent=2, ensure_ascii=False))
    else:
        click.echo(reports.numbers_text(done, units))
        _warn(done.findings)
    sys.exit(STOPPED if done.findings.stop else GOOD)


@main.command()
@_job
@click.option(
    "-o", "--output", required=True, type=click.Path(path_type=Path), help="PDF to write."
)
@click.option("--paper", type=click.Choice(["letter", "a4"]), default="letter", show_default=True)
@_shop
@_units
def build(job: Path, output: Path, paper: Any, shop: Path | None, units: Any) -> None:
    """Build the packet of JOB: dispatch sheet and field packet in one PDF."""
    from packets import pipeline
    from packets.writing import write_whole

    if not output.name or not output.parent.is_dir():
        raise click.UsageError(f"there is no folder {output.parent}")
    if output.exists() and not output.is_file():
        raise click.UsageError(f"{output} is not a file")
    done = pipeline.prepare(job, shop, units)
    if done.files is not None and output.resolve() in done.files.paths:
        raise click.UsageError(f"{output} is one of the job's own files")
    if done.packet is None or done.files is None:
        _stop(done.findings, False)
        return
    from packets import pdf, rendering

    try:
        html = rendering.html(done.packet, paper=paper)
        data = pdf.write(
            html,
            attachments=pipeline.attachments(done.files, done.packet),
            identifier=f"{done.packet.job}-{done.packet.revision}-{done.packet.hash}",
        )
        write_whole(output.resolve(), data)
    except (rendering.Unprintable, pdf.RenderingProblem) as problem:
        click.echo(f"{job}: {problem}", err=True)
        sys.exit(STOPPED)
    except pdf.MissingLibrary as problem:
        click.echo(str(problem), err=True)
        sys.exit(MACHINE)
    except OSError as problem:
        click.echo(f"{output}: {problem.strerror or problem}", err=True)
        sys.exit(MACHINE)
    _warn(done.findings)
    packet = done.packet
    steps = sum(len(section.steps) for section in packet.sections)
    click.echo(f"{output}: {len(packet.sections)} sections, {steps} steps, content {packet.hash}")


@main.command()
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@_json
def lint(folder: Path | None, as_json: bool) -> None:
    """Check all procedures, or those in FOLDER laid over ours."""
    from packets import pipeline

    findings = pipeline.lint(folder)
    _report(findings, as_json)
    if not as_json and not findings.stop:
        click.echo("procedures checked: nothing stops.")
    sys.exit(STOPPED if findings.stop else GOOD)


@main.group()
def new() -> None:
    """Write a new file to fill in."""


@new.command(name="readings")
@_job
@click.option("-o", "--output", type=click.Path(path_type=Path), help="File to write; else shown.")
@_shop
@_units
def new_readings(job: Path, output: Path | None, shop: Path | None, units: Any) -> None:
    """Write the readings file of JOB: every blank of its packet, to fill in from the paper."""
    from packets import returning
    from packets.writing import write_whole

    if output is not None and (output.exists() or not output.parent.is_dir()):
        raise click.UsageError(f"{output} is there already, or its folder is not")
    done, text = returning.skeleton(job, shop, units)
    if not text:
        _stop(done.findings, False)
        return
    if output is None:
        click.echo(text, nl=False)
        return
    try:
        write_whole(output.resolve(), text.encode())
    except OSError as problem:
        click.echo(f"{output}: {problem.strerror or problem}", err=True)
        sys.exit(MACHINE)
    click.echo(f"{output}: {text.count(':' + chr(10))} blanks")


@main.command()
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Folder to write into.")
@click.option(
    "--packet",
    "printed",
    type=click.Path(path_type=Path),
    help="The printed packet (PDF or packet.json) that the readings were taken on.",
)
@click.option(
    "--update-history", is_flag=True, help="Add the charge to the machine's history file."
)
@click.option(
    "--today", type=click.DateTime(["%Y-%m-%d"]), help="Day by which a follow-up is overdue."
)
@click.option("--paper", type=click.Choice(["letter", "a4"]), default="letter", show_default=True)
@_shop
@_json
def review(
    paths: tuple[Path, ...],
    output: Path | None,
    printed: Path | None,
    update_history: bool,
    today: Any,
    paper: Any,
    shop: Path | None,
    as_json: bool,
) -> None:
    """Review a packet that came back: JOB and one or more READINGS, a filled PDF or a readings
    file. Or a whole FOLDER of records, as one table.
    """
    if len(paths) == 1 and paths[0].is_dir():
        _review_folder(paths[0], output, today, paper, as_json)
        return
    if len(paths) < 2:
        raise click.UsageError("name the job and its readings, or a folder of records")
    _review_job(paths[0], paths[1:], output, printed, update_history, paper, shop, as_json)


def _review_job(
    job: Path,
    copies: tuple[Path, ...],
    output: Path | None,
    printed: Path | None,
    update_history: bool,
    paper: Any,
    shop: Path | None,
    as_json: bool,
) -> None:
    """Review one job; the record is written whenever anything could be read."""
    from packets import record_files, returning

    _folder(output)
    try:
        done = returning.review(job, copies, printed, shop)
        added = returning.update_history(done) if update_history else []
    except returning.MissingLibrary as problem:
        click.echo(str(problem), err=True)
        sys.exit(MACHINE)
    except OSError as problem:
        click.echo(f"{problem.filename or job}: {problem.strerror or problem}", err=True)
        sys.exit(MACHINE)
    if done.record is None:
        _stop(done.findings, as_json)
        return
    _write_into(output, lambda: record_files.outputs(done, paper))
    if as_json:
        click.echo(json.dumps(record_files.data(done), indent=2, ensure_ascii=False))
    else:
        for line in (*record_files.told(done), *added):
            click.echo(line)
        _warn(done.findings)
    good = done.record.state == "closed" and not done.findings.stop
    sys.exit(GOOD if good else STOPPED)


def _review_folder(
    folder: Path, output: Path | None, today: Any, paper: Any, as_json: bool
) -> None:
    """The records of a folder as one table."""
    from datetime import date

    from packets import across, record_files

    _folder(output)
    day = today.date() if today else date.today()
    made = across.look(folder, day)
    _write_into(output, lambda: record_files.folder_outputs(made, folder, day, paper))
    if as_json:
        click.echo(json.dumps(across.as_data(made), indent=2, ensure_ascii=False))
    else:
        for line in across.as_text(made):
            click.echo(line)
        _warn(made.findings)
    open_rows = any(row.state != "closed" or row.overdue for row in made.rows)
    sys.exit(STOPPED if open_rows or made.findings.stop else GOOD)


def _folder(output: Path | None) -> None:
    """Refuse an output that is no folder before any work is done."""
    if output is not None and (
        not output.parent.is_dir() or (output.exists() and not output.is_dir())
    ):
        raise click.UsageError(f"{output} is no folder, and cannot be made one")


def _write_into(output: Path | None, make: Any) -> None:
    """Make the files and write them into a folder, each whole."""
    from packets import pdf, rendering
    from packets.writing import write_whole

    if output is None:
        return
    try:
        made: dict[str, bytes] = make()
        output.mkdir(exist_ok=True)
        for name, data in made.items():
            write_whole((output / name).resolve(), data)
            click.echo(f"{output / name}", err=True)
    except (rendering.Unprintable, pdf.RenderingProblem) as problem:
        click.echo(f"{output}: {problem}", err=True)
        sys.exit(STOPPED)
    except pdf.MissingLibrary as problem:
        click.echo(str(problem), err=True)
        sys.exit(MACHINE)
    except OSError as problem:
        click.echo(f"{output}: {problem.strerror or problem}", err=True)
        sys.exit(MACHINE)


def _report(findings: Findings, as_json: bool) -> None:
    """Print findings, sorted; the same ones either way."""
    if as_json:
        data = {"format": "findings/1", "findings": [finding.as_json() for finding in findings]}
        click.echo(json.dumps(data, indent=2, ensure_ascii=False))
        return
    for finding in findings:
        click.echo(str(finding))


def _warn(findings: Findings) -> None:
    for finding in findings:
        click.echo(str(finding), err=True)


def _stop(findings: Findings, as_json: bool) -> None:
    _report(findings, as_json)
    sys.exit(STOPPED)
