"""Runs of printed text, and the safety messages made of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

SpanKind = Literal["words", "value", "blank", "step"]


@dataclass(frozen=True)
class Span:
    """A run of text. `words` is Markdown by a fragment's author; the others are plain text:
    `value` a computed value with its unit, `blank` what is read on site (prints as a write-in
    line), `step` the printed number of another step. `mark`: the value's ground is weaker than a
    seen source, and the reader is sent to the maker's instructions."""

    kind: SpanKind
    text: str
    mark: bool = False


Text = tuple[Span, ...]


@dataclass(frozen=True)
class Caution:
    """A safety message. Prints before the step it guards, on the same page. `defer` is a sentence
    that begins with `governs`, what governs here in particular ("" in packets of before it was)."""

    id: str
    signal: Literal["danger", "warning", "caution", "notice"]
    hazard: str
    consequence: str
    avoidance: str
    defer: str
    governs: str = ""
