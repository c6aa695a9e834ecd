"""How long the verbs take, against what they stand on.

Usage: python tests/benchmark.py [RUNS]      medians of so many runs
       python tests/benchmark.py many [JOBS] many jobs on one core and on two, once each

Prints medians: a cold `check` against a process that only imports click, yaml and jsonschema;
`build` against WeasyPrint alone on the same HTML; planning and numbers inside one process. The
packets of many jobs on two cores are wanted at 1.8 times the speed of one core.
"""

from __future__ import annotations

import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from packets import catalog, job_files, pdf, pipeline, planning, rendering
from packets.findings import Findings

ROOT = Path(__file__).parent.parent
PAPER = shutil.ignore_patterns("*.pdf", "*.png")
JOB = ROOT / "output_examples" / "creamery-cooler" / "job.yaml"


def median(run: Callable[[], object], runs: int) -> float:
    """Median seconds of a call, after one warm-up."""
    times = []
    for _ in range(runs + 1):
        begun = time.perf_counter()
        run()
        times.append(time.perf_counter() - begun)
    return statistics.median(times[1:])


def process(*words: str) -> Callable[[], object]:
    """A whole process of this Python."""
    return lambda: subprocess.run(
        [sys.executable, *words], check=True, capture_output=True, cwd=ROOT
    )


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
    """What the processes waited for have used so far."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def main() -> None:
    """Measure and print."""
    if sys.argv[1:2] == ["many"]:
        many(int(sys.argv[2]) if len(sys.argv) > 2 else 20)
        return
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    done = pipeline.prepare(JOB)
    assert done.packet is not None
    assert done.files is not None
    assert done.catalog is not None
    html = rendering.html(done.packet)
    files, library = done.files, done.catalog.library
    with tempfile.TemporaryDirectory() as folder:
        out = str(Path(folder) / "p.pdf")
        rows: list[tuple[str, Callable[[], object]]] = [
            ("imports only (process)", process("-c", "import click, yaml, jsonschema")),
            ("check (process)", process("-m", "packets", "check", str(JOB))),
            ("build (process)", process("-m", "packets", "build", str(JOB), "-o", out)),
            ("load the procedures", lambda: catalog.load(Findings())),
            ("load the job", lambda: job_files.load(JOB, Findings())),
            ("plan", lambda: planning.plan(library, files.job, files.equipment)),
            ("load to compose", lambda: pipeline.prepare(JOB)),
            ("template", lambda: rendering.html(done.packet)),  # type: ignore[arg-type]
            ("WeasyPrint on that HTML", lambda: pdf.write(html, identifier="x")),
        ]
        for name, run in rows:
            print(f"{name:28}{median(run, runs) * 1000:9.1f} ms")


if __name__ == "__main__":
    main()
