"""Drawings of ours as markup: nothing passes that could fetch, run or restyle."""

from __future__ import annotations

import re
from typing import Protocol
from xml.etree import ElementTree

from markupsafe import Markup, escape

SHAPES = {
    *("svg", "title", "desc", "g", "text", "tspan"),
    *("path", "line", "polyline", "polygon", "rect", "circle", "ellipse"),
}
_UNFIT = re.compile(r"on|style$|href|{")
_TITLE = re.compile(r"<title>[^<]*</title>(<desc>[^<]*</desc>)?")


class Drawing(Protocol):
    """What a template needs of a chart or a circuit drawing."""

    @property
    def svg(self) -> str:
        """The drawing itself, its own `<title>` inside."""

    @property
    def title(self) -> str:
        """What it is."""

    @property
    def description(self) -> str:
        """What it shows, to who cannot see it."""


def drawn(drawing: Drawing) -> Markup:
    """A drawing of ours as markup, its title and description in the one place that the PDF takes
    its alternative text from. Refuses what a drawing has no use for: an element that is no shape
    or words, an attribute that could fetch, run or restyle."""
    root = ElementTree.fromstring(drawing.svg)
    for element in root.iter():
        name = str(element.tag).removeprefix("{http://www.w3.org/2000/svg}")
        unfit = [key for key, value in element.attrib.items() if _unfit(key, value)]
        if unfit or name not in SHAPES:
            raise ValueError(f"a drawing holds {' '.join([name, *unfit])}")
    said = escape(f"{drawing.title}. {drawing.description}")
    return Markup(_TITLE.sub(lambda _: f"<title>{said}</title>", drawing.svg, count=1))


def _unfit(key: str, value: str) -> bool:
    return bool(_UNFIT.match(key)) or ("(" in value and key != "transform")
