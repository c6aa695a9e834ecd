"""The list of number ids that lint goes by is the list that the register makes."""

from __future__ import annotations

import pytest

from packets.composing.turns import turns
from packets.model.numbers import Entry, Number, NumberTable, Words
from packets.numbers.ids import NUMBERS, OWN, TABLE, WORDS
from packets.quantities import UNITS
from tests import sample_jobs

FILE = "packets/numbers/ids.py"


def kind(entry: Entry) -> str:
    """The kind under which an entry would stand in the list; "" where only the site knows."""
    if isinstance(entry, NumberTable):
        return TABLE
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
    missing = {name: kinds for name, kinds in made().items() if name not in NUMBERS}
    lines = [f'"{name}": "{next(iter(kinds - {""}), WORDS)}",' for name, kinds in missing.items()]
    assert not missing, f"add to NUMBERS in {FILE}:\n" + "\n".join(sorted(lines))


def test_an_id_that_is_not_in_the_list_is_told_with_its_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fewer = {name: its for name, its in NUMBERS.items() if name != "hold.time"}
    monkeypatch.setitem(globals(), "NUMBERS", fewer)
    with pytest.raises(AssertionError, match=r'"hold\.time": "time",'):
        test_every_id_of_a_register_is_in_the_list()


def test_every_id_in_the_list_is_made_by_some_sample_job() -> None:
    idle = sorted(set(NUMBERS) - set(made()))
    assert not idle, f"no sample job makes {idle}: take them out of {FILE}, or add a job that does"


def test_the_list_s_kinds_are_those_of_the_entries() -> None:
    wrong = [
        f"{name}: {FILE} says {NUMBERS[name]}, a job makes it {other}"
        for name, kinds in made().items()
        for other in kinds - {""}
        # A text on one machine and a quantity on another stands as words.
        if name in NUMBERS and NUMBERS[name] not in (other, WORDS)
    ]
    assert not wrong
    assert set(NUMBERS.values()) <= {*UNITS, WORDS, TABLE}


def test_what_a_repeated_text_may_name_is_what_its_repetitions_carry() -> None:
    for name, circuit in sample_jobs.circuits():
        for what, declared in OWN.items():
            for turn in turns(what, circuit.lists, 0.014):
                carried = {entry.id: kind(entry) for entry in turn.own.values()}
                assert carried == declared, f"{name}, {what}: mend OWN in {FILE}"


def test_the_list_is_in_order_so_that_a_new_line_has_one_place() -> None:
    assert list(NUMBERS) == sorted(NUMBERS)
    for names in OWN.values():
        assert list(names) == sorted(names)
