"""The PDF: same bytes, nothing fetched, attachments, tags, and plain words when it cannot be."""

from __future__ import annotations

import hashlib
import io
import os
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

import pypdf
import pytest

from packets import fonts, pdf, rendering
from tests import packet_samples as samples

FILES = [
    ("packet.json", b'{"format": "packet/1"}', "what was printed, for the review"),
    ("job.yaml", b"format: job/1\n", "the job"),
]
ROOT = Path(__file__).parent.parent


@cache
def page() -> str:
    """The HTML of the smallest packet."""
    return rendering.html(samples.one_step())


@cache
def made() -> bytes:
    """Its PDF."""
    return pdf.write(page(), attachments=FILES, identifier="26-1142 rev 2 a1b2c3d4")


def reader() -> pypdf.PdfReader:
    """That PDF, read back."""
    return pypdf.PdfReader(io.BytesIO(made()))


def html(body: str, style: str = "") -> str:
    """A document in the packet's typeface."""
    faces = rendering._source("typeface.css")
    return (
        f'<!doctype html><html lang="en"><title>t</title><style>{faces}{style}\n'
        f"html {{ font-family: Packet }}</style><body>{body}"
    )


def run(code: str, **environment: str) -> str:
    """What another Python process prints."""
    env = {**os.environ, "PYTHONPATH": str(ROOT), **environment}
    done = subprocess.run(
        [sys.executable, "-c", code], env=env, cwd=ROOT, capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


SAME = """
import hashlib
from packets import pdf
from tests import test_pdf as t
print(hashlib.sha256(t.made()).hexdigest())
"""


def test_the_same_packet_gives_the_same_bytes_twice() -> None:
    assert pdf.write(page(), attachments=FILES, identifier="26-1142 rev 2 a1b2c3d4") == made()


def test_another_process_elsewhere_and_without_system_fonts_gives_the_same_bytes(
    tmp_path: Path,
) -> None:
    bare = tmp_path / "fonts.conf"
    bare.write_text(
        '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">'
        f"<fontconfig><cachedir>{tmp_path}</cachedir></fontconfig>"
    )
    other = run(
        SAME,
        SOURCE_DATE_EPOCH="1000000000",
        TZ="Pacific/Auckland",
        PYTHONHASHSEED="7",
        LC_ALL="C",
        FONTCONFIG_FILE=str(bare),
    )
    assert other == hashlib.sha256(made()).hexdigest()


def test_another_revision_or_attachment_gives_other_bytes() -> None:
    assert pdf.write(page(), attachments=FILES[:1], identifier="26-1142 rev 2 a1b2c3d4") != made()
    assert pdf.write(page(), attachments=FILES, identifier="26-1142 rev 3 a1b2c3d4") != made()


def test_attached_files_come_back_as_they_went_in() -> None:
    held = {one.name: one for one in reader().attachment_list}
    assert {name: held[name].content for name in held} == {n: data for n, data, _ in FILES}
    for name, _, description in FILES:
        assert held[name].description == description
        for date in (held[name].creation_date, held[name].modification_date):
            assert date is not None
            assert date.date().isoformat() == samples.one_step().date


def test_document_says_what_it_is() -> None:
    read, packet = reader(), samples.one_step()
    root: Any = read.trailer["/Root"]
    assert read.metadata is not None
    assert read.metadata.title == f"{packet.job} {packet.equipment}: {packet.title}"
    assert str(read.metadata["/CreationDate"]) == "D:20260318"
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert "pdfuaid:part" in root["/Metadata"].get_data().decode()
    identifiers: Any = read.trailer["/ID"]
    assert identifiers[0] == "26-1142 rev 2 a1b2c3d4"
    outline = [one.title for one in read.outline if not isinstance(one, list)]
    assert packet.title in outline
    assert "Refrigerant record" in outline


def test_only_the_packets_typeface_is_embedded_and_the_field_font_is_small() -> None:
    held = {}
    for one in reader().pages:
        resources: Any = one["/Resources"]
        for font in resources["/Font"].values():
            below = font.get_object()["/DescendantFonts"][0].get_object()
            file = below["/FontDescriptor"]["/FontFile2"].get_object()
            held[str(font.get_object()["/BaseFont"]).split("+")[1]] = len(file.get_data())
    assert set(held) == {"Packet", "Packet-Bold", "Packet-Field"}
    assert held["Packet-Field"] < 20_000, "a form embeds its whole font"


def test_a_reader_can_fill_the_form_and_read_it_back() -> None:
    writer = pypdf.PdfWriter(clone_from=reader())
    tick = samples.one_step().sections[0].steps[0].tick
    values = {tick: "/on", "record__5": "14 lb 8 oz"}
    for one in writer.pages:
        writer.update_page_form_field_values(one, values, auto_regenerate=False)
    buffer = io.BytesIO()
    writer.write(buffer)
    filled = pypdf.PdfReader(buffer).get_fields() or {}
    assert {name: filled[name].value for name in values} == values
    assert {field.value for name, field in filled.items() if name not in values} <= {"", "/Off"}


@pytest.mark.parametrize(
    ("body", "style"),
    [
        ('<img src="http://x.test/a.png" alt="a">', ""),
        ('<img src="file:///etc/hostname" alt="a">', ""),
        ('<img src="data:image/svg+xml,%3Csvg/%3E" alt="a">', ""),
        ('<img src="packet-font:../pdf.py" alt="a">', ""),
        ('<object data="http://x.test/a.svg" type="image/svg+xml">', ""),
        ("a", "@import url(http://x.test/a.css);"),
        ("a", "body { background: url(http://x.test/a.png) }"),
        ("a", "@font-face { font-family: X; src: url(file:///etc/hostname) } p { font: 9pt X }"),
        ('<link rel="attachment" href="file:///etc/hostname">a', ""),
        ('<link rel="stylesheet" href="http://x.test/a.css">a', ""),
        ("a", "body { colour: red }"),
        ('<a href="#nowhere">a</a>', ""),
    ],
)
def test_what_is_refused_or_wrong_stops_the_print(body: str, style: str) -> None:
    with pytest.raises(pdf.RenderingProblem) as problem:
        pdf.write(html(body, style), identifier="x")
    assert problem.value.notes
    assert all(problem.value.notes)


def test_a_sound_document_passes_the_same_gate() -> None:
    assert pdf.write(html("a"), identifier="x").startswith(b"%PDF-1.7")


def test_a_fatal_fetch_is_a_problem_and_not_the_end_of_the_process(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    pdf._library()
    fetcher = pdf._fetcher()
    fetcher._fail_on_errors = True
    monkeypatch.setattr(pdf, "_fetcher", lambda: fetcher)
    with pytest.raises(pdf.RenderingProblem, match=r"x\.test"):
        pdf.write(html('<img src="http://x.test/a.png" alt="a">'), identifier="x")


def test_a_step_taller_than_a_page_is_refused_by_name() -> None:
    body = '<div data-whole="Step 3.1" style="break-inside: avoid">' + "<p>a</p>" * 90 + "</div>"
    with pytest.raises(pdf.RenderingProblem, match=r"Step 3\.1 is taller than a page"):
        pdf.write(html(body), identifier="x")


MISSING = """
import sys, warnings
import cffi
true = cffi.FFI.dlopen
def dlopen(self, name, flags=0):
    if name and {stem!r} in name:
        raise OSError(f"cannot load library {{name!r}}: {{name}}: no such file")
    return true(self, name, flags)
cffi.FFI.dlopen = dlopen
warnings.simplefilter("error")
from packets import pdf
try:
    pdf.write("<p>", identifier="x")
except pdf.MissingLibrary as error:
    print(error.name)
    print(error)
"""


@pytest.mark.parametrize(
    ("stem", "name"),
    [
        ("gobject", "GObject (GLib)"),
        ("pangoft2", "PangoFT2"),
        ("harfbuzz-subset", "HarfBuzz-subset"),
        ("fontconfig", "Fontconfig"),
    ],
)
def test_a_missing_library_is_named_with_the_way_to_install_it(stem: str, name: str) -> None:
    first, *message = run(MISSING.format(stem=stem)).splitlines()
    assert first == name, "and nothing else is printed before"
    text = "\n".join(message)
    assert f"system library {name} is missing" in text
    for word in (
        "apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0",
        "dnf install",
        "brew install pango",
        "MSYS2",
    ):
        assert word in text


def test_weasyprint_is_not_loaded_before_a_pdf_is_wanted() -> None:
    code = "import sys; from packets import pdf, fonts; fonts.unprintable('x'); "
    assert (
        run(code + "print(sorted({'weasyprint', 'fontTools', 'PIL'} & set(sys.modules)))") == "[]"
    )


def test_fonts_are_found_by_name_only() -> None:
    assert fonts.data(fonts.FILES[0])[:4] == b"\x00\x01\x00\x00"
    with pytest.raises(ValueError, match="no font"):
        fonts.data("../pdf.py")
