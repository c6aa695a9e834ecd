"""The one door to the saturation tables that come with the package.

`packets.formulas.saturation` holds the mathematics, `packets.tables.make_saturation` wrote the
files. Nothing here knows a chart published by the user: that becomes a `SaturationTable` by
`SaturationTable.from_chart`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from packets.formulas.saturation import SaturationTable
from packets.locating import tables

# What `checked_against` says where no published figure was at hand.
MODEL_ONLY = "model only"
_FORMAT = "saturation-table/1"
_REFUSED = "refused.json"
_REFUSED_FORMAT = "saturation-refused/1"


class NoTable(LookupError):
    """No table for this refrigerant; the message says why or names the nearest."""

    def __init__(self, name: str, reason: str) -> None:
        self.name = name
        self.reason = reason
        super().__init__(f"{name}: {reason}")


@dataclass(frozen=True)
class SaturationData:
    """One refrigerant's table and what is known about the table.

    `composition` is percent by mass, and how sure that is stands beside it. `confidence` is
    that of the figures: `computed` with the library named in `source`, or `memory` where the
    composition itself is from memory (say so where the figures are printed).
    `checked_against` tells what the model was held against and how far it was off, or "model
    only". `critical_temperature` is in K.
    """

    name: str
    table: SaturationTable
    composition: Mapping[str, float]
    composition_source: str
    composition_confidence: str
    critical_temperature: float
    source: str
    confidence: str
    checked_against: str

    @property
    def ground(self) -> str:
        """What the figures stand on, in words for the packet."""
        made_up = "; composition from memory" if self.composition_confidence == "memory" else ""
        if self.checked_against == MODEL_ONLY:
            return (
                f"{self.source}{made_up}; held against no published figure, only the model stands"
                " behind it: compare one pressure with the maker's chart before use"
            )
        return f"{self.source}{made_up}; checked against: {self.checked_against}"


@cache
def names() -> tuple[str, ...]:
    """The refrigerants that have a table, in plain order."""
    return tuple(sorted(path.stem for path in _folder().glob("R-*.json")))


@cache
def load(name: str) -> SaturationData:
    """The table of a refrigerant by its usual designation, as "R-448A".

    Raises:
        NoTable: no such table; for a refrigerant in `refused()` with that reason.
        ValueError: a damaged file.
    """
    if name not in names():
        raise NoTable(name, refused().get(name) or _unknown(name))
    content = _read(f"{name}.json", _FORMAT)
    return SaturationData(
        name=name,
        table=SaturationTable(
            temperatures=content["temperature_K"],
            bubble_pressures=content["bubble_pressure_Pa"],
            dew_pressures=content["dew_pressure_Pa"],
            liquid_densities=content["liquid_density_kg_m3"],
            vapor_densities=content["vapor_density_kg_m3"],
        ),
        composition=MappingProxyType(content["composition_mass_percent"]),
        composition_source=content["composition_source"],
        composition_confidence=content["composition_confidence"],
        critical_temperature=content["critical_temperature_K"],
        source=content["source"],
        confidence=content["confidence"],
        checked_against=content["checked_against"],
    )


def refused() -> dict[str, str]:
    """Refrigerants that are known but have no sound model, each with the reason."""
    rows = _read(_REFUSED, _REFUSED_FORMAT)["refrigerants"]
    return {name: row["reason"] for name, row in rows.items()}


def _folder() -> Path:
    return tables() / "saturation"


@cache
def _read(file: str, form: str) -> dict[str, Any]:
    content: dict[str, Any] = json.loads((_folder() / file).read_text(encoding="utf-8"))
    if content.get("format") != form:
        raise ValueError(f"{file}: format {content.get('format')!r}, expected {form!r}")
    return content


def _unknown(name: str) -> str:
    import difflib  # only on the way to an error message

    near = difflib.get_close_matches(name, names(), n=1)
    return "no saturation table" + (f"; did you mean {near[0]}?" if near else "")


def same_name(one: str, other: str) -> bool:
    """Whether two spellings mean one refrigerant: R134a, r-134a and R-134a do."""
    return _bare(one) == _bare(other)


def _bare(name: str) -> str:
    return "".join(c for c in name.upper() if c.isalnum()).removeprefix("R")
