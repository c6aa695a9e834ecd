"""What the verbs share: options, the printing of findings, exit codes."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NoReturn

import click

from packets.findings import Findings
from packets.making import STOPPED, Order, Outcome, lost

shop_option = click.option(
    "--procedures",
    "shop",
    type=click.Path(path_type=Path),
    help="Folder of the shop's own procedures, laid over ours.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print for a program.")
units_option = click.option(
    "--units", type=click.Choice(["ip", "si"]), default="ip", show_default=True,
    help="Inch-pound with SI beside it, or SI alone.",
)  # fmt: skip
paper_option = click.option(
    "--paper", type=click.Choice(["letter", "a4"]), default="letter", show_default=True
)
cores_option = click.option(
    "--cores", type=click.IntRange(1), default=None, help="Cores to use for many jobs; all of them."
)
jobs_argument = click.argument(
    "jobs", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="JOB..."
)


def outcomes(
    work: Callable[[Order], Outcome], orders: Sequence[Order], cores: int | None
) -> Iterator[Outcome]:
    """The outcome of each order as it is done, in order; a bar on a terminal when there are
    several."""
    if len(orders) == 1:
        yield work(orders[0])
        return
    from packets import many  # not wanted for one job

    done = many.run(work, orders, lost, cores or many.cores())
    if not sys.stderr.isatty():
        yield from done
        return
    held = []
    with click.progressbar(length=len(orders), label="Jobs", file=sys.stderr) as bar:
        for outcome in done:
            held.append(outcome)
            bar.update(1)
    yield from held


def report(findings: Findings, as_json: bool) -> None:
    """Print findings, sorted; the same ones either way."""
    if as_json:
        data = {"format": "findings/1", "findings": [finding.as_json() for finding in findings]}
        click.echo(json.dumps(data, indent=2, ensure_ascii=False))
        return
    for finding in findings:
        click.echo(str(finding))


def warn(findings: Findings) -> None:
    """Print findings that stop nothing, beside the output."""
    for finding in findings:
        click.echo(str(finding), err=True)


def stop(findings: Findings, as_json: bool = False) -> NoReturn:
    """Print findings and leave with 1."""
    report(findings, as_json)
    sys.exit(STOPPED)
