"""The order of work comes out of needs, makes and ends alone."""

from __future__ import annotations

import time

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from packets import plan_check
from packets.model.procedures import Act, Fragment
from packets.planning import NoPlan, solve
from tests.libraries import fragment, library, names, planned

CUT = fragment("cut", "empty", "new-part", "closed tight", prefer=40)
BRAZE = fragment("braze", "empty", "closed", "tight", prefer=50)
RECOVER = fragment("recover", "", "empty", "charged", prefer=10)
HOLD = fragment("hold", "closed empty", "tight", prefer=60)
CHARGE = fragment("charge", "closed tight", "charged", "empty", prefer=70)
START = {"closed", "tight", "charged"}
GOALS = ["new-part", "closed", "tight", "charged"]
ALL = [CHARGE, HOLD, BRAZE, CUT, RECOVER]


def test_the_order_follows_from_facts_whatever_order_the_files_come_in() -> None:
    for fragments in (ALL, ALL[::-1], sorted(ALL, key=lambda one: one.fragment)):
        plan = planned(library(fragments), START, GOALS)
        assert names(plan) == ["recover", "cut", "braze", "hold", "charge"]


def test_each_fragment_says_which_fact_called_for_it_and_who_wanted_it() -> None:
    plan = planned(library(ALL), START, GOALS)
    assert {one.fragment: (one.called_for, one.by) for one in plan.order} == {
        "cut": ("new-part", ""),
        "recover": ("empty", "cut"),
        "braze": ("closed", ""),
        "hold": ("tight", ""),
        "charge": ("charged", ""),
    }


def test_what_nothing_makes_is_named_with_who_wants_it() -> None:
    without = [one for one in ALL if one.fragment != "hold"]
    with pytest.raises(NoPlan) as problem:
        planned(library(without), START, GOALS)
    assert problem.value.facts == {"tight": ["charge", "when we leave"]} or problem.value.facts == {
        "tight": ["when we leave"]
    }


def test_what_already_holds_is_not_done_again() -> None:
    plan = planned(library(ALL), {"closed", "tight", "empty"}, GOALS)
    assert names(plan) == ["cut", "braze", "hold", "charge"]


def test_nothing_to_do_gives_no_work() -> None:
    assert names(planned(library(ALL), set(GOALS), GOALS)) == []


def test_unrelated_fragments_change_nothing_and_cost_nothing() -> None:
    unrelated = [
        fragment(f"other-{n}", f"other-{n - 1}" if n else "", f"other-{n}", prefer=1)
        for n in range(40)
    ]
    begun = time.process_time()  # others on the machine do not count
    plan = planned(library([*unrelated, *ALL]), START, GOALS)
    assert names(plan) == ["recover", "cut", "braze", "hold", "charge"]
    assert time.process_time() - begun < 1.0


def test_prefer_breaks_ties_and_then_the_name() -> None:
    makers = [fragment("b", "", "x", prefer=5), fragment("a", "", "x", prefer=9)]
    assert names(planned(library(makers), set(), ["x"])) == ["b"]
    makers = [fragment("b", "", "x", prefer=5), fragment("a", "", "x", prefer=5)]
    assert names(planned(library(makers), set(), ["x"])) == ["a"]
    two = [fragment("b", "", "x", prefer=5), fragment("a", "", "y", prefer=9)]
    assert names(planned(library(two), set(), ["x", "y"])) == ["b", "a"]


def test_a_keeper_of_a_fact_is_not_taken_for_its_maker() -> None:
    keeper = fragment("heat", "dead closed", "warm dead", prefer=1)
    lock = fragment("lock", "", "dead", prefer=90)
    assert names(planned(library([keeper, lock]), {"closed"}, ["warm"])) == ["lock", "heat"]


def test_a_fact_ended_before_its_use_is_made_again() -> None:
    held = library(
        [
            fragment("open", "", "part", "closed", prefer=1),
            fragment("close", "", "closed", prefer=2),
            fragment("press", "closed part", "proof", prefer=3),
        ]
    )
    assert names(planned(held, {"closed"}, ["part", "proof"])) == ["open", "close", "press"]


