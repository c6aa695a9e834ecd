"""How long the verbs take, against what they stand on.

Usage: python tests/benchmark.py [RUNS]      medians of so many runs
       python tests/benchmark.py many [JOBS] many jobs on one core and on two, once each

Prints medians of processor time, and each goal of the design with what was measured:

- a cold `check` within 2 times a process that only imports click, yaml and jsonschema;
- `build` within 1.15 times WeasyPrint alone, as a process, on the same HTML;
- planning and numbers under 50 ms; a refrigerant loaded and looked up 100 times under 5 ms;
- with `many`: the packets of twenty jobs on two cores at 1.8 times the speed of one.

Run it on an idle machine, for other work slows the processor too; it judges, it does not fail.
"""

from __future__ import annotations

import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from packets import (
    catalog,
    composing,
    job_files,
    numbers,
    pdf,
    pipeline,
    planning,
    rendering,
    saturation_data,
)
from packets.findings import Findings
from packets.model.numbers import Register

ROOT = Path(__file__).parent.parent
PAPER = shutil.ignore_patterns("*.pdf", "*.png")
JOB = ROOT / "output_examples" / "creamery-cooler" / "job.yaml"
REFRIGERANT = "R-448A"
Run = Callable[[], object]
# The same HTML, options and fonts, and nothing of ours but the door to WeasyPrint.
ALONE = """
import sys
from pathlib import Path
from packets import pdf
from weasyprint import HTML
html = Path(sys.argv[1]).read_text(encoding="utf-8")
HTML(string=html, url_fetcher=pdf._fetcher()).write_pdf(sys.argv[2], **pdf.OPTIONS)
"""
# Row, the row it is held against ("" for none), and the goal: a ratio, or milliseconds.
GOALS = (
    ("check (process)", "imports only (process)", 2.0),
    ("build (process)", "WeasyPrint alone (process)", 1.15),
    ("plan and numbers", "", 50.0),
    ("refrigerant, 100 look-ups", "", 5.0),
)


def medians(rows: dict[str, Run], runs: int) -> dict[str, float]:
    """Median milliseconds of the processor for each call, after one warm-up. The rows take turns,
    so that what else the machine does falls on all of them."""
    times: dict[str, list[float]] = {name: [] for name in rows}
    for turn in range(runs + 1):
        for name, run in rows.items():
            begun = processor_seconds()
            run()
            if turn:
                times[name].append((processor_seconds() - begun) * 1000)
    return {name: statistics.median(taken) for name, taken in times.items()}


def process(*words: str) -> Run:
    """A whole process of this Python. Our modules are compiled once and kept, as the libraries'
    are by their installation: where an environment forbids that, each run would compile ours anew.
    """
    environment = {
        name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"
    }
    environment["PYTHONPATH"] = str(ROOT)
    return lambda: subprocess.run(
        [sys.executable, *words], check=True, capture_output=True, cwd=ROOT, env=environment
    )


def look_up() -> float:
    """Load a refrigerant as if for the first time and ask it a hundred times."""
    saturation_data.load.cache_clear()
    saturation_data.names.cache_clear()
    saturation_data._read.cache_clear()
    table = saturation_data.load(REFRIGERANT).table
    step = (table.high - table.low) / 24
    total = 0.0
    for k in range(25):
        t = table.low + k * step
        pressure = table.dew_pressure(t)
        total += pressure + table.dew_temperature(pressure)
        total += table.bubble_pressure(t) + table.liquid_density(t)
    return total


def rows(folder: Path) -> dict[str, Run]:
    """What is measured, by name."""
    done = pipeline.prepare(JOB)
    assert done.packet is not None and done.files is not None and done.catalog is not None
    packet, files, library = done.packet, done.files, done.catalog.library
    circuit: composing.Circuit = next(iter(done.circuits.values()))
    html, out = rendering.html(pipeline.illustrated(done)), str(folder / "p.pdf")
    (folder / "p.html").write_text(html, encoding="utf-8")

    def compute() -> object:
        return numbers.compute(replace(circuit.context, register=Register(), findings=Findings()))

    def plan() -> object:
        return planning.plan(library, files.job, files.equipment)

    return {
        "imports only (process)": process("-c", "import click, yaml, jsonschema"),
        "check (process)": process("-m", "packets", "check", str(JOB)),
        "WeasyPrint alone (process)": process("-c", ALONE, str(folder / "p.html"), out),
        "build (process)": process("-m", "packets", "build", str(JOB), "-o", out),
        "load the procedures": lambda: catalog.load(Findings()),
        "load the job": lambda: job_files.load(JOB, Findings()),
        "plan": plan,
        "numbers": compute,
        "plan and numbers": lambda: (plan(), compute()),
        "refrigerant, 100 look-ups": look_up,
        "load to compose": lambda: pipeline.prepare(JOB),
        "lint": pipeline.lint,
        "template": lambda: rendering.html(packet),
        "WeasyPrint on that HTML": lambda: pdf.write(html, identifier="x"),
    }


def many(count: int) -> None:
    """Packets of so many copies of the example, on one core and on two."""
    with tempfile.TemporaryDirectory() as name:
        folder, listed = Path(name), []
        for at in range(count):
            shutil.copytree(JOB.parent, folder / f"job-{at}", ignore=PAPER)
            listed.append(str(folder / f"job-{at}" / JOB.name))
        times, work = [], []
        for cores in (1, 2):
            words = ("build", *listed, "-o", str(folder / "out"), "--cores", str(cores))
            begun, used = time.perf_counter(), processor_seconds()
            process("-m", "packets", *words)()
            times.append(time.perf_counter() - begun)
            work.append(processor_seconds() - used)
            took = f"{times[-1]:9.1f} s, of the processor {work[-1]:.1f} s"
            print(f"{count} packets, cores: {cores:9}{took}", flush=True)
    print(f"{'two cores against one':28}{times[0] / times[1]:9.2f} x")
    # On a machine that others use, the clock says little; the work done says what is lost.
    print(f"{'by the work done':28}{2 * work[0] / work[1]:9.2f} x")


def processor_seconds() -> float:
    """What this process and those it waited for have used so far."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + used.ru_utime + used.ru_stime


def main() -> None:
    """Measure and print."""
    if sys.argv[1:2] == ["many"]:
        many(int(sys.argv[2]) if len(sys.argv) > 2 else 20)
        return
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    with tempfile.TemporaryDirectory() as folder:
        found = medians(rows(Path(folder)), runs)
    for name, taken in found.items():
        print(f"{name:28}{taken:9.1f} ms")
    print()
    for name, against, goal in GOALS:
        measured = found[name] / found[against] if against else found[name]
        unit = f"x {against}" if against else "ms"
        said = "met" if measured <= goal else "MISSED"
        print(f"{name}: {measured:.2f} {unit}, goal {goal:g}: {said}")


if __name__ == "__main__":
    main()
