"""What the opened joints take of each size."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from packets.formatting import tube
from packets.model.numbers import Words
from packets.numbers.context import Context, JointAt

SOURCE = "counted from the joints that the job opens"


def add(context: Context) -> None:
    """Add load.flare_nuts, load.pipe_caps and load.vented_caps, how many of which size."""
    joints = context.joints
    flares = [joint.size for joint in joints if joint.kind == "flare"]
    # The pipe's end of each joint; at a compressor that is cut out its own stub besides.
    cut = {f"{part}." for part in context.hookups.cut}
    caps = [size for joint in joints for size in [joint.size] * _ends(joint, cut)]
    for id, label, sizes in (
        ("load.flare_nuts", "Flare nuts", flares),
        ("load.pipe_caps", "Pipe caps", caps),
        ("load.vented_caps", "Vented caps", _vents(context)),
    ):
        if sizes:
            context.register.add(Words(id, label, _counted(sizes), SOURCE))
        else:
            context.register.wait(id, context.key("joints"), "no such joint is opened")


def _ends(joint: JointAt, cut: Iterable[str]) -> int:
    return 2 if any(joint.key.startswith(part) for part in cut) else 1


def _vents(context: Context) -> list[float]:
    """Sizes of the tube ends and stubs that nitrogen leaves by: one cap of each, used again."""
    joints = tuple(context.joints)
    routes = [joint.step.route for joint in joints if joint.step]
    ends = {route.vent.end.joint for route in routes if route and route.vent.end}
    sizes = {joint.size for joint in joints if joint.step and joint.step.joint in ends}
    stubs = {
        step.joint for step in context.hookups.unbraze.steps if step.route and step.route.vent.end
    }
    return sorted(sizes | {joint.size for joint in joints if joint.key in stubs})


def _counted(sizes: Iterable[float]) -> str:
    """How many of each size, smallest first."""
    return ", ".join(
        f"{count} \N{MULTIPLICATION SIGN} {tube(size)}"
        for size, count in sorted(Counter(sizes).items())
    )
