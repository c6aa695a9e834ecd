"""Before a section acts on the machine, it asks for all that it stands on."""

from __future__ import annotations

import pytest

from packets.pipeline import Prepared, prepare
from tests import jobs

FOLDERS = ["clinic-wall-split", "creamery-cooler", "library-heat-pump"]


@pytest.fixture(scope="module", params=FOLDERS)
def done(request: pytest.FixtureRequest) -> Prepared:
    return prepare(jobs.EXAMPLES / str(request.param) / "job.yaml")


def test_a_section_that_opens_or_heats_asks_for_an_empty_purged_locked_machine(
    done: Prepared,
) -> None:
    """Recovered, at zero, purged and locked out before any cut: common practice, no source."""
    assert done.packet and done.catalog
    found = 0
    for section in done.packet.sections:
        fragment = done.catalog.library.fragments[section.fragment]
        if not {"opens", "heats"} & set(fragment.acts):
            continue
        found += 1
        gate = "; ".join(section.do_not_start)
        for state in ("refrigerant recovered", "zero gauge pressure verified", "purged",
                      "power locked out and verified"):  # fmt: skip
            assert state in gate, (section.title, state)
    assert found


def test_every_acting_section_asks_for_each_passing_fact_with_the_section_that_made_it(
    done: Prepared,
) -> None:
    assert done.packet and done.catalog and done.plan
    library = done.catalog.library
    facts, made = library.facts.facts, {}
    for section in done.packet.sections:
        fragment = library.fragments[section.fragment]
        if fragment.acts:
            gate = dict.fromkeys(fragment.needs)
            for name in gate:
                if facts[name].lasts == "lasting" or name not in made:
                    continue
                state = next((s for s in section.do_not_start if facts[name].short in s), "")
                assert state.endswith(f"({made[name]})"), (section.title, name)
        for name in section.ends:
            made.pop(name, None)
        held = {one.partition("@")[0] for one in done.plan.start}
        made |= {name: section.number for name in section.makes if name not in held}
