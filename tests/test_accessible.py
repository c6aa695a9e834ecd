"""What a screen reader, an archive and a browser get: tags, names of fields, one whole file.

Rules checked by name: PDF/UA-1 (ISO 14289-1) and PDF/A-3 (ISO 19005-3). `test_conforming` holds
what a validator found, with its clauses.
"""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from typing import Any

import pypdf
import pytest
from fontTools.ttLib import TTFont
from pypdf.generic import ContentStream

from packets import fonts, pdf, pipeline, rendering
from packets.composing import field_names
from packets.model.packet import Figure, Packet
from tests import jobs, tagged
from tests import packet_samples as samples
from tests.tagged import kids


@cache
def example() -> Packet:
    """The packet of the first example."""
    return pipeline.illustrated(pipeline.prepare(jobs.EXAMPLE / "job.yaml"))


@cache
def printed(archive: bool = False) -> pypdf.PdfReader:
    """The example, printed and read back."""
    data = pdf.write(
        rendering.html(example()),
        attachments=[("job.yaml", b"format: job/1\n", "job file")],
        identifier="26-1142-1",
        archive=archive,
    )
    return pypdf.PdfReader(io.BytesIO(data))


def root(archive: bool = False) -> Any:
    return printed(archive).trailer["/Root"]


def tree(archive: bool = False) -> list[Any]:
    return tagged.tree(printed(archive))


def charts() -> list[Figure]:
    """The charts in printing order: that of page 1, then those of the steps."""
    steps = [step.chart for part in example().sections for step in part.steps]
    return [chart for chart in (example().card_chart, *steps) if chart]


def figures() -> list[Figure]:
    """All that is drawn: the charts, and the circuit for each hook-up."""
    return [*charts(), *(one for part in example().sections for one in part.figures)]


def widgets() -> list[Any]:
    pages = printed().pages
    return [one.get_object() for page in pages for one in page.get("/Annots", ())]


def test_every_figure_says_what_it_shows_and_where_it_stands() -> None:
    said = {f"{one.title}. {one.description}": one for one in figures()}
    found = [one for one in tree() if one["/S"] == "/Figure"]
    assert len(said) == len(figures()) >= 10
    assert sorted(str(one["/Alt"]) for one in found) == sorted(said)
    for one in found:
        drawn = said[str(one["/Alt"])]
        left, bottom, right, top = map(float, one["/A"]["/BBox"])
        _, _, wide, high = map(float, one["/Pg"]["/MediaBox"])
        assert 0 <= left < right <= wide
        assert 0 <= bottom < top <= high
        assert right - left == pytest.approx(drawn.width_mm / 25.4 * 72, abs=0.5)
        assert top - bottom == pytest.approx(drawn.height_mm / 25.4 * 72, abs=0.5)


def test_every_field_has_a_spoken_name_and_its_place_in_the_reading_order() -> None:
    fields = widgets()
    assert sorted(one["/T"] for one in fields) == sorted(field_names(example()))
    assert all(len(one["/TU"].split()) >= 2 for one in fields)
    names = [one["/TU"] for one in fields]
    assert len(set(names)) == len(names), "two fields are called the same"
    parents = tagged.parents(printed())
    in_tree = {id(kid): one for one in tree() for kid in kids(one) if one["/S"] == "/Form"}
    held = {one["/Obj"].get_object()["/T"] for one in map(_object, in_tree.values())}
    assert held == {one["/T"] for one in fields}
    for one in fields:
        form = parents[one["/StructParent"]].get_object()
        assert form["/S"] == "/Form"
        assert _object(form)["/Obj"].get_object()["/T"] == one["/T"]


def _object(form: Any) -> Any:
    (only,) = kids(form)
    assert only["/Type"] == "/OBJR"
    return only


def test_the_document_names_its_language_its_title_and_the_order_of_its_pages() -> None:
    assert root()["/Lang"] == "en"
    assert root()["/MarkInfo"]["/Marked"]
    assert root()["/ViewerPreferences"]["/DisplayDocTitle"]
    assert printed().metadata is not None
    assert example().job in str(printed().metadata.title)
    assert all(page["/Tabs"] == "/S" for page in printed().pages)


def test_headings_never_skip_a_level_and_every_section_has_a_bookmark() -> None:
    levels = [int(one["/S"][2:]) for one in tree() if re.fullmatch(r"/H\d", one["/S"])]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))

    def titles(outline: Any) -> Iterator[str]:
        for one in outline:
            if isinstance(one, list):
                yield from titles(one)
            else:
                yield str(one.title)

    marks = list(titles(printed().outline))
    for section in example().sections:
        assert marks.count(f"{section.number} {section.title}") == 1
    assert "Refrigerant record" in marks


def test_no_letter_is_printed_outside_the_tags() -> None:
    letters = 0
    for page in printed().pages:
        depth = 0
        for _, operator in ContentStream(page.get_contents(), printed()).operations:
            depth += (operator in (b"BDC", b"BMC")) - (operator == b"EMC")
            if operator in (b"Tj", b"TJ"):
                letters += 1
                assert depth > 0
    assert letters > 1000


