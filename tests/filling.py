"""Fills in a packet the way a technician would: as a readings file or in the PDF's own form.

Every blank gets an answer that its limit allows unless the caller says otherwise, so that a test
or an example names only what it is about, and goes on working when a fragment gains a reading.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from pathlib import Path

from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject, TextStringObject

from packets import pipeline
from packets.composing import field_names
from packets.findings import Place
from packets.judging import Judgement, entries, judge
from packets.judging.steps import ON_SITE
from packets.model.blanks import blanks, choice_fields, steps
from packets.model.limits import mass_text, plain
from packets.model.packet import Blank, Packet
from packets.model.readings import Readings, Written
from packets.model.record import Judged
from packets.readings import sheet

# What a box without a limit is filled with, by kind of quantity, in the packet's units.
_PLAIN = {
    "ip": {"gauge-pressure": "48", "temperature": "66", "mass": "14 lb 8 oz", "vacuum": "320",
           "voltage": "208", "resistance": "0.9", "pressure-difference": "1", "current": "9.8"},
    "si": {"gauge-pressure": "330", "temperature": "19", "mass": "6.58", "vacuum": "43",
           "voltage": "208", "resistance": "0.9", "pressure-difference": "7", "current": "9.8"},
}  # fmt: skip
EXAMPLE = Path(__file__).parent.parent / "output_examples" / "creamery-cooler" / "job.yaml"
Answers = Mapping[str, str | None]


# A sound job at the creamery: what is weighed, timed and read in step with something else.
GOOD: Answers = {
    "lock-out__live-volts__r-volts-12": "207",
    "lock-out__live-volts__r-volts-23": "209",
    "lock-out__live-volts__r-volts-31": "208",
    "lock-out__live-volts__r-spread": "2",
    "recover__cylinder-1__fill__r-weight-start": "27 lb 9.5 oz",
    "recover__cylinder-1__fill__r-weight-end": "41 lb 1.5 oz",
    "recover__clear__r-recovered": "13 lb 8 oz",
    "pressure-hold__start__r-start-clock": "18:10",
    "pressure-hold__end__r-end-clock": "06:30",
    "pressure-hold__start__r-start-temperature": "66",
    "pressure-hold__end__r-end-temperature": "52",
    "evacuate__rise__r-first": "318",
    "evacuate__rise__r-second": "332",
    "evacuate__rise__r-risen": "341",
    "fire-watch__watch__r-last-flame": "15:05",
    "fire-watch__watch__r-watch-over": "16:05",
    "weigh-in-charge__cylinder-1__charge__r-scale-start": "35 lb 4 oz",
    "weigh-in-charge__cylinder-1__charge__r-scale-end": "20 lb 12 oz",
    "serve-heater__heater-on__r-on-clock": "17:30",
    "serve-heater__lock-again__r-off-clock": "07:00 +1",
    "return-visit__drop__r-first-day": "2026-03-21",
    "return-visit__drop__r-second-day": "2026-03-22",
    "record__owner": "Brookfold Creamery",
    "record__full-charge-method": "recorded at installation",
    "record__level-reached": "0",
    "record__recovered": "13 lb 8 oz",
    "record__recovery-cylinder": "C-121",
    "record__sent-to": "reclaimer, 2026-03-24",
    "record__charged": "14 lb 8 oz",
    "record__charge-cylinder": "N-31",
    "record__net": "1 lb",
    "record__leak": "none found",
    "record__service-date": "2026-03-20",
    "record__technician": "J. Orrin, U-0001",
}
# The same job with much gone wrong: a leak, a slipped point, words for water, names missing.
BAD: Answers = {
    **GOOD,
    "pressure-hold__end__r-end-pressure": "219",
    "evacuate__rise__r-first": "820",
    "evacuate__rise__r-second": "1340",
    "evacuate__rise__r-risen": "2380",
    "evacuate__answer__r-shows": "water",
    "recover__level__r-after-wait": "2",
    "recover__level__r-reached__t2": "0",
    "recover__level__r-after-wait__t2": "0",
    "weigh-in-charge__close__r-charged": "14.5",
    "weigh-in-charge__cylinder-1__charge__r-scale-end": "20 lb 4 oz",
    "fire-watch__watch__r-watch-over": "4:05",
    "fire-watch__watch__sign": None,
    "start-up__unlock__sign": None,
    "verify__superheat__r-suction-pressure": "48",
    "verify__superheat__r-suction-line": "0",
    "verify__liquid-receiver__tick": None,
    "verify__heat__r-discharge-line": "2010",
    "verify__heat__r-amps": "14.2",
    "return-visit__drop__tick": None,
    "return-visit__drop__r-first-day": None,
    "return-visit__drop__r-first-drop": None,
    "return-visit__drop__r-second-day": None,
    "return-visit__drop__r-second-drop": None,
    "return-visit__acid__tick": None,
    "return-visit__acid__r-acid-one": None,
    "return-visit__acid__r-acid-two": None,
    "return-visit__decide__tick": None,
    "return-visit__decide__r-circuit-is": None,
    "return-visit__decide__r-drier-is": None,
    "return-visit__decide__sign": None,
    "record__recovered": "12 lb 8 oz",
}


# The same two for any other example: its weights and times follow from its own packet.
ANY_BAD: Answers = {
    "pressure-hold__end__r-end-pressure": "90",
    "evacuate__answer__r-shows": "leak",
    "start-up__unlock__sign": None,
    "verify__heat__r-discharge-line": "2010",
    "verify__heat__r-amps": None,
    "weigh-in-charge__close__r-charged": "14.5",
}
LABEL = "S. Lund: compared with the label on site"


def answers(example: str, name: str, packet: Packet) -> Answers:
    """What the technician wrote, `good` or `bad`, on an example's packet."""
    if example == "creamery-cooler":
        return {"good": GOOD, "bad": BAD}[name]
    common = {
        "record__owner": "the owner",
        "record__service-date": packet.date,
        "record__technician": "J. Orrin, U-0001",
    }
    return {**common, **({} if name == "good" else ANY_BAD)}


