"""Packet to HTML: the only door to jinja2.

Templates only place what the packet holds. What they need worked out (columns of even height,
minutes as hours) is worked out here, and every word that is not the packet's own comes from
`templates/words.json`, so that a translation is an overlay of that one file.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Mapping, Sequence
from functools import cache, partial
from importlib.resources import files
from types import SimpleNamespace
from typing import Literal

from jinja2 import Environment, FunctionLoader, StrictUndefined, Template, pass_context
from jinja2.runtime import Context
from markupsafe import Markup

from packets import card_room, columning, fitting, fonts, heights, lessons, markup, spreading
from packets.cautions import frames
from packets.drawing_markup import drawn
from packets.fitting import LETTER_WIDE, entry, fit, rows
from packets.model.handout import Handout
from packets.model.packet import Figure, Packet, Section, Step, Text
from packets.panelling import NARROW_LETTERS, panels
from packets.spreading import narrow

Paper = Literal["letter", "a4"]
SIZES: Mapping[str, str] = {"letter": "8.5in 11in", "a4": "210mm 297mm"}
ACROSS: Mapping[str, float] = {"letter": LETTER_WIDE, "a4": LETTER_WIDE - 5.9}
HIGH: Mapping[str, float] = {"letter": 258.7, "a4": 276.3}
PARTS = ("dispatch", "field", "trainer")
# What is printed when nothing else is asked for.
STANDARD = ("dispatch", "field")
# Letters of words kept together.
SHORT_LETTERS = 20
POLICY = (
    '<meta http-equiv="Content-Security-Policy"'
    """ content="default-src 'none'; style-src 'unsafe-inline'; font-src data:">"""
    '\n<meta name="viewport" content="width=device-width">'
)


class Unprintable(ValueError):
    """The packet holds characters that its typeface lacks."""

    def __init__(self, characters: tuple[str, ...]) -> None:
        """Keep the characters, so that a finding can name them."""
        self.characters = characters
        named = ", ".join(f"{c!a} (U+{ord(c):04X})" for c in characters)
        super().__init__(f"the packet's typeface has no sign for {named}; write it otherwise")


def html(
    packet: Packet,
    *,
    paper: Paper = "letter",
    parts: Sequence[str] = STANDARD,
    answers: bool = True,
    words: Mapping[str, str] | None = None,
) -> str:
    """The packet as one HTML document for print.

    `answers` puts the answers to the trainer edition's questions on a page at its end; `words`
    replaces single entries of the shipped words. Raises `Unprintable` for a character
    that the typeface lacks and ValueError for an unknown paper, part or word.
    """
    _known_paper(paper)
    unknown = set(parts) - set(PARTS)
    if unknown or not parts:
        raise ValueError(f"no part {sorted(unknown)}; there are {', '.join(PARTS)}")
    return _document(
        "packet.html",
        paper,
        words,
        packet=packet,
        parts=[part for part in PARTS if part in parts],
        on_card=card_room.has_room(packet, ACROSS[paper], HIGH[paper]),
        answers=answers and any(section.questions for section in packet.sections),
    )


def handout_html(
    sheet: Handout,
    *,
    paper: Paper = "letter",
    answers: bool = True,
    words: Mapping[str, str] | None = None,
) -> str:
    """One fragment's sheet of standard work as an HTML document for print; raises as `html`."""
    return _document(
        "handout.html",
        paper,
        words,
        sheet=sheet,
        answers=answers,
        said=lessons.said_before(sheet.steps),
        questions=lessons.questions(sheet.questions),
    )


def _document(name: str, paper: Paper, words: Mapping[str, str] | None, **context: object) -> str:
    """A template filled in, every character of it printable."""
    _known_paper(paper)
    held = shipped_words()
    if strange := sorted(set(words or {}) - set(held)):
        raise ValueError(f"no template word {', '.join(strange)}")
    w = SimpleNamespace(**{**held, **(words or {})})
    document = _template(name).render(
        size=SIZES[paper], across=ACROSS[paper], high=HIGH[paper], w=w, **context
    )
    if missing := fonts.unprintable(document):
        raise Unprintable(missing)
    return document


