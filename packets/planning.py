"""The order of work, from needs, makes and ends alone. Nothing is listed by hand.

Searches backwards from the goals, so a fragment that makes nothing wanted is never looked at,
then orders the chosen fragments forwards. Ties break by `prefer`, then id: same input, same
packet. Circuits are planned one after the other, each from the state the last one left.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from packets import carried
from packets.features import features
from packets.model.equipment import Equipment
from packets.model.job import Job
from packets.model.plans import Goal, Plan, Planned
from packets.model.procedures import Acts, Change, Facts, Fragment, Library, WorkItem

MAX_TRIED = 20_000
NO_FLAME = "no-flame"
State = frozenset[str]


class NoPlan(Exception):
    """No order reaches the goals. `facts` are those that cannot be had, with who wants them."""

    def __init__(self, facts: Mapping[str, Iterable[str]], reason: str) -> None:
        self.facts = {fact: sorted(set(by)) for fact, by in sorted(facts.items())}
        self.reason = reason
        super().__init__(reason)


def start_facts(
    facts: Facts,
    acts: Acts,
    job: Job,
    equipment: Equipment,
    work: Mapping[str, WorkItem],
    circuit: str,
    has: Iterable[Change] = (),
) -> State:
    """What holds before the work: leave facts and start facts, less what `now`, the machine's
    features (`has`) and the ordered work clear, and the facts carried over from a record."""
    state = {name for name, fact in facts.facts.items() if fact.leave} | set(facts.start)
    now = job.now.circuits[circuit]
    changes = [
        facts.now[key][word]
        for key, word in (
            ("refrigerant", now.refrigerant),
            ("compressor", now.compressor),
            ("acid_test", now.acid_test),
            ("left", carried.how_left(now)),
        )
        if word in facts.now.get(key, {})
    ]
    changes += has
    for change in changes:
        state = _set(state - set(change.clears), change.sets, acts)
    for name in (*job.work.get(circuit, ()), *job.also):
        state -= set(work[name].clears)
    # What an earlier packet did of this work and its record shows is not done again.
    state = _set(state, carried.taken(facts, job, circuit), acts)
    return frozenset(state).union(*(change.keeps for change in has))


def _set(state: set[str], facts: Iterable[str], acts: Acts) -> set[str]:
    """Add facts; what never holds together with them goes."""
    for fact in facts:
        gone = {other for pair in acts.apart if fact in pair for other in pair if other != fact}
        state = (state - gone) | {fact}
    return state


def goals(facts: Facts, job: Job, work: Mapping[str, WorkItem], circuit: str) -> tuple[Goal, ...]:
    """Leave facts that no ordered work waives."""
    ordered = [work[name] for name in (*job.work.get(circuit, ()), *job.also)]
    waived = {fact for item in ordered for fact in item.waives}
    wanted = []
    for name, fact in facts.facts.items():
        if fact.leave and name not in waived:
            why = next((item.title for item in ordered if name in item.clears), "when we leave")
            wanted.append(Goal(name, why))
    return tuple(wanted)


def plan(library: Library, job: Job, equipment: Equipment) -> Plan:
    """Plan every circuit that has work ordered.

    Raises:
        NoPlan: the library cannot reach a goal.
    """
    scope = {name: fact.scope for name, fact in library.facts.facts.items()}
    circuits = sorted(job.work)
    its = {circuit: features_of(library, equipment, circuit) for circuit in circuits}
    has = {circuit: _changes(library, its[circuit]) for circuit in circuits}
    states = {
        circuit: start_facts(
            library.facts, library.acts, job, equipment, library.work, circuit, has[circuit]
        )
        for circuit in circuits
    }
    # A site or machine fact holds at the start only if no circuit's state denies it.
    shared = frozenset.intersection(*states.values())
    shared = frozenset(fact for fact in shared if scope[fact] != "circuit")
    kept = {circuit: _kept(has[circuit]) for circuit in circuits}
    # So is one that nothing can end on the one circuit's machine but something can on the other's.
    for_all = frozenset.intersection(*kept.values())
    kept = {
        circuit: frozenset(f for f in facts if scope[f] == "circuit" or f in for_all)
        for circuit, facts in kept.items()
    }
    own = {
        circuit: frozenset(fact for fact in state if scope[fact] == "circuit")
        for circuit, state in states.items()
    }
    start = set(shared).union(
        *({qualified(fact, scope, circuit) for fact in own[circuit]} for circuit in circuits)
    )
    order: list[Planned] = []
    wanted: dict[str, Goal] = {}
    for circuit in circuits:
        aims = goals(library.facts, job, library.work, circuit)
        facts = [goal.fact for goal in aims]
        fragments = _on_offer(library, its[circuit], kept[circuit])
        chosen, left = solve(fragments, own[circuit] | shared, facts)
        # Only an order tells which joints are made. Where none takes a flame, plan once more.
        if _no_flame(library, job, equipment, circuit, chosen):
            fragments = _on_offer(library, (*its[circuit], NO_FLAME), kept[circuit])
            chosen, left = solve(fragments, own[circuit] | shared, facts)
        shared = frozenset(fact for fact in left if scope[fact] != "circuit")
        order += [Planned(name, circuit, fact, by) for name, (fact, by) in chosen.items()]
        for goal in aims:
            fact = qualified(goal.fact, scope, circuit)
            wanted.setdefault(fact, Goal(fact, goal.why))
    never_lost = frozenset(
        qualified(fact, scope, circuit) for circuit in circuits for fact in kept[circuit]
    )
    return Plan(tuple(order), frozenset(start), tuple(wanted.values()), never_lost)


def _on_offer(library: Library, its: Iterable[str], kept: State) -> dict[str, Fragment]:
    """The fragments that a machine of these features may be worked on by, as they work on it."""
    held = set(its)
    return {
        name: _kept_by(one, kept)
        for name, one in library.fragments.items()
        if not one.only_for or held.intersection(one.only_for)
    }


def _no_flame(
    library: Library, job: Job, equipment: Equipment, circuit: str, chosen: Iterable[str]
) -> bool:
    """Whether the chosen work makes joints, and none of them is brazed. A joint that the record
    does not describe counts as brazed."""
    work = [library.fragments[name] for name in chosen]
    if any(fragment.unbrazes for fragment in work):
        return False
    described = equipment.circuits[circuit].joints
    left = job.now.circuits[circuit].left
    parts = {part for fragment in work for part in fragment.remakes}
    made = [key for key in described if key.partition(".")[0] in parts]
    if parts - {key.partition(".")[0] for key in made}:
        return False
    made += left.open if left else ()
    return bool(made) and all(key in described and described[key].kind != "brazed" for key in made)


def features_of(library: Library, equipment: Equipment, circuit: str) -> tuple[str, ...]:
    """The features of one circuit of the machine."""
    record = equipment.circuits[circuit]
    return features(record, library.circuits.get(record.circuit))


def _changes(library: Library, its: Iterable[str]) -> tuple[Change, ...]:
    """What a machine's features change in the start facts."""
    return tuple(library.facts.equipment[name] for name in its if name in library.facts.equipment)


