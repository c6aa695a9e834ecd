"""What a review writes: the record as JSON and PDF, the table across jobs, lines for the screen."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from packets import across, fonts, pdf, record, rendering
from packets.across import Across
from packets.composing.hashing import as_data
from packets.model.record import Record
from packets.record import page
from packets.returning import Reviewed


def data(done: Reviewed) -> dict[str, object]:
    """The record for a program."""
    assert done.record is not None
    return record.as_json(done.record, list(done.findings))


def outputs(done: Reviewed, paper: rendering.Paper) -> dict[str, bytes]:
    """The files of a review by name: the record as JSON and as PDF.

    A character that the typeface lacks is shown as U+FFFD on the page and kept in the JSON: what a
    person wrote must not keep the record from being printed.
    """
    assert done.record is not None
    stem = _stem(done.record)
    text = json.dumps(data(done), indent=2, ensure_ascii=False) + "\n"
    shown = _printable(done.record)
    html = rendering.document("record-page.html", paper=paper, page=page.page(shown), r=shown)
    named = f"{stem}-record-{done.record.packet or 'none'}"
    return {
        f"{stem}-record.json": text.encode("utf-8", "replace"),
        f"{stem}-record.pdf": pdf.write(html, identifier=named),
    }


def folder_outputs(
    made: Across, folder: Path, today: date, paper: rendering.Paper
) -> dict[str, bytes]:
    """The table over a folder of records, as CSV and as a page with a plot a machine."""
    html = rendering.document(
        "record-table.html",
        paper=paper,
        told=made,
        rows=[(row, across.day_finished(row), across.rate(row)) for row in made.rows],
        folder=folder.name or "records",
        today=today.isoformat(),
    )
    return {
        "records.csv": across.as_csv(made).encode("utf-8"),
        "records.pdf": pdf.write(html, identifier=f"records-{today}"),
    }


def settled(made: Record, today: date) -> bool:
    """Whether a job is closed, or waits for nothing whose day has passed."""
    late = any(one.waits and one.due and one.due < today.isoformat() for one in made.actions)
    return made.state == "closed" or (made.state == "waiting" and not late)


def _printable(made: Record) -> Record:
    """The record with a gap for every character that the typeface lacks."""
    plain = "".join(_strings(as_data(made, frozenset())))
    missing = dict.fromkeys(map(ord, fonts.unprintable(plain)), "?")
    return _translated(made, missing) if missing else made


def _strings(data: Any) -> Iterator[str]:
    """Every text in plain data."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, (dict, list)):
        for value in data.values() if isinstance(data, dict) else data:
            yield from _strings(value)


def _translated(value: Any, table: dict[int, str]) -> Any:
    if isinstance(value, str):
        return value.translate(table)
    if isinstance(value, tuple):
        return tuple(_translated(one, table) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(
            value, **{f.name: _translated(getattr(value, f.name), table) for f in fields(value)}
        )
    return value


def told(done: Reviewed) -> list[str]:
    """The record in a few lines, for a person at a screen."""
    assert done.record is not None
    seen = page.page(done.record)
    lines = [f"{done.record.job or 'no job'}: {seen.state}. {seen.summary}"]
    lines += [
        f"  {test.title} ({test.step}): {test.answer}. {test.reason}" for test, _ in seen.tests
    ]
    for title, rows, notes in seen.balance:
        lines.append(f"  {title}: " + "; ".join(f"{name} {text}" for name, text in rows))
        lines += [f"    look: {note}" for note in notes]
    for title, leak in seen.leaks:
        lines.append(f"  {title}: " + "; ".join(f"{name}: {text}" for name, text in leak))
    for one in seen.actions:
        when = ", ".join(part for part in (one.due, one.within) if part)
        lines.append(f"  next ({when}): {one.what} Because: {one.why}")
    return lines


def _stem(made: Record) -> str:
    """A file name from the job's number."""
    kept = "".join(c if c.isalnum() or c in "-_" else "-" for c in made.job)[:60]
    return kept or "job"
