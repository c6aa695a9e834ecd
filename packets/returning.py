"""The way back, one function a verb: read what came, judge it, write it down."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from packets import history, packet_file, pipeline, readings, record
from packets.filled_pdf import MissingLibrary as MissingLibrary
from packets.findings import Findings, Place
from packets.model.history import History
from packets.model.packet import Packet
from packets.model.readings import PACKET, Readings
from packets.model.record import AS_WRITTEN, Record
from packets.pipeline import Prepared
from packets.readings import Came, proof, sheet

# Lines of a difference between two files that are shown.
_SHOWN = 6


@dataclass
class Reviewed:
    """How far a review has come. `record` is there whenever anything was read."""

    findings: Findings = field(default_factory=Findings)
    prepared: Prepared | None = None
    packet: Packet | None = None
    readings: Readings | None = None
    record: Record | None = None
    history: History | None = None


def skeleton(job: Path, shop: Path | None, units: str) -> tuple[Prepared, str]:
    """The readings file of a job's packet, empty; "" when the job does not come to a packet."""
    done = pipeline.prepare(job, shop, "si" if units == "si" else "ip")
    return done, sheet.skeleton(done.packet) if done.packet else ""


def review(
    job: Path,
    copies: Sequence[Path],
    printed: Path | None = None,
    shop: Path | None = None,
) -> Reviewed:
    """Read the copies of a job's packet and judge them by the packet they were written on."""
    done = Reviewed()
    came = [one for path in copies if (one := readings.load(path, str(path), done.findings))]
    done.packet = _packet(came, printed, done.findings)
    done.prepared = _prepared(job, shop, came, done.packet)
    _own_files(done)
    if not came:
        return done
    if done.packet is None:
        done.packet = _rebuilt(came, done.prepared, done.findings)
        unproved: tuple[str, ...] = ()
    else:
        unproved = _proof(came, done.prepared, done.packet, done.findings)
    ours = _of_one_packet(came, done.packet, done.findings)
    if done.packet is None or not ours:
        done.readings = readings.merged([one.readings for one in came], done.findings)
        done.record = record.unjudged(done.packet if ours else None, done.readings)
        return done
    placed = [readings.placed(one.readings, done.packet, done.findings) for one in ours]
    kept = {one.shown for one in ours}
    unread = tuple(path.name for path in copies if str(path) not in kept)
    if all(readings.without_field(one, done.packet) for one in placed):
        unread += tuple(readings.told_without_field(one, done.findings) for one in placed)
    merged = readings.merged(placed, done.findings, done.packet)
    done.readings = replace(merged, unread=unread, unproved=unproved)
    done.history = _history(done.prepared, done.findings)
    done.record = record.make(done.packet, done.readings, done.history, done.findings)
    return done


def _prepared(
    job: Path, shop: Path | None, came: Sequence[Came], packet: Packet | None
) -> Prepared:
    """The job as it comes out today, in the units of what was printed; a readings file names no
    units, so both are tried."""
    wanted = packet.hash if packet else next((one.readings.packet for one in came), "")
    first = pipeline.prepare(job, shop, packet.units if packet else "ip")
    if packet or first.packet is None or first.packet.hash == wanted:
        return first
    other = pipeline.prepare(job, shop, "si")
    return other if other.packet and other.packet.hash == wanted else first


def _own_files(done: Reviewed) -> None:
    """The job's own findings matter here only where they stop: the packet is printed already."""
    if done.prepared is not None:
        done.findings.extend(done.prepared.findings.errors())


def _packet(came: Sequence[Came], printed: Path | None, findings: Findings) -> Packet | None:
    """The packet that was written on: the one inside a copy, or the one named."""
    if printed is not None:
        if printed.suffix.lower() == ".json":
            return _model_file(printed, findings)
        found = readings.load(printed, str(printed), findings)
        return found.packet if found else None
    return next((one.packet for one in came if one.packet is not None), None)


def _model_file(path: Path, findings: Findings) -> Packet | None:
    try:
        with path.open("rb") as stream:
            data = stream.read(packet_file.MAX_BYTES + 1)
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or "cannot be read"
        findings.error("file-unreadable", Place(str(path)), reason.lower(), "check the name")
        return None
    return packet_file.load(data, str(path), findings)


def _rebuilt(came: Sequence[Came], prepared: Prepared, findings: Findings) -> Packet | None:
    """The packet that the job makes today, when its content is that of the readings."""
    wanted = came[0].readings.packet
    if prepared.packet is not None and prepared.packet.hash == wanted:
        return prepared.packet
    today = prepared.packet.hash if prepared.packet else "none"
    said = f"the readings are of packet {wanted}" if wanted else "the readings name no packet"
    findings.error(
        "packet-other",
        Place(came[0].shown),
        f"{said}, the job's files make {today} today",
        "name the printed PDF with --packet; what was printed judges, not what is made today",
    )
    return None


