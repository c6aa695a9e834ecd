"""Whether what a fragment takes apart, adds, draws and reads can be done and written down."""

from __future__ import annotations

from collections.abc import Iterator

from packets.catalog import Catalog
from packets.findings import Findings
from packets.model.procedures import Fragment, Reading, Step

Path_ = tuple[str | int, ...]
# Code, path in the fragment's file, message, fix.
Fault = tuple[str, Path_, str, str]

# Groups of steps that stand at one joint, so that a nitrogen route can be printed there.
AT_A_JOINT = ("joints", "part-joints", "named-joints", "unbraze")
# Kinds of part that stand in one line by themselves.
IN_LINE = (
    "accumulator", "ball-valve", "check-valve", "filter-drier", "muffler", "pressure-regulator",
    "receiver", "service-valve", "sight-glass", "solenoid", "suction-drier",
)  # fmt: skip
# What each word of `feeds` must be written as; the record reckons with it.
FEEDS = {
    "recovered": "mass", "charged": "mass", "recovery-start": "mass", "recovery-end": "mass",
    "charge-start": "mass", "charge-end": "mass", "hold-start-clock": "clock",
    "hold-end-clock": "clock", "hold-start-temperature": "temperature",
    "hold-end-temperature": "temperature", "hold-start-pressure": "gauge-pressure",
    "hold-end-pressure": "gauge-pressure", "rise": "vacuum", "suction-pressure": "gauge-pressure",
    "liquid-pressure": "gauge-pressure", "suction-line": "temperature",
    "liquid-line": "temperature", "voltage": "voltage", "visit": "date",
}  # fmt: skip
# What each instrument of the kit shows.
SHOWS = {
    "gauges.micron": ("vacuum",),
    "gauges.pressure": ("gauge-pressure", "absolute-pressure", "pressure-difference"),
    "gauges.thermometer": ("temperature", "temperature-difference"),
    "gauges.torque_wrench": ("torque",),
    "scale": ("mass",),
}


def check(catalog: Catalog, findings: Findings) -> None:
    """Add a finding for each fault of each fragment, at its line."""
    for name, fragment in catalog.library.fragments.items():
        for code, path, message, fix in (*_parts(fragment), *_steps(fragment)):
            findings.error(code, catalog.place("fragment", name, *path), message, fix)


def _parts(fragment: Fragment) -> Iterator[Fault]:
    """Parts added or unbrazed are made again here, and what is taken apart is opened."""
    name, seen = fragment.fragment, set[str]()
    for at, new in enumerate(fragment.adds):
        path = ("adds", at)
        if new.part in seen:
            yield "added-twice", path, f"{new.part} is added twice", "add it once"
        seen.add(new.part)
        if new.kind not in IN_LINE:
            kinds = ", ".join(IN_LINE)
            message = f"{new.part} is a {new.kind}, which does not stand in one line by itself"
            yield "added-kind", (*path, "kind"), message, f"kinds that do: {kinds}"
        if new.before.partition(".")[0] == new.part:
            message = f"{new.part} stands before itself"
            yield "added-before", (*path, "before"), message, "name another part's port"
    taken = {"adds": [new.part for new in fragment.adds], "unbrazes": fragment.unbrazes}
    for key, parts in taken.items():
        for at, part in enumerate(parts):
            if part not in fragment.remakes:
                message = f"{name} {key} {part}, and its joints are never made again"
                yield "not-remade", (key, at), message, f"add {part} to remakes"
    for key, act in (("remakes", "opens"), ("remakes_joints", "opens"), ("unbrazes", "heats")):
        if getattr(fragment, key) and act not in fragment.acts:
            message = f"{name} {key.replace('_', ' ')} and does not own up to it"
            yield "act-undeclared", (key,), message, f"add {act} to acts"


def _steps(fragment: Fragment) -> Iterator[Fault]:
    for at, step in enumerate(fragment.steps):
        yield from _step(step, "", ("steps", at))
        for inner, sub in enumerate(step.steps):
            yield from _step(sub, step.for_each, ("steps", at, "steps", inner))


def _step(step: Step, repeats: str, path: Path_) -> Iterator[Fault]:
    if step.route and repeats not in AT_A_JOINT:
        message = f"step {step.id} stands at no joint, so no nitrogen route can be printed"
        fix = f"put it into a group repeated for {' or '.join(AT_A_JOINT)}, or leave route out"
        yield "route-no-joint", (*path, "route"), message, fix
    seen: set[str] = set()
    for at, reading in enumerate(step.readings):
        place = (*path, "readings", at)
        if reading.id in seen:
            message = f"reading {reading.id!r} stands twice"
            yield "reading-twice", (*place, "id"), message, "give each reading its own id"
        seen.add(reading.id)
        yield from _reading(reading, place)


def _reading(reading: Reading, path: Path_) -> Iterator[Fault]:
    written = reading.quantity or reading.kind or "words"
    if reading.quantity and reading.kind:
        message = f"{reading.id!r} is a {reading.quantity} and a {reading.kind}"
        yield "reading-kind", (*path, "kind"), message, "keep one of quantity and kind"
    wanted = FEEDS.get(reading.feeds, written)
    if written != wanted:
        message = f"{reading.feeds} is written as {wanted}, {reading.id!r} is {written}"
        yield "feeds-kind", (*path, "feeds"), message, f"write {wanted}, or leave feeds out"
    shows = SHOWS.get(reading.with_.removeprefix("kit."))
    if shows and reading.quantity and reading.quantity not in shows:
        message = f"{reading.with_} shows no {reading.quantity}"
        yield "instrument-kind", (*path, "with"), message, f"it shows {', '.join(shows)}"
    choice = reading.limit.choice if reading.limit else ()
    if len(set(choice)) < len(choice):
        yield "choice-twice", (*path, "limit", "choice"), "a word to ring stands twice", "keep one"
