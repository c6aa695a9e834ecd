"""What PDF/UA-1 and PDF/A-3 ask of every PDF: a validator found each of these broken once.

The clauses are those that the published validation profiles of the PDF/UA and PDF/A test corpus
name: ISO 14289-1:2014 (PDF/UA-1), ISO 19005-3:2012 (PDF/A-3; its clause 6.1.7.1 is that of
part 2), ISO 19005-1:2005, 6.7.2. From memory: the
checkpoints (Matterhorn Protocol 1.1), sections of ISO 32000-1, and 6.3.2 of ISO 19005-3.
"""

from __future__ import annotations

import io
import re
import zlib
from functools import cache
from itertools import pairwise
from typing import Any

import pypdf
import pytest
from pypdf.generic import ContentStream

from packets import conforming, pdf, record, rendering
from packets.findings import Findings
from packets.record import page as record_page
from tests import filling, laid_out, tagged
from tests import packet_samples as samples
from tests.tagged import below, kids

FILES = [("job.yaml", b"format: job/1\n", "the job"), ("kit.yaml", b"format: kit/1\n", "the kit")]
KINDS = ("full+all", "evacuate", "pressure-hold+job", "record", "archive")


@cache
def made(kind: str) -> bytes:
    """All editions of the sample, a handout, a record, or the archive's print."""
    if kind == "archive":
        html = rendering.html(samples.full(), parts=rendering.PARTS)
        return pdf.write(html, attachments=FILES, identifier=kind, archive=True)
    if kind == "record":
        packet = filling.creamery()
        came = record.make(packet, filling.readings(packet, filling.BAD), None, Findings())
        shown = rendering.document("record-page.html", page=record_page.page(came), r=came)
        return pdf.write(shown, identifier=kind)
    return pdf._painted(laid_out.document(kind), FILES, kind)


def reader(kind: str) -> pypdf.PdfReader:
    """That PDF, read back by the letter."""
    return pypdf.PdfReader(io.BytesIO(made(kind)), strict=True)


@cache
def tree(kind: str) -> list[Any]:
    return tagged.tree(reader(kind))


def of(kind: str, *types: str) -> list[Any]:
    return [one for one in tree(kind) if one["/S"] in types]


def below_types(element: Any) -> list[str]:
    return [one["/S"] for one in below(element)]


@pytest.mark.parametrize("kind", KINDS)
def test_a_list_holds_nothing_but_its_items(kind: str) -> None:
    """ISO 14289-1, 7.2, tests 17 to 20 (ISO 32000-1, 14.8.4.3.3); checkpoint 09."""
    lists = of(kind, "/L")
    assert lists or kind == "evacuate"
    for one in lists:
        assert below_types(one) and set(below_types(one)) <= {"/L", "/LI"}
    for one in of(kind, "/LI"):
        assert set(below_types(one)) <= {"/Lbl", "/LBody"}


@pytest.mark.parametrize("kind", KINDS)
def test_no_edition_skips_a_level_of_heading(kind: str) -> None:
    """ISO 14289-1, 7.4.2; checkpoint 14."""
    levels = [int(one["/S"][2:]) for one in tree(kind) if re.fullmatch(r"/H\d", one["/S"])]
    assert len(levels) > 3
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "evacuate"])  # it has none
def test_every_table_says_what_heads_its_cells(kind: str) -> None:
    """ISO 14289-1, 7.5; checkpoint 15."""
    tables = of(kind, "/Table")
    assert tables
    for table in tables:
        inside = list(tagged.elements(table))
        heads = [one for one in inside if one["/S"] == "/TH"]
        assert heads
        ids = {str(one["/ID"]) for one in heads}
        for one in heads:
            assert one["/A"]["/Scope"] in ("/Column", "/Row")
            assert below(one), "a header cell is empty"
        for one in inside:
            if one["/S"] == "/TD" and "/Headers" in one["/A"]:
                named = {str(name) for name in one["/A"]["/Headers"]}
                assert named and named <= ids
        for row in inside:
            if row["/S"] == "/TR":
                scopes = {one["/A"]["/Scope"] for one in below(row) if one["/S"] == "/TH"}
                mixed = "/TD" in below_types(row)
                assert scopes <= ({"/Row"} if mixed else {"/Column"})


