"""What the circuit tells about a job: routes, hook-ups, sections and volumes. Plain data.

Names of parts, lines and service ports are those of the circuit; `packets.circuit.names` turns
them into words. Lengths in m, volumes in m3, pressures in Pa.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

from packets.model.circuits import CircuitPlan, Problem


@dataclass(frozen=True)
class Span:
    """A value between two bounds; equal when it is known."""

    low: float
    high: float

    def __add__(self, other: Span) -> Span:
        return Span(self.low + other.low, self.high + other.high)


@dataclass(frozen=True)
class LineSize:
    """Inside diameter and length of a line [m]."""

    bore: float
    length: float


@dataclass(frozen=True)
class Opened:
    """What a job opens: parts taken out, other joints taken apart, and which are not brazed."""

    out: tuple[str, ...]
    joints: tuple[str, ...] = ()
    screwed: tuple[str, ...] = ()


@dataclass(frozen=True, order=True)
class End:
    """One of the two ends of an open joint: the end of `owner`, a part, a line or a "stub".

    The stub is what is left on the line of a part that was cut out.
    """

    joint: str
    owner: str


@dataclass(frozen=True)
class PortUse:
    """A service port in use, with its core in or out."""

    port: str
    core_out: bool = False


@dataclass(frozen=True)
class Inlet:
    """Where nitrogen comes in: a service port, or a hose held on an open end."""

    port: str = ""
    end: End | None = None
    core_out: bool = False


@dataclass(frozen=True)
class Vent:
    """Where nitrogen leaves: a service port, or a vented cap on an open end."""

    port: str = ""
    end: End | None = None
    core_out: bool = False


@dataclass(frozen=True)
class ValveSetting:
    """Put a valve into a state, and with what: stem, magnet, driver, adjuster."""

    part: str
    state: str
    set_with: str


@dataclass(frozen=True)
class Leg:
    """A part or line that the gas runs through.

    `enters` and `leaves` are joints, or the service port or end where it comes in or goes out.
    """

    element: str
    enters: str
    leaves: str


@dataclass(frozen=True)
class Route:
    """The way of the nitrogen past one joint.

    `caps` are open ends that the gas would otherwise leave by; `keep_closed` are open ends it does
    not reach. `share` is the part of the flow that passes the joint. `lifts` are one-way parts the
    gas has to lift, `against` metering devices passed against their flow. `either_way` are valves
    whose position is not known: the route holds in each, the gas may take another way round.
    Pressures are above the vent, at a trickle. `pressed`: the only way out is through a capillary,
    so that the molten joint stands under `joint_pressure`.
    """

    inlet: Inlet
    vent: Vent
    caps: tuple[End, ...]
    keep_closed: tuple[End, ...]
    valves: tuple[ValveSetting, ...]
    sole: bool
    share: Span
    legs: tuple[Leg, ...]
    beside: tuple[Leg, ...]
    lifts: tuple[str, ...]
    against: tuple[str, ...]
    either_way: tuple[str, ...]
    inlet_pressure: Span
    joint_pressure: Span
    pressed: bool = False

    @property
    def elements(self) -> tuple[str, ...]:
        """The parts and lines the gas runs through, in order: what is swept before the flame."""
        return tuple(leg.element for leg in self.legs)


@dataclass(frozen=True)
class BrazeStep:
    """One joint made. Without a route it is screwed. `waiting` parts are still plugged."""

    joint: str
    part: str
    in_the_open: bool
    waiting: tuple[str, ...]
    route: Route | None


@dataclass(frozen=True)
class BrazePlan:
    """The joints in the order they are made. With problems there are no steps."""

    steps: tuple[BrazeStep, ...]
    problems: tuple[Problem, ...]

    @property
    def changes(self) -> int:
        """How often the inlet, the vent or a valve changes between two brazed joints."""
        routes = [step.route for step in self.steps if step.route is not None]
        return sum(
            (a.inlet != b.inlet) + (a.vent != b.vent) + (a.valves != b.valves)
            for a, b in pairwise(routes)
        )


@dataclass(frozen=True)
class UnbrazeStep:
    """One joint taken apart hot."""

    joint: str
    height: str
    depth: str
    route: Route | None


@dataclass(frozen=True)
class UnbrazePlan:
    """The joints in the order they are taken apart; a step without a route has a problem."""

    steps: tuple[UnbrazeStep, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class Section:
    """A volume that closed devices cut off. `elements` are its parts and lines."""

    elements: tuple[str, ...]
    bounds: tuple[str, ...]
    ports: tuple[str, ...]
    liquid: bool

    def holds(self, element: str) -> bool:
        """Whether a part or line lies in it."""
        return element in self.elements


@dataclass(frozen=True)
class TrappedLiquid:
    """A liquid-full section with no way out when `shut` are shut; `open_one` lets it out."""

    section: Section
    shut: tuple[str, ...]
    open_one: tuple[ValveSetting, ...]


@dataclass(frozen=True)
class RecoveryPlan:
    """Where refrigerant is taken out and what must be open.

    `liquid` ports are used first, then `vapor` ports with them. `keeps` would hold refrigerant if
    the valves stayed as they stand; `left` holds it whatever is set.
    """

    liquid: tuple[PortUse, ...]
    vapor: tuple[PortUse, ...]
    valves: tuple[ValveSetting, ...]
    keeps: tuple[Section, ...]
    left: tuple[Section, ...]
    trapped: tuple[TrappedLiquid, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class GaugePlace:
    """Where the vacuum gauge sits, and the place it speaks for.

    With `tee` the port is also pulled from: the gauge sits on the side branch of its core tool.
    """

    port: str
    tee: bool
    farthest: str


@dataclass(frozen=True)
class Reached:
    """An element, the port it is pulled through, and the flow resistance on the way.

    Resistance is in metres of 8 mm bore tube; it orders places, it is no conductance in vacuum.
    """

    element: str
    port: str
    resistance: float
    through: tuple[str, ...]


@dataclass(frozen=True)
class EvacuationPlan:
    """Ports to pull from, cores out; gauge; valves open. `left` stays unevacuated."""

    pumped: tuple[PortUse, ...]
    gauge: GaugePlace | None
    valves: tuple[ValveSetting, ...]
    reached: tuple[Reached, ...]
    keeps: tuple[Section, ...]
    left: tuple[Section, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class SweepPlan:
    """Nitrogen through the closed circuit: in at `inlet`, out at `vent`. `beside` are parts that
    it does not run through."""

    inlet: str
    vent: str
    valves: tuple[ValveSetting, ...]
    legs: tuple[Leg, ...]
    beside: tuple[str, ...]


@dataclass(frozen=True)
class Isolation:
    """Hand valves that shut the joints a job names off from the compressor, and the service port
    on the joints' side that is opened to the air. No valves: nothing shuts them off."""

    valves: tuple[ValveSetting, ...] = ()
    port: str = ""