def standalone(document: str) -> str:
    """The same document as one file for a browser: fonts inside, form fields live, nothing to
    fetch, and forbidden to."""
    for name in fonts.FILES:
        data = base64.b64encode(fonts.data(name)).decode("ascii")
        document = document.replace(f"{fonts.SCHEME}{name}", f"data:font/ttf;base64,{data}")
    return document.replace(
        "</head>", f"{POLICY}\n<style>\n{_source('screen.css')}</style>\n</head>", 1
    )


def document(
    name: str,
    *,
    paper: Paper = "letter",
    words: Mapping[str, str] | None = None,
    **parts: object,
) -> str:
    """Another document of the house, from its own template: `parts` are what it places.

    Raises `Unprintable` for a character that the typeface lacks and ValueError for an unknown
    paper.
    """
    return _document(name, paper, words, **parts)


def _known_paper(paper: str) -> None:
    if paper not in SIZES:
        raise ValueError(f"no paper {paper!r}; there are {', '.join(SIZES)}")


@cache
def shipped_words() -> dict[str, str]:
    """The words of the templates as shipped."""
    found: dict[str, str] = json.loads(_source("words.json"))
    return found


def _source(name: str) -> str:
    return (files("packets") / "templates" / name).read_text(encoding="utf-8")


@cache
def _template(name: str) -> Template:
    return _environment().get_template(name)


def _environment() -> Environment:
    environment = Environment(
        loader=FunctionLoader(_source),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {
        "text": text,
        "plain": markup.plain,
        "minutes": minutes,
        "panels": panels,
        "drawn": drawn,
        "spread": spread,
        "narrow": narrow,
        "narrow_panels": partial(panels, letters_across=NARROW_LETTERS),
        "short": short,
        "clip": clip,
        "fit": fit,
        "worded": fitting.words,
        "beneath": beneath,
        "frames": frames,
        "entry": entry,
        "rows": rows,
        "long_gate": long_gate,
        "explained": lessons.numbers,
        "questions": lessons.questions,
        "capital": lambda words: words[:1].upper() + words[1:],
        "said_before": lessons.said_before,
        "thirds": partial(
            columning.columns, weight=lambda line: 0.55 if line.value else 1.0, count=3
        ),
        "card_columns": columning.card,
        "on_sheet": columning.on_sheet,
        "load_columns": columning.load,
    }
    return environment


@pass_context
def text(context: Context, value: Text) -> Markup:
    """A text with its values, each on weak ground with the mark that sends to the maker."""
    return markup.html(value, str(context["w"].confirm_mark))


@pass_context
def minutes(context: Context, value: float) -> str:
    """Minutes as a person says them: `35 min`, `1 h 20 min`; a dash for none."""
    words = context["w"]
    hours, rest = divmod(round(value), 60)
    parts = [f"{hours} {words.hours}"] if hours else []
    parts += [f"{rest} {words.minutes}"] if rest else []
    return " ".join(parts) or str(words.none)


def short(words: str) -> str:
    """A class that keeps few letters on one line; more of them may break."""
    return " short" if len(words) <= SHORT_LETTERS else ""


def clip(words: str, letters: int) -> str:
    """The words, or as many letters of them as a page's head has room for."""
    return words if len(words) <= letters else words[: letters - 1] + "\N{HORIZONTAL ELLIPSIS}"


@pass_context
def long_gate(context: Context, section: Section) -> bool:
    """Whether "do not start until" needs a line of its own, under the section's title."""
    return heights.long_gate(section, context["w"].do_not_start, float(context["across"]))


@pass_context
def beneath(context: Context, step: Step, own: Sequence[Figure]) -> heights.Beneath | None:
    """How the readings of a step with a drawing stand under it across the page, if they do."""
    across = float(context["page_across"])
    return heights.beneath(step, own[0], across, narrow(own, across), vars(context["w"]))


@pass_context
def spread(context: Context, packet: Packet) -> list[tuple[Section, tuple[spreading.Block, ...]]]:
    """Each section of the packet with its steps and drawings as they stand on the page."""
    across, high = float(context["across"]), float(context["high"])
    sheet = spreading.Sheet(across, high, vars(context["w"]))
    after = heights.record(packet.record)
    begun = card_room.taken(packet, across, high)
    made = spreading.spread(packet.sections, sheet, after, begun)
    return list(zip(packet.sections, made, strict=True))
