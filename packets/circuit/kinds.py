"""What each kind of part does to gas unless its circuit file says otherwise.

Flow resistance is in metres of tube of 8 mm bore with the same laminar resistance (length times
(8 mm / bore)^4): 5 scfh in 3/8 in. tube has a Reynolds number of about 350. The figures are
estimates that order routes and split flows; the odds of a split are given four times either way.
Volumes are multiples of the volume the whole charge has as liquid. Both: common practice, no
source; they give way to what the equipment record states.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from packets.model.circuits import CircuitPart, Passes, ValveState

BOTH = Passes("yes", "yes")
FORWARD = Passes("yes", "no")
IF_OPEN = Passes("only-if-open", "only-if-open")

OPEN_SHUT = {"open": ValveState(), "closed": ValveState(open=False)}
_CROSSED = {
    "cooling": ValveState(joins=(("discharge", "outdoor"), ("indoor", "suction"))),
    "heating": ValveState(joins=(("discharge", "indoor"), ("outdoor", "suction"))),
}

# Resistance above which nitrogen at a brazing trickle stands under pressure upstream: 2 scfh makes
# about 2.7 Pa a metre, so 3.5 kPa (0.5 psi). Only a capillary tube comes near it.
THROTTLE = 1300.0


@dataclass(frozen=True)
class Kind:
    """A kind of part. `in_line`: light enough to be brazed before it is pushed home.

    `vapor_space`: holds vapor in service, so liquid beside it can spread. `shuts_itself`: may be
    shut though nobody set it.
    """

    passes: Passes = BOTH
    resistance: float = 0.1
    volume: tuple[float, float] = (0.0, 0.02)
    in_line: bool = False
    vapor_space: bool = False
    shuts_itself: bool = False
    states: dict[str, ValveState] = field(default_factory=dict)
    stands: tuple[str, ...] = ()
    set_with: str = ""


def _valve(passes: Passes, resistance: float, tool: str, *found: str, small: bool = True) -> Kind:
    """A valve with an open and a closed state, set with a tool and found in one of some states."""
    return Kind(passes, resistance, in_line=small, states=OPEN_SHUT, stands=found, set_with=tool)


KINDS: dict[str, Kind] = {
    "compressor": Kind(FORWARD, 5.0, (0.3, 1.5), vapor_space=True),
    "condenser": Kind(BOTH, 5.0, (0.6, 1.6), vapor_space=True),
    "evaporator": Kind(BOTH, 5.0, (0.6, 1.6), vapor_space=True),
    "receiver": Kind(BOTH, 0.1, (1.2, 2.0), vapor_space=True),
    "accumulator": Kind(BOTH, 0.1, (0.4, 1.0), vapor_space=True),
    "muffler": Kind(BOTH, 0.1, (0.03, 0.1), in_line=True, vapor_space=True),
    "filter-drier": Kind(BOTH, 1.0, (0.02, 0.06), in_line=True),
    "suction-drier": Kind(BOTH, 0.5, (0.05, 0.15), in_line=True),
    "sight-glass": Kind(BOTH, 0.1, in_line=True),
    "tee": Kind(BOTH, 0.05),
    "metering": Kind(BOTH, 20.0, in_line=True),
    "check-valve": Kind(FORWARD, 1.0, in_line=True),
    "solenoid": _valve(Passes("only-if-open", "yes"), 2.0, "magnet", "closed"),
    "service-valve": _valve(IF_OPEN, 1.0, "stem", "open", small=False),
    "ball-valve": _valve(IF_OPEN, 0.2, "stem", "open"),
    "pressure-regulator": _valve(IF_OPEN, 1.0, "adjuster", "closed"),
    "reversing-valve": Kind(BOTH, 0.5, states=_CROSSED, stands=("cooling", "heating")),
}

# A thermostatic valve is open while its bulb is warmer than the gas: at a purge and in vacuum. It
# closes at test pressure, and may be shut while refrigerant is taken out. An electronic valve
# stays where it was when the power went. A capillary: 0.031 in. x 8 ft is about 26,000 m.
METERING: dict[str, Kind] = {
    "txv": Kind(BOTH, 20.0, in_line=True, shuts_itself=True),
    "eev": _valve(IF_OPEN, 20.0, "driver", "closed", "open"),
    "fixed-orifice": Kind(BOTH, 15.0, in_line=True),
    "capillary": Kind(BOTH, 20000.0, in_line=True),
}


def kind(part: CircuitPart) -> Kind:
    """The kind of a part; a metering device goes by its device, a valve of expansion if unsaid."""
    if part.kind == "metering":
        return METERING.get(part.device or "txv", KINDS["metering"])
    return KINDS[part.kind]


def passes(part: CircuitPart) -> Passes:
    """Whether gas passes it: what the part says, else its kind."""
    return part.passes or kind(part).passes


def states(part: CircuitPart) -> dict[str, ValveState]:
    """The states it has; none for a part without a moving seat that is set."""
    if part.states:
        return part.states
    known = kind(part).states
    conditional = "only-if-open" in (passes(part).forward, passes(part).back)
    return known or (OPEN_SHUT if conditional else {})


def stands(part: CircuitPart) -> tuple[str, ...]:
    """The states it may be found in; the first of its states when nothing says."""
    if part.stands:
        return part.stands
    known = states(part)
    usual = tuple(name for name in kind(part).stands if name in known)
    return usual or tuple(known)[:1]


def set_with(part: CircuitPart) -> str:
    """What sets it with the power off; empty when nothing does."""
    tool = part.set_with or kind(part).set_with
    return "" if tool == "nothing" else tool


def can_shut(part: CircuitPart) -> bool:
    """Whether it can hold gas back in one direction at least."""
    way = passes(part)
    return (
        kind(part).shuts_itself
        or "no" in (way.forward, way.back)
        or any(not state.open for state in states(part).values())
    )