def returned(packet: Packet, given: Answers) -> str:
    """The readings file of a packet that came back. What only the label can judge, the manager has
    compared with it."""
    text = as_yaml(packet, filled(packet, given))
    on_site = [
        one.field
        for step in judged(packet, given).steps
        for one in step.readings
        if one.verdict == "not-judged" and one.reason.startswith(ON_SITE)
    ]
    return text + "".join(f'  {field}: "{LABEL}"\n' for field in on_site)


@cache
def creamery() -> Packet:
    """The packet of the creamery's cooler, inch-pound."""
    done = pipeline.prepare(EXAMPLE)
    assert done.packet is not None, [str(finding) for finding in done.findings]
    return done.packet


def readings(packet: Packet, answers: Answers | None = None) -> Readings:
    """The filled packet as readings."""
    made = filled(packet, answers or {})
    written = {name: Written(text, "paper", Place("paper")) for name, text in made.items()}
    return Readings(packet.job, packet.hash, "yaml", ("paper",), written, frozenset(made))


def judged(packet: Packet, answers: Answers | None = None) -> Judgement:
    """The filled packet, judged."""
    return judge(packet, readings(packet, answers))


def reading(found: Judgement, name: str) -> Judged:
    """One judged reading, by `key`; of several tries the final one."""
    hits = [
        one
        for step in found.steps
        for one in step.readings
        if one.final and one.field.removesuffix("__t1").removesuffix("__t2") == f"a__{name}"
    ]
    assert len(hits) == 1, (name, hits)
    return hits[0]


def key(blank: Blank, attempt: int = 1) -> str:
    """How answers name a blank: its field without the circuit and, for the first try, the try."""
    name = blank.field.partition("__")[2]
    return name.removesuffix("__t1") if attempt == 1 else name


def filled(packet: Packet, answers: Answers) -> dict[str, str]:
    """Every field of the packet with its entry. `answers` go by `key`; None leaves a box empty;
    a step's tick or sign-off is named by its field without the circuit."""
    made: dict[str, str] = {}
    values: dict[str, Decimal] = {}
    for _, step in steps(packet):
        _put(made, step.tick, "x", answers)
        if step.sign:
            _put(made, step.sign.field, "J. Orrin", answers)
    hour = 8 * 60
    for section, step, attempt, blank in blanks(packet):
        name = key(blank, attempt)
        if attempt > 1 and name not in answers:
            continue
        if blank.kind == "clock":
            hour += 5
        near = {b.id: b for s in section.steps for row in s.readings for b in row}
        near |= {b.id: b for b in step.readings[attempt - 1]}
        text = answers.get(name, _good(packet, blank, near, values, hour))
        if text is None:
            continue
        made[blank.field] = text
        try:
            values[blank.field] = Decimal(text)
        except ArithmeticError:
            continue
    for line in packet.record:
        if not line.value:
            _put(made, line.field, "", answers)
    for name, text in answers.items():
        field = f"a__{name}"
        if text is not None and field in {
            *field_names(packet),
            *(b.field for *_, b in blanks(packet)),
        }:
            made[field] = text
    return {name: text for name, text in made.items() if text}


def _put(made: dict[str, str], field: str, text: str, answers: Answers) -> None:
    found = answers.get(field.partition("__")[2], text)
    if found:
        made[field] = found


