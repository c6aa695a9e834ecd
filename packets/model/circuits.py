"""How the refrigerant parts of a machine are joined, as a circuit file states it.

A place is written `part.port`. A line joins two ports; where a port meets a line there is a joint,
called by its port. A line that is `direct` stands for two ports that meet without tube between
them: one joint, called by the port the line comes from.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple


class Problem(NamedTuple):
    """Something wrong with a circuit or a plan. `path` leads to it in the circuit file."""

    code: str
    path: tuple[str | int, ...]
    message: str
    fix: str


@dataclass(frozen=True)
class Passes:
    """Whether gas can pass a part with the flow and against it: yes, no, only-if-open."""

    forward: str
    back: str


@dataclass(frozen=True)
class ValveState:
    """One state of a valve.

    `open` decides what `only-if-open` means; `joins` lists the ports that are joined, for a valve
    with more than two; `dead` the service ports that are shut off in this state.
    """

    open: bool = True
    joins: tuple[tuple[str, ...], ...] = ()
    dead: tuple[str, ...] = ()


@dataclass(frozen=True)
class Reach:
    """Where a port sits when that differs from its part: low, middle, high; front, middle, back."""

    height: str = ""
    depth: str = ""


@dataclass(frozen=True)
class CircuitPart:
    """A part. Ports stand in the order of flow; `stands` are the states it may be found in."""

    kind: str
    ports: tuple[str, ...]
    at: tuple[float, ...] = ()
    name: str = ""
    device: str = ""
    passes: Passes | None = None
    states: dict[str, ValveState] = field(default_factory=dict)
    stands: tuple[str, ...] = ()
    set_with: str = ""
    side: str = "both"
    height: str = "middle"
    depth: str = "middle"
    reach: dict[str, Reach] = field(default_factory=dict)
    tight: tuple[str, ...] = ()


@dataclass(frozen=True)
class CircuitLine:
    """A line, from port to port in the direction of flow."""

    from_: str
    to: str
    name: str = ""
    side: str = ""
    liquid: bool = False
    direct: bool = False


@dataclass(frozen=True)
class ServicePort:
    """A service port on a line (`near` its from or to end) or on a part at one of its ports.

    `kind` is cored, gauge-port or process-tube; `circuit.ports.kind` also reads files that state
    only whether there is a core. What states another kind than cored has no core.
    """

    on: str
    name: str = ""
    near: str = ""
    core: bool = True
    kind: str = ""

    def __post_init__(self) -> None:
        if self.kind:
            object.__setattr__(self, "core", self.kind == "cored")


@dataclass(frozen=True)
class CircuitPlan:
    """How the parts of a circuit are joined. `factory_built`: made and tested as one in the
    factory, with no piping laid on site."""

    circuit: str
    title: str
    parts: dict[str, CircuitPart]
    lines: dict[str, CircuitLine]
    service_ports: dict[str, ServicePort]
    factory_built: bool = False


@dataclass(frozen=True)
class Difference:
    """One way in which a machine differs from its circuit file. Exactly one of the first five.

    `add` puts a new two-port part into the line `in_`; `remove` takes a two-port part (its lines
    become one) or a service port away; `change` gives a part other properties; `port` adds a
    service port; `repeat` lays a second run of parts beside the run it names, from a tee to a tee.
    """

    add: str = ""
    remove: str = ""
    change: str = ""
    port: str = ""
    repeat: tuple[str, ...] = ()
    in_: str = ""
    on: str = ""
    near: str = ""
    core: bool = True
    port_kind: str = ""
    as_: str = ""
    shift: tuple[float, ...] = ()
    kind: str = ""
    ports: tuple[str, ...] = ()
    at: tuple[float, ...] = ()
    name: str = ""
    device: str = ""
    passes: Passes | None = None
    states: dict[str, ValveState] = field(default_factory=dict)
    stands: tuple[str, ...] = ()
    set_with: str = ""
    side: str = ""
    height: str = ""
    depth: str = ""
    tight: tuple[str, ...] = ()
