"""Readings from a filled PDF or a readings file, brought into one form.

A reading is kept as it was written. What cannot be placed on the packet is kept as well, with a
finding; `agreeing` makes several copies one.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

from packets import filled_pdf, packet_file
from packets.composing import field_names
from packets.findings import Findings, Place, nearest, suggest
from packets.judging.entries import ticked
from packets.model.blanks import blanks, choice_fields, steps
from packets.model.packet import Packet
from packets.model.readings import JOB_KEYS, NO_FIELD, Readings, Value, Written, same, shown
from packets.readings import sheet
from packets.readings.agreeing import merged as merged

_HEAD_BYTES = 1024
# Of fields that no packet box is called, this many are named one by one.
_NAMED = 12


@dataclass(frozen=True)
class Came:
    """One copy as it came back: the readings, and for a PDF the packet and job files inside."""

    readings: Readings
    shown: str
    packet: Packet | None = None
    files: dict[str, bytes] = field(default_factory=dict)


def load(path: Path, shown_as: str, findings: Findings) -> Came | None:
    """Read one copy, PDF or YAML. None when nothing could be read."""
    if _is_pdf(path):
        return _from_pdf(path, shown_as, findings)
    readings = sheet.read(path, shown_as, findings)
    return Came(readings, shown_as) if readings else None


def _is_pdf(path: Path) -> bool:
    if path.suffix.lower() == ".pdf":
        return True
    try:
        if not path.is_file():
            return False
        with path.open("rb") as stream:
            return b"%PDF-" in stream.read(_HEAD_BYTES)
    except (OSError, ValueError):
        return False


def _from_pdf(path: Path, shown_as: str, findings: Findings) -> Came | None:
    found = filled_pdf.read(path, shown_as, findings)
    if found is None:
        return None
    place = Place(shown_as)
    written: dict[str, Written] = {}
    for name, value in found.fields:
        if value in ("", False):
            continue
        old = written.get(name)
        if old is None:
            written[name] = Written(value, shown_as, place)
        elif not same(old.value, value):
            written[name] = replace(old, others=(*old.others, (shown_as, value)))
            findings.error(
                "field-twice",
                place,
                f"{name} stands twice in the PDF and says {_two(old.value, value)}",
                "ask who wrote it; neither is judged",
            )
    names = frozenset(name for name, _ in found.fields)
    if not names:
        findings.error(
            "pdf-no-fields",
            place,
            "the PDF has no form fields: a scan, or a print of the packet",
            "type what was written into a readings file: packets new readings JOB",
        )
    model = found.attachments.get(packet_file.NAME)
    packet = packet_file.load(model, f"{shown_as}:{packet_file.NAME}", findings) if model else None
    if model is None:
        findings.error(
            "pdf-no-packet",
            place,
            "the PDF does not carry the packet it was printed from",
            "fill in the packet's own PDF, or name it with --packet",
        )
    readings = Readings(
        packet.job if packet else "",
        packet.hash if packet else "",
        "pdf",
        (shown_as,),
        written,
        names,
    )
    files = {n: data for n, data in found.attachments.items() if n != packet_file.NAME}
    return Came(readings, shown_as, packet, files)


def _two(one: Value, other: Value) -> str:
    return f"{shown(one)!r} and {shown(other)!r}"


def placed(readings: Readings, packet: Packet, findings: Findings) -> Readings:
    """The readings by the packet's own boxes: ringed words under their blank, ticks as ticks."""
    words = choice_fields(packet)
    known = {*field_names(packet), *(blank.field for _, _, _, blank in blanks(packet))}
    ticks = {step.tick for _, step in steps(packet)}
    ticks |= {line.field for group in packet.dispatch.load for line in group.lines}
    kept: dict[str, Written] = {}
    for name, one in readings.written.items():
        if name in words and one.value is True:
            home, word = words[name]
            old = kept.get(home)
            value = f"{old.value} + {word}" if old and old.value != word else word
            kept[home] = replace(one, value=value)
        elif name not in words:
            tick = ticked(one.value) if name in ticks else None
            kept[name] = one if tick is None else replace(one, value=tick)
    strange = [name for name in kept if name not in known]
    for name in readings.accepted:
        if name not in known and name not in JOB_KEYS:
            findings.error(
                "field-unknown",
                Place(readings.sources[0]),
                f"accepted: no reading of the packet is called {name[:80]!r}",
                suggest(name, known) if nearest(name, known) else "name the reading's field",
            )
    for name in strange[:_NAMED]:
        near = nearest(name, known)
        findings.error(
            "field-unknown",
            kept[name].place,
            f"no box of the packet is called {name[:80]!r}; it says {shown(kept[name].value)!r}",
            f"did you mean {near}?" if near else "it is kept on the record, not judged",
        )
    if len(strange) > _NAMED:
        findings.error(
            "field-unknown",
            Place(readings.sources[0]),
            f"{len(strange) - _NAMED} more fields belong to no box of the packet",
            "they are kept on the record, not judged",
        )
    _lost(readings, packet, findings)
    return replace(readings, written=kept)


def _lost(readings: Readings, packet: Packet, findings: Findings) -> None:
    """Boxes of the packet that a PDF no longer has."""
    if readings.form != "pdf" or not readings.fields or without_field(readings, packet):
        return
    lost = [name for name in field_names(packet) if name not in readings.fields]
    if lost:
        boxes = "1 box" if len(lost) == 1 else f"{len(lost)} boxes"
        named = ", ".join(lost[:3]) + (" ..." if len(lost) > 3 else "")
        findings.error(
            "field-lost",
            Place(readings.sources[0]),
            f"{boxes} of the packet not in the PDF: {named}",
            "fill in the packet as it was printed; these count as not written",
        )


def without_field(readings: Readings, packet: Packet) -> bool:
    """Whether a copy is a PDF that has no box of the field packet: a dispatch sheet alone."""
    dispatch = {line.field for group in packet.dispatch.load for line in group.lines}
    has = readings.fields & set(field_names(packet))
    return readings.form == "pdf" and bool(has) and has <= dispatch


def told_without_field(readings: Readings, findings: Findings) -> str:
    """Says that a copy has no field packet; how the record calls it."""
    source = readings.sources[0]
    findings.error(
        "pdf-no-field",
        Place(source),
        "this file has no field packet: only the load list of its dispatch sheet was read",
        "review the field packet that was filled in, or type it: packets new readings JOB",
    )
    return f"{Path(source).name} {NO_FIELD}"
