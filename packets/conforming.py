"""What PDF/UA and PDF/A ask of the finished objects and WeasyPrint 70 leaves undone.

All of it works on the objects of a PDF about to be written, or on its bytes, and needs no
library. Clauses are those of ISO 14289-1:2014 (PDF/UA-1) and ISO 19005-3:2012 (PDF/A-3); sections
of ISO 32000-1, and 6.3.2 of ISO 19005-3, are from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

POINTS = 0.75  # a CSS pixel
PRINTED = 4  # the annotation flag Print
COMPRESSED = b"/Filter /FlateDecode"
# PDF/A knows only the properties that it or the file describes (6.6.2.3): the file's own word
# that it is PDF/UA needs this description beside it.
ACCESSIBLE = (
    b'<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/"'
    b' pdfuaid:part="1" /><rdf:Description rdf:about=""'
    b' xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"'
    b' xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"'
    b' xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#"><pdfaExtension:schemas>'
    b'<rdf:Bag><rdf:li rdf:parseType="Resource">'
    b"<pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>"
    b"<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>"
    b"<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>"
    b'<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">'
    b"<pdfaProperty:name>part</pdfaProperty:name>"
    b"<pdfaProperty:valueType>Integer</pdfaProperty:valueType>"
    b"<pdfaProperty:category>internal</pdfaProperty:category>"
    b"<pdfaProperty:description>Part of ISO 14289 that the file follows"
    b"</pdfaProperty:description></rdf:li></rdf:Seq></pdfaSchema:property>"
    b"</rdf:li></rdf:Bag></pdfaExtension:schemas></rdf:Description>"
)


def finish(document: Any, pdf: Any) -> None:
    """Mend the objects of a tagged PDF in place, as WeasyPrint's last step before writing.

    `document` is unused: WeasyPrint passes it. The same objects give the same objects.
    """
    del document
    elements = [one for one in pdf.objects if _is(one, "/StructElem")]
    _place_figures(pdf, elements)
    _scope_headers(pdf, elements)
    _set_heads_aside(pdf)
    _drop_empty_spans(pdf, elements)
    _show_annotations(pdf)
    _show_ticks(pdf)
    _list_files_once(pdf)
    _lay_metadata_open(pdf)


def unambiguous(made: bytes) -> bytes:
    """The same file with no stream whose last byte could be taken for its end of line.

    ISO 19005-3, 6.1.7.1: a stream's Length counts the bytes before the end of line that
    precedes `endstream`. A compressed stream that ends with a carriage return, before
    WeasyPrint's line feed, counts one too many. Its end of line becomes both signs; the byte
    comes from the spare space after `/Filter`, so that nothing else moves.
    """
    for found in reversed(list(re.finditer(rb"\r(?=\nendstream)", made))):
        end = found.end()
        head = _head_of_stream(made, end)
        if head is not None:
            spare = head + COMPRESSED.index(b" ")
            made = made[:spare] + made[spare + 1 : end] + b"\r" + made[end:]
    return made


def _head_of_stream(made: bytes, end: int) -> int | None:
    """Where the `/Filter` of the stream stands that ends there; None for bytes that only look
    like an end, or a stream that is not compressed."""
    opening = re.compile(re.escape(COMPRESSED) + rb"/Length (\d+)>>\nstream\n")
    for found in opening.finditer(made, 0, end):
        if found.end() + int(found[1]) == end:
            return found.start()
    return None


def _is(thing: Any, kind: str) -> bool:
    return isinstance(thing, dict) and thing.get("Type") == kind


def _of(pdf: Any, reference: bytes) -> Any:
    """The object that a reference (`12 0 R`) names."""
    return pdf.objects[int(reference.split()[0])]


def _kids(pdf: Any, element: Any) -> Iterator[Any]:
    """The structure elements right below one; marked content and form fields are left out."""
    for kid in element["K"]:
        if isinstance(kid, bytes) and _is(below := _of(pdf, kid), "/StructElem"):
            yield below


def _place_figures(pdf: Any, elements: list[Any]) -> None:
    """Give each figure's box in points from the page's foot; WeasyPrint writes it in CSS
    pixels from the page's head."""
    for one in elements:
        if one["S"] == "/Figure":
            high = _of(pdf, one["Pg"])["MediaBox"][3]
            left, top, right, bottom = (side * POINTS for side in one["A"]["BBox"])
            one["A"]["BBox"][:] = [left, high - bottom, right, high - top]