def test_the_archive_print_has_no_form_and_says_what_it_is() -> None:
    assert "/AcroForm" not in root(archive=True)
    assert not any("/Annots" in page for page in printed(archive=True).pages)
    said = root(archive=True)["/Metadata"].get_data().decode()
    assert 'pdfaid:part="3"' in said and 'pdfaid:conformance="A"' in said
    assert 'pdfuaid:part="1"' in said
    (intent,) = root(archive=True)["/OutputIntents"]
    assert intent["/S"] == "/GTS_PDFA1"
    assert intent["/DestOutputProfile"].get_object().get_data()[36:40] == b"acsp"  # an ICC profile
    files = [one.get_object() for one in root(archive=True)["/AF"]]
    assert {one["/UF"] for one in files} == {"job.yaml"}
    assert {one["/AFRelationship"] for one in files} == {"/Source"}
    assert printed(archive=True).trailer["/ID"]
    assert "/Encrypt" not in printed(archive=True).trailer


def test_the_archive_print_looks_like_the_other_and_lets_nothing_shine_through() -> None:
    one, other = printed(), printed(archive=True)
    assert [page.extract_text() for page in one.pages] == [
        page.extract_text() for page in other.pages
    ]
    for page in other.pages:
        resources: Any = page["/Resources"]
        assert "/Group" not in page
        for state in resources.get("/ExtGState", {}).values():
            held = state.get_object()
            assert held.get("/ca", 1) == held.get("/CA", 1) == 1
            assert held.get("/SMask", "/None") == "/None"
            assert held.get("/BM", "/Normal") == "/Normal"
        for font in resources["/Font"].values():
            below = font.get_object()["/DescendantFonts"][0].get_object()
            assert "/FontFile2" in below["/FontDescriptor"]
            assert "/ToUnicode" in font.get_object()


class Page(HTMLParser):
    """Fields, addresses, headings of a page, and tags left open."""

    EMPTY = ("meta", "input", "br", "col", "path", "rect")

    def __init__(self, document: str) -> None:
        super().__init__()
        self.fields: list[dict[str, str | None]] = []
        self.addresses: list[str] = []
        self.open: list[str] = []
        self.feed(document)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = dict(attrs)
        if tag == "input":
            self.fields.append(held)
        self.addresses += [str(held[key]) for key in ("src", "href", "action") if key in held]
        if tag not in self.EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in self.EMPTY and self.open and self.open[-1] == tag:
            self.open.pop()


def test_the_page_for_a_browser_holds_every_field_once_live_and_named() -> None:
    page = Page(rendering.standalone(rendering.html(example())))
    assert sorted(str(one["name"]) for one in page.fields) == sorted(field_names(example()))
    assert all(one["title"] for one in page.fields)
    assert {one["type"] for one in page.fields} == {"checkbox", "text"}
    assert not any({"disabled", "readonly"} & set(one) for one in page.fields)
    assert page.open == [], "a tag is left open"


def test_the_page_for_a_browser_is_one_file_that_may_fetch_nothing() -> None:
    document = rendering.standalone(rendering.html(example()))
    assert not Page(document).addresses
    assert "default-src 'none'" in document
    assert "<script" not in document
    urls = re.findall(r"url\(([^)]*)\)", document)
    assert len(urls) == len(fonts.FILES)
    for url in urls:
        kind, _, data = url.strip('"').partition(",")
        assert kind == "data:font/ttf;base64"
        assert TTFont(io.BytesIO(base64.b64decode(data, validate=True))).getBestCmap()
    assert fonts.SCHEME not in document


def test_the_same_packet_gives_the_same_page_twice() -> None:
    document = rendering.html(example())
    assert rendering.standalone(document) == rendering.standalone(rendering.html(example()))


@pytest.mark.parametrize(
    "wrong",
    [
        '<svg xmlns="http://www.w3.org/2000/svg"><script>x</script></svg>',
        '<svg xmlns="http://www.w3.org/2000/svg"><image href="http://x.test/y"/></svg>',
        '<svg xmlns="http://www.w3.org/2000/svg"><path onclick="x"/></svg>',
        '<svg xmlns="http://www.w3.org/2000/svg"><path style="fill:red"/></svg>',
        '<svg xmlns="http://www.w3.org/2000/svg"><path fill="url(http://x.test/y)"/></svg>',
        '<svg xmlns="http://www.w3.org/2000/svg"><use href="#a"/></svg>',
        "<div>no drawing</div>",
    ],
)
def test_a_drawing_that_could_do_more_than_show_is_refused(wrong: str) -> None:
    packet = samples.one_step()
    (section,) = packet.sections
    chart = Figure("hold", wrong, 10.0, 10.0, "T", "D")
    step = replace(section.steps[0], chart=chart)
    bad = replace(packet, sections=(replace(section, steps=(step,)),))
    with pytest.raises(ValueError, match="a drawing holds"):
        rendering.html(bad)
