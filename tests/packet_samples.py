"""Hand-made packets for the tests of paper: a full one, a one-step one, a long one, wide words.

The scenario is invented. The numbers only have the look of numbers: nothing here is computed,
so nothing here may be taken for a limit.
"""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from typing import Literal, cast

from packets.model import packet as m
from packets.model.limits import Limit, Row
from packets.model.numbers import ORDER, Confidence
from tests.packet_words import CARD, LOAD, SECTIONS, SectionWords, StepWords

Kind = Literal["number", "words", "clock", "date", "choice"]
DEFER = (
    "Local codes, the manufacturer's instructions and licensed practice govern where they differ."
)
# fmt: off
CAUTIONS = {
    "pressure": m.Caution(
        "pressure", "danger", "Refrigerant under pressure.",
        "A cut or heated pipe throws oil and refrigerant and burns eyes and lungs.",
        "Prove 0 psig at both ports before any cut; wear goggles and gloves.", DEFER,
    ),
    "shock": m.Caution(
        "shock", "danger", "Live parts behind the panel.",
        "Touching them kills, also from a charged capacitor.",
        "Lock out every source, then prove dead with a meter proved before and after.", DEFER,
    ),
    "terminals": m.Caution(
        "terminals", "danger", "A grounded winding can blow out the compressor's terminals.",
        "Burning oil and refrigerant strike whoever stands in front.",
        "Leave the terminal cover on; meter at the contactor with the leads off.", DEFER,
    ),
    "fire": m.Caution(
        "fire", "warning", "Torch flame near oil, insulation and cardboard.",
        "Oil left in the pipe catches fire at the opened joint.",
        "Sweep first, shield with a wet cloth, extinguisher within reach, watch named.", DEFER,
    ),
    "nitrogen": m.Caution(
        "nitrogen", "warning", "Nitrogen at cylinder pressure and without a smell.",
        "It bursts parts that are rated lower and takes the air out of a closed room.",
        "Use a regulator with a relief valve; open the valve slowly; meter the room's oxygen.",
        DEFER,
    ),
    "lift": m.Caution(
        "lift", "caution", "Compressor of 92 lb.", "A dropped part crushes hands and feet.",
        "Use the lifting gear on the load list and two people.", DEFER,
    ),
    "acid": m.Caution(
        "acid", "warning", "Burnt oil is acid.", "It burns skin and eyes.",
        "Rubber gloves and goggles; keep rags in the closed can.", DEFER,
    ),
    "water": m.Caution(
        "water", "notice", "Open ester oil takes up water from the air within minutes.",
        "The water cannot be pulled out again.", "Keep plugs in until the joint is made.", DEFER,
    ),
    "solenoid": m.Caution(
        "solenoid", "notice", "A coil energized off its stem burns out in minutes.",
        "The valve then stays shut.", "Use the magnet on the load list.", DEFER,
    ),
}
# fmt: on
MARKS = re.compile(r"\{(?P<value>[^}]+)\}|\[(?P<blank>[^\]]+)\]|<(?P<step>[^>]+)>")


def text(words: str) -> m.Text:
    """Spans from words with {value}, [blank] and <step> marks."""
    spans: list[m.Span] = []
    at = 0
    for match in MARKS.finditer(words):
        if match.start() > at:
            spans.append(m.Span("words", words[at : match.start()]))
        kind = cast(m.SpanKind, match.lastgroup)
        spans.append(m.Span(kind, match.group(kind)))
        at = match.end()
    if words[at:]:
        spans.append(m.Span("words", words[at:]))
    return tuple(spans)


def limit(words: str) -> Limit | None:
    """A limit from its short form: `<= 500 micron`, `>= 2 h`, `5..11 degF`, `yes|no`, `?read`."""
    if words.startswith("?"):
        return Limit("write_in", write_in=words[1:])
    if "|" in words:
        choices = tuple(words.split("|"))
        return Limit("choice", choices=choices, good=choices[:1])
    if words == "table":
        rows = tuple(Row(Decimal(t), Decimal(t + 170), Decimal(t + 174)) for t in (60, 70, 80))
        return Limit("rows", "psig", rows=rows, by="pipe", by_unit="°F")
    if match := re.fullmatch(r"(<=|>=) (\S+) (.+)", words):
        number, unit = Decimal(match[2]), match[3]
        if match[1] == "<=":
            return Limit("at_most", unit, high=number)
        return Limit("at_least", unit, low=number)
    if match := re.fullmatch(r"(\S+)\.\.(\S+) (.+)", words):
        return Limit("between", match[3], Decimal(match[1]), Decimal(match[2]))
    return None


