"""What of a packet that came back is not proved by the job's own files.

The packet inside a returned PDF came back with it: whoever could change the PDF could change the
packet, its hash and the copies of the job's files in it. So the packet is made again from the
files on disk, and everything that judges a reading is compared with it, one figure at a time.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Any

from packets.findings import Findings, Place
from packets.formatting import System, show
from packets.model.blanks import plain, steps
from packets.model.packet import Blank, Packet
from packets.model.readings import PACKET
from packets.readings import changed

# Differences that are named one by one.
_NAMED = 12
_NONE = "no such box"


@dataclass(frozen=True)
class Apart:
    """A figure that judges: as it is in the packet that came back, and as the files give it."""

    what: str
    printed: str
    today: str


def compare(printed: Packet, today: Packet) -> tuple[Apart, ...]:
    """Return every figure that judges a reading and differs between the two packets."""
    return (*_boxes(printed, today), *_signatures(printed, today), *_basis(printed, today))


def unproved(
    printed: Packet, today: Packet | None, shown: str, findings: Findings, taken: str
) -> tuple[str, ...]:
    """Return in words what the files on disk do not prove of the packet; nothing if all is proved.

    Args:
        printed: the packet that came back or was named.
        today: what the job's files make today, None if they make none.
        shown: the file that `printed` came from, for the findings.
        taken: who takes the packet as it is and why, or "".

    Each difference is an error, or a warning where a named person takes the packet as it is.
    """
    place = Place(shown)
    if today is None:
        message = "the job's files on disk make no packet today, so no printed limit is proved"
        _say(findings, "limits-unproved", place, message, taken)
        return (message,)
    if today.hash == printed.hash:
        return ()
    apart = compare(printed, today)
    for one in apart[:_NAMED]:
        message = f"{one.what}: printed {one.printed}; the job's files on disk give {one.today}"
        _say(findings, "limit-differs", place, message, taken)
    if len(apart) > _NAMED:
        more = f"{len(apart) - _NAMED} more printed figures differ from the job's files on disk"
        _say(findings, "limit-differs", place, more, taken)
    if apart:
        return tuple(f"{one.what}: printed {one.printed}, today {one.today}" for one in apart)
    what = changed.what(printed, today)
    message = (
        f"the job's files and this program make packet {today.hash} today,"
        f" {printed.hash} came back. Every limit is the same; the texts are not proved"
        + (f" ({what})" if what else "")
    )
    _say(findings, "text-unproved", place, message, taken)
    return (message,)


def _say(findings: Findings, code: str, place: Place, message: str, taken: str) -> None:
    if taken:
        findings.warn(code, place, message, f"taken as printed: {taken}")
    else:
        findings.error(
            code,
            place,
            message,
            "compare the paper with the job's files; a manager who takes the packet as printed"
            f" writes `{PACKET}: name, why` under `accepted:` in a readings file",
        )


def _boxes(printed: Packet, today: Packet) -> Iterator[Apart]:
    one, other = _blanks(printed), _blanks(today)
    for name in dict.fromkeys((*one, *other)):
        if name not in one or name not in other:
            what, blank = one.get(name) or other[name]
            told = _limit(blank)
            sides = (told, _NONE) if name in one else (_NONE, told)
            yield Apart(what, *sides)
            continue
        (what, mine), (_, theirs) = one[name], other[name]
        if _judged(mine) != _judged(theirs):
            said, now = _limit(mine), _limit(theirs)
            if said == now:
                said, now = _rest(mine, theirs), _rest(theirs, mine)
            yield Apart(what, said, now)


def _blanks(packet: Packet) -> dict[str, tuple[str, Blank]]:
    return {
        blank.field: (f"step {step.number}, {plain(blank.label)}", blank)
        for _, step in steps(packet)
        for row in step.readings
        for blank in row
    }


# What of a blank decides how its entry is judged, besides the limit and the words.
_RULING = ("kind", "unit", "quantity", "step", "feeds", "about", "after", "within", "only_if")


def _judged(blank: Blank) -> tuple[object, ...]:
    words = tuple((choice.text, choice.good) for choice in blank.choices)
    return (blank.limit, words, *(getattr(blank, name) for name in _RULING))


def _limit(blank: Blank) -> str:
    if blank.choices:
        return "/".join(f"[{c.text}]" if c.good else c.text for c in blank.choices)
    if blank.limit is None:
        return "no limit"
    if blank.limit.rows:
        rows = (f"{row.by}: {row.low} to {row.high}" for row in blank.limit.rows)
        return f"table {blank.limit.unit} by {blank.limit.by} ({'; '.join(rows)})"
    return blank.limit.text()


def _rest(blank: Blank, other: Blank) -> str:
    apart = [
        f"{name} {getattr(blank, name)}"
        for name in (*_RULING, "limit")
        if getattr(blank, name) != getattr(other, name)
    ]
    return ", ".join(apart)


def _signatures(printed: Packet, today: Packet) -> Iterator[Apart]:
    one, other = (
        {step.sign.field: (step.number, plain(step.sign.text)) for _, step in steps(p) if step.sign}
        for p in (printed, today)
    )
    ticks, now = ({step.tick: step.number for _, step in steps(p)} for p in (printed, today))
    for name in dict.fromkeys((*one, *other)):
        if one.get(name, ("", ""))[1] != other.get(name, ("", ""))[1]:
            number = (one.get(name) or other[name])[0]
            said, today_said = one.get(name, ("", _NONE))[1], other.get(name, ("", _NONE))[1]
            yield Apart(f"step {number}, signature", said, today_said)
    for name in dict.fromkeys((*ticks, *now)):
        if (name in ticks) != (name in now):
            sides = ("a step", "no such step") if name in ticks else ("no such step", "a step")
            yield Apart(f"step {ticks.get(name) or now[name]}", *sides)


def _basis(printed: Packet, today: Packet) -> Iterator[Apart]:
    one, other = printed.basis, today.basis
    if one is None or other is None:
        if one is not other:
            yield Apart(
                "figures for the balance", *("given" if b else "none" for b in (one, other))
            )
        return
    if one.use != other.use:
        yield Apart("use of the machine", one.use, other.use)
    mine, theirs = ({c.circuit: c for c in basis.circuits} for basis in (one, other))
    for name in dict.fromkeys((*mine, *theirs)):
        if name not in mine or name not in theirs:
            sides = ("printed", "none") if name in mine else ("none", "given")
            yield Apart(f"circuit {name}", *sides)
            continue
        yield from _figures(f"circuit {name}", mine[name], theirs[name], printed.units)
    yield from _figures("rules", one.rules, other.rules, printed.units)


# Units of the plain numbers of a basis, which are SI; masses are told in the packet's own units.
_MASSES = ("full_charge", "charge_before", "scale_step", "tare", "contents", "start", "stop")
_UNITS = {"atmosphere": "Pa", "pressure_step": "Pa", "temperature_step": "K", "hold_time": "s"}


def _figures(what: str, one: Any, other: Any, units: System) -> Iterator[Apart]:
    """The fields in which two values of one dataclass differ; its cylinders by their ids."""
    for part in fields(one):
        said, now = getattr(one, part.name), getattr(other, part.name)
        if said == now:
            continue
        if part.name == "cylinders":
            mine, theirs = ({c.id: c for c in held} for held in (said, now))
            for id in dict.fromkeys((*mine, *theirs)):
                if id in mine and id in theirs:
                    yield from _figures(f"{what}, cylinder {id}", mine[id], theirs[id], units)
                else:
                    sides = ("printed", "none") if id in mine else ("none", "given")
                    yield Apart(f"{what}, cylinder {id}", *sides)
            continue
        name = part.name.replace("_", " ")
        if part.name in _MASSES:
            texts = _mass(said, units), _mass(now, units)
            if texts[0] == texts[1]:
                texts = (f"{said:.6g} kg", f"{now:.6g} kg")
        else:
            unit = _UNITS.get(part.name, "")
            first, second = _shortened(said, now)
            texts = (f"{first} {unit}".strip(), f"{second} {unit}".strip())
        yield Apart(f"{what}, {name}", *texts)


def _mass(value: float, units: System) -> str:
    return show(value, "mass", units, "nearest").text


def _shortened(one: object, other: object) -> tuple[str, str]:
    """Two values in words; of two lists the parts that differ."""
    if isinstance(one, tuple) and isinstance(other, tuple):
        only = [part for part in one if part not in other]
        now = [part for part in other if part not in one]
        return _told(only), _told(now)
    return _told(one), _told(other)


def _told(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.6g}"
    text = "; ".join(map(str, value)) if isinstance(value, list) else str(value)
    return text[:300] or "none"
