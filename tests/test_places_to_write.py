"""Where a step says to write something down, a box for it stands in the step."""

from __future__ import annotations

import re

import pytest

from packets.catalog import load
from packets.findings import Findings
from packets.library_check import steps_of
from packets.model.procedures import Fragment, Reading, Step

WRITE = re.compile(r"\b(write|note down|write down)\b", re.IGNORECASE)
# A word of a choice that tells of a leak, and not of a leak check to come.
LEAK = re.compile(r"\bleaks?\b(?! check)")
# Written on the thing itself, or on the record at the packet's end, which has its own boxes.
ELSEWHERE = re.compile(r"\b(label|log|service record|refrigerant record|tag)\b")
CATALOG = load(Findings())
assert CATALOG is not None
STEPS = [
    pytest.param(step, id=f"{fragment.fragment}/{step.id}")
    for fragment in CATALOG.library.fragments.values()
    for step, _ in steps_of(fragment)
    if step.id
]


def boxes(step: Step) -> list[Reading]:
    """Readings that are written and not ringed."""
    return [one for one in step.readings if not (one.limit and one.limit.choice)]


@pytest.mark.parametrize("step", STEPS)
def test_what_is_to_be_written_has_a_box(step: Step) -> None:
    for text in (step.action, step.if_out):
        if WRITE.search(text) and not ELSEWHERE.search(text):
            assert boxes(step) or step.readings, text
            if text == step.if_out and not re.search(r"\bwrite it\b", text, re.IGNORECASE):
                assert boxes(step), text


@pytest.mark.parametrize("step", STEPS)
def test_a_leak_has_a_box_for_its_place(step: Step) -> None:
    for reading in step.readings:
        words = reading.limit.choice if reading.limit else ()
        found = [word for word in words if LEAK.search(word)]
        # A box for each joint names the place; the rise tells of none, and leads on to the joints.
        if not found or reading.for_each or reading.feeds == "rise-answer":
            continue
        places = [
            one
            for one in step.readings
            if one.kind == "words" and one.only_if and one.only_if.reading == reading.id
        ]
        assert places, f"{reading.id}: {', '.join(found)}"


def test_a_step_that_says_to_write_without_a_box_is_found() -> None:
    bare = Step(id="bare", action="Look at it.", if_out="Write where it leaks. Phone.")
    with pytest.raises(AssertionError):
        test_what_is_to_be_written_has_a_box(bare)


def test_the_steps_of_every_fragment_are_looked_at() -> None:
    assert CATALOG is not None
    fragments: dict[str, Fragment] = CATALOG.library.fragments
    assert len(STEPS) > len(fragments) > 20
