"""How long the verbs take, against what they stand on.

Usage: python tests/benchmark.py [RUNS]      medians of so many runs
       python tests/benchmark.py many [JOBS] many jobs on one core and on two, once each

Prints medians of processor time, and each goal of the design with what was measured:

- a cold `check` within 2 times a process that only imports click, yaml and jsonschema;
- `build` within 1.15 times WeasyPrint alone, as a process, on the same HTML;
- planning and numbers under 50 ms; a refrigerant loaded and looked up 100 times under 5 ms;
- a pump-down curve through four unlike hoses under 20 ms, the largest braze plan under 50 ms;
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
from packets.circuit.brazing import braze_plan
from packets.findings import Findings
from packets.formulas import pump_down
from packets.formulas.hookup import Network, Pump, Tube, hose_line
from packets.model.hookups import Opened
from packets.model.numbers import Register

ROOT = Path(__file__).parent.parent
PAPER = shutil.ignore_patterns("*.pdf", "*.png")
JOB = ROOT / "output_examples" / "creamery-cooler" / "job.yaml"
REFRIGERANT = "R-448A"
PARTS_OUT = ("compressor", "drier", "outdoor-metering", "outdoor-coil")
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
    ("pump-down curve", "", 20.0),
    ("largest braze plan", "", 50.0),
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


def load_procedures() -> object:
    """As the first job of a process loads them."""
    catalog._GOOD.clear()
    return catalog.load(Findings())


def pump_down_curve() -> object:
    """A curve through unlike lines on one tube, with a leak."""
    thin = hose_line(0.19 * 0.0254, 5 * 0.3048, core_in=True)
    wide = hose_line(0.375 * 0.0254, 4 * 0.3048)
    network = Network((thin, wide, wide, hose_line(0.01, 2.0)), (Tube(0.012, 0.5),))
    return pump_down.curve(Pump(2.8e-3, 2.0), network, 0.01, 101325.0, 60.0, leak=1e-4)


def rows(folder: Path) -> dict[str, Run]:
    """What is measured, by name."""
    done = pipeline.prepare(JOB)
    assert done.packet is not None and done.files is not None and done.catalog is not None
    packet, files, library = done.packet, done.files, done.catalog.library
    circuit: composing.Circuit = next(iter(done.circuits.values()))
    html, out = rendering.html(pipeline.illustrated(done)), str(folder / "p.pdf")
    (folder / "p.html").write_text(html, encoding="utf-8")

    loaded = catalog.load(Findings())
    assert loaded is not None
    heat_pump = loaded.library.circuits["split-heat-pump"]

    def compute() -> object:
        return numbers.compute(replace(circuit.context, register=Register(), findings=Findings()))

    def plan() -> object:
        return planning.plan(library, files.job, files.equipment)

    return {
        "imports only (process)": process("-c", "import click, yaml, jsonschema"),
        "check (process)": process("-m", "packets", "check", str(JOB)),
        "WeasyPrint alone (process)": process("-c", ALONE, str(folder / "p.html"), out),
        "build (process)": process("-m", "packets", "build", str(JOB), "-o", out),
        "load the procedures": load_procedures,
        "load the job": lambda: job_files.load(JOB, Findings()),
        "plan": plan,
        "numbers": compute,
        "plan and numbers": lambda: (plan(), compute()),
        "refrigerant, 100 look-ups": look_up,
        "pump-down curve": pump_down_curve,
        "largest braze plan": lambda: braze_plan(heat_pump, Opened(PARTS_OUT)),
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
