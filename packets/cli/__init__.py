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
from packets.cli.making import build, handout, new
from packets.cli.reviewing import new_readings, review
from packets.cli.shared import (
    cores_option,
    jobs_argument,
    json_option,
    outcomes,
    report,
    shop_option,
    stop,
    units_option,
    warn,
)
from packets.findings import Findings
from packets.making import GOOD, STOPPED, Order, check_one

_job = click.argument("job", type=click.Path(path_type=Path))


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__)
def main() -> None:
    """Job packets for sealed-system refrigeration work."""


main.add_command(build)
main.add_command(handout)
main.add_command(new)
new.add_command(new_readings)
main.add_command(review)


@main.command()
@jobs_argument
@shop_option
@json_option
@units_option
@cores_option
def check(
    jobs: tuple[Path, ...], shop: Path | None, as_json: bool, units: Any, cores: int | None
) -> None:
    """Check each JOB and everything it names; print every problem."""
    findings, code = Findings(), GOOD
    orders = [Order(job, job, shop=shop, units=units) for job in jobs]
    for done in outcomes(check_one, orders, cores):
        findings.extend(done.findings)
        if done.problem:
            click.echo(done.problem, err=True)
        code = max(code, done.code)
    report(findings, as_json)
    if not as_json and not code:
        click.echo(f"{len(jobs)} job{'s' if len(jobs) > 1 else ''} checked: nothing stops.")
    sys.exit(code)


@main.command()
@_job
@shop_option
@json_option
def plan(job: Path, shop: Path | None, as_json: bool) -> None:
    """Print the order of work and what called for each part of it."""
    from packets import pipeline, reports

    done = pipeline.prepare(job, shop)
    if done.plan is None or done.catalog is None:
        stop(done.findings, as_json)
    if as_json:
        click.echo(json.dumps(reports.plan_data(done), indent=2, ensure_ascii=False))
    else:
        click.echo(reports.plan_text(done))
        warn(done.findings)
    sys.exit(STOPPED if done.findings.stop else GOOD)


@main.command(name="numbers")
@_job
@shop_option
@json_option
@units_option
def numbers_(job: Path, shop: Path | None, as_json: bool, units: Any) -> None:
    """Print every number of JOB with formula, working, inputs, source and confidence."""
    from packets import pipeline, reports

    done = pipeline.prepare(job, shop, units)
    if not done.circuits:
        stop(done.findings, as_json)
    if as_json:
        click.echo(json.dumps(reports.numbers_data(done, units), indent=2, ensure_ascii=False))
    else:
        click.echo(reports.numbers_text(done, units))
        warn(done.findings)
    sys.exit(STOPPED if done.findings.stop else GOOD)


@main.command()
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@json_option
def lint(folder: Path | None, as_json: bool) -> None:
    """Check all procedures: ours, with those in FOLDER laid over them, or those that the
    packets.yaml of this folder or one above it names."""
    from packets import job_files, pipeline

    findings = Findings()
    own = folder or job_files.shop_procedures(Path.cwd(), findings)
    findings.extend(pipeline.lint(own))
    report(findings, as_json)
    if not as_json and not findings.stop:
        over = f", {own} laid over ours" if own else ""
        click.echo(f"procedures checked{over}: nothing stops.")
    sys.exit(STOPPED if findings.stop else GOOD)
