"""The verbs that make paper and files: build, handout, new."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from packets.cli import shared
from packets.making import MACHINE, STOPPED, Order, make, print_handout
from packets.writing import write_new

EDITIONS = ("dispatch", "field", "trainer")


@click.command()
@shared.jobs_argument
@click.option(
    "-o", "--output", required=True, type=click.Path(path_type=Path),
    help="PDF (or HTML) to write; for many jobs, a folder.",
)  # fmt: skip
@click.option(
    "--edition", "editions", multiple=True, type=click.Choice([*EDITIONS, "all"]),
    help="What to print, in one PDF; may be given more than once.  [default: dispatch and field]",
)  # fmt: skip
@click.option(
    "--no-answers", is_flag=True, help="Trainer edition without the page of answers at its end."
)
@click.option("--html", "as_html", is_flag=True, help="Write one HTML file for a browser.")
@click.option("--archive", is_flag=True, help="Write PDF/A-3a without form fields.")
@shared.paper_option
@shared.shop_option
@shared.units_option
@shared.cores_option
def build(
    jobs: tuple[Path, ...],
    output: Path,
    editions: tuple[str, ...],
    no_answers: bool,
    as_html: bool,
    archive: bool,
    paper: str,
    shop: Path | None,
    units: Any,
    cores: int | None,
) -> None:
    """Build the packet of each JOB: dispatch sheet and field packet in one PDF, or the editions
    asked for."""
    parts = _parts(editions)
    if no_answers and "trainer" not in parts:
        raise click.UsageError("--no-answers goes with --edition trainer")
    if as_html and archive:
        raise click.UsageError("--archive is a PDF; leave --html out")
    outputs = _outputs(jobs, output, ".html" if as_html else ".pdf")
    orders = [
        Order(job, out, parts, paper, units, shop, not no_answers, as_html, archive)
        for job, out in zip(jobs, outputs, strict=True)
    ]
    worst = 0
    for done in shared.outcomes(make, orders, cores):
        if done.problem:
            click.echo(done.problem, err=True)
        if done.code == STOPPED and not done.problem:
            shared.report(done.findings, False)
        else:
            shared.warn(done.findings)
        if done.made:
            click.echo(done.made)
        worst = max(worst, done.code)
    sys.exit(worst)


@click.command()
@click.argument("fragment")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path),
    help="PDF to write.  [default: FRAGMENT.pdf here]",
)  # fmt: skip
@click.option("--job", type=click.Path(path_type=Path), help="Job whose machine gives the numbers.")
@click.option("--no-answers", is_flag=True, help="Without the answers to the check questions.")
@shared.paper_option
@shared.shop_option
@shared.units_option
def handout(
    fragment: str,
    output: Path | None,
    job: Path | None,
    no_answers: bool,
    paper: Any,
    shop: Path | None,
    units: Any,
) -> None:
    """Print one FRAGMENT as a sheet of standard work, for a job's machine or with blanks."""
    from packets import handouts

    sheet, findings = handouts.prepare(fragment, job, shop, units)
    if sheet is None:
        shared.stop(findings)
    target = output or Path(f"{fragment}.pdf")
    (target,) = _outputs([target], target)
    shared.warn(findings)
    done = print_handout(sheet, target, paper, not no_answers)
    if done.problem:
        click.echo(done.problem, err=True)
    if done.made:
        click.echo(done.made)
    sys.exit(done.code)


@click.group()
def new() -> None:
    """Write a new file to fill in; nothing is ever overwritten."""


def _starting(kind: str, text: str) -> click.Command:
    """The command that writes the starting file of a kind."""

    @click.command(name=kind, help=text)
    @click.argument("folder", type=click.Path(path_type=Path))
    def command(folder: Path) -> None:
        from packets import beginning

        _write_new(folder / f"{kind}.yaml", beginning.file(kind))

    return command


new.add_command(_starting("job", "Write job.yaml into FOLDER: what is ordered, where, when."))
new.add_command(_starting("kit", "Write kit.yaml into FOLDER: what is on the van."))


@new.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--circuit", default="", help="Circuit it is built as: its parts and lines are named."
)
def equipment(folder: Path, circuit: str) -> None:
    """Write equipment.yaml into FOLDER: one machine's record."""
    from packets import beginning

    try:
        text = beginning.file("equipment", circuit)
    except KeyError as known:
        raise click.UsageError(f"no circuit {circuit!r}; known: {known.args[0]}") from None
    _write_new(folder / "equipment.yaml", text)


@new.command()
@click.argument("id")
@click.argument("folder", type=click.Path(path_type=Path))
def fragment(id: str, folder: Path) -> None:
    """Write ID.yaml into FOLDER: a piece of standard work; for an ID of ours, a copy to change."""
    from packets import beginning

    if not beginning.is_id(id):
        raise click.UsageError(f"{id!r} is no id: small letters, digits and -, a letter first")
    _write_new(folder / f"{id}.yaml", beginning.fragment(id, str(folder)))


def _write_new(path: Path, text: str) -> None:
    """Write a file that is not there yet, its folder too."""
    if not path.parent.parent.is_dir():
        raise click.UsageError(f"there is no folder {path.parent.parent}")
    try:
        path.parent.mkdir(exist_ok=True)
        write_new(path, text.encode())
    except FileExistsError:
        raise click.UsageError(f"{path} is there already; nothing is overwritten") from None
    except OSError as problem:
        click.echo(f"{path}: {problem.strerror or problem}", err=True)
        sys.exit(MACHINE)
    click.echo(f"{path}: fill it in")


def _parts(editions: Sequence[str]) -> tuple[str, ...]:
    """The editions asked for, in the order in which they are printed."""
    if not editions:
        return EDITIONS[:2]
    return tuple(name for name in EDITIONS if name in editions or "all" in editions)


# What a file's name says that it is.
ENDINGS = {".pdf": ".pdf", ".html": ".html", ".htm": ".html"}


def _outputs(jobs: Sequence[Path], output: Path, ending: str = ".pdf") -> list[Path]:
    """The file of each job: the one named, or one in the folder named."""
    if not output.name or not output.parent.is_dir():
        raise click.UsageError(f"there is no folder {output.parent}")
    if len(jobs) == 1 and not output.is_dir():
        if output.exists() and not output.is_file():
            raise click.UsageError(f"{output} is not a file")
        if ENDINGS.get(output.suffix.lower(), ending) != ending:
            raise click.UsageError(
                f"{output.name} would not be what its name says: write a {ending} name"
                + (", or leave --html out" if ending == ".html" else ", or add --html")
            )
        if ending == ".html" and output.suffix.lower() not in ENDINGS:
            raise click.UsageError(f"--html writes a page: give {output.name} a name in .html")
        return [output]
    if output.exists() and not output.is_dir():
        raise click.UsageError(f"{output} is not a folder; many jobs go into one")
    named: dict[str, Path] = {}
    for job in jobs:
        name = f"{_name(job)}{ending}"
        if name in named:
            raise click.UsageError(f"{named[name]} and {job} would both become {name}")
        named[name] = job
    output.mkdir(exist_ok=True)
    return [output / name for name in named]


def _name(job: Path) -> str:
    """What a job's PDF is called: after its file, or after its folder when that says more."""
    return job.resolve().parent.name if job.stem == "job" else job.stem
