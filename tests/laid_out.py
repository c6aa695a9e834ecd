"""Reading laid-out pages back: boxes with their elements and places, in millimetres."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from packets import handouts, pdf, rendering
from packets.model.handout import Handout
from packets.model.packet import Packet
from tests import packet_samples as samples
from tests.jobs import EXAMPLE

MM = 25.4 / 96
HANDOUTS = ("evacuate", "purge-and-braze", "pressure-hold+job")
SAMPLES = ("full", "one_step", "wide", "long")


@dataclass(frozen=True)
class Placed:
    """A box on a page; `kind` is the layout class, `words` its text if it is text."""

    page: int
    element: Any
    kind: str
    words: str
    left: float
    top: float
    right: float
    bottom: float
    point: float
    margin_box: str

    @property
    def classes(self) -> set[str]:
        """Classes of the element the box is made from."""
        return set() if self.element is None else set((self.element.get("class") or "").split())


def sample(name: str) -> Packet:
    """The packet of a name such as `full` or, for its trainer edition, `full+trainer`."""
    made: Packet = getattr(samples, name.partition("+")[0])()
    return made


@cache
def handout(name: str) -> Handout:
    """The handout of a fragment, `fragment` with blanks or `fragment+job` for the example."""
    fragment, _, filled = name.partition("+")
    job = EXAMPLE / "job.yaml" if filled else None
    sheet, findings = handouts.prepare(fragment, job, None, "ip")
    assert sheet is not None, [str(finding) for finding in findings]
    return sheet


@cache
def document(name: str, paper: rendering.Paper = "letter") -> Any:
    """The laid-out sample: dispatch and field, or the edition named behind a plus."""
    pdf._library()
    if name in HANDOUTS:
        return pdf._laid_out(rendering.handout_html(handout(name), paper=paper))
    edition = name.partition("+")[2]
    parts = {"": rendering.STANDARD, "all": rendering.PARTS}.get(edition, (edition,))
    return pdf._laid_out(rendering.html(sample(name), paper=paper, parts=parts))


@cache
def boxes(name: str, paper: rendering.Paper = "letter") -> tuple[Placed, ...]:
    """Every box of the sample with its border box."""
    return tuple(
        box
        for number, page in enumerate(document(name, paper).pages, 1)
        for box in _walk(page._page_box, number, "")
    )


def _walk(box: Any, page: int, margin_box: str) -> Iterator[Placed]:
    margin_box = getattr(box, "at_keyword", None) or margin_box
    kind = type(getattr(box, "_box", box)).__name__
    if hasattr(box, "border_width") and kind != "PageBox":
        left, top = box.border_box_x() * MM, box.border_box_y() * MM
        yield Placed(
            page,
            box.element,
            kind,
            box.text if kind == "TextBox" else "",
            left,
            top,
            left + box.border_width() * MM,
            top + box.border_height() * MM,
            box.style["font_size"] * 0.75,
            margin_box,
        )
    for child in box.all_children():
        yield from _walk(child, page, margin_box)


def of_class(name: str, paper: rendering.Paper, word: str) -> list[Placed]:
    """Boxes whose element carries the class; a table's inner and outer box count once."""
    found: dict[tuple[int, Any], Placed] = {}
    for box in boxes(name, paper):
        if word in box.classes and box.kind not in ("TextBox", "LineBox"):
            found.setdefault((box.page, box.element), box)
    return list(found.values())


def head(name: str, paper: rendering.Paper, page: int, place: str) -> str:
    """Text of one margin box."""
    parts = [
        box.words
        for box in boxes(name, paper)
        if box.page == page and box.margin_box == place and box.kind == "TextBox"
    ]
    return "".join(parts)


@dataclass(frozen=True)
class Line:
    """A line of text in its block: its words, how wide they are, and the room there was."""

    page: int
    words: str
    wide: float
    room: float


def paragraphs(name: str, paper: rendering.Paper) -> Iterator[list[Line]]:
    """The lines of every block that holds nothing but text."""
    for number, page in enumerate(document(name, paper).pages, 1):
        for box in page._page_box.descendants():
            inside = [
                one for one in getattr(box, "children", ()) if type(one).__name__ == "LineBox"
            ]
            kinds = {type(one).__name__ for line in inside for one in line.descendants()}
            if inside and kinds <= {"LineBox", "InlineBox", "TextBox"}:
                yield [_line(line, number, box.width * MM) for line in inside]


def _line(line: Any, page: int, room: float) -> Line:
    texts = [one for one in line.descendants() if type(one).__name__ == "TextBox"]
    wide = sum(one.width for one in texts) * MM
    return Line(page, "".join(one.text for one in texts), wide, room)
