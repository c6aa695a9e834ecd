"""Many records as one table: machine, readings out, leak rate, what is overdue; and a plot each.

Reads the JSON that `review` writes. A file that is none of ours is passed over with a finding, and
what it lacks is a gap in the table: nothing is worked out anew.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from packets import history, plots
from packets.across import gather
from packets.findings import Findings, Place
from packets.formatting import System, show
from packets.model.packet import Figure
from packets.model.record import AS_WRITTEN, TABLE_HEADS
from packets.plots import Bar

MAX_FILES = 2_000


@dataclass(frozen=True)
class Row:
    """One job. `machine` is the equipment's id; rates a year, None when not known. `finished` is
    empty where no day finished was written; `counted_from` is the day that its dates count from."""

    job: str
    machine: str
    circuit: str
    finished: str
    state: str
    counted_from: str
    out: int
    not_plausible: int
    missing: int
    net_added: float | None
    full_charge: float | None
    annualized: float | None
    rolling: float | None
    above: bool | None
    overdue: tuple[str, ...]
    next_due: str
    units: System
    file: str


@dataclass(frozen=True)
class Machine:
    """One machine with its jobs, oldest first, and its charges over time as a picture."""

    name: str
    rows: tuple[Row, ...]
    plot: Figure | None
    added: str


@dataclass
class Across:
    """The table over a folder."""

    rows: list[Row] = field(default_factory=list)
    machines: list[Machine] = field(default_factory=list)
    findings: Findings = field(default_factory=Findings)


def look(folder: Path, today: date) -> Across:
    """Read every record below a folder."""
    made = Across()
    files = sorted(folder.rglob(gather.NAMED))
    if len(files) > MAX_FILES:
        made.findings.error(
            "records-many", Place(str(folder)), f"more than {MAX_FILES} records", "take a part"
        )
        files = files[:MAX_FILES]
    if not files:
        made.findings.error(
            "records-none",
            Place(str(folder)),
            f"no record here: no file is named {gather.NAMED}",
            "write records with packets review JOB READINGS -o FOLDER",
        )
    for data, path in gather.counted(files, made.findings):
        made.rows += _rows(data, str(path), today)
    gather.passed_over(folder, len(files), made.findings)
    made.rows.sort(key=lambda row: (row.machine, row.circuit, row.counted_from, row.job))
    made.machines = _machines(made.rows, folder, made.findings)
    return made


def _rows(data: dict[str, Any], file: str, today: date) -> Iterable[Row]:
    """A record's rows, one a circuit; odd values in a file count as not there."""
    steps = _list(data.get("steps"))
    verdicts = [
        str(one.get("verdict"))
        for step in steps
        for one in _list(step.get("readings"))
        if one.get("final")
    ]
    # A record of an older version does not say where its day is from.
    written = data.get("finished_from", AS_WRITTEN) == AS_WRITTEN
    due = [(str(a.get("due") or ""), str(a.get("what") or "")) for a in _list(data.get("actions"))]
    overdue = tuple(
        f"{day} {what}" for day, what in due if (when := _day(day)) is not None and when < today
    )
    coming = sorted(day for day, _ in due if (when := _day(day)) is not None and when >= today)
    leaks = {str(one.get("circuit")): one for one in _list(data.get("leaks"))}
    for balance in _list(data.get("balances")) or [{"circuit": ""}]:
        circuit = str(balance.get("circuit", ""))
        leak = leaks.get(circuit, {})
        above = leak.get("above")
        yield Row(
            job=str(data.get("job", "")),
            machine=str(data.get("equipment", "")),
            circuit=circuit,
            finished=str(data.get("finished", "")) if written else "",
            counted_from=str(data.get("finished", "")),
            state=str(data.get("state", "")),
            out=verdicts.count("out"),
            not_plausible=verdicts.count("not-plausible"),
            missing=verdicts.count("missing"),
            net_added=_number(balance.get("net_added")),
            full_charge=_number(balance.get("full_charge")),
            annualized=_number(leak.get("annualized")),
            rolling=_number(leak.get("rolling")),
            above=above if isinstance(above, bool) else None,
            overdue=overdue,
            next_due=coming[0] if coming else "",
            units="si" if data.get("units") == "si" else "ip",
            file=file,
        )


def _list(value: Any) -> list[dict[str, Any]]:
    return [one for one in value if isinstance(one, dict)] if isinstance(value, list) else []


