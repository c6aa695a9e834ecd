"""How wide text is and where it breaks, held against the page that WeasyPrint lays out."""

from __future__ import annotations

from typing import Any

import pytest

from packets import fitting, lettering, rendering
from packets.model.packet import Span
from tests import packet_samples as samples
from tests.laid_out import MM, document


def test_words_are_as_wide_as_the_font_says() -> None:
    # Advances of the typeface's hmtx table, read by fontTools in another test.
    assert lettering.wide("00") == pytest.approx(2 * lettering.wide("0"))
    assert lettering.wide("m") > lettering.wide("i")
    assert lettering.wide("gauge", bold=True) > lettering.wide("gauge")
    assert lettering.wide("gauge", size=9) == pytest.approx(
        9 / 11 * lettering.wide("gauge", size=11)
    )


def test_a_value_stays_on_one_line_and_a_long_word_is_cut() -> None:
    value = (Span("words", "Pull to "), Span("value", "500 micron or less"))
    kept = lettering.longest(value)
    assert lettering.lines(value, kept + 1) == 2
    assert lettering.lines((Span("words", "x" * 200),), 50.0) == -(-lettering.wide("x" * 200) // 50)
    assert lettering.lines((), 50.0) == 0


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_actions_break_into_as_many_lines_as_counted(paper: rendering.Paper) -> None:
    steps = {one.number: one for s in samples.full().sections for one in s.steps}
    boxes = [box for page in document("full", paper).pages for box in page._page_box.descendants()]
    rows = [box.element for box in boxes if _class(box) == "row"]
    step_of = {row[2]: steps["".join(row[1].itertext()).strip()] for row in rows}
    seen = same = 0
    for box in boxes:
        if "act" not in _class(box).split() or type(box).__name__ != "TableCellBox":
            continue
        step = step_of[box.element]
        if fitting.fit(step, rendering.ACROSS[paper]).inline:
            continue
        # A group's title runs into the action: both are lines of the cell itself.
        first = next(iter(box.children))
        first = box if type(first).__name__ == "LineBox" else first
        printed = sum(type(one).__name__ == "LineBox" for one in first.children)
        counted = lettering.lines(fitting.action(step), first.width * MM)
        assert printed <= counted <= printed + 1, (step.number, printed, counted)
        seen, same = seen + 1, same + (counted == printed)
    assert seen > 50
    assert same >= 0.95 * seen


def _class(box: Any) -> str:
    return "" if box.element is None else str(box.element.get("class") or "")
