"""The packet as HTML: nothing typed becomes markup, every field once, words in one file."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import fields, is_dataclass, replace
from datetime import date
from html.parser import HTMLParser
from importlib.resources import files
from typing import Any

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st
from jinja2 import UndefinedError, nodes

from packets import columning, fonts, markup, record, rendering
from packets.across import Across, Machine, Row, plot_of
from packets.findings import Findings, Place
from packets.fonts import assemble
from packets.model.packet import Span, TableBlock
from packets.model.readings import Written
from packets.panelling import panels
from packets.plots import Bar
from packets.record import page
from tests import filling, laid_out
from tests import packet_samples as samples

TEMPLATES = sorted(
    f.name for f in (files("packets") / "templates").iterdir() if f.name.endswith(".html")
)
FIXED = {"kind", "signal", "units", "choices", "hash", "date"}
POISON = """</b><script>x</script><img src="http://x.test/y">'"&amp;{{ 7-7 }}{% raw %}"""


class Reader(HTMLParser):
    """Tags, field names and text of a document."""

    def __init__(self, document: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.names: list[str] = []
        self.text = ""
        self.feed(document)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep the tag and, of a form field, its name."""
        self.tags.append(tag)
        self.names += [value or "" for key, value in attrs if tag == "input" and key == "name"]

    def handle_data(self, data: str) -> None:
        """Keep the text."""
        self.text += data


def poisoned(thing: Any) -> Any:
    """The same object with hostile text behind every string that is free text."""
    if is_dataclass(thing) and not isinstance(thing, type):
        held = {f.name: getattr(thing, f.name) for f in fields(thing) if f.name not in FIXED}
        return replace(thing, **{name: poisoned(value) for name, value in held.items()})
    if isinstance(thing, tuple):
        return tuple(poisoned(one) for one in thing)
    return thing + POISON if isinstance(thing, str) and thing else thing


def test_no_text_becomes_markup() -> None:
    plain = Reader(rendering.html(samples.full()))
    hostile = Reader(rendering.html(poisoned(samples.full())))
    # The same tags in the same number, but for columns that longer words fill otherwise.
    assert set(hostile.tags) == set(plain.tags)
    assert hostile.tags.count("input") == plain.tags.count("input")
    assert "<script>x</script>" in hostile.text
    assert "{{ 7-7 }}" in hostile.text


def test_every_field_once_and_in_the_order_of_the_model() -> None:
    for packet in (samples.full(), samples.one_step(), samples.wide()):
        assert Reader(rendering.html(packet)).names == samples.field_names(packet)


def test_parts_can_stand_alone() -> None:
    packet = samples.full()
    for part in rendering.PARTS:
        names = Reader(rendering.html(packet, parts=(part,))).names
        assert names == samples.field_names(packet, (part,))
    both = Reader(rendering.html(packet, parts=("field", "dispatch"))).names
    assert both == samples.field_names(packet), "dispatch goes first whatever the order asked for"


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("**Close** the _valve_", "<strong>Close</strong> the<span> </span><em>valve</em>"),
        ("[a](http://x.test) ![b](c) `d`", "[a](http://x.test) ![b](c) `d`"),
        ("<b>x</b> &amp; http://x.test", "&lt;b&gt;x&lt;/b&gt; &amp;amp; http://x.test"),
        ("# no heading", "# no heading"),
        (r"3 \* 4", "3 * 4"),
    ],
)
def test_of_markdown_only_emphasis(words: str, expected: str) -> None:
    assert markup.html((Span("words", words),)) == expected


def test_emphasis_runs_across_a_value_and_a_value_is_never_markdown() -> None:
    text = (Span("words", "**to "), Span("value", "*1* <psi>"), Span("words", "** now"))
    assert (
        markup.html(text) == "<strong>to<span> </span>"
        '<b class="value short">*1* &lt;psi&gt;</b></strong> now'
    )


KINDS = st.sampled_from(["words", "value", "blank", "step"])
SPANS = st.lists(st.builds(Span, KINDS, st.text(max_size=20)), max_size=6).map(tuple)


@given(SPANS)
def test_any_text_is_escaped_and_computed_spans_survive(text: tuple[Span, ...]) -> None:
    document = str(markup.html(text))
    assert set(Reader(document).tags) <= {"strong", "em", "b", "span"}
    read = Reader(document).text
    for span in text:
        if span.kind != "words":
            # The parser joins line ends; nothing else may change.
            assert span.text.replace("\r\n", "\n").replace("\r", "\n") in re.sub(
                "\r\n?", "\n", read
            )
    assert not set(re.findall(r"<(/?\w+)", document)) - {
        "strong",
        "/strong",
        "em",
        "/em",
        "b",
        "/b",
        "span",
        "/span",
    }


@pytest.mark.parametrize("sign", ["漢", "\x07", "\ue000", "\u202e", "\x00", "😀"])
def test_a_sign_the_typeface_lacks_is_refused_by_name(sign: str) -> None:
    with pytest.raises(rendering.Unprintable, match="U\\+") as refusal:
        rendering.html(replace(samples.one_step(), title=f"Replace {sign} it"))
    assert refusal.value.characters in ((sign,), ("\N{REPLACEMENT CHARACTER}",))


def test_unknown_paper_part_and_word_are_refused() -> None:
    packet = samples.one_step()
    with pytest.raises(ValueError, match="letter, a4"):
        rendering.html(packet, paper="legal")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="dispatch, field, trainer"):
        rendering.html(packet, parts=("foreman",))
    with pytest.raises(ValueError, match="dangre"):
        rendering.html(packet, words={"dangre": "GEFAHR"})


def came_back(words: dict[str, str]) -> str:
    """The pages of packets that came back, open and closed, and the table over them."""
    packet = filling.creamery()
    readings = filling.readings(packet, filling.BAD)
    stray = {f"stray-{at}": Written("x", "paper", Place("paper")) for at in range(20)}
    odd = replace(readings, written={**readings.written, **stray})
    taken = replace(
        filling.readings(packet, {**filling.GOOD, "verify__heat__r-amps": "14"}),
        accepted={"a__verify__heat__r-amps": "S. Lund"},
    )
    asked = replace(packet.basis, rules=replace(packet.basis.rules, ask=("Who?",)))  # type: ignore[type-var, union-attr]
    pages = []
    for own, came in ((replace(packet, basis=asked), odd), (packet, taken)):
        made = record.make(own, came, None, Findings())
        shown = page.page(made)
        pages.append(rendering.document("record-page.html", words=words, page=shown, r=made))
    row = Row("1", "m", "a", "", "open", "2026-03-20", 0, 0, 0, None, None, None, None, None, (),
              "2026-04-01", "ip", "f")  # fmt: skip
    table = Across(
        [row],
        [Machine("m", (row,), plot_of([Bar(date(2026, 3, 20), 1.0, "1")], None, "ip"), "1 lb")],
    )
    parts = {"told": table, "rows": [(row, "?", "?")], "folder": "f", "today": "2026-03-21"}
    pages.append(rendering.document("record-table.html", words=words, **parts))
    return "".join(pages)


def test_every_word_of_the_templates_can_be_overlaid_and_is_used() -> None:
    shipped = rendering.shipped_words()
    marked = {key: f"<<{key}>>" for key in shipped}
    document = rendering.html(
        replace(samples.full(), phone="555"),
        parts=rendering.PARTS,
        words={**marked, "language": "de"},
    )
    # Where no refrigerant moves, the record at the end has another title.
    still = replace(samples.full(), record=samples.full().record[:1])
    document += rendering.html(still, words={**marked, "language": "de"})
    for name in ("purge-and-braze", "evacuate+job"):
        document += rendering.handout_html(
            laid_out.handout(name), words={**marked, "language": "de"}
        )
    document += came_back({**marked, "language": "de"})
    used = {key for key in shipped if f"&lt;&lt;{key}&gt;&gt;" in document}
    assert set(shipped) - used == {"language"}
    assert '<html lang="de">' in document


def test_an_undefined_name_stops_the_template() -> None:
    with pytest.raises(UndefinedError):
        rendering._environment().from_string("{{ packet.nothing }}").render(packet=object())


@pytest.mark.parametrize("name", TEMPLATES)
def test_templates_do_no_arithmetic(name: str) -> None:
    tree = rendering._environment().parse(rendering._source(name))
    sums = (nodes.Add, nodes.Sub, nodes.Mul, nodes.Div, nodes.FloorDiv, nodes.Mod, nodes.Pow)
    assert not list(tree.find_all(sums))
    assert "|safe" not in rendering._source(name)


@pytest.mark.parametrize(
    ("value", "expected"), [(0, "–"), (35, "35 min"), (60, "1 h"), (80.4, "1 h 20 min")]
)
def test_minutes(value: float, expected: str) -> None:
    source = rendering._environment().from_string("{{ value|minutes }}")
    words = type("Words", (), rendering.shipped_words())
    assert source.render(value=value, w=words) == expected


@given(st.lists(st.floats(0.1, 9), max_size=9), st.integers(1, 4))
def test_columns_keep_order_and_none_could_be_cut_lower(heights: list[float], count: int) -> None:
    made = columning.columns(heights, lambda height: height, count)
    assert len(made) == count
    assert [one for column in made for one in column] == heights
    # No column is higher than an even share and the highest piece together.
    tallest = max(map(sum, made))
    assert tallest <= sum(heights) / count + max(heights, default=0) + 1e-9


@given(st.integers(0, 40), st.integers(1, 6), st.integers(1, 12))
def test_panels_keep_every_row_in_order(rows: int, columns: int, letters: int) -> None:
    body = tuple(tuple(f"{row}".zfill(letters) for _ in range(columns)) for row in range(rows))
    block = TableBlock("t", "T", ("head",) * columns, body, today=(3,))
    made = [pair for panel in panels(block) for pair in panel]
    assert [row for row, _ in made] == list(body)
    assert [index for index, (_, today) in enumerate(made) if today] == ([3] if rows > 3 else [])


def test_the_list_of_characters_is_that_of_the_fonts() -> None:
    for name in fonts.FILES[:2]:
        held = set(map(chr, TTFont(files(fonts) / name).getBestCmap()))
        assert fonts.characters() <= held
    needed = "°−–—×≤≥½¼¾µμ✓→←↑↓☐†·…“”‘’±²³ΩΔ§•⚠ÅéüñŁ"
    assert fonts.unprintable(needed + rendering.html(samples.full())) == ()


def test_the_fonts_are_named_as_ours_and_carry_their_licence() -> None:
    licence = (files(fonts) / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    head = licence[: licence.index("PREAMBLE")]
    (reserved,) = re.findall(r'Reserved Font Name "(.+)"', head)
    for name in fonts.FILES:
        table = TTFont(files(fonts) / name)["name"]
        assert str(table.getDebugName(1)).startswith(assemble.FAMILY)
        assert "SIL Open Font License" in str(table.getDebugName(13))
        assert "Copyright" in str(table.getDebugName(0))
        names = [str(table.getDebugName(number)) for number in (1, 3, 4, 6, 16)]
        assert not any(reserved.lower() in one.lower() for one in names)


def test_numerals_and_letters_that_are_often_misread_differ() -> None:
    font = TTFont(files(fonts) / fonts.FILES[0])
    glyphs, names = font["glyf"], font.getBestCmap()
    shapes = Counter(
        tuple(glyphs[names[ord(letter)]].getCoordinates(glyphs)[0]) for letter in "1lI|0Oo"
    )
    assert set(shapes.values()) == {1}
    # The zero is told from the O by a stroke inside: one outline more.
    assert glyphs[names[ord("0")]].numberOfContours > glyphs[names[ord("O")]].numberOfContours