def _scope_headers(pdf: Any, elements: list[Any]) -> None:
    """Say of each header cell whether it heads its column or its row (7.5).

    WeasyPrint's own `Headers` lists miss the cells under a header of several columns, so that
    an empty list would say of a headed cell that it has no header: it goes.
    """
    for row in elements:
        if row["S"] != "/TR":
            continue
        cells = list(_kids(pdf, row))
        heads_columns = all(cell["S"] == "/TH" for cell in cells)
        for cell in cells:
            if cell["S"] == "/TH":
                cell["A"]["Scope"] = "/Column" if heads_columns else "/Row"
            elif "A" in cell and not cell["A"].get("Headers"):
                cell["A"].pop("Headers", None)


def _set_heads_aside(pdf: Any) -> None:
    """Make the running heads artifacts of the page (7.1, 7.8; ISO 32000-1, 14.8.2.2).

    WeasyPrint marks them as content of elements that hang outside the tree. What no element of
    the tree holds is therefore theirs; the page's margins print nothing but heads.
    """
    root = _of(pdf, pdf.catalog["StructTreeRoot"])
    inside: set[int] = set()
    waiting = [_of(pdf, reference) for reference in root["K"]]
    while waiting:
        element = waiting.pop()
        inside.add(element.number)
        waiting.extend(_kids(pdf, element))
    numbers = _of(pdf, root["ParentTree"])["Nums"]
    held = dict(zip(numbers[::2], numbers[1::2], strict=True))
    for reference in pdf.page_references:
        page = _of(pdf, reference)
        parents = held[page["StructParents"]]
        outside = {at for at, parent in enumerate(parents) if int(parent.split()[0]) not in inside}
        for at in outside:
            parents[at] = "null"
        _mark_heads(_of(pdf, page["Contents"]).stream, outside)
    for one in pdf.objects:
        if _is(one, "/StructElem") and one.number not in inside:
            one.clear()


def _mark_heads(stream: list[Any], outside: set[int]) -> None:
    """Turn the marked content of those numbers into running heads."""
    for at, item in enumerate(stream):
        if isinstance(item, dict) and item.get("MCID") in outside:
            stream[at - 1] = "/Artifact"
            item.clear()
            item.update(Type="/Pagination", Subtype="/Header")


def _drop_empty_spans(pdf: Any, elements: list[Any]) -> None:
    """Take out of the tree what announces nothing: the boxes and lines to write on, which are
    drawn and hold no text."""
    empty = {one.number for one in elements if one.get("S") == "/Span" and not one["K"]}
    for one in elements:
        if "K" in one:
            one["K"][:] = [
                kid
                for kid in one["K"]
                if not (isinstance(kid, bytes) and int(kid.split()[0]) in empty)
            ]
    for number in empty:
        pdf.objects[number].clear()


def _show_annotations(pdf: Any) -> None:
    """Let every field and link print, and give its box from the lower left to the upper right
    (ISO 19005-3, 6.3.2; ISO 32000-1, 7.9.5)."""
    for one in pdf.objects:
        if _is(one, "/Annot"):
            one["F"] = one.get("F", 0) | PRINTED
            left, top, right, bottom = one["Rect"]
            one["Rect"][:] = [
                min(left, right),
                min(top, bottom),
                max(left, right),
                max(top, bottom),
            ]


def _show_ticks(pdf: Any) -> None:
    """Let every viewer show a tick in the boxes' own drawing.

    WeasyPrint asks viewers to draw all fields anew (NeedAppearances). Of a box without a type
    size in its default appearance (ISO 32000-1, 12.7.3.3) some then draw nothing: ticked, it
    looked empty. The request goes, and each box gets a size for whoever sets it again.
    """
    if "AcroForm" not in pdf.catalog:
        return
    form = pdf.catalog["AcroForm"]
    form.pop("NeedAppearances", None)
    font = next(iter(_of(pdf, _of(pdf, form["DR"])["Font"])))
    for one in pdf.objects:
        if _is(one, "/Annot") and one.get("FT") == "/Btn":
            one["DA"] = f"(/{font} 0 Tf 0 g)"


def _list_files_once(pdf: Any) -> None:
    """WeasyPrint lists each attached file of an archive twice."""
    if "AF" in pdf.catalog:
        pdf.catalog["AF"][:] = dict.fromkeys(pdf.catalog["AF"])


def _lay_metadata_open(pdf: Any) -> None:
    """Leave the metadata uncompressed, so that a program that knows no PDF finds it, and let
    an archive say too that it is accessible.

    ISO 19005-1, 6.7.2 asks the first of part 1; some validators ask it of part 3 too.
    """
    metadata = _of(pdf, pdf.catalog["Metadata"])
    metadata.compress = False
    (words,) = metadata.stream
    if b"pdfuaid:" not in words:
        metadata.stream[:] = [words.replace(b"</rdf:RDF>", ACCESSIBLE + b"</rdf:RDF>")]
