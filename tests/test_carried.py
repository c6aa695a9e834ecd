"""Which facts outlast a day and a hand-over, and what a job that takes over from another plans."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from packets import carried, locating, planning, record
from packets.findings import Findings
from packets.pipeline import Prepared, catalog, prepare
from packets.quantities import BadQuantity
from tests import filling, jobs

NOW = "    a: {refrigerant: present, compressor: electrical-burnout, acid_test: acid}"
COIL = [
    ("work:\n  a: [replace-compressor]\nalso: [clean-condenser-coil]\n",
     "work:\n  a: [clean-condenser-coil]\n"),
]  # fmt: skip
SEALED = "left: {open: [], sealed: nitrogen 20 psig at 68 degF, since: 2026-03-17}"
DRIER = "    drier: {model: LD-164"
# The lists of the trade specification, kind by kind: common practice, no source.
LASTING = {"diagnosed", "part-right", "leak-found", "leak-free", "compressor-sound", "cause-known",
           "coil-clean", "recorded"}  # fmt: skip
WITH_PROOF = {"closed", "tight", "dry", "drier-fresh", "clean-inside"}
PASSING = {"site-ready", "dead", "area-clear", "swept", "fuel-free", "proved-empty", "running",
           "oil-warm", "fire-safe"}  # fmt: skip


def made(folder: Path, now: str, *changes: jobs.Change) -> Prepared:
    return prepare(jobs.copy(folder, {"job.yaml": [(NOW, f"    a: {{{now}}}"), *changes]}))


def order(done: Prepared) -> list[str]:
    assert done.plan, [str(finding) for finding in done.findings]
    return [one.fragment for one in done.plan.order]


def said(done: Prepared, code: str) -> list[str]:
    return [finding.message for finding in done.findings if finding.code == code]


def running(state: str, more: str = "") -> str:
    return f"refrigerant: {state}, compressor: running, acid_test: not-made{more}"


def test_each_fact_has_the_kind_that_the_trade_gives_it() -> None:
    facts = catalog.load(Findings()).library.facts.facts  # type: ignore[union-attr]
    kinds = {"lasting": LASTING, "proved": WITH_PROOF, "passing": PASSING}
    for kind, names in kinds.items():
        assert {name for name in names if facts[name].lasts == kind} == names
    for name, fact in facts.items():
        assert (fact.lasts == "proved") == bool(fact.proof and fact.proved_by), name


def test_a_recovered_circuit_is_held_evacuated_and_given_a_drier_before_its_charge(
    tmp_path: Path,
) -> None:
    done = made(tmp_path, running("recovered"), *COIL)
    found = order(done)
    wanted = ["isolate", "replace-drier", "purge-and-braze", "pressure-hold", "evacuate",
              "weigh-in-charge"]  # fmt: skip
    assert [name for name in found if name in wanted] == wanted
    assert said(done, "left-unknown") and done.packet is not None
    look = next(s for s in done.packet.sections if s.fragment == "isolate").steps[0]
    assert look.id.startswith("isolate/look@") and look.readings


def test_the_new_drier_of_a_recovered_circuit_is_asked_for(tmp_path: Path) -> None:
    text = (jobs.EXAMPLE / "job.yaml").read_text(encoding="utf-8")
    parts = text[text.index("parts:\n") : text.index("conditions:")]
    done = made(tmp_path, running("recovered"), *COIL, (parts, ""))
    assert done.packet is None
    assert any("a new drier" in message for message in said(done, "part-missing"))


def test_a_circuit_sealed_under_nitrogen_keeps_its_drier_and_is_held_and_evacuated(
    tmp_path: Path,
) -> None:
    done = made(tmp_path, running("recovered", f", facts: [drier-fresh], {SEALED}"), *COIL)
    found = order(done)
    assert "replace-drier" not in found and "purge-and-braze" not in found
    assert found.index("pressure-hold") < found.index("evacuate") < found.index("weigh-in-charge")
    assert not said(done, "left-unknown") and not said(done, "fact-unproved")
    # Nothing is brazed, so every joint is bubbled, and a leak has a box for its place.
    hold = next(s for s in done.packet.sections if s.fragment == "pressure-hold")  # type: ignore[union-attr]
    step = next(s for s in hold.steps if "bubbles-everywhere" in s.id)
    assert any(blank.field.endswith("r-leak-at") for blank in step.readings[0])


def test_open_ends_are_capped_before_wash_water_is_near_them(tmp_path: Path) -> None:
    done = made(tmp_path, running("recovered", f", facts: [drier-fresh], {SEALED}"), *COIL)
    assert done.packet is not None
    wash = next(s for s in done.packet.sections if s.fragment == "clean-condenser-coil")
    assert [step.id.partition("@")[0] for step in wash.steps][:2] == [
        "clean-condenser-coil/open-ends",
        "clean-condenser-coil/cover",
    ]


@pytest.mark.parametrize(
    ("left", "planned"),
    [
        ("", True),  # not said
        (", left: {open: [], since: 2026-03-17}", True),  # shut, and not sealed
        (f", {SEALED}", False),
    ],
)
def test_only_a_seal_under_pressure_carries_a_drier(
    tmp_path: Path, left: str, planned: bool
) -> None:
    done = made(tmp_path, running("recovered", f", facts: [drier-fresh]{left}"), *COIL)
    assert ("replace-drier" in order(done)) is planned
    assert bool(said(done, "fact-unproved")) is planned


def test_a_lost_charge_spends_tight_dry_and_the_drier(tmp_path: Path) -> None:
    state = set(start(made(tmp_path, running("lost"), *COIL)))
    assert not state & {"tight", "dry", "drier-fresh", "charged", "leak-free"}
    assert "refrigerant-out" in state


def start(done: Prepared) -> frozenset[str]:
    assert done.files and done.catalog
    library = done.catalog.library
    return planning.start_facts(
        library.facts, library.acts, done.files.job, done.files.equipment, library.work, "a"
    )


@pytest.mark.parametrize("fact", sorted(PASSING))
@pytest.mark.parametrize("where", ["circuit", "job"])
def test_a_passing_fact_in_a_job_is_named_and_not_taken(
    tmp_path: Path, fact: str, where: str
) -> None:
    own, shared = (f", facts: [{fact}]", "") if where == "circuit" else ("", f"  facts: [{fact}]\n")
    done = made(tmp_path, running("recovered", own), *COIL, ("now:\n", f"now:\n{shared}"))
    assert jobs.codes(done) == ["fact-passing"]
    assert all(f"`{fact}`" in message for message in said(done, "fact-passing"))
    plain = made(tmp_path, running("recovered"), *COIL)
    assert start(done) == start(plain)


def test_the_rest_of_an_interrupted_job_begins_with_the_lock_and_closes_what_is_open(
    tmp_path: Path,
) -> None:
    left = "left: {open: [compressor.discharge], since: 2026-03-17}"
    burnt = "refrigerant: recovered, compressor: electrical-burnout, acid_test: acid"
    done = made(
        tmp_path,
        f"{burnt}, facts: [compressor-sound], {left}",
        ("now:\n", "now:\n  facts: [part-right, diagnosed, coil-clean]\n"),
    )
    found = order(done)
    assert found[:4] == ["prepare-site", "lock-out", "isolate", "sweep"]
    assert not {"recover", "replace-compressor", "verify-part", "clean-condenser-coil"} & set(found)
    braze = next(s for s in done.packet.sections if s.fragment == "purge-and-braze")  # type: ignore[union-attr]
    joints = [step.id for step in braze.steps]
    assert any("compressor-discharge" in id for id in joints)
    assert not any("compressor-suction" in id for id in joints)
    assert len(said(done, "work-done")) == 2
    # What is asked follows from what is still to do: no lift, no recovery cylinder.
    assert "Burnout: acid oil" in done.packet.hazards  # type: ignore[union-attr]
    load = [line.item for group in done.packet.dispatch.load for line in group.lines]  # type: ignore[union-attr]
    assert not [item for item in load if "Lifting gear" in item or "Recovery" in item]


SINCE = "left: {{open: {}, sealed: {}, since: 2026-03-17}}"
BAD = [
    ("present", "left: {open: [], since: 2026-03-17}", "left-charged"),
    ("recovered", SINCE.format("[]", "nitrogen much at 68 degF"), "left-sealed"),
    ("recovered", SINCE.format("[]", "nitrogen -1 psig at 68 degF"), "left-sealed"),
    ("recovered", SINCE.format("[drier.out]", "nitrogen 5 psig at 68 degF"), "left-sealed"),
    ("recovered", "left: {open: [], since: 2026-03-19}", "date-after"),
    ("recovered", "left: {open: [drier.side], since: 2026-03-17}", "joint-missing"),
    ("recovered", "facts: [charged]", "fact-said"),
]  # fmt: skip


@pytest.mark.parametrize(("state", "more", "code"), BAD, ids=lambda part: str(part)[:40])
def test_what_the_job_says_of_the_past_must_be_possible(
    tmp_path: Path, state: str, more: str, code: str
) -> None:
    done = made(tmp_path, running(state, f", {more}"), *COIL)
    assert code in jobs.codes(done)


def test_the_seal_is_read_in_psig_and_degrees() -> None:
    pressure, temperature = carried.sealed("nitrogen 20 psig at 68 degF")
    # 20 psi is 137.895 kPa (NIST SP 811, appendix B.8); 68 F is 293.15 K by definition.
    assert pressure.value == pytest.approx(137_895, rel=1e-4)
    assert temperature.value == pytest.approx(293.15)
    with pytest.raises(BadQuantity):
        carried.sealed("argon 20 psig at 68 degF")


def test_what_an_interrupted_packets_record_writes_is_what_the_next_job_takes(
    tmp_path: Path,
) -> None:
    """Filled up to the new compressor, reviewed, and gone on with: by the record's own facts."""
    packet = filling.creamery()
    last = next(one.number for one in packet.sections if one.fragment == "replace-compressor")
    later = tuple(f"a__{one.fragment}__" for one in packet.sections if one.number > last)
    whole = filling.readings(packet)
    written = {name: one for name, one in whole.written.items() if not name.startswith(later)}
    made_record = record.make(packet, replace(whole, written=written), None, Findings())
    names = [one.partition("@")[0] for one in made_record.facts]
    assert set(names) == {"part-right", "diagnosed", "coil-clean", "compressor-sound"}
    assert all(one.by.startswith("section ") for one in made_record.held)
    scope = catalog.load(Findings()).library.facts.facts  # type: ignore[union-attr]
    shared = [name for name in names if scope[name].scope != "circuit"]
    own = [name for name in names if scope[name].scope == "circuit"]
    left = "left: {open: [compressor.suction, compressor.discharge], since: 2026-03-17}"
    burnt = "refrigerant: recovered, compressor: electrical-burnout, acid_test: acid"
    done = made(
        tmp_path,
        f"{burnt}, facts: [{', '.join(own)}], {left}",
        ("now:\n", f"now:\n  facts: [{', '.join(shared)}]\n"),
    )
    assert done.packet, [str(finding) for finding in done.findings]
    assert order(done) == [
        "prepare-site", "lock-out", "isolate", "sweep", "burnout-clean-up", "replace-drier",
        "purge-and-braze", "pressure-hold", "renew-electrical", "evacuate", "weigh-in-charge",
        "find-cause", "serve-heater", "start-up", "verify", "close-panel",
        "leave-clean", "return-visit",
    ]  # fmt: skip


def test_two_lasting_facts_of_a_shop_that_never_hold_together_are_told(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    new = "".join(
        f"  plate-{kind}:\n    scope: circuit\n    leave: true\n    short: plate {kind}\n"
        f"    meaning: the plate is {kind}\n    lasts: lasting\n"
        for kind in ("old", "new")
    )
    facts = (locating.procedures() / "facts.yaml").read_text(encoding="utf-8")
    acts = (locating.procedures() / "acts.yaml").read_text(encoding="utf-8")
    (shop / "facts.yaml").write_text(facts.replace("facts:\n", f"facts:\n{new}", 1), "utf-8")
    (shop / "acts.yaml").write_text(f"{acts.rstrip()}\n  - [plate-old, plate-new]\n", "utf-8")
    job = jobs.copy(
        tmp_path,
        {"job.yaml": [("acid_test: acid}", "acid_test: acid, facts: [plate-old, plate-new]}")]},
    )
    assert "facts-apart" in jobs.codes(prepare(job, shop))
