"""Drawings in a real PDF: the packet's fonts only, words that can be copied, tags, same bytes."""

from __future__ import annotations

import io
from functools import cache
from typing import Any

import pypdf

from packets import pdf, rendering
from packets.drawings.board import lay_out
from packets.drawings.drawing import FULL, HALF, Drawing
from tests.circuit.known import circuit
from tests.drawings import samples
from tests.drawings.reading import Read


@cache
def drawings() -> list[Drawing]:
    """Some drawings of both sizes."""
    return [
        one
        for size in (FULL, HALF)
        for _, one in samples.job(lay_out(circuit("condensing-unit-receiver"), size), ("drier",))
    ]


def page() -> str:
    """They all in one document."""
    faces = rendering._source("typeface.css")
    body = "".join(f"<p>{one.svg}</p>" for one in drawings())
    return (
        f'<!doctype html><html lang="en"><title>t</title><style>{faces} @page {{ size: letter }} '
        f"html {{ font-family: Packet }}</style><body>{body}"
    )


@cache
def made() -> bytes:
    """The PDF; a warning of the printer would stop it."""
    return pdf.write(page(), identifier="t")


def test_only_the_packets_typeface_is_embedded() -> None:
    held = set()
    for one in pypdf.PdfReader(io.BytesIO(made())).pages:
        resources: Any = one["/Resources"]
        fonts = dict(resources.get("/Font", {}))
        for form in resources.get("/XObject", {}).values():
            fonts |= form.get_object().get("/Resources", {}).get("/Font", {})
        for font in fonts.values():
            below = font.get_object()["/DescendantFonts"][0].get_object()
            assert "/FontFile2" in below["/FontDescriptor"]
            held.add(str(font.get_object()["/BaseFont"]).split("+")[1])
    assert held == {"Packet", "Packet-Bold"}


def test_words_of_a_drawing_can_be_searched_and_copied() -> None:
    text = "".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(made())).pages)
    plain = "".join(text.split())
    for drawing in drawings():
        for word in Read(drawing.svg).words:
            assert "".join(word.words.split()) in plain, word.words


def test_each_drawing_is_a_figure_with_its_title_for_those_who_hear_it_read() -> None:
    root: Any = pypdf.PdfReader(io.BytesIO(made())).trailer["/Root"]
    told = [str(one["/Alt"]) for one in figures(root["/StructTreeRoot"])]
    assert told == [one.title for one in drawings()]


def figures(node: Any) -> list[Any]:
    """Every figure of the tag tree."""
    node = node.get_object()
    if isinstance(node, pypdf.generic.ArrayObject):
        return [found for one in node for found in figures(one)]
    if not isinstance(node, pypdf.generic.DictionaryObject):
        return []
    own = [node] if node.get("/S") == "/Figure" else []
    return own + (figures(node["/K"]) if "/K" in node else [])


def test_two_printings_have_the_same_bytes() -> None:
    assert pdf.write(page(), identifier="t") == made()


def test_the_svg_carries_title_description_and_no_outside_reference() -> None:
    for one in drawings():
        assert one.svg.count("<title>") == one.svg.count("<desc>") == 1
        assert 'role="img"' in one.svg and 'font-family="Packet"' in one.svg
        for word in ("href", "url(", "<style", "<script", "id="):
            assert word not in one.svg
        assert one.title and one.description.endswith(".")


def test_names_of_parts_are_escaped() -> None:
    from dataclasses import replace

    from packets.drawings import hookups

    plan = circuit("packaged-cooling")
    parts = {**plan.parts, "drier": replace(plan.parts["drier"], name='<b>"&drier')}
    drawing = hookups.clean(lay_out(replace(plan, parts=parts), FULL))
    assert "<b>" not in drawing.svg
    assert '<b>"&drier' in [one.words for one in Read(drawing.svg).words]