def _kept(has: Iterable[Change]) -> State:
    return frozenset(fact for change in has for fact in change.keeps)


def _kept_by(fragment: Fragment, kept: State) -> Fragment:
    """The fragment as it works on this machine: what cannot be lost is not ended."""
    if kept.isdisjoint(fragment.ends):
        return fragment
    return replace(fragment, ends=tuple(fact for fact in fragment.ends if fact not in kept))


def qualified(fact: str, scope: Mapping[str, str], circuit: str) -> str:
    """A circuit's own fact carries the circuit's name."""
    return f"{fact}@{circuit}" if scope[fact] == "circuit" else fact


def solve(
    fragments: Mapping[str, Fragment], state: State, aims: list[str]
) -> tuple[dict[str, tuple[str, str]], State]:
    """Choose and order fragments. Returns them in order with (fact, who wanted it), and the
    state after the last.

    Raises:
        NoPlan: no order reaches the aims.
    """
    extra: set[str] = set()
    while True:
        chosen = _select(fragments, state, aims, extra)
        search = _Search({name: fragments[name] for name in chosen}, frozenset(aims))
        found = search.run(state)
        if found is not None:
            return {name: chosen[name] for name in found[0]}, found[1]
        # A fact that held at the start was ended before its use: bring in one that makes it.
        more = {
            fact
            for fact in search.blocked
            if _maker(fragments, fact, set(chosen)) is not None and fact not in extra
        }
        if not more:
            names = {fact: by or {"when we leave"} for fact, by in search.blocked.items()}
            raise NoPlan(names, "no order satisfies every need")
        extra.add(min(more))


