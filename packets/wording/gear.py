"""A thing that a step or its caution tells people to use is on the fragment's lists."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packets.model.procedures import Fragment, Library, Step
from packets.wording.pieces import Path_, Problem, steps

# Words of a step that are gear, and what the thing is called on a load list. Only words that mean
# the thing itself wherever they stand: "valve", "hose" and "gauge" alone are parts of the machine
# or say where to read.
GEAR = {
    r"acid (?:test|kit)": r"acid test kit",
    r"acid(?:-rated)? drier": r"acid-rated drier",
    r"\baprons?\b": r"apron",
    r"\bblanket\b": r"blanket",
    r"bubble solution": r"bubble",
    r"clean rag\b": r"rags",
    r"core tools?\b": r"core tool",
    r"detector held|the detector\b|detector a hand": r"detector",
    r"\bexhaust led": r"exhaust hose",
    r"\bextinguisher\b": r"extinguisher",
    r"\bfan on\b": r"\bfan\b",
    r"flow meter": r"flow meter",
    r"\bgoggles\b": r"goggles",
    r"heat shield": r"heat shield",
    r"insulated probes": r"insulated probes",
    r"\blamp\b": r"lamp",
    r"leak detector": r"leak detector",
    r"lifting gear": r"lifting gear",
    r"lined gloves": r"lined gloves",
    r"\bmagnet\b(?! off)": r"magnet",
    r"measuring can": r"measuring can",
    r"micron gauge": r"micron gauge",
    r"\bmirror\b": r"mirror",
    r"new lug\b": r"lugs",
    r"\bnitrogen (?:in\b|at\b|into\b)|trickle nitrogen|feed nitrogen": r"regulator",
    r"oxygen meter": r"oxygen meter",
    r"\bpump (?:down|to)\b|\bthe pump\b|\bpump and\b": r"vacuum pump",
    r"rated gloves": r"rated gloves",
    r"recovery machine": r"recovery machine",
    r"rotation meter": r"rotation meter",
    r"rubber gloves": r"rubber gloves",
    r"discharge resistor|the resistor": r"discharge resistor",
    r"temporary control switch": r"temporary control switch",
    r"test gas": r"test gas",
    r"tube cutter": r"tube cutter",
    r"two wrenches": r"wrenches",
    r"vented cap": r"vented caps",
    r"water hose": r"water hose",
    r"wet rags": r"wet rags",
}


def unlisted(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A step names a thing to use that nobody was told to load."""
    items = " | ".join(load.item for load in (*fragment.tools, *fragment.materials))
    told: set[str] = set()
    for step, path, _ in steps(fragment):
        for text, where in _orders(step, path, library):
            for word, listed in GEAR.items():
                found = re.search(word, text, re.IGNORECASE)
                if not found or word in told or re.search(listed, items, re.IGNORECASE):
                    continue
                told.add(word)
                yield Problem(
                    where,
                    f"{found.group(0)!r} is used here and is not among the tools and materials",
                    "add it to tools or materials",
                )


def _orders(step: Step, path: Path_, library: Library) -> Iterator[tuple[str, Path_]]:
    """What a step and its cautions tell people to do, and the words it gives to ring."""
    for part in ("action", "again", "if_out"):
        yield getattr(step, part), (*path, part)
    for at, reading in enumerate(step.readings):
        yield reading.label, (*path, "readings", at, "label")
    for at, name in enumerate(step.caution):
        if name in library.cautions.cautions:
            yield library.cautions.cautions[name].avoidance, (*path, "caution", at)
