"""Packet to HTML: the only door to jinja2.

Templates only place what the packet holds. What they need worked out (columns of even height,
minutes as hours) is worked out here, and every word that is not the packet's own comes from
`templates/words.json`, so that a translation is an overlay of that one file.
"""

from __future__ import annotations

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

from packets import fonts, markup
from packets.fitting import fit, pair, rows
from packets.model.packet import CardGroup, LoadGroup, Packet, Section, TableBlock

Paper = Literal["letter", "a4"]
SIZES: Mapping[str, str] = {"letter": "8.5in 11in", "a4": "210mm 297mm"}
PARTS = ("dispatch", "field")
T = TypeVar("T")
Row = tuple[tuple[str, ...], bool]
# Letters that fit a line of the card's label and value, of a load line, of a table across the
# page, of words kept together.
LABEL_LETTERS, CARD_LETTERS = 19, 30
# Letters a line of the load list in two or three columns, and millimetres of a side.
LOAD_LETTERS, LOAD_HIGH = {2: 42, 3: 26}, 225.0
TABLE_LETTERS, SHORT_LETTERS = 100, 16
ROWS_A_PANEL = 4
# Letters of the states that fit beside a section's title, and what a box takes of them.
GATE_LETTERS, STATE_LETTERS, TITLE_SHARE = 74, 5, 1.4
BLANK_HEIGHT = 2.2


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
    parts: Sequence[str] = PARTS,
    words: Mapping[str, str] | None = None,
) -> str:
    """The packet as one HTML document for print.

    `words` replaces single entries of the shipped words. Raises `Unprintable` for a character
    that the typeface lacks and ValueError for an unknown paper, part or word.
    """
    if paper not in SIZES:
        raise ValueError(f"no paper {paper!r}; there are {', '.join(SIZES)}")
    unknown = set(parts) - set(PARTS)
    if unknown or not parts:
        raise ValueError(f"no part {sorted(unknown)}; there are {', '.join(PARTS)}")
    held = shipped_words()
    if strange := sorted(set(words or {}) - set(held)):
        raise ValueError(f"no template word {', '.join(strange)}")
    document = _template().render(
        packet=packet,
        parts=[part for part in PARTS if part in parts],
        size=SIZES[paper],
        w=SimpleNamespace(**{**held, **(words or {})}),
    )
    if missing := fonts.unprintable(document):
        raise Unprintable(missing)
    return document


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
    if paper not in SIZES:
        raise ValueError(f"no paper {paper!r}; there are {', '.join(SIZES)}")
    template = _environment().get_template(name)
    held = {**shipped_words(), **(words or {})}
    made = template.render(size=SIZES[paper], w=SimpleNamespace(**held), **parts)
    if missing := fonts.unprintable(made):
        raise Unprintable(missing)
    return made


@cache
def shipped_words() -> dict[str, str]:
    """The words of the templates as shipped."""
    found: dict[str, str] = json.loads(_source("words.json"))
    return found


def _source(name: str) -> str:
    return (files("packets") / "templates" / name).read_text(encoding="utf-8")


@cache
def _template() -> Template:
    return _environment().get_template("packet.html")


def _environment() -> Environment:
    environment = Environment(
        loader=FunctionLoader(_source),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {
        "text": markup.html,
        "plain": markup.plain,
        "minutes": minutes,
        "panels": panels,
        "short": short,
        "clip": clip,
        "fit": fit,
        "pair": pair,
        "rows": rows,
        "long_gate": long_gate,
        # SVG that `plots` made: it escapes what it writes, and no file's text reaches it otherwise.
        "plot": Markup,
        "thirds": partial(columns, weight=lambda line: 0.55 if line.value else 1.0, count=3),
        "card_columns": partial(columns, weight=_card_height),
        "load_columns": load_columns,
    }
    return environment


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
        long = len(line.item) + len(line.amount) * 1.15 + len(sections) * 0.85 + 2
        height += max(6.2, 4.1 * math.ceil(long / letters) + 0.9)
    return height


def panels(block: TableBlock) -> list[list[Row]]:
    """The rows of a table, cut into as many panels side by side as there is room for.

    Each row carries whether it is among those of the day.
    """
    rows = [(row, index in block.today) for index, row in enumerate(block.rows)]
    letters = [max(map(len, head.split()), default=0) for head in block.heads]
    for row in block.rows:
        letters = [max(width, len(cell)) for width, cell in zip(letters, row, strict=True)]
    room = TABLE_LETTERS // (sum(letters) + 2 * len(letters))
    wanted = math.ceil(len(rows) / ROWS_A_PANEL)
    each = math.ceil(len(rows) / max(1, min(room, wanted)))
    return [rows[start : start + each] for start in range(0, len(rows), max(1, each))]


def short(words: str) -> str:
    """A class that keeps few letters on one line; more of them may break."""
    return " short" if len(words) <= SHORT_LETTERS else ""


def clip(words: str, letters: int) -> str:
    """The words, or as many letters of them as a page's head has room for."""
    return words if len(words) <= letters else words[: letters - 1] + "\N{HORIZONTAL ELLIPSIS}"


def long_gate(section: Section) -> bool:
    """Whether "do not start until" needs a line of its own, under the section's title."""
    states = sum(len(state) + STATE_LETTERS for state in section.do_not_start)
    return states + TITLE_SHARE * len(section.title) > GATE_LETTERS
