"""Text of the packet as HTML: the only door to markdown-it-py.

Of Markdown only emphasis is read. Links, images, code, HTML and entities stay as typed and
are escaped, so words from a file can never become markup of ours.
"""

from __future__ import annotations

import re
from functools import cache
from html import escape, unescape

from markdown_it import MarkdownIt
from markupsafe import Markup

from packets.model.packet import Span, Text

# One private-use character stands for one computed span while the words around it are read as
# Markdown, so emphasis may run across a value but a value's own stars are never emphasis.
FIRST_MARK = 0xE000
LAST_MARK = 0xF8FF
MARKS = re.compile("[\ue000-\uf8ff]")
TAGS = re.compile(r"</?(?:strong|em|b|span)[^>]*>")
SHORT_VALUE = 24
# WeasyPrint 70 breaks a line after its first word when the text before an inline element fits
# but for its last space; the space in an element of its own avoids that.
SPACE_BEFORE = re.compile(r" (?=<(?:b|em|strong|span)\b)")
SPACE = "<span> </span>"


@cache
def _reader() -> MarkdownIt:
    reader = MarkdownIt("zero", {"html": False, "linkify": False, "typographer": False})
    return reader.enable(["emphasis", "escape"])


def html(text: Text, mark: str = "") -> Markup:
    """All spans as one inline run of HTML, escaped; `mark` stands behind a value on weak ground."""
    source: list[str] = []
    replacements: list[str] = []
    for span in text:
        if span.kind == "words":
            source.append(MARKS.sub("\N{REPLACEMENT CHARACTER}", span.text))
            continue
        if FIRST_MARK + len(replacements) > LAST_MARK:
            raise ValueError(f"more than {LAST_MARK - FIRST_MARK + 1} computed spans in one text")
        source.append(chr(FIRST_MARK + len(replacements)))
        replacements.append(_span(span) + (escape(mark) if span.mark else ""))
    run: str = _reader().renderInline("".join(source))
    run = MARKS.sub(lambda mark: replacements[ord(mark[0]) - FIRST_MARK], run)
    return Markup(SPACE_BEFORE.sub(SPACE, run))


def _span(span: Span) -> str:
    """One computed span: escaped, never read as Markdown."""
    words = escape(span.text)
    if span.kind == "value":
        kept = " short" if len(span.text) <= SHORT_VALUE else ""
        return f'<b class="value{kept}">{words}</b>'
    if span.kind == "blank":
        return f'<span class="write-in"></span><span class="to-read">({words})</span>'
    return f'<span class="step-number">{words}</span>'


def plain(text: Text) -> str:
    """The same words without markup, as a form field's spoken name needs them."""
    return " ".join(unescape(TAGS.sub("", html(text))).split())
