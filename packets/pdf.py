"""HTML to PDF: the only door to WeasyPrint, imported only when a PDF is wanted."""

from __future__ import annotations

import contextlib
import gc
import io
import logging
import re
import warnings
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from typing import Any

from packets import conforming, fonts, ownership

OPTIONS: dict[str, Any] = {"pdf_forms": True, "pdf_variant": "pdf/ua-1"}
# For the archive: no form, since a form's fields carry no appearance of their own.
ARCHIVE: dict[str, Any] = {"pdf_forms": False, "pdf_variant": "pdf/a-3a"}
Attachment = tuple[str, bytes, str]
# Attachments and the document carry the packet's date, or this one when it has none: never
# the clock's, or two printings of one packet would differ.
NO_DATE = datetime(2000, 1, 1, tzinfo=UTC)
LIBRARIES = {
    "gobject": "GObject (GLib)",
    "pango-": "Pango",
    "pangoft2": "PangoFT2",
    "harfbuzz-subset": "HarfBuzz-subset",
    "harfbuzz": "HarfBuzz",
    "fontconfig": "Fontconfig",
}
PACKAGES = {
    "Debian, Ubuntu": "sudo apt-get install libpango-1.0-0 libpangoft2-1.0-0 "
    "libharfbuzz-subset0 libfontconfig1 fontconfig",
    "Fedora": "sudo dnf install pango harfbuzz fontconfig",
    "macOS": "brew install pango",
    "Windows": "install MSYS2, then in its shell: pacman -S mingw-w64-ucrt-x86_64-pango",
}


class RenderingProblem(Exception):
    """The page could not be made as meant; each note says what went wrong."""

    def __init__(self, notes: Sequence[str]) -> None:
        """Keep the notes, in order, each once."""
        self.notes = tuple(dict.fromkeys(notes))
        super().__init__("; ".join(self.notes))


class MissingLibrary(Exception):
    """A system library that makes the PDF is not installed."""

    def __init__(self, name: str, packages: dict[str, str]) -> None:
        """`name` is the library, `packages` what to run on each system."""
        self.name = name
        self.packages = packages
        lines = [f"The PDF cannot be made: the system library {name} is missing. Install it:"]
        lines += [f"  {system}: {command}" for system, command in packages.items()]
        super().__init__("\n".join(lines))


def write(
    html: str,
    *,
    attachments: Sequence[Attachment] = (),
    identifier: str,
    archive: bool = False,
) -> bytes:
    """The PDF of one HTML document: tagged (PDF/UA-1), with form fields and attached files.

    `archive` leaves the fields as empty boxes and writes PDF/A-3a too. The same arguments
    give the same bytes. Attachments are (name, bytes, description); the identifier becomes the
    file's /ID. Raises `MissingLibrary` when a system library is not installed and
    `RenderingProblem` when the page would not be what was meant.
    """
    _library()
    options = ARCHIVE if archive else OPTIONS
    with _seldom_collected():
        return _painted(_laid_out(html, options), attachments, identifier, options)


@contextlib.contextmanager
def _seldom_collected() -> Iterator[None]:
    """Look for circular garbage seldom: a layout is hundreds of thousands of boxes that live to
    its end, and each search goes through all of them (a tenth of the time, for no memory)."""
    before = gc.get_threshold()
    gc.set_threshold(100_000, 50, 100)
    try:
        yield
    finally:
        gc.set_threshold(*before)


def _laid_out(html: str, options: dict[str, Any] = OPTIONS) -> Any:
    """The laid-out document; refuses one in which something that must stay whole is split."""
    from weasyprint import HTML

    with _log_as_problem():
        document = HTML(string=html, url_fetcher=_fetcher()).render(**options)
    if split := _split(document):
        raise RenderingProblem([f"{name} is taller than a page" for name in split])
    return document


