"""The verbs of the way back: readings typed from the paper, and review."""

from __future__ import annotations

import json
import sys
from datetime import date
from pathlib import Path
from typing import Any

import click

from packets.cli import shared
from packets.making import GOOD, MACHINE, STOPPED

_job = click.argument("job", type=click.Path(path_type=Path))


@click.command(name="readings")
@_job
@click.option("-o", "--output", type=click.Path(path_type=Path), help="File to write; else shown.")
@shared.shop_option
@shared.units_option
def new_readings(job: Path, output: Path | None, shop: Path | None, units: Any) -> None:
    """Write the readings file of JOB: every blank of its packet, to fill in from the paper."""
    from packets import returning
    from packets.writing import write_whole

    if output is not None and not output.parent.is_dir():
        raise click.UsageError(f"there is no folder {output.parent}")
    if output is not None and output.exists():
        raise click.UsageError(f"{output} is there already; nothing is overwritten")
    done, text = returning.skeleton(job, shop, units)
    if not text:
        shared.stop(done.findings, False)
    if output is None:
        click.echo(text, nl=False)
        return
    try:
        write_whole(output.resolve(), text.encode())
    except OSError as problem:
        click.echo(f"{output}: {problem.strerror or problem}", err=True)
        sys.exit(MACHINE)
    click.echo(f"{output}: {text.count(':' + chr(10))} blanks")


@click.command()
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
    "--today",
    type=click.DateTime(["%Y-%m-%d"]),
    help="Day by which a visit or duty is overdue.  [default: today]",
)
@shared.paper_option
@shared.shop_option
@shared.json_option
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
    _review_job(paths[0], paths[1:], output, printed, update_history, today, paper, shop, as_json)


def _review_job(
    job: Path,
    copies: tuple[Path, ...],
    output: Path | None,
    printed: Path | None,
    update_history: bool,
    today: Any,
    paper: Any,
    shop: Path | None,
    as_json: bool,
) -> None:
    """Review one job; the record is written whenever anything could be read."""
    from packets import record_files, returning

    _folder(output)
    try:
        done = returning.review(job, copies, printed, shop)
    except returning.MissingLibrary as problem:
        click.echo(str(problem), err=True)
        sys.exit(MACHINE)
    except OSError as problem:
        click.echo(f"{problem.filename or job}: {problem.strerror or problem}", err=True)
        sys.exit(MACHINE)
    if done.record is None:
        shared.stop(done.findings, as_json)
    added, trouble = [], ""
    try:
        added = returning.update_history(done) if update_history else []
    except OSError as problem:  # the record is written all the same
        trouble = f"{problem.filename or job}: {problem.strerror or problem}"
    _write_into(output, lambda: record_files.outputs(done, paper))
    if as_json:
        click.echo(json.dumps(record_files.data(done), indent=2, ensure_ascii=False))
    else:
        for line in (*record_files.told(done), *added):
            click.echo(line)
        shared.warn(done.findings)
    if trouble:
        click.echo(trouble, err=True)
        sys.exit(MACHINE)
    day = today.date() if today else date.today()
    good = record_files.settled(done.record, day) and not done.findings.stop
    sys.exit(GOOD if good else STOPPED)


def _review_folder(
    folder: Path, output: Path | None, today: Any, paper: Any, as_json: bool
) -> None:
    """The records of a folder as one table."""
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
        shared.warn(made.findings)
    open_rows = any(row.state not in ("closed", "waiting") or row.overdue for row in made.rows)
    sys.exit(STOPPED if open_rows or made.findings.stop else GOOD)


def _folder(output: Path | None) -> None:
    """Refuse an output that is no folder before any work is done."""
    if output is not None and (
        not output.parent.is_dir() or (output.exists() and not output.is_dir())
    ):
        raise click.UsageError(f"{output} is no folder, and cannot be made one")


def _write_into(output: Path | None, make: Any) -> None:
    """Make the files and write them into a folder, each whole."""
    from packets import ownership, pdf, rendering
    from packets.writing import write_whole

    if output is None:
        return
    try:
        made: dict[str, bytes] = make()
        output.mkdir(exist_ok=True)
        for name in made:
            ownership.refuse_foreign(output / name)
        for name, data in made.items():
            write_whole((output / name).resolve(), data)
            click.echo(f"{output / name}", err=True)
    except ownership.NotOurs as problem:
        raise click.UsageError(str(problem)) from None
    except (rendering.Unprintable, pdf.RenderingProblem) as problem:
        click.echo(f"{output}: {problem}", err=True)
        sys.exit(STOPPED)
    except pdf.MissingLibrary as problem:
        click.echo(str(problem), err=True)
        sys.exit(MACHINE)
    except OSError as problem:
        click.echo(f"{output}: {problem.strerror or problem}", err=True)
        sys.exit(MACHINE)
