"""Packet to HTML: the only door to jinja2.

Templates only place what the packet holds. What they need worked out (columns of even height,
minutes as hours) is worked out here, and every word that is not the packet's own comes from
`templates/words.json`, so that a translation is an overlay of that one file.
"""

from __future__ import annotations

import base64
import json
import math
from collections.abc import Callable, Mapping, Sequence
from functools import cache, partial
from importlib.resources import files
from itertools import combinations_with_replacement, pairwise
from types import SimpleNamespace
from typing import Literal, TypeVar

from jinja2 import Environment, FunctionLoader, StrictUndefined, Template, pass_context
from jinja2.runtime import Context
from markupsafe import Markup

from packets import card_room, fitting, fonts, heights, lessons, markup, spreading
from packets.cautions import frames
from packets.drawing_markup import drawn
from packets.fitting import LETTER_WIDE, entry, fit, rows
from packets.model.handout import Handout
from packets.model.packet import CardGroup, CardLine, Figure, LoadGroup, Packet, Section, Step, Text
from packets.panelling import NARROW_LETTERS, panels
from packets.spreading import narrow

Paper = Literal["letter", "a4"]
SIZES: Mapping[str, str] = {"letter": "8.5in 11in", "a4": "210mm 297mm"}
ACROSS: Mapping[str, float] = {"letter": LETTER_WIDE, "a4": LETTER_WIDE - 5.9}
HIGH: Mapping[str, float] = {"letter": 258.7, "a4": 276.3}
PARTS = ("dispatch", "field", "trainer")
# What is printed when nothing else is asked for.
STANDARD = ("dispatch", "field")
T = TypeVar("T")
# Letters that fit a line of the card's label and value, and of words kept together.
LABEL_LETTERS, CARD_LETTERS = 19, 30
# Letters a line of the load list in two or three columns, and millimetres of a side.
LOAD_LETTERS, LOAD_HIGH = {2: 42, 3: 26}, 225.0
SHORT_LETTERS = 20
BLANK_HEIGHT = 2.2
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
        on_card=_on_card(packet, paper),
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
        "thirds": partial(columns, weight=lambda line: 0.55 if line.value else 1.0, count=3),
        "card_columns": partial(columns, weight=_card_height),
        "on_sheet": on_sheet,
        "load_columns": load_columns,
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


def columns(items: Sequence[T], weight: Callable[[T], float], count: int = 2) -> list[Sequence[T]]:
    """The items in reading order, cut where the tallest of so many columns is least high."""
    heights = [weight(item) for item in items]
    cuts = combinations_with_replacement(range(len(items) + 1), count - 1)

    def tallest(cut: tuple[int, ...]) -> tuple[float, list[int]]:
        ends = pairwise((0, *cut, len(items)))
        height = max(sum(heights[start:end]) for start, end in ends)
        return height, [-end for end in cut]  # of two as good, the one that fills the first column

    best = min(cuts, key=tallest)
    return [items[start:end] for start, end in pairwise((0, *best, len(items)))]


def load_columns(groups: Sequence[LoadGroup]) -> list[Sequence[LoadGroup]]:
    """The load list in two columns, or three when two would not go on one side."""
    two = columns(groups, partial(_load_height, letters=LOAD_LETTERS[2]))
    if max(sum(_load_height(g, LOAD_LETTERS[2]) for g in column) for column in two) <= LOAD_HIGH:
        return two
    return columns(groups, partial(_load_height, letters=LOAD_LETTERS[3]), 3)


def _on_card(packet: Packet, paper: Paper) -> bool:
    """Whether the card's chart fits on its page."""
    return card_room.has_room(packet, _card_lines(packet), ACROSS[paper], HIGH[paper])


def _card_lines(packet: Packet) -> list[list[CardLine | None]]:
    """The lines of the card's columns, None for each heading."""
    cut = columns(on_sheet(packet.card, "field"), _card_height)
    return [[line for group in groups for line in (None, *group.lines)] for groups in cut]


def numbers_high(packet: Packet, across: float, high: float, on_card: bool) -> float:
    """How far down page 1 the work begins [mm], under the numbers and with `on_card` their chart; 0
    where they take the page."""
    found = card_room.card(packet, _card_lines(packet), across)
    if on_card and packet.card_chart is not None:
        found += packet.card_chart.height_mm
    return found if found < high else 0.0


def on_sheet(groups: Sequence[CardGroup], sheet: str) -> list[CardGroup]:
    """The groups of numbers that stand on the field packet's page 1, or on the dispatch sheet."""
    return [group for group in groups if group.sheet == sheet]


def _card_height(group: CardGroup) -> float:
    """About how many lines a group of the card takes in its column."""

    def lines(label: str, value: str, small: str) -> float:
        return max(1 + len(label) // LABEL_LETTERS, 1.2 + (len(value) + len(small)) // CARD_LETTERS)

    return 1.5 + sum(
        lines(x.label, x.value, x.other + x.note) if x.value else BLANK_HEIGHT for x in group.lines
    )


def _load_height(group: LoadGroup, letters: int) -> float:
    """About how high a group of the load list stands [mm]: a line or a box, whichever is higher."""
    height = 7.0
    for line in group.lines:
        sections = ", ".join(map(str, line.sections))
        count = 4 if line.count > 1 else 0
        long = count + len(line.item) + len(line.amount) * 1.15 + len(sections) * 0.85 + 2
        height += max(6.2, 4.1 * math.ceil(long / letters) + 0.9)
    return height


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
    begun = numbers_high(packet, across, high, context["on_card"])
    made = spreading.spread(packet.sections, sheet, after, begun)
    return list(zip(packet.sections, made, strict=True))