def _proof(
    came: Sequence[Came], prepared: Prepared, packet: Packet, findings: Findings
) -> tuple[str, ...]:
    """Compare the packet that came back with the job's files on disk; what they do not prove."""
    files, shown = prepared.files, came[0].shown
    if files is not None and files.job.job != packet.job:
        message = (
            f"the packet is of job {packet.job}, {files.documents['job'].file} is job"
            f" {files.job.job}"
        )
        findings.error(
            "job-other", Place(shown), message, "name the job that the packet was made from"
        )
        return (message,)
    if files is not None:
        _copies_inside(came, files.texts, findings)
    taken = next((t for one in came if (t := one.readings.accepted.get(PACKET, ""))), "")
    return proof.unproved(packet, prepared.packet, shown, findings, taken)


def _copies_inside(came: Sequence[Came], texts: Mapping[str, bytes], findings: Findings) -> None:
    """Show where the copies of the job's files inside the PDF differ from those on disk.

    The copies came back with the PDF and prove nothing; they only show what was changed.
    """
    inside = next((one for one in came if one.files), None)
    for name, text in sorted(texts.items()) if inside else ():
        assert inside is not None
        held = inside.files.get(name)
        if held is not None and held != text:
            findings.warn(
                "packet-files",
                Place(inside.shown),
                f"{name} on disk differs from the copy in the PDF: {_difference(held, text)}",
                "find out which of the two is right; the copy in the PDF came back with it",
            )


def _difference(old: bytes, new: bytes) -> str:
    """The first lines that differ, as printed and as now."""
    one, other = (data.decode("utf-8", "replace").splitlines()[:5000] for data in (old, new))
    lines = [
        line[:100]
        for line in difflib.unified_diff(one, other, "printed", "now", n=0, lineterm="")
        if line[:1] in "+-" and line[:3] not in ("---", "+++")
    ]
    more = f" and {len(lines) - _SHOWN} more lines" if len(lines) > _SHOWN else ""
    return "; ".join(lines[:_SHOWN]) + more


def _of_one_packet(came: Sequence[Came], packet: Packet | None, findings: Findings) -> list[Came]:
    """The copies that belong to the packet; the others are findings."""
    if packet is None:
        return []
    kept = []
    for one in came:
        if one.readings.packet == packet.hash and one.readings.job in ("", packet.job):
            kept.append(one)
        elif one.readings.form == "pdf" and one.packet is None:
            kept.append(one)  # a PDF that lost its packet: its fields tell, field by field
        else:
            findings.error(
                "readings-other",
                Place(one.shown),
                f"these readings are of job {one.readings.job or '?'}, packet"
                f" {one.readings.packet or '?'}; judged is job {packet.job}, packet {packet.hash}",
                "review each packet by itself",
            )
    return kept


def _history(prepared: Prepared, findings: Findings) -> History | None:
    """The machine's past charges, from the file beside its record."""
    path = history_path(prepared)
    files = prepared.files
    if path is None or files is None:
        return None
    return history.load(path, str(path), files.equipment.equipment, findings)


def history_path(prepared: Prepared) -> Path | None:
    """Where the history of the job's machine stands."""
    files = prepared.files
    if files is None:
        return None
    return history.beside(Path(files.documents["equipment"].file))


def update_history(done: Reviewed) -> list[str]:
    """Add this job's charge to the machine's history; the lines that were added.

    Raises OSError when the file cannot be written.
    """
    made = done.record
    path = history_path(done.prepared) if done.prepared else None
    if made is None or path is None or made.state == "not-judged":
        return []
    if made.finished_from != AS_WRITTEN:
        done.findings.error(
            "history-day",
            Place(str(path)),
            f"{made.finished_from.partition('; ')[2] or made.finished_from}: the charge has no day",
            "write the day finished, year-month-day (e.g. 2026-03-18), on the refrigerant record,"
            " then review again",
        )
        return []
    added = []
    for balance in made.balances:
        if balance.charged is None:
            done.findings.warn(
                "history-unknown",
                Place(str(path)),
                f"circuit {balance.circuit}: how much was charged is not known; nothing is added",
                "write the weights, then review again",
            )
            continue
        line = history.charge_line(made, balance.circuit, balance.charged, balance.recovered)
        if history.append(path, str(path), made, balance.circuit, line, done.findings):
            added.append(f"{path}: {line}")
    return added
