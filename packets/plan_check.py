"""An independent replay of an order of work. Never imports the planner.

It believes nothing a fragment says it ends: it replays what the fragment does to the machine
(its acts, from acts.yaml), and refuses an order in which an act comes before what it requires.
"""

from __future__ import annotations

from dataclasses import dataclass

from packets.model.plans import Plan
from packets.model.procedures import Library


@dataclass(frozen=True)
class Refusal:
    """Why an order is refused: at which fragment (by position from 1, 0 at the end), and how."""

    position: int
    fragment: str
    fact: str
    message: str


def replay(library: Library, order: Plan) -> list[Refusal]:
    """Replay a plan from its start facts; an empty list means it stands."""
    scope = {name: fact.scope for name, fact in library.facts.facts.items()}
    state = set(order.start)
    refusals: list[Refusal] = []

    def key(fact: str, circuit: str) -> str:
        return f"{fact}@{circuit}" if scope[fact] == "circuit" else fact

    for position, planned in enumerate(order.order, 1):
        fragment = library.fragments[planned.fragment]
        circuit = planned.circuit
        for name in fragment.acts:
            act = library.acts.acts[name]
            for fact in act.requires:
                if key(fact, circuit) not in state:
                    message = (
                        f"{planned.id} {act.meaning}, but by then it is not so that"
                        f" {library.facts.facts[fact].meaning}"
                    )
                    refusals.append(Refusal(position, planned.id, fact, message))
        for fact in fragment.needs:
            if key(fact, circuit) not in state:
                message = f"{planned.id} needs `{fact}`, which does not hold by then"
                refusals.append(Refusal(position, planned.id, fact, message))
        for name in fragment.acts:
            lost = {key(fact, circuit) for fact in library.acts.acts[name].loses}
            state -= lost - order.kept
        for fact in fragment.makes:
            for pair in library.acts.apart:
                if fact in pair:
                    gone = {key(other, circuit) for other in pair if other != fact}
                    state -= gone - order.kept
            state.add(key(fact, circuit))
    for goal in order.goals:
        if goal.fact not in state:
            message = f"at the end `{goal.fact}` does not hold ({goal.why})"
            refusals.append(Refusal(0, "", goal.fact, message))
    return refusals