def _good(
    packet: Packet, blank: Blank, near: dict[str, Blank], values: dict[str, Decimal], hour: int
) -> str:
    """An entry that the blank's limit allows."""
    limit = blank.limit
    if blank.choices:
        return next((c.text for c in blank.choices if c.good), blank.choices[0].text)
    if blank.feeds in ("hold-start-clock", "hold-end-clock"):
        return _hold_clock(packet, blank)
    if blank.kind == "clock":
        return f"{hour // 60}:{hour % 60:02d}"
    if blank.kind == "date":
        return packet.date
    if (fed := _in_step(packet, blank)) is not None:
        return fed
    if limit is not None and limit.kind not in ("write_in", "choice"):
        by = values.get(near[limit.by].field) if limit.by in near else None
        band = limit.band(by)
        if band is not None:
            low, high = band
            value = low if low is not None else high
            if low is not None and high is not None:
                step = blank.step or Decimal(1)
                value = low + ((high - low) / 2 / step).to_integral_value() * step
            assert value is not None
            return _written(value, blank.unit)
    if (by := _by_of(packet, blank)) is not None:
        return by
    return _PLAIN[packet.units].get(blank.quantity, "1") if blank.quantity else "as told"


def _by_of(packet: Packet, blank: Blank) -> str | None:
    """The middle of the table that is entered with this reading."""
    for section in packet.sections:
        own = [b for step in section.steps for row in step.readings for b in row]
        if blank not in own:
            continue
        for other in own:
            if other.limit is not None and other.limit.rows and other.limit.by == blank.id:
                return plain(other.limit.rows[len(other.limit.rows) // 2].by)
    return None


def _hold_clock(packet: Packet, blank: Blank) -> str:
    """A hold that begins at 8:00 and lasts a quarter of an hour longer than asked."""
    if blank.feeds == "hold-start-clock":
        return "8:00"
    assert packet.basis is not None
    lasted = packet.basis.circuits[0].hold_time / 60 + 15
    days, minutes = divmod(480 + round(lasted), 1440)
    return f"{minutes // 60}:{minutes % 60:02d}" + (" +1" if days else "")


# What is left in the oil of a sound machine, and how a good rise goes, as shares.
_RECOVERED, _RISE = 0.96, {0: 0.6, 1: 0.62, 2: 0.63, 3: 0.64}


def _in_step(packet: Packet, blank: Blank) -> str | None:
    """What is weighed or read in step with other readings of a sound job."""
    basis = packet.basis
    if basis is None or not blank.feeds or not blank.quantity:
        return None
    circuit = next(c for c in basis.circuits if blank.field.startswith(f"{c.circuit}__"))
    cylinders = {one.id: one for one in circuit.cylinders}
    held = cylinders.get(blank.about)
    count = sum(one.use == "recovery" for one in circuit.cylinders) or 1
    out = _RECOVERED * circuit.full_charge
    weights = {
        "recovered": out,
        "recovery-start": held.start if held else 0.0,
        "recovery-end": (held.start if held else 0.0) + out / count,
        "charge-start": held.start if held else 0.0,
        "charge-end": held.stop if held else 0.0,
    }
    if blank.feeds in weights:
        step = circuit.scale_step or 0.001
        exact = round(weights[blank.feeds] / step) * step
        return _written(round(entries.from_si(exact, "mass", blank.unit), 2), blank.unit)
    if blank.feeds == "rise" and circuit.rise is not None:
        quarter = min(round(4 * blank.after / circuit.rise.wait), 4) - 1
        pascal = circuit.rise.limit * _RISE.get(quarter, 0.6)
        return f"{entries.from_si(pascal, 'vacuum', blank.unit):.0f}"
    return None


def _written(value: Decimal, unit: str) -> str:
    """A value as a person writes it in a box of that unit."""
    if unit == "lb oz":
        return mass_text(value)
    return plain(abs(value) if unit == "in. Hg vacuum" else value)


def as_yaml(packet: Packet, written: Mapping[str, str]) -> str:
    """The packet's own readings file with the entries filled in."""
    lines = []
    for line in sheet.skeleton(packet).splitlines():
        name = line.strip().partition(":")[0]
        if line.endswith(":") and name in written:
            text = written[name].replace('"', "'")
            line = f"{line} {text}" if text.isalpha() else f'{line} "{text}"'
        lines.append(line)
    return "\n".join(lines) + "\n"


def as_pdf(printed: bytes, packet: Packet, written: Mapping[str, str]) -> bytes:
    """The printed PDF with the entries in its form: words to ring become ticks."""
    words = {blank: {} for _, (blank, _) in choice_fields(packet).items()}
    for field, (blank, word) in choice_fields(packet).items():
        words[blank][word] = field
    texts: dict[str, str] = {}
    for name, text in written.items():
        if name in words:
            for part in text.split(" + "):
                texts[words[name][part]] = "/on"
        elif name.endswith("__tick") or name.startswith("load__"):
            texts[name] = "/on"
        else:
            texts[name] = text
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(printed)))
    for page in writer.pages:
        for reference in page.get("/Annots", []):
            note = reference.get_object()
            value = texts.get(str(note.get("/T", "")))
            if value is None:
                continue
            if note.get("/FT") == "/Btn":
                note[NameObject("/V")] = note[NameObject("/AS")] = NameObject(value)
            else:
                note[NameObject("/V")] = TextStringObject(value)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
