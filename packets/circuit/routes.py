"""Hook-ups that send nitrogen past one joint while other joints stand open.

A hook-up is an inlet, a vent and one setting of the valves; every other opening is shut. It has to
hold for every way in which the valves that nobody can set may stand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import IntEnum
from itertools import chain

from packets.circuit import flows
from packets.circuit.openings import Made, Opening, Openings, World
from packets.model.hookups import Span

LEAST_SHARE = 0.1  # of the flow, at the worst of its range; below it a joint counts as unpurged
ODDS = 4.0  # resistances are estimates: the odds of a split are out by this much either way


class Grade(IntEnum):
    """How good a hook-up is.

    SOLE: all the gas passes the joint. SPLIT: enough of it does. HOSE: all of it, but it comes in
    by a hose held on an open end. PRESSED: the molten joint would stand under pressure.
    """

    SOLE = 0
    SPLIT = 1
    HOSE = 2
    PRESSED = 3


@dataclass(frozen=True)
class Hookup:
    """An inlet and a vent (a port or an end each), and the number of the valve setting."""

    inlet: Opening
    vent: Opening
    put: int
    grade: Grade
    lifts: bool = False

    @property
    def key(self) -> tuple[str, str, int]:
        """Orders hook-ups that are as good as each other."""
        return _called(self.inlet), _called(self.vent), self.put


def _called(opening: Opening) -> str:
    return opening if isinstance(opening, str) else f"{opening.joint} {opening.owner}"


Flows = list[list[tuple[flows.Flow | None, float]]]
_Search = Callable[[Made, str, int, Opening, tuple[Opening, ...]], Iterator[Hookup]]


class Finder:
    """Finds and remembers the hook-ups of each joint in each state of the work."""

    def __init__(self, openings: Openings) -> None:
        self.openings = openings
        self._found: dict[tuple[Made, str, bool], tuple[Hookup, ...]] = {}
        self._flows: dict[tuple[Made, str, int, Opening, Opening], Flows] = {}

    def hookups(self, made: Made, joint: str, split: bool = True) -> tuple[Hookup, ...]:
        """Every hook-up that sends all the flow past the joint or, with `split`, enough of it.

        Split flows, then a hose on an open end, are looked for only where nothing before will do,
        and settings that shut a valve only where none with every valve open will.
        """
        key = (made, joint, split)
        if key not in self._found:
            searches: tuple[tuple[_Search, bool], ...] = ((self._sole, False),)
            if split:
                searches += ((self._split, False), (self._sole, True))
            found: tuple[Hookup, ...] = ()
            for search, by_hose in searches:
                if all(hookup.grade is Grade.PRESSED for hookup in found):
                    found += tuple(self._each(made, joint, search, by_hose))
            self._found[key] = found
        return self._found[key]

    def _each(self, made: Made, joint: str, search: _Search, by_hose: bool) -> Iterator[Hookup]:
        openings = self.openings
        ends = openings.open_ends(made, joint)
        for put in range(len(openings.puts)):
            ports = openings.ports(made, joint, put)
            # No hose is held on the stub that is being heated.
            held = tuple(end for end in ends if end.joint != joint)
            inlets: tuple[Opening, ...] = held if by_hose else ports
            found = [
                one for inlet in inlets for one in search(made, joint, put, inlet, (*ends, *ports))
            ]
            yield from found
            if any(hookup.grade < Grade.PRESSED for hookup in found):
                return

    def _sole(
        self, made: Made, joint: str, put: int, inlet: Opening, vents: tuple[Opening, ...]
    ) -> Iterator[Hookup]:
        """Without the joint, gas gets to the vent in no world; with it, in every world."""
        start = self.openings.chamber(inlet)
        past: list[tuple[World, int, int]] = []
        for world in self.openings.worlds(put):
            zones, at = world.zones, world.zones.of(start)
            full = zones.flood(at, (*made, joint))
            beyond = full & ~zones.flood(at, made)
            if not beyond:
                return
            past.append((world, beyond, zones.flood(at, (*made, joint), lift=False)))
        for vent in vents:
            chamber = self.openings.chamber(vent)
            if all(beyond & world.zones.of(chamber) for world, beyond, _ in past):
                lifts = not all(freely & world.zones.of(chamber) for world, _, freely in past)
                good = Grade.SOLE if isinstance(inlet, str) else Grade.HOSE
                free = self.free_beyond(made, joint, put, vent)
                yield Hookup(inlet, vent, put, good if free else Grade.PRESSED, lifts)

    def _split(
        self, made: Made, joint: str, put: int, inlet: Opening, vents: tuple[Opening, ...]
    ) -> Iterator[Hookup]:
        for vent in vents:
            if vent != inlet and self.least_share(made, joint, put, inlet, vent) >= LEAST_SHARE:
                free = self.free_beyond(made, joint, put, vent)
                yield Hookup(inlet, vent, put, Grade.SPLIT if free else Grade.PRESSED, True)

    def free_beyond(self, made: Made, joint: str, put: int, vent: Opening) -> bool:
        """Whether gas gets from the joint to the vent through no capillary, in every world."""
        if not self.openings.throttled:
            return True
        chamber = self.openings.chamber(vent)
        for world in self.openings.worlds(put):
            zones = world.unthrottled
            back = zones.flood(zones.of(chamber), made, backward=True)
            if not back & (zones.sides(joint)[0] | zones.sides(joint)[1]):
                return False
        return True

    def least_share(self, made: Made, joint: str, put: int, inlet: Opening, vent: Opening) -> float:
        """The lowest share of the flow the joint may get; 0 when it may get none."""
        start, end = self.openings.chamber(inlet), self.openings.chamber(vent)
        for world in self.openings.worlds(put):
            zones = world.zones
            a, b = zones.sides(joint)
            comes = zones.flood(zones.of(start), made)
            goes = zones.flood(zones.of(end), made, backward=True)
            if start == end or not ((comes & a and goes & b) or (comes & b and goes & a)):
                return 0.0
        return self.share(made, joint, put, inlet, vent).low

    def share(self, made: Made, joint: str, put: int, inlet: Opening, vent: Opening) -> Span:
        """The part of the flow that passes the joint, lowest to highest [0 to 1].

        Over the worlds, over how hard one-way parts are to lift, and with the odds between the two
        ways out by a factor of ODDS either way.
        """
        found: list[float] = []
        for flow, _ in chain.from_iterable(self.flow(made, joint, put, inlet, vent)):
            at = 0.0 if flow is None else min(1.0, flow.past(joint))
            found += [at / (at + ODDS * (1 - at)), ODDS * at / (ODDS * at + 1 - at)]
        return Span(min(found), max(found))

    def flow(self, made: Made, joint: str, put: int, inlet: Opening, vent: Opening) -> Flows:
        """The flow in each world, for each case of lifting one-way parts, and its size [m3/s]."""
        key = (made, joint, put, inlet, vent)
        if key not in self._flows:
            self._flows[key] = self._solved(*key)
        return self._flows[key]

    def _solved(self, made: Made, joint: str, put: int, inlet: Opening, vent: Opening) -> Flows:
        openings = self.openings
        apart = frozenset(openings.loose) - made - {joint}
        start, end = openings.chamber(inlet), openings.chamber(vent)
        cases: Flows = []
        for world in openings.worlds(put):
            found = flows.edges(openings.graph, world.ways, apart, openings.sizes)
            cases.append(
                [
                    (flows.solve(found, start, end, lifting), size)
                    for lifting, size in flows.hardness(found)
                ]
            )
        return cases

    def again(self, made: Made, joint: str, hookup: Hookup) -> Hookup | None:
        """The same hook-up as the openings stand here; None when it will not do."""
        ports = self.openings.ports(made, joint, hookup.put)
        for opening in (hookup.inlet, hookup.vent):
            if isinstance(opening, str) and opening not in ports:
                return None
        for search in (self._sole, self._split):
            for one in search(made, joint, hookup.put, hookup.inlet, (hookup.vent,)):
                return one
        return None
