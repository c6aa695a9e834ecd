"""The structure tree of a PDF, read back."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pypdf


def kids(element: Any) -> list[Any]:
    """What a structure element holds: elements, object references, numbers of marked content."""
    held = element.get("/K", [])
    held = held.get_object() if hasattr(held, "get_object") else held
    return [one.get_object() for one in (held if isinstance(held, list) else [held])]


def below(element: Any) -> list[Any]:
    """The structure elements right below one."""
    return [one for one in kids(element) if isinstance(one, dict) and "/S" in one]


def elements(element: Any) -> Iterator[Any]:
    """A structure element and all below it, in reading order."""
    yield element
    for one in below(element):
        yield from elements(one)


def tree(reader: pypdf.PdfReader) -> list[Any]:
    """Every element of the document, in reading order."""
    root: Any = reader.trailer["/Root"]
    return list(elements(kids(root["/StructTreeRoot"])[0]))


def parents(reader: pypdf.PdfReader) -> dict[int, Any]:
    """The parent tree: elements by number of page or annotation."""
    root: Any = reader.trailer["/Root"]
    numbers = root["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    return dict(zip(numbers[::2], numbers[1::2], strict=True))
