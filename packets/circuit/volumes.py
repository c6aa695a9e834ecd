"""Volumes of parts and lines: lines from bore and length, parts as stated or estimated.

An estimate is a range. With the volume of the whole circuit, the parts that nobody stated share
what the stated ones leave, each in proportion to the middle of its range; without it they go by
the volume the charge has as liquid. Both are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from packets.circuit import kinds
from packets.model.circuits import CircuitPlan
from packets.model.hookups import LineSize, Section, Span, Volumes


def line_volume(size: LineSize) -> float:
    """Volume of a line [m3]: pi/4 x bore^2 x length, both [m].

    >>> round(line_volume(LineSize(bore=0.01, length=10.0)) * 1e3, 4)  # L
    0.7854
    """
    return math.pi / 4 * size.bore**2 * size.length


def volumes(
    circuit: CircuitPlan,
    lines: Mapping[str, LineSize],
    parts: Mapping[str, float] | None = None,
    charge_as_liquid: float | None = None,
    total: float | None = None,
    unsized: LineSize | None = None,
) -> Volumes:
    """Volume of each part and line that can be told [m3].

    Args:
        circuit: that has passed `check`.
        lines: bore and length of lines by name [m]; a name that is no line is ignored.
        parts: volumes that are stated, by part [m3].
        charge_as_liquid: charge divided by its liquid density [m3], to estimate parts by.
        total: internal volume of the whole circuit [m3]; wins over `charge_as_liquid`.
        unsized: the most that a line without a size is taken for; left out, it counts nothing.

    What cannot be told stands in `not_counted`. Estimates are out by a factor of two either way.
    """
    stated = {name: line_volume(size) for name, size in lines.items() if name in circuit.lines}
    stated |= {name: size for name, size in (parts or {}).items() if name in circuit.parts}
    found = {name: Span(size, size) for name, size in stated.items()}
    unsaid = [name for name in circuit.parts if name not in stated]
    bare = [name for name, line in circuit.lines.items() if name not in stated and not line.direct]
    estimated, assumed = _estimates(circuit, unsaid, sum(stated.values()), charge_as_liquid, total)
    found |= estimated
    unknown = [name for name in unsaid if name not in estimated]
    if bare and unsized is not None:
        estimated |= dict.fromkeys(bare, Span(0.0, line_volume(unsized)))
        found |= estimated
        assumed.append(f"lines without a size counted as {unsized.length:g} m at most")
    elif bare:
        assumed.append("lines without bore and length count nothing")
        unknown += bare
    return Volumes(found, tuple(estimated), tuple(unknown), tuple(assumed))


def _estimates(
    circuit: CircuitPlan,
    unsaid: Iterable[str],
    stated: float,
    charge: float | None,
    total: float | None,
) -> tuple[dict[str, Span], list[str]]:
    ranges = {name: kinds.kind(circuit.parts[name]).volume for name in unsaid}
    middle = sum((low + high) / 2 for low, high in ranges.values())
    if total is not None and middle > 0:
        scale = max(0.0, total - stated) / middle
        words = "parts share what the stated volumes leave of the whole, by their usual sizes"
    elif charge is not None:
        scale, words = charge, "parts estimated from the charge, by their usual sizes"
    else:
        return {}, []
    spans = {name: Span(low * scale, high * scale) for name, (low, high) in ranges.items()}
    if total is not None:
        most = max(0.0, total - stated)
        spans = {name: Span(span.low, min(span.high, most)) for name, span in spans.items()}
    return spans, [words]


def section_volume(found: Volumes, section: Section) -> Span:
    """Volume of a section [m3]; parts and lines that are not counted add nothing."""
    return found.of(section.elements)
