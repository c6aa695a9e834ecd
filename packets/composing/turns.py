"""What a repeated group or reading is repeated for, and the values its text may name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from packets import numbers
from packets.composing import port_turns, routes
from packets.composing.texts import Own
from packets.expressions import Value
from packets.formatting import tube
from packets.model.numbers import Entry, Number, Rounding, Words
from packets.numbers import purge, sweeps, torque

# Which joints a word repeats for: those of parts, those that the job names, or both.
JOINTS = {"joints": (False, True), "part-joints": (False,), "named-joints": (True,)}


@dataclass(frozen=True)
class Turn:
    """One repetition: its id in field names, its heading ("" for none), its own entries, and the
    circumstances that hold for it alone."""

    id: str
    title: str = ""
    own: Own = field(default_factory=dict)
    values: Mapping[str, Value | None] = field(default_factory=dict)


def turns(what: str, lists: numbers.Lists, step: float) -> list[Turn]:
    """The repetitions of `what`; weights are shown in the scale's `step` [kg]."""
    if what in JOINTS:
        return _joints([plan for plan in lists.joints if plan.joint.named in JOINTS[what]], lists)
    if what == "recovery-cylinders":
        return [
            Turn(
                f"cylinder-{at}",
                "" if len(lists.recovery) == 1 else f"Cylinder {filling.cylinder.id}",
                _entries(
                    _words("cylinder.id", filling.cylinder.id),
                    _mass("cylinder.tare", filling.cylinder.tare.value, step),
                    _mass("cylinder.start", filling.start, step),
                    _mass("cylinder.stop", filling.stop, step, "down"),
                    _mass("cylinder.end", filling.start + filling.takes, step),
                ),
                {"first_cylinder": at == 1},
            )
            for at, filling in enumerate(lists.recovery, 1)
        ]
    if what == "charging-cylinders":
        return [
            Turn(
                f"cylinder-{at}",
                "" if len(lists.charging) == 1 else f"Cylinder {draw.cylinder.id}",
                _entries(
                    _words("cylinder.id", draw.cylinder.id),
                    _mass("cylinder.start", draw.start, step),
                    _mass("cylinder.stop", draw.stop, step),
                    _mass("cylinder.take", draw.takes, step),
                ),
                {"first_cylinder": at == 1},
            )
            for at, draw in enumerate(lists.charging, 1)
        ]
    if what == "unbraze":
        return _unbraze(lists)
    if what in port_turns.LISTS:
        return [
            Turn(id, "", _entries(*(_words(name, text) for name, text in own.items())))
            for id, own in port_turns.of(what, lists.hookups)
        ]
    if what == "purge-cycles":
        return _counted("cycle", lists.purge_cycles)
    return _counted("break", lists.breaks)


def _counted(what: str, count: int) -> list[Turn]:
    """As many turns, each with its number."""
    return [
        Turn(f"{what}-{at}", "", _entries(_words(f"{what}.number", f"{at} of {count}")))
        for at in range(1, count + 1)
    ]


def _joints(plans: Sequence[purge.JointPlan], lists: numbers.Lists) -> list[Turn]:
    count = len(plans)
    made = []
    for at, plan in enumerate(plans, 1):
        joint = plan.joint
        route = joint.step.route if joint.step else None
        own = _entries(
            _words("joint.name", joint.name),
            _words("joint.size", tube(joint.size)),
            _words("joint.filler", plan.filler),
            _words("joint.flux", plan.flux),
            _words("joint.metals", " to ".join(joint.metals).replace("-", " ")),
            _words("joint.order", str(at)),
            Words("joint.torque", "joint.torque", plan.torque, torque.source_of(plan.torque)),
            *plan.torque_ends,
            *routes.entries(lists.hookups.made, route, lists.hookups.recovery.valves),
            *sweeps.entries(plan.sweep),
        )
        title = f"Joint {at} of {count}: {joint.name}, {tube(joint.size)}"
        if joint.step and joint.step.in_the_open and route is not None:
            title += ", far end free"
        values = {
            "flare_joint": joint.kind == "flare",
            "brazed_joint": joint.kind == "brazed",
            "capped_outlet": route is not None and route.vent.end is not None,
        }
        made.append(Turn(joint.key.replace(".", "-"), title, own, values))
    return made


def _unbraze(lists: numbers.Lists) -> list[Turn]:
    """One turn a stub, in the order that keeps hands clear of hot copper."""
    circuit = lists.hookups.found
    return [
        Turn(
            step.joint.replace(".", "-"),
            "",
            _entries(
                *routes.of_stub(circuit, step),
                *sweeps.entries(lists.stub_sweeps.get(step.joint)),
            ),
        )
        for step in lists.hookups.unbraze.steps
    ]


def _entries(*entries: Entry) -> Own:
    return {entry.id: entry for entry in entries}


def _words(id: str, text: str) -> Words:
    return Words(id, id, text, "")


def _mass(id: str, value: float, step: float, way: Rounding = "nearest") -> Number:
    return Number(id, id, "mass", value, way, "", "", (), "kit", "given", step)
