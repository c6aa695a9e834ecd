"""A machine with two circuits: every sheet says which one, and it is found before a hose is joined.

Common practice, no source: each port is taped with its circuit's letter, the pipe of a dead
compressor is traced by hand, and on the first pound recovered only the right gauge falls.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from packets import catalog, job_files, markup, pipeline, plan_check, planning, rendering
from packets.findings import Findings
from packets.model.packet import Packet, Step
from packets.pipeline import Prepared, prepare
from tests import jobs


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory) -> Prepared:
    done = prepare(jobs.two_circuits(tmp_path_factory.mktemp("two")))
    assert done.packet is not None, [str(one) for one in done.findings]
    return done


def packet(done: Prepared) -> Packet:
    assert done.packet is not None
    return done.packet


def steps(of: Packet) -> dict[str, Step]:
    return {step.id.partition("@")[0]: step for one in of.sections for step in one.steps}


def labels(step: Step) -> list[str]:
    return [markup.plain(blank.label) for blank in step.readings[0]]


def test_title_running_head_card_sections_and_record_name_the_circuit(two: Prepared) -> None:
    made = packet(two)
    assert made.title.endswith(": circuit A")
    html = rendering.html(made, paper="letter", parts=("dispatch", "field"))
    head = html.partition("<body")[2].partition(">")[0]
    assert "circuit A" in head
    assert "<b>CIRCUIT A</b>" in html
    own = [section for section in made.sections if section.title.endswith(": circuit A")]
    assert {"recover", "pressure-hold", "evacuate", "weigh-in-charge"} <= {s.fragment for s in own}
    assert ("Circuit", "circuit A") in [(line.label, line.value) for line in made.record]


def test_every_port_and_part_that_a_step_names_carries_the_letter(two: Prepared) -> None:
    known = two.circuits["a"].context.hookups
    for plan in (known.found, known.made):
        for one in (*plan.parts.values(), *plan.service_ports.values()):
            assert one.name.endswith(" A")
    step = steps(packet(two))["recover/hook-up"]
    assert "receiver valve gauge port A and suction service port A" in markup.plain(step.action)


def test_the_circuit_is_found_before_the_failure_is_measured_and_a_hose_is_joined(
    two: Prepared,
) -> None:
    order = [section.fragment for section in packet(two).sections]
    at = order.index("identify-circuit")
    assert order.index("lock-out") < at < order.index("confirm-diagnosis") < order.index("recover")
    made = steps(packet(two))
    names = [name for name in made if name.startswith("identify-circuit/")]
    assert names == [
        f"identify-circuit/{id}" for id in ("plate", "trace", "tape", "flame", "gauges")
    ]
    rows = labels(made["identify-circuit/tape"])
    assert all(f"service port {letter}" in row for letter, row in zip("AB", rows, strict=True))
    recover = next(one for one in packet(two).sections if one.fragment == "recover")
    assert any("circuit found" in state for state in recover.do_not_start)


def test_on_the_first_pound_only_the_right_gauge_falls_and_the_start_is_weighed_once(
    two: Prepared,
) -> None:
    made = steps(packet(two))
    names = list(made)
    assert names.index("recover/first-pound") + 1 == names.index("recover/fill")
    first = made["recover/first-pound"]
    assert "1 lb 0 oz from circuit A" in markup.plain(first.action)
    good = {markup.plain(b.label): b.limit.good for b in first.readings[0] if b.limit and b.choices}
    assert good["Gauge of circuit A"] == ("falls",) and good["Gauge of circuit B"] == ("stays",)
    feeds = [b.feeds for name in names for row in made[name].readings for b in row]
    assert feeds.count("recovery-start") == feeds.count("recovery-end") == 1


def test_the_other_circuit_s_pressure_is_written_at_start_and_end(two: Prepared) -> None:
    made = steps(packet(two))
    for name in ("identify-circuit/gauges", "leave-clean/other-circuit"):
        assert "Pressure of circuit B" in labels(made[name])
    assert "circuit B" in markup.plain(made["lock-out/lock"].action)


def test_a_machine_with_one_circuit_prints_nothing_new() -> None:
    made = packet(prepare(jobs.EXAMPLE / "job.yaml"))
    assert made.circuit == ""
    assert "identify-circuit" not in [section.fragment for section in made.sections]
    words = [
        text
        for name, step in steps(made).items()
        for text in (name, markup.plain(step.action), *(labels(step) if step.readings else ()))
    ]
    assert not [text for text in words if "circuit A" in text or "first-pound" in text]
    html = rendering.html(made, paper="letter", parts=("dispatch", "field"))
    assert "circuit A" not in html and "CIRCUIT A" not in html


def test_recovery_without_the_circuit_found_is_refused_by_the_replay(tmp_path: Path) -> None:
    findings = Findings()
    files = job_files.load(jobs.two_circuits(tmp_path), findings)
    loaded = catalog.load(findings)
    assert files is not None and loaded is not None
    plan = planning.plan(loaded.library, files.job, files.equipment)
    assert plan_check.replay(loaded.library, plan) == []
    order = tuple(one for one in plan.order if one.fragment != "identify-circuit")
    short = replace(plan, order=order)
    assert any("identified" in str(one) for one in plan_check.replay(loaded.library, short))


def test_every_drawing_has_room_for_the_letters(two: Prepared) -> None:
    pipeline.illustrated(two)
    assert "no-drawing" not in [one.code for one in two.findings]
