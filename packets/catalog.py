"""The standard work by id: ours, with a shop's own folder laid over it.

Same kind and id replaces whole; a new id adds. Every object keeps the document it came from, so
that a finding can name its line, and its origin, so that the packet can say whose it is.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, TypeVar

from packets import locating, sources, validation
from packets.building import build
from packets.findings import Findings, Place, suggest
from packets.model.procedures import (
    Acts,
    Card,
    Cautions,
    CircuitPlan,
    Facts,
    Fragment,
    Library,
    Rules,
    WorkItem,
)
from packets.sources import Document

T = TypeVar("T")

OURS = "shipped"
_SINGLE = ("facts", "acts", "work", "cautions", "card")


@dataclass
class Catalog:
    """The library and, for each of its files, the document behind it."""

    library: Library
    documents: dict[tuple[str, str], Document] = field(default_factory=dict)
    # Ids of all circuits and rules that there are, read or not.
    known: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def place(self, kind: str, name: str, *path: str | int) -> Place:
        """Place of something inside a file of the library."""
        document = self.documents.get((kind, name))
        return document.place(*path) if document else Place(name)


@dataclass(frozen=True)
class _Root:
    folder: Path
    shown: str
    origin: str


def load(
    findings: Findings,
    shop: Path | None = None,
    circuits: set[str] | None = None,
    rules: set[str] | None = None,
) -> Catalog | None:
    """Load the standard work, with the folder `shop` laid over ours.

    Only the named circuits and rules are read (all of them when None). None when anything is
    wrong; the problems are in `findings`.
    """
    roots = [_Root(locating.procedures(), "procedures", OURS)]
    if shop is not None:
        if not _is_folder(shop):
            findings.error("folder-missing", Place(str(shop)), "no such folder", "name a folder")
            return None
        name = shop.resolve().name
        roots.append(_Root(shop, str(shop), f"{name}-shop" if name in ("", OURS) else name))
    reader = _Reader(findings)
    parts = {name: reader.single(roots, name) for name in _SINGLE}
    fragments = reader.many(roots, "", "fragment", "fragment", Fragment, None)
    plans = reader.many(roots, "circuits", "circuit", "circuit", CircuitPlan, circuits)
    laws = reader.many(roots, "rules", "rules", "rules", Rules, rules)
    if findings.stop or any(part is None for part in parts.values()):
        return None
    library = Library(
        facts=build(Facts, parts["facts"]),
        acts=build(Acts, parts["acts"]),
        work={name: build(WorkItem, item) for name, item in parts["work"]["work"].items()},
        fragments=dict(sorted(fragments.items())),
        cautions=build(Cautions, parts["cautions"]),
        card=build(Card, parts["card"]),
        circuits=plans,
        rules=laws,
    )
    return Catalog(library, reader.documents, reader.known)


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False


# Files of ours that passed, by path, kind and stamp. Nothing changes what it is given of them.
_GOOD: dict[tuple[Path, str, tuple[int, int]] | None, tuple[Document, Any]] = {}


def _stamp(path: Path) -> tuple[int, int]:
    """When a file was last written [ns] and its size [bytes]: another, and it is read again."""
    try:
        status = path.stat()
    except OSError:
        return 0, 0
    return status.st_mtime_ns, status.st_size


@dataclass
class _Reader:
    findings: Findings
    documents: dict[tuple[str, str], Document] = field(default_factory=dict)
    known: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def data(self, path: Path, shown: str, kind: str, root: _Root) -> tuple[Document, Any] | None:
        """A file that is good; one of ours is read once for all the jobs of a process."""
        key = (path, kind, _stamp(path)) if root.origin == OURS else None
        if key in _GOOD:
            return _GOOD[key]
        read = self.read(path, shown, kind)
        if key is not None and read is not None:
            _GOOD[key] = read
        return read

    def read(self, path: Path, shown: str, kind: str) -> tuple[Document, Any] | None:
        document = sources.read(path, shown, self.findings)
        if document is None:
            return None
        data = validation.validate(document, kind, self.findings)
        if data is None:
            return None
        data.pop("format")
        return document, data

    def single(self, roots: list[_Root], name: str) -> Any:
        """A file there is one of; the last root that has it wins."""
        root = next(
            r for r in reversed(roots) if r is roots[0] or (r.folder / f"{name}.yaml").exists()
        )
        found = self.data(root.folder / f"{name}.yaml", f"{root.shown}/{name}.yaml", name, root)
        if found is None:
            return None
        if root is not roots[0]:
            self.replaced(found[0])
        self.documents[(name, name)] = found[0]
        return found[1]

    def many(
        self,
        roots: list[_Root],
        folder: str,
        kind: str,
        key: str,
        cls: type[T],
        wanted: set[str] | None,
    ) -> dict[str, T]:
        """Files of one kind by id; a later root's file replaces ours of the same id."""
        found: dict[str, T] = {}
        for root in roots:
            paths = sorted((root.folder / folder).glob("*.yaml"))
            self.known[kind] = (*self.known.get(kind, ()), *(path.stem for path in paths))
            for path in paths:
                if (not folder and path.stem in _SINGLE) or (
                    wanted is not None and path.stem not in wanted
                ):
                    continue
                shown = "/".join(part for part in (root.shown, folder, path.name) if part)
                read = self.data(path, shown, kind, root)
                if read is None:
                    continue
                document, data = read
                if data[key] != path.stem:
                    self.findings.error(
                        "file-name",
                        document.place(key),
                        f"{kind} {data[key]!r} stands in {path.name}",
                        f"name the file {data[key]}.yaml",
                    )
                    continue
                if not within(root.folder, path):
                    self.findings.error(
                        "reference-outside",
                        document.place(),
                        f"{path.name} leads out of the folder",
                        "keep the file itself in the folder",
                    )
                    continue
                item = build(cls, data)
                if path.stem in found and not isinstance(item, Fragment):
                    self.replaced(document)
                if isinstance(item, Fragment):
                    self.overlaid(item, found.get(path.stem), root, document)  # type: ignore[arg-type]
                    item = replace(item, origin=root.origin)
                found[path.stem] = item
                self.documents[(kind, path.stem)] = document
        return found

    def replaced(self, document: Document) -> None:
        """A shop's file that stands in for one of ours is said on the dispatch sheet."""
        self.findings.warn(
            "overlay-file",
            document.place(),
            f"{document.file} replaces ours",
            "check that it asks no less than ours",
        )

    def overlaid(
        self, new: Fragment, old: Fragment | None, root: _Root, document: Document
    ) -> None:
        """A shop's fragment names the revision of ours that it was written from."""
        if root.origin == OURS or (old is None and not new.replaces):
            return
        if old is None:
            self.findings.warn(
                "overlay-nothing",
                document.place("replaces"),
                f"{new.fragment} replaces nothing of ours",
                "leave `replaces` out",
            )
        elif new.replaces != old.revision:
            self.findings.warn(
                "overlay-stale",
                document.place("replaces") if new.replaces else document.place(),
                f"{new.fragment} was written from revision {new.replaces or '?'},"
                f" ours is now {old.revision}",
                f"compare the two, then write `replaces: {old.revision}`",
            )


def within(folder: Path, path: Path) -> bool:
    """Whether a file, links followed, lies in the folder."""
    try:
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):
        return False


def unknown(kind: str, name: str, known: dict[str, Any], place: Place, findings: Findings) -> None:
    """Finding for an id that nothing carries."""
    findings.error(f"unknown-{kind}", place, f"no {kind} is called {name!r}", suggest(name, known))
