"""Copies of the example job, changed line by line, for tests of everything after loading."""

from __future__ import annotations

import shutil
from pathlib import Path

from packets.pipeline import Prepared, prepare

EXAMPLES = Path(__file__).parent.parent / "output_examples"
EXAMPLE = EXAMPLES / "creamery-cooler"
FILES = ("job.yaml", "equipment.yaml", "kit.yaml")

# A plain compressor job on a single-phase split unit: what the example is not.
PLAIN = {
    "job.yaml": [
        ("    a: {refrigerant: present, compressor: electrical-burnout, acid_test: acid}",
         "    a: {refrigerant: present, compressor: mechanical-failure, acid_test: clean}"),
        ("also: [clean-condenser-coil]\n", ""),
        ("supply: {volts: 208 V, phases: 3, frequency: 60 Hz}",
         "supply: {volts: 230 V, phases: 1, frequency: 60 Hz}"),
        ("refrigerants: [R-448A, R-449A, R-404A]", "refrigerants: [R-410A]"),
        ("    suction_drier: {model: SD-489 with two ports, size: 1-1/8 in, ports: true}\n", ""),
    ],
    "equipment.yaml": [
        ("supply: {volts: 208 V, phases: 3, frequency: 60 Hz}",
         "supply: {volts: 230 V, phases: 1, frequency: 60 Hz}"),
        ("use: commercial-refrigeration", "use: comfort-cooling"),
        ("store: {setpoint: 36 degF, coldest: 35 degF, product: milk and soft cheese}\n", ""),
        ("circuit: condensing-unit-receiver", "circuit: split-cooling"),
        ("refrigerant: R-448A", "refrigerant: R-410A"),
        ("      crankcase_heater: true\n      heater_time: 12 h\n", ""),
        ("      - {place: receiver, setting: 450 psig}\n", "      - {place: condenser, setting: 600 psig}\n"),
        ("evaporating: {low: 18 degF, high: 30 degF}", "evaporating: {low: 35 degF, high: 50 degF}"),
    ],
    "kit.yaml": [("holds: R-448A", "holds: R-410A"), ("refrigerant: R-448A", "refrigerant: R-410A")],
}  # fmt: skip

Change = tuple[str, str]

# What a mildly flammable refrigerant asks of the kit.
RATED: list[Change] = [
    ("ultimate: 15 micron}", "ultimate: 15 micron, rated_for: [A1, A2L]}"),
    ("core_tools: 2", "core_tools: 2\nleak_detector: {id: D-2, rated_for: [A1, A2L]}\nfan: {rated_for: [A1, A2L]}\nservice_hoses: {rated_for: [A1, A2L]}"),
    ("    evacuated: true\n", "    evacuated: true\n    left_hand: true\n"),
]  # fmt: skip


# Both compressor valves back-seat and carry a gauge port; front-seated it is the compressor's.
_SEATS = (
    "stands: [back-seated], states: {{back-seated: {{dead: [{}]}}, mid-seated: {{}},"
    " front-seated: {{open: false, dead: []}}}}"
)
GAUGE_PORTS: dict[str, list[Change]] = {
    "equipment.yaml": [
        ("    metering:",
         "    differences:\n"
         "      - {remove: suction-port}\n"
         "      - {remove: discharge-port}\n"
         "      - {add: suction-valve, in: suction-line, kind: service-valve, at: [6, 4],"
         f" name: suction service valve, {_SEATS.format('suction-gauge')}}}\n"
         "      - {add: discharge-valve, in: discharge-line, kind: service-valve, at: [2, 8],"
         f" name: discharge service valve, {_SEATS.format('discharge-gauge')}}}\n"
         "      - {port: suction-gauge, on: suction-valve.out, port_kind: gauge-port,"
         " name: suction gauge port}\n"
         "      - {port: discharge-gauge, on: discharge-valve.in, port_kind: gauge-port,"
         " name: discharge gauge port}\n"
         "    metering:")
    ]
}  # fmt: skip


def copy(
    folder: Path, changes: dict[str, list[Change]] | None = None, example: Path = EXAMPLE
) -> Path:
    """Copy an example into a folder and change it; returns the job's path. A change that does
    not apply is a fault of the test."""
    for name in FILES:
        shutil.copy(example / name, folder / name)
    return change(folder, changes or {})


def change(folder: Path, changes: dict[str, list[Change]]) -> Path:
    """Replace texts in the copied files."""
    for name, pairs in changes.items():
        text = (folder / name).read_text(encoding="utf-8")
        for old, new in pairs:
            assert text.count(old) >= 1, f"{name} has no {old!r}"
            text = text.replace(old, new)
        (folder / name).write_text(text, encoding="utf-8")
    return folder / "job.yaml"


def two_circuits(folder: Path, changes: dict[str, list[Change]] | None = None) -> Path:
    """The example on a machine with a second circuit, `b`, that is like the first and runs."""
    copy(folder)
    record = folder / "equipment.yaml"
    head, circuit = record.read_text(encoding="utf-8").split("circuits:\n")
    body = circuit.replace("  a:\n", "", 1)
    record.write_text(f"{head}circuits:\n  a:\n{body}  b:\n{body}", encoding="utf-8")
    runs = "    b: {refrigerant: present, compressor: running, acid_test: clean}\n"
    change(folder, {"job.yaml": [("acid_test: acid}\n", f"acid_test: acid}}\n{runs}")]})
    return change(folder, changes or {})


def prepared(
    folder: Path, changes: dict[str, list[Change]] | None = None, example: Path = EXAMPLE
) -> Prepared:
    """The changed example, taken as far as it goes."""
    return prepare(copy(folder, changes, example))


def codes(done: Prepared) -> list[str]:
    """Codes of the findings that stop."""
    return [finding.code for finding in done.findings.errors()]