def test_what_is_done_while_closed_comes_before_the_opening() -> None:
    wash = fragment("wash", "closed", "clean", prefer=45)
    plan = planned(library([*ALL, wash]), START, [*GOALS, "clean"])
    assert names(plan).index("wash") not in (2,)  # between cut and braze it is open
    assert plan_check.replay(library([*ALL, wash]), plan) == []


ACTS = {
    "opens": Act("opens", ("f0",), ("f1",)),
    "heats": Act("heats", ("f1", "f2"), ("f3",)),
    "charges": Act("charges", ("f3",), ("f0", "f4")),
}
FACTS = [f"f{n}" for n in range(6)]
some_facts = st.lists(st.sampled_from(FACTS), max_size=3, unique=True)


@st.composite
def fragments(draw: st.DrawFn) -> list[Fragment]:
    """Libraries that own up to their acts, as the loader demands."""
    made = []
    for n in range(draw(st.integers(1, 8))):
        acts = draw(st.lists(st.sampled_from(sorted(ACTS)), max_size=2, unique=True))
        makes = draw(some_facts)
        needs = {*draw(some_facts), *(f for act in acts for f in ACTS[act].requires)}
        loses = {f for act in acts for f in ACTS[act].loses}
        ends = ({*draw(some_facts)} | loses) - set(makes)
        made.append(
            fragment(
                f"g{n}",
                " ".join(sorted(needs)),
                " ".join(makes),
                " ".join(sorted(ends)),
                prefer=draw(st.integers(1, 5)),
                acts=" ".join(acts),
            )
        )
    return made


@settings(max_examples=300, deadline=None)
@given(fragments(), some_facts, some_facts)
def test_no_order_is_given_that_the_replay_refuses(
    made: list[Fragment], start: list[str], goals: list[str]
) -> None:
    held = library(made, ACTS)
    held.facts.facts.update(library([fragment("all", " ".join(FACTS))]).facts.facts)
    try:
        plan = planned(held, set(start), goals)
    except NoPlan as problem:
        assert problem.facts
        return
    assert plan_check.replay(held, plan) == []
    assert len(set(names(plan))) == len(plan.order)


@settings(max_examples=100, deadline=None)
@given(fragments(), some_facts, some_facts, st.integers(0, 5))
def test_an_unrelated_fragment_never_changes_the_order(
    made: list[Fragment], start: list[str], goals: list[str], prefer: int
) -> None:
    try:
        before = solve({f.fragment: f for f in made}, frozenset(start), goals)
    except NoPlan:
        assume(False)
    more = [*made, fragment("zz", "f0", "nobody-wants-this", "f1", prefer=prefer + 1)]
    assert solve({f.fragment: f for f in more}, frozenset(start), goals) == before


def test_the_replay_refuses_an_order_whatever_its_fragments_claim() -> None:
    # `cut` forgets to end what opening the circuit ends; the replay goes by the act.
    acts = {"opens": Act("opens", ("empty",), ("closed", "tight"))}
    forgetful = fragment("cut", "empty", "new-part", "", acts="opens")
    held = library([forgetful, RECOVER, CHARGE, HOLD, BRAZE], acts)
    plan = planned(held, START, GOALS)
    refused = plan_check.replay(held, plan)
    assert {one.fact for one in refused} >= {"closed", "tight"}


def test_the_replay_knows_facts_that_never_hold_together() -> None:
    held = library([fragment("lock", "", "dead"), fragment("run", "dead unlocked", "running")])
    held = type(held)(
        held.facts,
        type(held.acts)({}, (("dead", "unlocked"),)),
        held.work,
        held.fragments,
        held.cautions,
        held.card,
    )
    plan = planned(held, {"unlocked"}, ["running"])
    assert [one.fact for one in plan_check.replay(held, plan)] == ["unlocked"]
