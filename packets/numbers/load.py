"""What the opened joints take of each size, and which nitrogen cylinders go on the van."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from packets.formatting import tube
from packets.formulas import nitrogen
from packets.model.kit import NitrogenCylinder
from packets.model.numbers import Words
from packets.numbers.context import Context, JointAt
from packets.quantities import CUBIC_FOOT

SOURCE = "counted from the joints that the job opens"


def add(context: Context) -> None:
    """Add load.flare_nuts, load.pipe_caps and load.vented_caps, how many of which size; and
    nitrogen.cylinders."""
    joints = context.joints
    flares = [joint.size for joint in joints if joint.kind == "flare"]
    # The pipe's end of each joint; at a compressor that is cut out its own stub besides.
    cut = {f"{part}." for part in context.hookups.cut}
    caps = [size for joint in joints for size in [joint.size] * _ends(joint, cut)]
    for id, label, sizes in (
        ("load.flare_nuts", "Flare nuts", flares),
        ("load.pipe_caps", "Pipe caps", caps),
        ("load.vented_caps", "Vented caps", _vents(joints)),
    ):
        if sizes:
            context.register.add(Words(id, label, _counted(sizes), SOURCE))
        else:
            context.register.wait(id, context.key("joints"), "no such joint is opened")
    needed = context.register.number("nitrogen.needed")
    if needed is not None:
        text = _cylinders(context, needed.value)
        context.register.add(Words("nitrogen.cylinders", "Nitrogen to load", text, "kit"))


def _cylinders(context: Context, needed: float) -> str:
    """The kit's fullest cylinders that together hold what is needed [m3, standard]."""
    air = context.atmosphere

    def left(one: NitrogenCylinder) -> float:
        full, now = one.full_pressure.value + air, one.pressure.value + air
        return nitrogen.content_left(one.volume.value, full, now)

    taken: list[NitrogenCylinder] = []
    for one in sorted(context.kit.nitrogen, key=left, reverse=True):
        if sum(map(left, taken)) < needed:
            taken.append(one)
    # Cylinders go by whole cubic feet or litres.
    step = CUBIC_FOOT if context.units == "ip" else 1e-3
    shown = Counter(context.shown(one.volume.value, "volume", step=step) for one in taken)
    words = (f"{count} cylinder{'s' if count > 1 else ''} of {of}" for of, count in shown.items())
    return " and ".join(words)


def _ends(joint: JointAt, cut: Iterable[str]) -> int:
    return 2 if any(joint.key.startswith(part) for part in cut) else 1


def _vents(joints: Iterable[JointAt]) -> list[float]:
    """Sizes of the pipe ends that nitrogen leaves by: one cap of each, it is used again."""
    joints = tuple(joints)
    routes = [joint.step.route for joint in joints if joint.step]
    ends = {route.vent.end.joint for route in routes if route and route.vent.end}
    return sorted({joint.size for joint in joints if joint.step and joint.step.joint in ends})


def _counted(sizes: Iterable[float]) -> str:
    """How many of each size, smallest first."""
    return ", ".join(
        f"{count} \N{MULTIPLICATION SIGN} {tube(size)}"
        for size, count in sorted(Counter(sizes).items())
    )