def blank(words: str, field: str) -> m.Blank:
    """A blank from `label = limit` or `label = kind:unit`."""
    label, _, rest = words.partition(" = ")
    held = limit(rest)
    kind, _, unit = rest.partition(":")
    if held is not None and held.kind == "choice":
        choices = tuple(
            m.Choice(f"{field}-{i}", word, word in held.good) for i, word in enumerate(held.choices)
        )
        return m.Blank(field, field, text(label), "choice", "", held.text(), held, choices)
    if held is not None:
        return m.Blank(field, field, text(label), "number", held.unit, held.text(), held)
    return m.Blank(field, field, text(label), cast(Kind, kind), unit, "", None)


def table(rows: int, columns: int = 3) -> m.TableBlock:
    """A table of plausible size."""
    heads = ("Pipe, °F", "Fill to, psig", "Allowed, psig", "Line, °F", "Band, °F")[:columns]
    body = tuple(
        tuple(
            [str(52 + 2 * i), f"{226 + i}.0", f"{224 + i} to {228 + i}", "41", "4 to 9"][:columns]
        )
        for i in range(rows)
    )
    note = "Between two rows the stricter one holds."
    return m.TableBlock("hold-allowed", "Pressure by pipe temperature", heads, body, note, (3, 4))


ROUTE = m.RouteBlock(
    inlet="suction service port, core out",
    vent="pipe end at the drier inlet, vented cap",
    caps="pipe end at the suction drier outlet and pipe end at the drier outlet",
    sweep="8 min",
    valves="receiver outlet valve mid-seated (by its stem)",
    share="40% of the gas or more",
    flow="30 scfh",
)


def step(words: StepWords, section: str, number: str) -> m.Step:
    """One step from its words."""
    name = f"a__{section}__{number.replace('.', '-')}"
    one = tuple(blank(w, f"{name}__r{i}") for i, w in enumerate(words.readings))
    tries = [one] if one else []
    if words.tries > 1:
        tries = [
            tuple(
                replace(
                    b,
                    field=f"{b.field}__t{t}",
                    choices=tuple(replace(c, field=f"{c.field}__t{t}") for c in b.choices),
                )
                for b in one
            )
            for t in range(1, words.tries + 1)
        ]
    sign = m.SignBox(f"{name}__sign", text(words.sign), words.hold) if words.sign else None
    return m.Step(
        id=f"{section}/{number}",
        number=number,
        tick=f"{name}__tick",
        action=text(words.action),
        why=text("Without it the next reading means nothing."),
        group_title=words.group,
        cautions=tuple(CAUTIONS[c] for c in words.cautions),
        readings=tuple(tries),
        table=table(*words.table) if words.table else None,
        route=ROUTE if words.group.startswith("Joint") else None,
        if_out=text(words.if_out),
        sign=sign,
        hands_on_minutes=4.0,
        waiting_minutes=0.0,
    )


def section(words: SectionWords, number: int) -> m.Section:
    """One section from its words."""
    steps = tuple(step(s, words.id, f"{number}.{i}") for i, s in enumerate(words.steps, 1))
    return m.Section(
        id=words.id,
        number=number,
        title=words.title,
        purpose=words.title + ".",
        called_for="compressor-sound",
        do_not_start=words.needs,
        steps=steps,
        stop_here=text(words.stop_here),
        fragment=words.id,
        fragment_revision=1 + number % 3,
        origin="ours",
        questions=((f"What shows that {words.title.lower()} is done?", "The limit is met."),),
        hands_on_minutes=20.0 + number,
        waiting_minutes=15.0 * (number % 4),
        worked=(f"{words.id}.limit", "site.air"),
    )


