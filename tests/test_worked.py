"""Worked numbers: whole for every number a packet prints, and no part of its hash."""

from __future__ import annotations

import dataclasses
import re
from functools import cache

import pytest

from packets.composing.hashing import as_data, content_hash
from packets.composing.worked import as_shown
from packets.formatting import System
from packets.model.numbers import Number, NumberTable
from packets.model.packet import Packet
from packets.pipeline import Prepared, prepare
from tests import jobs


@cache
def done(units: System = "ip") -> Prepared:
    """The example, composed."""
    return prepare(jobs.EXAMPLE / "job.yaml", units=units)


def packet(units: System = "ip") -> Packet:
    """Its packet."""
    made = done(units).packet
    assert made is not None
    return made


@pytest.mark.parametrize("units", ["ip", "si"])
def test_every_number_printed_in_a_section_is_worked_out(units: System) -> None:
    known = {one.id: one for one in packet(units).worked}
    assert len(known) == len(packet(units).worked)
    register = done(units).circuits["a"].context.register
    printed = 0
    for section in packet(units).sections:
        for id in section.worked:
            entry = register.entries.get(id)
            if isinstance(entry, (Number, NumberTable)):
                assert known[id].source == entry.source
                assert known[id].confidence == entry.confidence
                printed += 1
    assert printed > 50
    values = {one.printed for one in known.values()}
    for step in (step for section in packet(units).sections for step in section.steps):
        for span in step.action:
            # Weights, sizes and names of a repetition are worked out with the list they are of.
            if span.kind == "value" and re.search(r"\d (psig|micron|kPag|Pa|°F|°C)$", span.text):
                assert span.text in values, span.text


def test_what_a_number_is_made_of_is_worked_out_too() -> None:
    ids = {one.id for one in packet().worked}
    assert {"hold.start", "hold.limit", "site.atmosphere", "recovery.gravity"} <= ids
    hold = next(one for one in packet().worked if one.id == "hold.start")
    assert ("limit", "250 psig", "“Never above”") in hold.inputs
    assert ("hottest pipe", "95 °F", "job, conditions.hottest_pipe") in hold.inputs


def test_a_cylinder_s_stop_is_worked_out_with_its_own_figures() -> None:
    stop = next(one for one in packet().worked if one.id == "recovery.stop.C-121")
    # 27.6 + 0.8 x 47.7 x 1.101 by hand: 69.61 lb, and the scale shows half ounces: 69 lb 9.5 oz.
    assert stop.working == "27.6 lb + 0.8 × 47.7 lb × 1.101 → 69 lb 9.5 oz"
    assert stop.printed in {line.value for group in packet().card for line in group.lines}


def test_the_hash_is_blind_to_how_numbers_were_worked_out() -> None:
    before = packet()
    for worked in ((), tuple(dataclasses.replace(w, working="1 + 1") for w in before.worked)):
        sections = tuple(dataclasses.replace(s, worked=()) for s in before.sections)
        changed = dataclasses.replace(before, worked=worked, sections=sections)
        assert content_hash(changed) == before.hash
    assert "worked" not in as_data(before)
    assert "worked" in as_data(before, frozenset())


def test_typed_units_are_printed_with_their_signs() -> None:
    assert as_shown("95 degF, 0.9 ft3 x 5 -> 3 K") == "95 °F, 0.9 ft³ × 5 → 3 K"
    assert as_shown("35 degC in the box") == "35 °C in the box"
