"""Fills in a packet the way a technician would: as a readings file or in the PDF's own form.

Every blank gets an answer that its limit allows unless the caller says otherwise, so that a test
or an example names only what it is about, and goes on working when a fragment gains a reading.
"""

from __future__ import annotations

import io
import tempfile
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path

from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject, TextStringObject

from packets import making, pipeline
from packets.composing import field_names
from packets.findings import Place
from packets.formatting import show
from packets.judging import Judgement, entries, judge
from packets.model.blanks import blanks, choice_fields, steps
from packets.model.limits import mass_text, plain
from packets.model.packet import Blank, Packet
from packets.model.readings import Readings, Written
from packets.model.record import Judged
from packets.readings import sheet
from tests.returned import Answers as Answers
from tests.returned import Example, Returned, clinic_wall_split, creamery_cooler, library_heat_pump

# What a box without a limit is filled with, by kind of quantity, in the packet's units.
_PLAIN = {
    "ip": {"gauge-pressure": "48", "temperature": "66", "mass": "14 lb 8 oz", "vacuum": "320",
           "voltage": "208", "resistance": "0.9", "pressure-difference": "1", "current": "9.8"},
    "si": {"gauge-pressure": "330", "temperature": "19", "mass": "6.58", "vacuum": "43",
           "voltage": "208", "resistance": "0.9", "pressure-difference": "7", "current": "9.8"},
}  # fmt: skip
EXAMPLES = Path(__file__).parent.parent / "output_examples"


EXAMPLE = EXAMPLES / creamery_cooler.EXAMPLE.folder / "job.yaml"
# Every example's sets of answers, sound and gone wrong.
RETURNED: Mapping[str, Example] = {
    one.folder: one
    for one in (creamery_cooler.EXAMPLE, library_heat_pump.EXAMPLE, clinic_wall_split.EXAMPLE)
}
GOOD: Answers = creamery_cooler.GOOD.answers
BAD: Answers = creamery_cooler.BAD.answers


@cache
def example(folder: str) -> Packet:
    """The packet of an example, inch-pound."""
    done = pipeline.prepare(EXAMPLES / folder / "job.yaml")
    assert done.packet is not None, [str(finding) for finding in done.findings]
    return done.packet


def printed(job: Path) -> bytes:
    """A job's PDF, made as `packets build` makes it: drawings, form and attached files."""
    with tempfile.TemporaryDirectory() as folder:
        output = Path(folder) / "packet.pdf"
        done = making.make(making.Order(job, output))
        assert done.code == making.GOOD, (done.problem, [str(one) for one in done.findings])
        return output.read_bytes()


def creamery() -> Packet:
    """The packet of the creamery's cooler, inch-pound."""
    return example(creamery_cooler.EXAMPLE.folder)


def readings(packet: Packet, answers: Answers | None = None) -> Readings:
    """The filled packet as readings."""
    made = filled(packet, answers or {})
    written = {name: Written(text, "paper", Place("paper")) for name, text in made.items()}
    return Readings(packet.job, packet.hash, "yaml", ("paper",), written, frozenset(made))


def accepting(readings: Readings, accepted: Mapping[str, str]) -> Readings:
    """The readings with those, by `key`, that the manager takes as they are."""
    return replace(readings, accepted={f"a__{name}": why for name, why in accepted.items()})


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


def names(packet: Packet) -> set[str]:
    """How answers name every tick, blank and signature of a packet, but those of its last lines."""
    found = {key(blank, attempt) for _, _, attempt, blank in blanks(packet)}
    for _, step in steps(packet):
        found |= {step.tick.partition("__")[2]}
        found |= {step.sign.field.partition("__")[2]} if step.sign else set()
    return found


def filled(packet: Packet, answers: Answers) -> dict[str, str]:
    """Every field of the packet with its entry. `answers` go by `key`; None leaves a box empty;
    a step's tick or sign-off is named by its field without the circuit, and `technician` signs
    where no name is given."""
    # An answer without its box would prove nothing; the record's lines are each rules' own.
    strange = {name for name in unknown(packet, answers) if not name.startswith("record__")}
    assert not strange, strange
    made: dict[str, str] = {}
    values: dict[str, Decimal] = {}
    for _, step in steps(packet):
        _put(made, step.tick, "x", answers)
        if step.sign:
            _put(made, step.sign.field, answers.get("technician") or "J. Orrin", answers)
    hour = 8 * 60
    for section, step, attempt, blank in blanks(packet):
        name = key(blank, attempt)
        if attempt > 1 and name not in answers:
            continue
        only = blank.only_if
        if only and name not in answers and made.get(only.field) != only.says:
            continue
        if blank.kind == "clock":
            hour += 5 + round(blank.after / 60)
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
        return _hold_clock(packet, blank, hour)
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


def _hold_clock(packet: Packet, blank: Blank, hour: int) -> str:
    """A hold lasts a quarter of an hour longer than asked; `hour` are minutes since midnight."""
    if blank.feeds == "hold-start-clock":
        return f"{hour // 60}:{hour % 60:02d}"
    assert packet.basis is not None
    lasted = packet.basis.circuits[0].hold_time / 60 + 15
    days, minutes = divmod(hour + round(lasted), 1440)
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
        # As the paper prints a weight: in the steps that the scale shows in these units.
        shown = show(weights[blank.feeds], "mass", packet.units, "nearest", circuit.scale_step)
        return _written(shown.value, blank.unit)
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


def unknown(packet: Packet, answers: Answers) -> set[str]:
    """Names in a set of answers that no box of the packet has: a fragment renamed them."""
    boxes = {name.partition("__")[2] for name in field_names(packet)}
    boxes |= {key(blank, attempt) for *_, attempt, blank in blanks(packet)}
    return set(answers) - boxes - {"technician"}


def returned(packet: Packet, one: Returned) -> str:
    """A set of an example as its readings file, with what the manager takes as it is."""
    lines = "".join(f'  a__{name}: "{why}"\n' for name, why in one.accepted.items())
    return as_yaml(packet, filled(packet, one.answers)) + lines


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