def test_the_order_of_work_and_the_contents_are_headed_by_column_and_by_row() -> None:
    order = of("full+all", "/Table")[0]
    heads = [one for one in tagged.elements(order) if one["/S"] == "/TH"]
    assert [one["/A"].get("/ColSpan", 1) for one in heads] == [2, 1, 1, 1]
    assert {one["/A"]["/Scope"] for one in heads} == {"/Column"}
    contents = [
        one
        for one in of("full+all", "/Table")
        if {cell["/A"]["/Scope"] for cell in tagged.elements(one) if cell["/S"] == "/TH"}
        == {"/Row"}
    ]
    assert contents


def test_the_running_heads_are_no_content_and_all_else_hangs_in_the_tree() -> None:
    """ISO 14289-1, 7.1 (test 3) and 7.8; ISO 32000-1, 14.8.2.2; checkpoints 01 and 18."""
    kind = "full+all"
    read = reader(kind)
    placed = laid_out.boxes(kind)
    held = tagged.parents(read)
    inside = {id(one) for one in tagged.tree(read)}
    for number, page in enumerate(read.pages, 1):
        heads = [
            one for one in placed if one.page == number and one.margin_box and one.kind == "TextBox"
        ]
        assert len(heads) >= 2
        assert all(one.margin_box.startswith("@top") for one in heads)
        artifacts, numbers = 0, []
        for operands, operator in ContentStream(page.get_contents(), read).operations:
            if operator == b"BDC" and operands[0] == "/Artifact":
                assert operands[1] == {"/Type": "/Pagination", "/Subtype": "/Header"}
                artifacts += 1
            elif operator == b"BDC":
                numbers.append(operands[1]["/MCID"])
        assert artifacts == len(heads)
        parents = held[page["/StructParents"]]
        assert sorted(numbers) == [
            at for at, one in enumerate(parents) if isinstance(one.get_object(), dict)
        ]
        assert all(id(parents[at].get_object()) in inside for at in numbers)


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_in_the_tree_announces_nothing(kind: str) -> None:
    """Best practice (PDF Association, Tagged PDF Best Practice Guide, 3.5), not a clause."""
    assert all(kids(one) for one in of(kind, "/Span"))


def annotations(kind: str) -> list[Any]:
    return [one.get_object() for page in reader(kind).pages for one in page.get("/Annots", ())]


@pytest.mark.parametrize("kind", ["full+all", "archive"])
def test_every_field_and_link_prints_and_its_box_runs_upwards(kind: str) -> None:
    """ISO 19005-3, 6.3.2; checkpoint 28."""
    held = annotations(kind)
    assert {one["/Subtype"] for one in held} == (
        {"/Link"} if kind == "archive" else {"/Link", "/Widget"}
    )
    for one in held:
        left, bottom, right, top = map(float, one["/Rect"])
        assert left < right and bottom < top
        assert one["/F"] & 0b100 and not one["/F"] & 0b10


def test_viewers_show_a_tick_in_its_own_drawing_and_draw_only_what_is_written() -> None:
    """ISO 32000-1, 12.7.2 and 12.7.3.3. A common viewer, asked to draw all fields anew, drew no
    tick in a box that names no type size. An empty drawing of a line's own would hide a value
    that a program wrote and did not draw."""
    root: Any = reader("full+all").trailer["/Root"]
    assert "/NeedAppearances" not in root["/AcroForm"]
    fonts = root["/AcroForm"]["/DR"]["/Font"]
    held = [one for one in annotations("full+all") if one["/Subtype"] == "/Widget"]
    for one in held:
        named = re.search(r"(/\S+) [\d.]+ Tf", one["/DA"])
        assert named and named[1] in fonts
        assert ("/AP" in one) == (one["/FT"] == "/Btn")
        if "/AP" in one:
            assert b" l" in one["/AP"]["/N"]["/on"].get_data()
    assert {one["/FT"] for one in held} == {"/Btn", "/Tx"}