@dataclass(frozen=True)
class Volumes:
    """Volume of each part and line. `estimated` ones are ranges; `not_counted` are unknown."""

    elements: dict[str, Span]
    estimated: tuple[str, ...]
    not_counted: tuple[str, ...]
    assumptions: tuple[str, ...]

    def of(self, elements: tuple[str, ...]) -> Span:
        """Volume of some of the elements together; unknown ones count nothing."""
        found = [self.elements[name] for name in elements if name in self.elements]
        return sum(found, Span(0.0, 0.0))


@dataclass(frozen=True)
class Hookups:
    """All of it for one circuit of a job. `found` is the circuit as the machine is today, `made`
    with the parts that the work adds; `cut` are the parts that are cut out cold; `repairs` are the
    brazed joints with the way of the gas when one is made again in the closed circuit. `mark` is
    the circuit's on a machine with several, `others` are the machine's other circuits by mark."""

    found: CircuitPlan
    made: CircuitPlan
    opened: Opened
    cut: tuple[str, ...]
    braze: BrazePlan
    repairs: tuple[tuple[str, Route | None], ...]
    unbraze: UnbrazePlan
    recovery: RecoveryPlan
    sweep: SweepPlan | None
    evacuation: EvacuationPlan
    charging: str
    volumes: Volumes
    charging_side: str = ""
    isolation: Isolation = Isolation()
    mark: str = ""
    others: dict[str, CircuitPlan] = field(default_factory=dict)

    @property
    def circuit(self) -> CircuitPlan:
        """The circuit that the machine has when we leave."""
        return self.made
