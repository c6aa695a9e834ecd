"""The circuit of a job: differences of the machine, hook-ups on paper and for programs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import pytest

from packets import hookup_report
from packets.circuit import names, placing
from packets.formulas import nitrogen
from packets.model.hookups import Hookups
from packets.model.packet import RouteBlock, Step
from packets.pipeline import Prepared
from tests import jobs
from tests.circuit.known import IDS, circuit
from tests.circuit.replay import Replay

CIRCUIT = "    circuit: condensing-unit-receiver\n"


def differing(folder: Path, *lines: str, more: Sequence[jobs.Change] = ()) -> Prepared:
    """The example with differences stated in its equipment record."""
    stated = CIRCUIT + "    differences:\n" + "".join(f"      - {line}\n" for line in lines)
    return jobs.prepared(folder, {"equipment.yaml": [(CIRCUIT, stated), *more]})


def hookups(done: Prepared) -> Hookups:
    """The hook-ups of the only circuit."""
    return done.circuits["a"].context.hookups


def brazed(done: Prepared) -> list[Step]:
    """The steps in which a joint that is brazed is opened, in printed order."""
    assert done.packet is not None
    steps = [step for section in done.packet.sections for step in section.steps]
    return [step for step in steps if step.id.startswith("purge-and-braze/open")]


def route(step: Step) -> RouteBlock:
    """The printed route of a step."""
    assert step.route is not None
    return step.route


def test_the_packet_brazes_in_the_order_of_the_braze_plan(tmp_path: Path) -> None:
    done = jobs.prepared(tmp_path)
    planned = [step.joint.replace(".", "-") for step in hookups(done).braze.steps]
    assert [step.id.rpartition(".")[2] for step in brazed(done)] == planned
    # The drier is exposed the shortest time, and its first joint is made in the open.
    assert planned[-2:] == ["drier-in", "drier-out"]


def test_every_printed_joint_has_a_way_in_and_a_way_out(tmp_path: Path) -> None:
    for step in brazed(jobs.prepared(tmp_path)):
        assert route(step).inlet and route(step).vent and route(step).sweep, step.id


def test_the_routes_of_the_creamery_are_those_worked_out_by_hand(tmp_path: Path) -> None:
    # By hand on the drawing of the receiver unit with a suction drier: the compressor goes first,
    # gas from the suction port through it and out at its own discharge; the last joint closes the
    # circuit, so gas goes once round and leaves by the suction port.
    steps = brazed(jobs.prepared(tmp_path))
    first, last = route(steps[0]), route(steps[-1])
    assert first.inlet == "suction service port, core out"
    assert first.vent == "compressor, its discharge, vented cap"
    assert first.caps == "pipe end at the suction drier outlet"
    assert last.inlet == "discharge service port"
    assert last.vent == "suction service port, core out"
    assert last.caps == "as they stand"


def test_an_independent_replay_accepts_what_is_printed(tmp_path: Path) -> None:
    found = hookups(jobs.prepared(tmp_path))
    assert Replay(found.made, found.opened).faults(found.braze) == []


def test_stubs_come_out_lowest_first_with_gas_past_each(tmp_path: Path) -> None:
    done = jobs.prepared(tmp_path)
    assert done.packet is not None
    steps = [s for section in done.packet.sections for s in section.steps]
    stubs = [step for step in steps if step.id.startswith("replace-compressor/unbraze@")]
    purged = [step for step in steps if step.id.startswith("replace-compressor/purge-stub@")]
    assert [step.id.rpartition(".")[2] for step in stubs] == [
        "compressor-discharge",
        "compressor-suction",
    ]
    assert all(route(step).vent.startswith("cut stub at the") for step in purged)
    assert all(route(step).vent.endswith("vented cap") for step in purged)
    # The watch signs once, before the first flame, and the cautions stand there too.
    assert [step.sign is not None for step in stubs] == [True, False]
    assert [bool(step.cautions) for step in stubs] == [True, False]


def test_ports_and_valves_are_named_where_they_are_used(tmp_path: Path) -> None:
    done = jobs.prepared(tmp_path)
    assert done.packet is not None
    steps = {s.id: s for section in done.packet.sections for s in section.steps}
    hook_up = "".join(span.text for span in steps["recover/hook-up@a"].action)
    assert "receiver valve gauge port and suction service port" in hook_up
    valves = steps["recover/valves@a"].readings[0]
    labels = ["".join(span.text for span in blank.label) for blank in valves]
    assert labels == [
        "Receiver outlet valve mid-seated: by its stem",
        "Liquid-line solenoid open: coil off, magnet on its stem until it clicks",
    ]
    (caution,) = steps["recover/valves@a"].cautions
    assert "between receiver outlet valve and liquid-line solenoid" in caution.hazard


def test_the_sweep_before_a_joint_is_five_volumes_of_what_the_gas_runs_through(
    tmp_path: Path,
) -> None:
    done = jobs.prepared(tmp_path)
    found, lists = hookups(done), done.circuits["a"].lists
    for plan in lists.joints:
        assert plan.joint.step is not None and plan.joint.step.route is not None
        assert plan.sweep is not None
        volume = sum(found.volumes.of((name,)).high for name in plan.joint.step.route.elements)
        # No way through the machine holds more than the 0.9 ft3 its record states for all of it.
        volume = min(volume, 0.9 * 0.3048**3)
        # Gas law by hand: 30 scfh is 30 ft3/h at 70 degF and one standard atmosphere (common
        # practice, no source); the site is at 97.8 kPa and 68 degF.
        air = done.circuits["a"].context.atmosphere
        standard = 5 * volume * air / 101325 * (70 + 459.67) / (68 + 459.67)
        minutes = standard / (30 * 0.3048**3 / 60)
        assert plan.sweep.flow.value == pytest.approx(30 * 0.3048**3 / 3600)
        assert plan.sweep.time.value / 60 == pytest.approx(max(minutes, 1.0), rel=1e-3)


def test_a_joint_that_leaks_is_made_again_with_gas_from_port_to_port(tmp_path: Path) -> None:
    # By then the circuit is closed: the ways by which the joints were made lead through ends that
    # are brazed shut, and a torch on a closed circuit blows out molten filler.
    found = hookups(jobs.prepared(tmp_path))
    assert [joint for joint, _ in found.repairs] == [step.joint for step in found.braze.steps]
    for joint, way in found.repairs:
        assert way is not None and way.inlet.port and way.vent.port, joint
        assert way.inlet.port != way.vent.port and way.share.low > 0.4, joint


# ---- the machine's differences


def test_an_added_filter_becomes_a_part_that_gas_runs_through(tmp_path: Path) -> None:
    done = differing(
        tmp_path, "{add: oil-filter, in: suction-line, kind: suction-drier, at: [8, 3]}"
    )
    assert done.packet is not None, [str(f) for f in done.findings]
    found = hookups(done)
    assert "oil-filter" in found.found.parts and "oil-filter" in found.made.parts
    through = {name for step in found.braze.steps if step.route for name in step.route.elements}
    assert "oil-filter" in through


def test_a_machine_without_service_valve_is_recovered_from_its_other_ports(tmp_path: Path) -> None:
    done = differing(
        tmp_path,
        "{remove: receiver-valve}",
        "{port: liquid-port, 'on': receiver-line, near: from, name: liquid line port}",
        more=[("name: liquid-line", "name: receiver-line")],
    )
    assert done.packet is not None, [str(f) for f in done.findings]
    assert [use.port for use in hookups(done).recovery.liquid] == ["liquid-port"]


BAD_DIFFERENCES = [
    ("{add: oil-filter, in: sucton-line, kind: suction-drier, at: [8, 3]}", "unknown-line", "in"),
    ("{remove: compresor}", "unknown-part", "remove"),
    ("{change: compressor, remove: drier}", "difference-unclear", "change"),
    ("{add: drier, in: suction-line, kind: filter-drier, at: [8, 3]}", "name-taken", "add"),
]


@pytest.mark.parametrize(("line", "code", "key"), BAD_DIFFERENCES)
def test_a_difference_that_cannot_be_is_told_at_its_line(
    tmp_path: Path, line: str, code: str, key: str
) -> None:
    done = differing(tmp_path, line)
    finding = next(f for f in done.findings if f.code == code)
    text = (tmp_path / "equipment.yaml").read_text(encoding="utf-8").splitlines()
    assert line in text[finding.place.line - 1]
    assert text[finding.place.line - 1][finding.place.column - 1 :]
    assert finding.fix and key


def test_a_sized_line_that_the_circuit_has_not_is_told_with_the_nearest(tmp_path: Path) -> None:
    wrong = ("name: liquid-line,", "name: liqid-line,")
    done = jobs.prepared(tmp_path, {"equipment.yaml": [wrong]})
    (finding,) = [f for f in done.findings if f.code == "unknown-line"]
    assert "liquid-line" in finding.fix


def test_an_unknown_key_of_a_difference_is_refused_with_the_nearest(tmp_path: Path) -> None:
    done = differing(tmp_path, "{ad: oil-filter, in: suction-line}")
    (finding,) = [f for f in done.findings if f.code == "unknown-key"]
    assert "add" in finding.fix


def test_a_part_with_no_place_left_makes_the_circuit_unsound(tmp_path: Path) -> None:
    done = differing(
        tmp_path, "{add: oil-filter, in: suction-line, kind: suction-drier, at: [2, 6]}"
    )
    assert "place-taken" in jobs.codes(done)


def test_where_no_gas_can_pass_a_joint_the_packet_stops_and_says_what_would_help(
    tmp_path: Path,
) -> None:
    # No port on the suction side nor at the discharge: the receiver's port alone cannot be both
    # inlet and outlet, and the last joint would close the circuit.
    done = differing(tmp_path, "{remove: suction-port}", "{remove: discharge-port}")
    assert done.packet is None
    finding = next(f for f in done.findings if f.code == "no-route")
    assert "port" in finding.fix and "differences" in finding.fix
    assert finding.place.line > 1


# ---- volumes and places


def test_volumes_keep_to_the_whole_that_the_record_states(tmp_path: Path) -> None:
    found = hookups(jobs.prepared(tmp_path)).volumes
    stated = 0.9 * 0.3048**3
    liquid = math.pi / 4 * (0.436 * 0.0254) ** 2 * 42 * 0.3048  # 1/2 in tube, bore 0.436 in
    assert found.elements["liquid-line"].high == pytest.approx(liquid, rel=1e-6)
    assert all(0 <= span.low <= span.high <= stated for span in found.elements.values())
    assert found.not_counted == ()


@pytest.mark.parametrize("id", IDS)
def test_an_added_part_stands_where_no_other_does(id: str) -> None:
    plan = circuit(id)
    for name, line in plan.lines.items():
        if line.direct:
            continue
        spot = placing.place(plan, name)
        assert spot not in {tuple(part.at) for part in plan.parts.values()}, name


# ---- for people and for programs


def test_the_plan_tells_hook_ups_in_words(tmp_path: Path) -> None:
    lines = list(hookup_report.lines(hookups(jobs.prepared(tmp_path))))
    text = "\n".join(lines)
    assert "recover at: receiver valve gauge port (liquid), then suction service port" in text
    assert "joint 6: liquid-line drier outlet" in text
    assert "gauge: discharge service port" in text


def test_words_in_a_row() -> None:
    cases: list[tuple[Sequence[str], str]] = [
        ([], ""),
        (["a"], "a"),
        (["a", "b"], "a and b"),
        (["a", "b", "c"], "a, b and c"),
    ]
    for words, said in cases:
        assert names.joined(words) == said


def test_a_joint_is_purged_no_longer_than_the_whole_and_its_outlet_is_small(tmp_path: Path) -> None:
    """Common practice, no source: purge at 30 scfh. By hand, a 1/8 in. hole builds 1/16 of the
    pressure of a 1/16 in. hole: 0.2 psi where that one has 3.3 (test of the formula)."""
    done = jobs.prepared(tmp_path)
    whole = done.circuits["a"].context.register.number("purge.sweep_time")
    lists = done.circuits["a"].lists
    assert whole is not None
    swept = [*(plan.sweep for plan in lists.joints), *lists.stub_sweeps.values()]
    assert swept
    assert all(one is not None and one.time.value <= whole.value + 1e-6 for one in swept)
    assert done.packet is not None
    ways = [one.route for section in done.packet.sections for one in section.steps if one.route]
    assert {way.flow for way in ways} == {"30 scfh"}
    # Each way out is a vented cap, or a port whose own bore is as small.
    assert all(way.vent.endswith(("vented cap", "core out", "port")) for way in ways)
    hole = 0.125 * 0.0254
    behind = nitrogen.pressure_behind_vent(60 * 0.3048**3 / 3600, hole, 97800.0)
    assert behind < 1.0 * 6894.757
