"""Rules for readings: a limit beside the box, an instrument, and that on the load list."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packets.model.procedures import Fragment, Library, Reading, Step
from packets.numbers.ids import GRID, NUMBERS
from packets.wording.leads import can_be_out
from packets.wording.pieces import NAME, Path_, Problem, steps

# What a kit's instruments measure; the rest (a flow meter, a ruler) has no key in the kit.
MEASURED = frozenset(
    {
        "capacitance",
        "current",
        "gauge-pressure",
        "mass",
        "pressure-difference",
        "resistance",
        "temperature",
        "vacuum",
        "voltage",
    }
)
# What the tool that carries an instrument is called on a load list.
TOOLS = {
    "gauges.micron": r"micron gauge",
    "gauges.pressure": r"gauge set|pressure gauge|test gauge",
    "gauges.thermometer": r"thermometer",
    "gauges.meter": r"meter\b",
    "scale": r"scale",
}
LABEL_WORDS = 8


def _readings(fragment: Fragment) -> Iterator[tuple[Step, Reading, Path_]]:
    for step, path, _ in steps(fragment):
        for at, reading in enumerate(step.readings):
            yield step, reading, (*path, "readings", at)


def no_limit(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A quantity is written down and nothing on the page says whether it is good.

    Let off are: an entry to a table, what is read for or from a grid printed at the step, a reading
    whose label carries its expected value, one beside which another reading of the step is judged,
    and a total for the record (weighed, not judged).
    """
    entries = {r.limit.by for _, r, _ in _readings(fragment) if r.limit and r.limit.by}
    for step, reading, path in _readings(fragment):
        if not reading.quantity or reading.limit or reading.id in entries:
            continue
        judged = NUMBERS.get(step.table) == GRID
        judged = judged or any(can_be_out(other.limit) for other in step.readings)
        if judged or NAME.search(reading.label) or reading.quantity == "mass":
            continue
        yield Problem(
            path,
            f"{reading.id} is written down and judged by nothing",
            "give it a limit by number id, or a choice beside it",
        )


def no_instrument(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A quantity that the kit has an instrument for names it, or its step is not known."""
    for _, reading, path in _readings(fragment):
        if reading.quantity in MEASURED and not reading.with_:
            yield Problem(
                path, f"{reading.id} names no instrument", "e.g. `with: gauges.pressure`, or scale"
            )


def unlisted_tool(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """The instrument of a reading is among the fragment's tools, so that it gets loaded."""
    items = " | ".join(load.item for load in fragment.tools)
    told: set[str] = set()
    for _, reading, path in _readings(fragment):
        name = reading.with_.removeprefix("kit.")
        pattern = TOOLS.get(name)
        if pattern is None or name in told or re.search(pattern, items, re.IGNORECASE):
            continue
        told.add(name)
        yield Problem(
            path,
            f"{reading.id} is read with {name}, which is not among the tools",
            "add the instrument to tools",
        )


def long_label(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A label is a short noun phrase: it shares its line with the box and the limit."""
    for _, reading, path in _readings(fragment):
        words = len(reading.label.split())
        if words > LABEL_WORDS:
            yield Problem(
                (*path, "label"), f"a label of {words} words, {LABEL_WORDS} at most", "shorten it"
            )
