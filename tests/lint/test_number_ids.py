"""The list of number ids that lint goes by is the list that the register makes."""

from __future__ import annotations

from fnmatch import fnmatchcase

import pytest

from packets.composing.turns import JOINTS, turns
from packets.model.numbers import Entry, Number, NumberGrid, NumberTable, Words
from packets.numbers.ids import FAMILIES, GRID, NUMBERS, OWN, TABLE, WORDS, kind_of, known
from packets.quantities import UNITS
from tests import sample_jobs

FILE = "packets/numbers/ids.py"


def kind(entry: Entry) -> str:
    """The kind under which an entry would stand in the list; "" where only the site knows."""
    if isinstance(entry, NumberTable):
        return TABLE
    if isinstance(entry, NumberGrid):
        return GRID
    if isinstance(entry, Words):
        return WORDS
    return entry.quantity if isinstance(entry, Number) else ""


def made() -> dict[str, set[str]]:
    """Every id that a sample job's register makes or waits for, with its kinds."""
    found: dict[str, set[str]] = {}
    for _, circuit in sample_jobs.circuits():
        register = circuit.context.register
        for entry in register:
            found.setdefault(entry.id, set()).add(kind(entry))
        for name in register.waiting:
            found.setdefault(name, set())
    return found


def test_every_id_of_a_register_is_in_the_list() -> None:
    missing = {name: kinds for name, kinds in made().items() if kind_of(name) is None}
    lines = [f'"{name}": "{next(iter(kinds - {""}), WORDS)}",' for name, kinds in missing.items()]
    assert not missing, f"add to NUMBERS in {FILE}:\n" + "\n".join(sorted(lines))


def test_an_id_that_is_not_in_the_list_is_told_with_its_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fewer = {name: its for name, its in NUMBERS.items() if name != "hold.time"}
    monkeypatch.setattr("packets.numbers.ids.NUMBERS", fewer)
    with pytest.raises(AssertionError, match=r'"hold\.time": "time",'):
        test_every_id_of_a_register_is_in_the_list()


def test_an_id_that_a_machine_makes_of_its_own_is_in_one_family_and_not_in_the_list() -> None:
    for name in made():
        fitting = [pattern for pattern in FAMILIES if fnmatchcase(name, pattern)]
        assert (name in NUMBERS) + len(fitting) == 1, (name, fitting)


def test_every_family_has_a_member_in_some_sample_job() -> None:
    idle = [p for p in FAMILIES if not any(fnmatchcase(name, p) for name in made())]
    assert not idle, f"no sample job makes {idle}: take them out of {FILE}"


def test_no_text_can_name_a_member_of_a_family() -> None:
    assert not [name for name in known() if name not in NUMBERS]
    assert not [pattern for pattern in FAMILIES if "*" not in pattern]


def test_every_id_in_the_list_is_made_by_some_sample_job() -> None:
    idle = sorted(set(NUMBERS) - set(made()))
    assert not idle, f"no sample job makes {idle}: take them out of {FILE}, or add a job that does"


def test_the_list_s_kinds_are_those_of_the_entries() -> None:
    wrong = [
        f"{name}: {FILE} says {kind_of(name)}, a job makes it {other}"
        for name, kinds in made().items()
        for other in kinds - {""}
        # A text on one machine and a quantity on another stands as words.
        if kind_of(name) not in (None, other, WORDS)
    ]
    assert not wrong
    assert {*NUMBERS.values(), *FAMILIES.values()} <= {*UNITS, WORDS, TABLE, GRID}


# What a joint that needs no gas goes without.
ROUTE = {f"joint.{key}" for key in ("caps", "inlet", "share", "valves", "vent")}
# Only a screwed joint has them.
TORQUE = {"joint.torque_high", "joint.torque_low"}


def test_what_a_repeated_text_may_name_is_what_its_repetitions_carry() -> None:
    seen: dict[str, set[str]] = {what: set() for what in OWN}
    for name, circuit in sample_jobs.circuits():
        for what, declared in OWN.items():
            for turn in turns(what, circuit.lists, 0.014):
                carried = {entry.id: kind(entry) for entry in turn.own.values()}
                dry = set() if "joint.inlet" in carried else ROUTE
                if "joint.torque_low" not in carried:
                    dry = dry | TORQUE
                told = f"{name}, {what}: mend OWN in {FILE}"
                assert set(carried) == set(declared) - dry, told
                # What only the site knows has no kind here.
                assert all(its in ("", declared[id]) for id, its in carried.items()), told
                seen[what] |= set(carried)
    # Which joints a sample job names, and so which of the three repeats them, is its own affair.
    everywhere = set().union(*(seen[what] for what in JOINTS))
    seen |= dict.fromkeys(JOINTS, everywhere)
    assert seen == {what: set(declared) for what, declared in OWN.items()}


def test_the_list_is_in_order_so_that_a_new_line_has_one_place() -> None:
    assert list(NUMBERS) == sorted(NUMBERS)
    for names in OWN.values():
        assert list(names) == sorted(names)