def _maker(fragments: Mapping[str, Fragment], fact: str, without: set[str]) -> str | None:
    """The preferred fragment that makes a fact. One that needs it itself only keeps it."""
    makers = [
        (fragment.prefer, name)
        for name, fragment in fragments.items()
        if fact in fragment.makes and fact not in fragment.needs and name not in without
    ]
    return min(makers)[1] if makers else None


def _select(
    fragments: Mapping[str, Fragment], state: State, aims: list[str], extra: set[str]
) -> dict[str, tuple[str, str]]:
    """The fragments that the aims call for, directly or through each other's needs and ends."""
    chosen: dict[str, tuple[str, str]] = {}
    while True:
        ended = {fact for name in chosen for fact in fragments[name].ends}
        demands = [(fact, "") for fact in aims if fact not in state or fact in ended]
        for name in chosen:
            demands += [
                (fact, name) for fact in fragments[name].needs if fact not in state or fact in extra
            ]
        made = {
            fact
            for name in chosen
            for fact in fragments[name].makes
            if fact not in fragments[name].needs
        }
        open_demands = [(fact, by) for fact, by in demands if fact not in made]
        if not open_demands:
            return chosen
        wanted: dict[str, list[str]] = {}
        for fact, by in open_demands:
            wanted.setdefault(fact, []).append(by or "when we leave")
        lacking = {
            fact: by for fact, by in wanted.items() if _maker(fragments, fact, set()) is None
        }
        if lacking:
            raise NoPlan(lacking, "no fragment makes what is wanted")
        fact, by = open_demands[0]
        maker = _maker(fragments, fact, set(chosen))
        if maker is None:
            raise NoPlan({fact: [by or "when we leave"]}, "no fragment makes what is wanted")
        chosen[maker] = (fact, by)


@dataclass
class _Search:
    """Orders a chosen set of fragments, preferred first, looking back when stuck."""

    fragments: dict[str, Fragment]
    aims: State
    failed: set[tuple[State, State]] = field(default_factory=set)
    tried: int = 0
    fewest_left: int = 1_000_000
    blocked: dict[str, set[str]] = field(default_factory=dict)

    def run(self, state: State) -> tuple[list[str], State] | None:
        """An order of all the fragments that ends with every aim true, or None."""
        return self._from(state, frozenset(self.fragments))

    def _from(self, state: State, left: State) -> tuple[list[str], State] | None:
        if not left:
            if self.aims <= state:
                return [], state
            self._note({fact: set() for fact in self.aims - state}, 0)
            return None
        if (state, left) in self.failed or self.tried > MAX_TRIED:
            return None
        self.tried += 1
        for name in sorted(left, key=lambda name: (self.fragments[name].prefer, name)):
            fragment = self.fragments[name]
            if not state.issuperset(fragment.needs):
                continue
            after = state.difference(fragment.ends).union(fragment.makes)
            rest = left - {name}
            if self._hopeless(after, rest):
                continue
            found = self._from(after, rest)
            if found is not None:
                return [name, *found[0]], found[1]
        self.failed.add((state, left))
        stuck: dict[str, set[str]] = {}
        for name in left:
            for fact in set(self.fragments[name].needs) - state:
                stuck.setdefault(fact, set()).add(name)
        self._note(stuck, len(left))
        return None

    def _note(self, stuck: dict[str, set[str]], left: int) -> None:
        """Remember what blocked the search where it had come furthest."""
        if left < self.fewest_left and stuck:
            self.fewest_left, self.blocked = left, stuck

    def _hopeless(self, state: State, left: State) -> bool:
        """Whether a fact still wanted is gone and nothing left makes it."""
        can = {fact for name in left for fact in self.fragments[name].makes}
        wanted = self.aims.union(*(self.fragments[name].needs for name in left))
        lost = wanted - state - can
        if lost:
            by = {
                fact: {name for name in left if fact in self.fragments[name].needs} for fact in lost
            }
            self._note(by, len(left))
        return bool(lost)
