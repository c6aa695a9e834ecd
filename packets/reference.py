"""The reference tables shipped with the package: rows of plain numbers, each with its source."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, cast

from packets import locating, sources
from packets.findings import Findings
from packets.model.numbers import Confidence


@dataclass(frozen=True)
class Source:
    """Where a row's figures stand, and how sure we are of them."""

    text: str
    confidence: Confidence


@dataclass(frozen=True)
class Table:
    """A reference table. Numeric columns carry their unit as the key's suffix."""

    name: str
    title: str
    rows: tuple[dict[str, Any], ...]
    sources: dict[str, str]

    def find(self, **wanted: object) -> dict[str, Any] | None:
        """The first row whose columns equal what is wanted."""
        for row in self.rows:
            if all(row.get(key) == value for key, value in wanted.items()):
                return row
        return None

    def source(self, row: dict[str, Any]) -> Source:
        """Source and confidence of a row or of a group of figures inside one."""
        confidence = cast(Confidence, row["confidence"])
        return Source(self.sources[row["source"]], confidence)


@cache
def table(name: str) -> Table:
    """Read a shipped table by name. A fault in it is a fault of ours: ValueError."""
    findings = Findings()
    document = sources.read(locating.tables() / f"{name}.yaml", f"tables/{name}.yaml", findings)
    if document is None:
        raise ValueError("; ".join(str(item) for item in findings))
    data = document.data
    texts = {key: " ".join(str(item["text"]).split()) for key, item in data["sources"].items()}
    return Table(name, data["title"], tuple(data["rows"]), texts)
