"""Which records of a folder are counted: those that can be read, one of each packet."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from packets.findings import Findings, Place
from packets.model.record import FORMAT

MAX_BYTES = 4_000_000
NAMED = "*record*.json"


def counted(files: Sequence[Path], findings: Findings) -> Iterable[tuple[dict[str, Any], Path]]:
    """The records to count: of one packet of a job the fullest, then the newest."""
    best: dict[tuple[str, str], tuple[tuple[int, str, float], dict[str, Any], Path]] = {}
    for path in files:
        data = _read(path, findings)
        if data is None:
            continue
        job = str(data.get("job", ""))
        key = (job, str(data.get("packet", ""))) if job else ("", str(path))
        rank = (_entries(data), str(data.get("finished", "")), path.stat().st_mtime)
        old = best.get(key)
        best[key] = max(old, (rank, data, path), key=lambda one: one[0]) if old else (
            rank, data, path
        )  # fmt: skip
        if old is None:
            continue
        kept, other = best[key], old if best[key][2] == path else (rank, data, path)
        why = "it holds more readings" if kept[0][0] > other[0][0] else "it is the newer"
        findings.warn(
            "record-twice",
            Place(str(other[2])),
            f"job {job} stands in {kept[2]} and in {other[2]}; {kept[2]} is counted, {why}"
            f" ({kept[0][0]} to {other[0][0]} entries)",
            "keep one record a job",
        )
    return [(data, path) for _, data, path in best.values()]


def _entries(data: dict[str, Any]) -> int:
    """How many boxes of the packet were filled in."""
    written = data.get("written")
    return len(written) if isinstance(written, list) else 0


def passed_over(folder: Path, read: int, findings: Findings) -> None:
    """Says how many files of data were not looked into, for their name."""
    found = {path.relative_to(folder) for path in folder.rglob("*.json")}
    other = sorted(found - {path.relative_to(folder) for path in folder.rglob(NAMED)})
    if other and read:
        names = ", ".join(map(str, other[:3])) + (" ..." if len(other) > 3 else "")
        files = "1 JSON file was" if len(other) == 1 else f"{len(other)} JSON files were"
        findings.warn(
            "records-skipped",
            Place(str(folder)),
            f"{files} not read: {names}",
            f"a record's file is named {NAMED}; name it so to have it counted",
        )


def _read(path: Path, findings: Findings) -> dict[str, Any] | None:
    """One record; None, with a finding, when it is none."""
    reason = ""
    data: Any = None
    try:
        with path.open("rb") as stream:
            raw = stream.read(MAX_BYTES + 1)
        data = json.loads(raw) if len(raw) <= MAX_BYTES else []
        if not isinstance(data, dict) or data.get("format") != FORMAT:
            reason = "no completion record of a version known here"
    except (OSError, ValueError, RecursionError) as problem:
        reason = str(problem)[:120]
    if reason:
        findings.warn("record-unreadable", Place(str(path)), reason, "review the job again")
        return None
    found: dict[str, Any] = data
    return found
