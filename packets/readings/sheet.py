"""The readings file: a YAML skeleton with every blank of a packet, and reading it back."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from packets import sources, validation
from packets.findings import Findings
from packets.model.blanks import blanks, plain
from packets.model.limits import Limit, with_unit
from packets.model.limits import plain as digits
from packets.model.packet import Blank, Packet, Step
from packets.model.readings import Readings, Written

_WIDTH = 96
# Letters of who takes a reading as it is and why, as the schema has it.
_WHO_AND_WHY = 200


def read(path: Path, shown: str, findings: Findings) -> Readings | None:
    """Read a readings file. A value that the schema refuses is a finding, and the rest is kept."""
    document = sources.read(path, shown, findings)
    if document is None:
        return None
    data = validation.validate(document, "readings", findings)
    raw = data if data is not None else document.data
    if not isinstance(raw, dict) or not isinstance(raw.get("readings"), dict):
        return None
    written: dict[str, Written] = {}
    for name, value in raw["readings"].items():
        kept = _value(value)
        if kept not in ("", False):
            place = document.place("readings", name)
            written[str(name)] = Written(kept, shown, place)
    return Readings(
        str(raw.get("job", ""))[:60],
        str(raw.get("packet", ""))[:60],
        "yaml",
        (shown,),
        written,
        frozenset(str(name) for name in raw["readings"]),
        _accepted(raw.get("accepted")),
    )


def _accepted(value: Any) -> dict[str, str]:
    """Readings taken as they are, by field: who and why. What the schema refused takes no effect:
    nobody stands behind it."""
    if not isinstance(value, dict):
        return {}
    told = {str(name): why.strip() for name, why in value.items() if isinstance(why, str)}
    return {name: why for name, why in told.items() if 0 < len(why) <= _WHO_AND_WHY}


def _value(value: Any) -> str | bool:
    """What stands behind a key, as it was written; an unquoted number is its digits."""
    if isinstance(value, bool):
        return value
    if value is None:
        return ""
    if isinstance(value, (int, float, str)):
        return str(value).strip()[:500]
    return str(value)[:120]


def skeleton(packet: Packet) -> str:
    """The readings file of a packet with nothing filled in, as a person edits it."""
    lines = [
        "format: readings/1",
        f"# {packet.title}",
        f"# {packet.equipment}: {packet.machine}",
        *_comment(
            "Write behind the colon what stands on the paper, number and unit as read. Leave a line"
            " empty where the paper is empty. A tick is x. Of words to ring, write the one ringed.",
            "",
        ),
        f"job: {_quoted(packet.job)}",
        f"packet: {_quoted(packet.hash)}  # content {packet.hash}, revision {packet.revision}",
        "readings:",
    ]
    for section in packet.sections:
        lines += ["", f"  # {section.number} {section.title}"]
        for step in section.steps:
            lines += ["", *_step(step)]
    open_lines = [line for line in packet.record if not line.value]
    if open_lines:
        lines += ["", "  # Refrigerant record", ""]
        for line in open_lines:
            unit = f", {line.unit}" if line.unit else ""
            lines += [f"  # {_flat(line.label)}{_flat(unit)}", f"  {line.field}:"]
    loads = [line for group in packet.dispatch.load for line in group.lines]
    if loads:
        lines += ["", "  # Load list", ""]
        lines += [f"  {line.field}:  # {_flat(line.item)}" for line in loads]
    lines += [
        "",
        *_comment(
            "A reading that is out, empty or judged on the paper alone, and that the manager takes"
            " as it is: under `accepted:` its name, then who and why in one line, like this:",
            "",
        ),
        f"#   {_example(packet)}: R. Lund, read again on a second gauge",
        "accepted:",
    ]
    return "\n".join(lines) + "\n"


def _example(packet: Packet) -> str:
    """A field of the packet's own, one that has a limit where there is one."""
    found = sorted((blank.limit is None, at) for at, (*_, blank) in enumerate(blanks(packet)))
    fields = [blank.field for *_, blank in blanks(packet)]
    return fields[found[0][1]] if found else "field_name"


def _step(step: Step) -> Iterator[str]:
    """One step: its action, its tick, its blanks try by try, its sign-off."""
    yield from _comment(f"{step.number} {plain(step.action)}")
    yield f"  {step.tick}:"
    for attempt, row in enumerate(step.readings, 1):
        for blank in row:
            told = f"try {attempt}: " if len(step.readings) > 1 else ""
            yield from _comment(f"{told}{_about(blank)}", "    ")
            yield f"  {blank.field}:"
    if step.sign is not None:
        word = "hold point, name: " if step.sign.hold else "sign-off, name: "
        yield from _comment(word + plain(step.sign.text), "    ")
        yield f"  {step.sign.field}:"


def _about(blank: Blank) -> str:
    """Label, unit and limit of a blank in one line."""
    label = plain(blank.label)
    if blank.choices:
        return f"{label}: {' | '.join(choice.text for choice in blank.choices)}"
    kind = {"clock": "h:min, 24 h", "date": "year-month-day"}.get(blank.kind, blank.unit)
    parts = [label, *([kind] if kind else [])]
    if blank.limit is not None and blank.limit.kind == "rows":
        parts.append(_rows(blank.limit))
    elif blank.limit_text:
        parts.append(blank.limit_text)
    return ", ".join(parts)


def _rows(limit: Limit) -> str:
    """The ends of a table, in a line: the whole of it is on the paper."""
    first, last = limit.rows[0], limit.rows[-1]
    ends = [
        f"{digits(row.low)} to {with_unit(row.high, limit.unit)}"
        f" at {with_unit(row.by, limit.by_unit)}"
        for row in (first, last)
    ]
    return f"by {limit.by}, {' ... '.join(ends)}"


def _comment(text: str, indent: str = "  ") -> Iterator[str]:
    """A text as comment lines of readable length."""
    line = f"{indent}#"
    for word in _flat(text).split():
        if len(line) + len(word) >= _WIDTH and line.strip() != "#":
            yield line
            line = f"{indent}#"
        line += f" {word}"
    yield line


def _flat(text: str) -> str:
    """Nothing that could end a comment's line."""
    return "".join(c if c.isprintable() else " " for c in text)


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "").replace('"', "") + '"'
