"""Small fragment libraries for tests of planning."""

from __future__ import annotations

from packets.model.plans import Goal, Plan, Planned
from packets.model.procedures import (
    Act,
    Acts,
    Card,
    Cautions,
    Fact,
    Facts,
    Fragment,
    Library,
    Step,
)
from packets.planning import solve


def fragment(
    name: str,
    needs: str = "",
    makes: str = "",
    ends: str = "",
    prefer: int = 50,
    acts: str = "",
) -> Fragment:
    """A fragment with facts given as words."""
    return Fragment(
        fragment=name,
        title=name,
        revision=1,
        purpose=name,
        prefer=prefer,
        scope="circuit",
        needs=tuple(needs.split()),
        makes=tuple(makes.split()),
        ends=tuple(ends.split()),
        acts=tuple(acts.split()),
        stop_here="Leave it.",
        steps=(Step(id="do", action="Do it."),),
    )


def library(fragments: list[Fragment], acts: dict[str, Act] | None = None) -> Library:
    """A library of these fragments; every fact they name exists, none is a leave fact."""
    names = {f for one in fragments for f in (*one.needs, *one.makes, *one.ends)}
    for act in (acts or {}).values():
        names |= {*act.requires, *act.loses}
    return Library(
        facts=Facts({name: Fact("circuit", name) for name in sorted(names)}, (), {}, {}),
        acts=Acts(acts or {}, ()),
        work={},
        fragments={one.fragment: one for one in fragments},
        cautions=Cautions("Local codes govern.", {}),
        card=Card(()),
    )


def planned(held: Library, start: set[str], goals: list[str]) -> Plan:
    """Plan by the planner, in the form that the check replays."""
    order, _ = solve(held.fragments, frozenset(start), goals)
    return Plan(
        tuple(Planned(name, "a", fact, by) for name, (fact, by) in order.items()),
        frozenset(f"{fact}@a" for fact in start),
        tuple(Goal(f"{goal}@a", "when we leave") for goal in goals),
    )


def names(plan: Plan) -> list[str]:
    """The fragments of a plan, in order."""
    return [one.fragment for one in plan.order]