def worked(id: str, confidence: Confidence) -> m.Worked:
    """A number as the trainer edition explains it."""
    return m.Worked(
        id,
        f"Limit of {id}",
        "237 psig",
        "p = (limit + air) × T / T of the hottest pipe; less air",
        "(250.0 + 14.2) × 293.2 / 308.2 - 14.2 = 237.1 psig",
        (("limit", "250 psig", "“Never above”"), ("pipe now", "68 °F", "")),
        "gas law at constant volume",
        confidence,
        "the pipe is as warm as the air",
        "up" if confidence == "seen" else "down",
    )


def dispatch(sections: tuple[m.Section, ...]) -> m.Dispatch:
    """The sheet that goes with the sections."""
    load = tuple(
        m.LoadGroup(
            title,
            tuple(
                m.LoadLine(
                    f"load__{title[:4].lower().replace(' ', '-')}-{g}-{i}",
                    item,
                    amount,
                    (3, 7),
                    1 if amount else i % 3 + 1,
                )
                for i, (item, amount) in enumerate(lines)
            ),
        )
        for g, (title, lines) in enumerate(LOAD)
    )
    timeline = tuple(
        m.TimeLine(
            s.number,
            s.title,
            s.hands_on_minutes,
            s.waiting_minutes,
            tuple(x.number for x in s.steps if x.sign and x.sign.hold),
            s.called_for,
        )
        for s in sections
    )
    return m.Dispatch(
        scope="Replace the burnt compressor of the walk-in cooler, clean the circuit, fit new "
        "driers, prove it tight and dry, weigh in the recorded charge and prove it running.",
        site=(
            ("Site", "Alder Creek Creamery, cold store 2"),
            ("Contact", "Shift lead, dairy floor"),
            ("Access", "Yard gate; ladder to the roof of the loading dock"),
            ("Altitude", "980 ft"),
        ),
        crew="Two technicians; the second is the fire watch while the torch is lit",
        cautions=(CAUTIONS["terminals"], CAUTIONS["pressure"], CAUTIONS["fire"]),
        timeline=timeline,
        hands_on_minutes=sum(s.hands_on_minutes for s in sections),
        waiting_minutes=sum(s.waiting_minutes for s in sections),
        load=load,
        permits=(
            ("Hot-work permit", "site office, before section 7"),
            ("Roof access", ""),
        ),
        instruments=(
            ("Micron gauge", "1 micron", "calibrated 2026-02-10"),
            ("Pressure gauges", "1 psi", "calibrated 2026-02-10"),
            ("Charging scale", "0.5 oz", "calibrated 2025-11-04"),
        ),
        attention=("The standing part's oil kind is not on record: read it before dispatch.",),
    )


RECORD = tuple(
    m.RecordLine(
        f"record__{i}", label, value, unit, id="charged" if label == "Refrigerant put in" else ""
    )
    for i, (label, value, unit) in enumerate(
        (
            ("Owner", "Alder Creek Creamery", ""),
            ("Equipment", "cooler-2", ""),
            ("Full charge", "14 lb 8 oz", ""),
            ("Refrigerant taken out", "", "lb oz"),
            ("Cylinder it went into", "", ""),
            ("Refrigerant put in", "", "lb oz"),
            ("Net added", "", "lb oz"),
            ("Leak found at", "", ""),
            ("Technician's certification number", "", ""),
            ("Date the work was finished", "", "date"),
        )
    )
)


def card() -> tuple[m.CardGroup, ...]:
    """The number groups of page 1."""
    return tuple(
        m.CardGroup(
            title,
            tuple(
                m.CardLine(f"{g}.{i}", label, value, other, note, mark, write_in)
                for i, (label, value, other, note, mark, write_in) in enumerate(lines)
            ),
        )
        for g, (title, lines) in enumerate(CARD)
    )