def test_a_field_with_no_unit_has_no_comma_at_the_end_of_its_spoken_name() -> None:
    """ISO 14289-1, 7.18.1: the name is what a screen reader says."""
    names = [one["/TU"] for one in annotations("full+all") if one["/Subtype"] == "/Widget"]
    assert names
    packet = filling.creamery()
    names += re.findall(r'<input [^>]*title="([^"]*)"', rendering.html(packet))
    assert not [name for name in names if name != name.strip(" ,:")]


@pytest.mark.parametrize("kind", KINDS)
def test_the_metadata_lie_open_and_say_what_the_file_is(kind: str) -> None:
    """ISO 14289-1, 5; ISO 19005-1, 6.7.2; ISO 19005-3, 6.6.2.3 and 6.6.4."""
    root: Any = reader(kind).trailer["/Root"]
    assert "/Filter" not in root["/Metadata"]
    said = root["/Metadata"].get_data().decode()
    assert said.count('pdfuaid:part="1"') == 1
    assert ("pdfaid:part" in said) == ("pdfaSchema:schema" in said) == (kind == "archive")


def test_the_archive_lists_each_attached_file_once() -> None:
    """ISO 19005-3, 6.8."""
    root: Any = reader("archive").trailer["/Root"]
    files = [one.get_object()["/UF"] for one in root["/AF"]]
    assert sorted(files) == sorted(name for name, _, _ in FILES)


def ended(wanted: int) -> bytes:
    """Words whose compressed form ends with that byte (the low byte of the checksum)."""
    return next(
        words
        for words in (b"job %d " % at * (at % 40) for at in range(100_000))
        if zlib.compress(words, 9)[-1] == wanted
    )


def streams(data: bytes) -> list[tuple[int, int]]:
    """Length of each stream as its dictionary says it, and as the file's bytes have it: from the
    line feed after `stream` to the end of line, of one sign or two, before `endstream`."""
    found = []
    for head in re.finditer(rb"/Length (\d+)>>\nstream\n", data):
        length = int(head[1])
        end = data.index(b"endstream", head.end() + length)
        mark = 2 if data[:end].endswith(b"\r\n") else 1
        found.append((length, end - mark - head.end()))
    return found


def test_no_stream_ends_so_that_its_length_is_in_doubt() -> None:
    """ISO 19005-2 and -3, 6.1.7.1, test 1."""
    words = ended(ord("\r"))
    html = rendering.html(samples.one_step())
    data = pdf.write(html, attachments=[("odd.txt", words, "odd")], identifier="x", archive=True)
    lengths = streams(data)
    assert len(lengths) > 10
    assert all(said == real for said, real in lengths)
    assert b"\r\r\nendstream" in data, "the case did not arise"
    read = pypdf.PdfReader(io.BytesIO(data), strict=True)
    (file,) = read.attachment_list
    assert file.content == words
    assert len(read.pages) == len(pypdf.PdfReader(io.BytesIO(data)).pages)


def stream(words: bytes, packed: bool = True) -> bytes:
    """A stream as WeasyPrint writes it."""
    held = zlib.compress(words, 9) if packed else words
    how = b"/Filter /FlateDecode" if packed else b""
    return b"<<%s/Length %d>>\nstream\n%s\nendstream" % (how, len(held), held)


def test_only_an_end_in_doubt_is_changed_and_nothing_moves() -> None:
    sound, odd = stream(ended(ord("x"))), stream(ended(ord("\r")))
    looks = stream(b"a\r\nendstream b", packed=False)
    before = b"\n".join((sound, odd, looks, odd, sound))
    after = conforming.unambiguous(before)
    assert len(after) == len(before)
    assert after.index(looks) == before.index(looks)
    assert after.count(sound) == 2 and odd not in after
    assert conforming.unambiguous(after) == after
    assert conforming.unambiguous(sound) == sound
