"""What parts do to gas, for the replay: written down again, not taken from the planner."""

from __future__ import annotations

from packets.model.circuits import CircuitPart

# Way with the flow, way against it; "open" means only while open.
PASSES = {
    "compressor": ("yes", "no"),
    "check-valve": ("yes", "no"),
    "solenoid": ("open", "yes"),
    "service-valve": ("open", "open"),
    "ball-valve": ("open", "open"),
    "pressure-regulator": ("open", "open"),
    "metering": ("yes", "yes"),
}
FOUND = {
    "solenoid": ("closed",),
    "service-valve": ("open",),
    "ball-valve": ("open",),
    "pressure-regulator": ("closed",),
}
TOOLS = {
    "solenoid": "magnet",
    "service-valve": "stem",
    "ball-valve": "stem",
    "pressure-regulator": "adjuster",
}
CROSSED = {
    "cooling": (("discharge", "outdoor"), ("indoor", "suction")),
    "heating": (("discharge", "indoor"), ("outdoor", "suction")),
}


def rule(part: CircuitPart) -> tuple[str, str]:
    """Whether gas passes with the flow and against it."""
    if part.passes is not None:
        words = {"yes": "yes", "no": "no", "only-if-open": "open"}
        return words[part.passes.forward], words[part.passes.back]
    if part.kind == "metering" and part.device == "eev":
        return "open", "open"
    return PASSES.get(part.kind, ("yes", "yes"))


def states(part: CircuitPart) -> dict[str, bool]:
    """States and whether each is open."""
    if part.states:
        return {name: state.open for name, state in part.states.items()}
    if part.kind == "reversing-valve":
        return dict.fromkeys(CROSSED, True)
    return {"open": True, "closed": False} if "open" in rule(part) else {}


def found(part: CircuitPart) -> tuple[str, ...]:
    """The states a part may be found in."""
    if part.stands:
        return part.stands
    if part.kind == "reversing-valve" and not part.states:
        return tuple(CROSSED)
    if part.kind == "metering" and part.device == "eev":
        return ("closed", "open")
    return FOUND.get(part.kind) or tuple(states(part))[:1]


def tool(part: CircuitPart) -> str:
    """What sets it with the power off."""
    if part.set_with:
        return part.set_with.replace("nothing", "")
    if part.kind == "metering" and part.device == "eev":
        return "driver"
    return TOOLS.get(part.kind, "")