def packet_of(sections: tuple[m.Section, ...]) -> m.Packet:
    """A packet around these sections."""
    holds = tuple(
        (s.number, "".join(x.text for x in s.sign.text))
        for section_ in sections
        for s in section_.steps
        if s.sign and s.sign.hold
    )
    return m.Packet(
        job="26-1142",
        revision=2,
        date="2026-03-18",
        equipment="cooler-2",
        machine="Walk-in cooler condensing unit, outdoor, one evaporator, with receiver",
        refrigerant="R-448A",
        safety_class="A1",
        title="Replace the compressor after a burnout",
        phone="Shop 555 0142, day and night",
        units="ip",
        rules_id="us-federal",
        rules_title="United States, federal",
        rules_as_of="2026-01-01",
        defer=DEFER,
        hazards=(
            "Grounded winding: terminals can blow out. Cover stays on, nobody in front.",
            "Acid oil: rubber gloves and goggles from the first opening.",
            "Roof edge 6 ft from the unit: tie off.",
        ),
        holds=holds,
        card=card(),
        sections=sections,
        record=RECORD,
        notes=(
            "Gauge pressures unless absolute is said. 1 psi = 6.895 kPa.",
            "Rules: United States, federal, as of 2026-01-01. Local rules may ask more.",
            DEFER,
        ),
        dispatch=dispatch(sections),
        hash="a1b2c3d4",
        worked=tuple(
            worked(id, ORDER[at % len(ORDER)])
            for at, id in enumerate(
                dict.fromkeys([*(id for one in sections for id in one.worked), "load.nitrogen"])
            )
        ),
    )


def full() -> m.Packet:
    """A burnt walk-in: about 85 steps in 20 sections."""
    return packet_of(tuple(section(words, n) for n, words in enumerate(SECTIONS, 1)))


def one_step() -> m.Packet:
    """The smallest packet there can be."""
    words = replace(SECTIONS[0], steps=(StepWords("Close the low-side valve."),), stop_here="")
    return packet_of((section(replace(words, needs=()), 1),))


def long() -> m.Packet:
    """200 steps: the full packet's sections again and again, renamed."""
    words = [replace(w, id=f"{w.id}-{turn}") for turn in range(4) for w in SECTIONS]
    kept: list[SectionWords] = []
    left = 200
    for one in words:
        if left <= 0:
            break
        kept.append(replace(one, steps=one.steps[:left]))
        left -= len(one.steps)
    return packet_of(tuple(section(w, n) for n, w in enumerate(kept, 1)))


def wide() -> m.Packet:
    """Words and names longer than any column."""
    word = "Hochdruckpressostatabschaltdruckeinstellschraube" * 2
    words = SectionWords(
        "wide",
        f"Set the {word}",
        (f"the {word} is set", "x" * 100),
        (
            StepWords(
                f"Set the {word} to {{{'9' * 90} psig}} and [{word}].",
                readings=(
                    f"{word} = <= {'1' * 40} psig",
                    f"{word} = words:",
                    "Clock = clock:",
                    f"{word} = {word}|no",
                ),
                if_out=f"Go to <1.1> and set {word} again.",
                sign=f"Signed by {word}",
                hold=True,
                cautions=("pressure",),
                group=word,
                table=(2, 5),
            ),
        ),
        f"Leave {word} shut.",
    )
    one = section(words, 1)
    steps = tuple(replace(step, why=text(word)) for step in one.steps)
    made = packet_of((replace(one, steps=steps, purpose=word, questions=((word, word),)),))
    number = m.Worked(
        "wide.limit", word, word, word, word, ((word, word, word),), word, "memory", word
    )
    return replace(
        made,
        worked=(number, *made.worked[1:]),
        job=word,
        equipment=word,
        machine=word,
        title=word,
        phone=word,
        hazards=(word,),
        notes=(word,),
        card=(m.CardGroup(word, (m.CardLine("w", word, word, word, word, True),)),),
        record=(m.RecordLine("rec__w", word, word, ""), m.RecordLine("rec__v", word, "", word)),
        dispatch=replace(
            made.dispatch,
            scope=word,
            site=((word, word),),
            crew=word,
            load=(m.LoadGroup(word, (m.LoadLine("load__w", word, word, (1, 2, 3)),)),),
            permits=((word, word),),
            instruments=((word, word, word),),
            attention=(word,),
        ),
    )


def field_names(packet: m.Packet, parts: tuple[str, ...] = ("dispatch", "field")) -> list[str]:
    """Every field name of the packet, by walking the model."""
    names: list[str] = []
    if "dispatch" in parts:
        names += [line.field for group in packet.dispatch.load for line in group.lines]
    if "field" in parts:
        for one in (s for sec in packet.sections for s in sec.steps):
            names.append(one.tick)
            for reading in (b for try_ in one.readings for b in try_):
                names += [c.field for c in reading.choices] or [reading.field]
            if one.sign:
                names.append(one.sign.field)
        names += [line.field for line in packet.record if not line.value]
    return names