def _number(value: Any) -> float | None:
    good = isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < 1e9
    return float(value) if good else None


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _machines(rows: Sequence[Row], folder: Path, findings: Findings) -> list[Machine]:
    """The rows by machine and circuit, each with a picture of what was added over time."""
    groups: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.machine, row.circuit), []).append(row)
    past = _histories(folder, findings)
    made = []
    for (name, circuit), own in groups.items():
        charges = {
            row.counted_from: (row.net_added, row.job)
            for row in own
            if row.net_added is not None and _day(row.counted_from)
        }
        jobs = {row.job for row in own}
        for day, job, net in past.get((name, circuit), []):
            if job not in jobs:
                charges.setdefault(day, (net, job or "by hand"))
        units = own[0].units
        bars = [
            Bar(when, max(0.0, net), label)
            for day, (net, label) in sorted(charges.items())
            if (when := _day(day)) is not None
        ]
        full = next((row.full_charge for row in reversed(own) if row.full_charge), None)
        plot = plot_of(bars, full, units)
        last = max((bar.day for bar in bars), default=None)
        year = [bar.mass for bar in bars if last and bar.day > last - timedelta(days=365)]
        title = f"{name}, circuit {circuit}" if circuit else name
        added = _mass(sum(year), units) if year else ""
        made.append(Machine(title, tuple(own), plot, added))
    return made


def plot_of(bars: Sequence[Bar], full: float | None, units: System) -> Figure | None:
    """What was added, by date; None where nothing is known."""
    if not bars:
        return None
    svg = plots.added(bars, full, lambda mass: _mass(mass, units))
    said = "; ".join(f"{bar.day.isoformat()}: {_mass(bar.mass, units)}" for bar in bars)
    title = "Refrigerant added by date"
    return Figure("added", svg, plots.WIDTH * 25.4 / 96, plots.HEIGHT * 25.4 / 96, title, said)


def _histories(
    folder: Path, findings: Findings
) -> dict[tuple[str, str], list[tuple[str, str, float]]]:
    """Charges of the history files that lie in the folder, by machine and circuit."""
    found: dict[tuple[str, str], list[tuple[str, str, float]]] = {}
    for path in sorted(folder.rglob(f"*{history.ENDING}"))[:MAX_FILES]:
        past = history.load(path, str(path), "", findings)
        for one in past.charges if past else ():
            assert past is not None
            entry = (one.day.isoformat(), one.job, one.net)
            found.setdefault((past.equipment, one.circuit), []).append(entry)
    return found


def _mass(value: float, units: System) -> str:
    return show(value, "mass", units, "nearest").text


_KEYS = (
    "machine", "circuit", "job", "finished", "state", "out", "not_plausible", "missing",
    "net_added", "full_charge", "annualized", "rolling", "above", "overdue", "next_due", "file",
)  # fmt: skip


def as_csv(made: Across) -> str:
    """The table for a spreadsheet. A cell that a spreadsheet could take for a formula is quoted."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(TABLE_HEADS)
    for row in made.rows:
        cells = (
            row.machine, row.circuit, row.job, row.finished, row.state, row.out,
            row.not_plausible, row.missing,
            _plain(row.net_added), _plain(row.full_charge), _plain(row.annualized, 100),
            _plain(row.rolling, 100), {True: "yes", False: "no", None: ""}[row.above],
            "; ".join(row.overdue), row.next_due,
        )  # fmt: skip
        writer.writerow([_safe(cell) for cell in cells])
    return out.getvalue()


def as_data(made: Across) -> dict[str, Any]:
    """The table for a program."""
    return {
        "format": "records/1",
        "rows": [{key: getattr(row, key) for key in _KEYS} for row in made.rows],
        "findings": [finding.as_json() for finding in made.findings],
    }


def _plain(value: float | None, times: float = 1.0) -> str:
    return "" if value is None else f"{value * times:.6g}"


def _safe(cell: str | int) -> str | int:
    if isinstance(cell, str) and cell[:1] in ("=", "+", "@", "\t", "-") and not _is_number(cell):
        return f"'{cell}"
    return cell


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def as_text(made: Across) -> list[str]:
    """The table for a screen."""
    lines = [
        f"{'machine':<16} {'job':<12} {'finished':<12} {'state':<10} {'out':>3}"
        f" {'cannot be right':>15} {'not written':>11}"
        f" {'leak rate a year':>17}  overdue"
    ]
    for row in made.rows:
        name = f"{row.machine} {row.circuit}".strip()
        lines.append(
            f"{name[:16]:<16} {row.job[:12]:<12} {day_finished(row):<12} {row.state:<10}"
            f" {row.out:>3} {row.not_plausible:>15} {row.missing:>11}"
            f" {rate(row):>17}  {len(row.overdue) or '-'}"
        )
        lines += [f"    overdue since {text[:110]}" for text in row.overdue]
    return lines


def day_finished(row: Row) -> str:
    """The day finished, or that none is written."""
    return row.finished or ("not written" if row.state == "closed" else "not finished")


def rate(row: Row) -> str:
    """The leak rate by both methods: annualizing / rolling."""
    parts = [
        "?" if value is None else f"{value * 100:.1f} %" for value in (row.annualized, row.rolling)
    ]
    return " / ".join(parts) + (" !" if row.above else "")
