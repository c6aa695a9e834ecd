"""Nitrogen routes in words: where the gas goes in, where out, what is capped, how long first."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from packets.circuit import names
from packets.composing.texts import entry_text
from packets.formatting import System
from packets.model.circuits import CircuitPlan
from packets.model.hookups import Route, UnbrazeStep, ValveSetting
from packets.model.numbers import Entry, Words, WriteIn
from packets.model.packet import RouteBlock

NONE = "as they stand"  # printed where there is nothing to cap
BLANK = "_" * 12  # and where only the machine can tell


def entries(
    circuit: CircuitPlan, route: Route | None, already: Collection[ValveSetting] = ()
) -> tuple[Entry, ...]:
    """The joint.* texts of a route, none for a joint that needs no gas. Valves that stand
    `already` as the route wants them are not set again."""
    if route is None:
        return ()
    texts = {
        "inlet": names.inlet(circuit, route.inlet),
        "vent": names.vent(circuit, route.vent),
        "caps": names.joined([names.end(circuit, end) for end in route.caps]) or NONE,
        "valves": names.joined(
            [names.set_valve(circuit, one) for one in route.valves if one not in already]
        ),
        "share": "" if route.sole else f"{route.share.low:.0%} of the gas or more",
    }
    return tuple(Words(f"joint.{key}", key, text, "worked out") for key, text in texts.items())


def block(own: Mapping[str, Entry], units: System) -> RouteBlock | None:
    """The route of a repetition as it is printed; None for a joint that needs no gas."""
    if "joint.inlet" not in own:
        return None

    def text(key: str) -> str:
        entry = own.get(f"joint.{key}")
        if entry is None:
            return ""
        if isinstance(entry, WriteIn):
            return f"({entry.read})" if key.startswith("sweep_") else BLANK
        return entry_text(entry, units)

    return RouteBlock(
        text("inlet"),
        text("vent"),
        text("caps"),
        text("sweep_time"),
        text("valves"),
        text("share"),
        text("sweep_flow"),
    )


def of_stub(circuit: CircuitPlan, step: UnbrazeStep) -> tuple[Entry, ...]:
    """The joint.* texts of a joint that is taken apart hot."""
    name = Words("joint.name", "joint", names.joint(circuit, step.joint), "worked out")
    return (name, *entries(circuit, step.route, step.route.valves if step.route else ()))