def _painted(
    document: Any,
    attachments: Sequence[Attachment],
    identifier: str,
    options: dict[str, Any] = OPTIONS,
) -> bytes:
    """The bytes of a laid-out document."""
    import weasyprint

    date = _date(document.metadata.created)
    files = [
        weasyprint.Attachment(
            file_obj=io.BytesIO(content),
            name=name,
            description=description,
            created=date,
            modified=date,
            relationship="Source",
        )
        for name, content, description in attachments
    ]
    # WeasyPrint 70 leaves the archive's colour profile for Python to close.
    with _log_as_problem(), warnings.catch_warnings():
        warnings.simplefilter("ignore", ResourceWarning)
        made: bytes = document.write_pdf(
            attachments=files,
            pdf_identifier=identifier.encode(),
            finisher=conforming.finish,
            **options,
        )
    return ownership.seal_pdf(conforming.unambiguous(made))


def _split(document: Any) -> list[str]:
    """Names of the blocks marked `data-whole` that lie on more than one page."""
    seen: dict[Any, int] = {}
    split: dict[str, None] = {}
    for number, page in enumerate(document.pages):
        boxes = [page._page_box]
        while boxes:
            box = boxes.pop()
            boxes.extend(box.all_children())
            name = box.element.get("data-whole") if box.element is not None else None
            if name and seen.setdefault(box.element, number) != number:
                split[name] = None
    return list(split)


def _date(written: str | None) -> datetime:
    """The document's date at midnight UTC."""
    try:
        return datetime.fromisoformat(written or "").replace(tzinfo=UTC)
    except ValueError:
        return NO_DATE


def _library() -> Any:
    """WeasyPrint, or `MissingLibrary` when one of its system libraries cannot be loaded."""
    # It prints to standard output and warns before it fails; the exception says all of it.
    with contextlib.redirect_stdout(io.StringIO()), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            import weasyprint
            from weasyprint.text.ffi import harfbuzz_subset
        except OSError as error:
            raise MissingLibrary(_library_name(str(error)), PACKAGES) from error
    if harfbuzz_subset is None:
        raise MissingLibrary(LIBRARIES["harfbuzz-subset"], PACKAGES)
    return weasyprint


def _library_name(message: str) -> str:
    """The library that a failed load speaks of, in its usual name."""
    match = re.search(r"'([^']+)'", message)
    file = match[1] if match else message
    return next((name for stem, name in LIBRARIES.items() if stem in file), file)


def _fetcher() -> Any:
    """A fetcher that knows the packet's own fonts and refuses everything else."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class PackagedFonts(URLFetcher):  # type: ignore[misc]
        """Neither network nor disk: only files of `packets.fonts`."""

        def fetch(self, url: str, headers: dict[str, str] | None = None) -> Any:
            """The font asked for."""
            name = url.removeprefix(fonts.SCHEME)
            if name == url or name not in fonts.FILES:
                raise ValueError("a packet fetches nothing but its own fonts")
            return URLFetcherResponse(url, fonts.data(name), {"Content-Type": "font/ttf"})

    return PackagedFonts()


class _Collector(logging.Handler):
    """Keeps what WeasyPrint and fontTools warn of."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.notes: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one message."""
        self.notes.append(record.getMessage())


@contextlib.contextmanager
def _log_as_problem() -> Iterator[None]:
    """A warning in the log, or a fatal fetch, becomes a `RenderingProblem`."""
    from weasyprint.urls import FatalURLFetchingError

    collector = _Collector()
    loggers = [logging.getLogger(name) for name in ("weasyprint", "fontTools")]
    for logger in loggers:
        logger.addHandler(collector)
    try:
        yield
    except FatalURLFetchingError as error:  # a BaseException: nothing else would catch it
        raise RenderingProblem([*collector.notes, str(error)]) from error
    finally:
        for logger in loggers:
            logger.removeHandler(collector)
    if collector.notes:
        raise RenderingProblem(collector.notes)
