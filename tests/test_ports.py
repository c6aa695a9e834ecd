"""Steps follow the kind of each service port and the machine's own valves.

Common practice, no source: the gauge port of a back-seating valve has no core; back-seated it is
shut off, mid-seated it is open to both sides. Its cap comes off only while it is shut off.
"""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from packets import markup
from packets.circuit import graph as graphs
from packets.circuit.isolating import isolation
from packets.composing import port_turns
from packets.model.packet import Packet, Step
from packets.pipeline import Prepared, prepare
from tests import jobs
from tests.circuit.known import IDS, WITHOUT_DRIER, circuit
from tests.test_packets import EMPTY

CREAMERY, CLINIC, LIBRARY = (
    jobs.EXAMPLES / name / "job.yaml"
    for name in ("creamery-cooler", "clinic-wall-split", "library-heat-pump")
)
# The creamery with a leaking flare at its drier instead of a burnt compressor.
LEAK = {
    "job.yaml": [
        ("compressor: electrical-burnout, acid_test: acid",
         "compressor: running, acid_test: not-made"),
        ("  a: [replace-compressor]\n", "  a: [repair-leak]\njoints:\n  a: [sight-glass.in]\n"),
        ("    suction_drier: {model: SD-489 with two ports, size: 1-1/8 in, ports: true}\n", ""),
    ],
    "equipment.yaml": [
        ("    joints:\n",
         "    joints:\n"
         "      sight-glass.in: {size: 1/2 in, kind: flare, metals: [copper, brass]}\n"),
    ],
}  # fmt: skip


def packet(done: Prepared) -> Packet:
    assert done.packet is not None, [str(one) for one in done.findings]
    return done.packet


def steps(of: Packet, fragment: str) -> dict[str, Step]:
    return {
        step.id.partition("/")[2].partition("@")[0]: step
        for section in of.sections
        if section.fragment == fragment
        for step in section.steps
    }


def labels(step: Step) -> list[str]:
    return [markup.plain(blank.label) for blank in step.readings[0]] if step.readings else []


# ---- A7: a port is what it is


def test_a_back_seating_valve_is_back_seated_before_the_cap_of_its_port_comes_off() -> None:
    made = steps(packet(prepare(CREAMERY)), "recover")
    order = list(made)
    assert order.index("back-seat") < order.index("hook-up") < order.index("valves")
    first = markup.plain(made["back-seat"].action)
    assert first.index("Back-seat the valve") < first.index("remove the cap of its gauge port")
    assert labels(made["back-seat"]) == ["Receiver outlet valve back-seated first"]
    assert labels(made["hook-up"]) == ["Core out: suction service port"]
    assert "Receiver outlet valve mid-seated: by its stem" in labels(made["valves"])
    # The hose comes off a port that is shut off again.
    assert labels(made["clear"])[0] == "Receiver outlet valve back-seated"


def test_where_no_valve_back_seats_no_step_says_so() -> None:
    for path in (CLINIC, LIBRARY):
        made = packet(prepare(path))
        words = [markup.plain(step.action) for one in made.sections for step in one.steps]
        rows = [label for one in made.sections for step in one.steps for label in labels(step)]
        assert not [text for text in (*words, *rows) if "-seated" in text or "gauge port" in text]


def test_a_circuit_found_empty_has_its_valve_back_seated_first_too(tmp_path: Path) -> None:
    made = steps(packet(jobs.prepared(tmp_path, EMPTY)), "isolate")
    assert list(made)[:3] == ["back-seat", "hook-up", "valves"]


def test_a_gauge_port_has_no_core_to_take_out_put_in_or_load() -> None:
    done = prepare(CREAMERY)
    made = packet(done)
    rows = {
        (section.fragment, label)
        for section in made.sections
        for step in section.steps
        for label in labels(step)
    }
    assert not [row for row in rows if row[1].startswith("Core") and "receiver" in row[1]]
    assert ("leave-clean", "Capped: receiver valve gauge port") in rows
    assert ("leave-clean", "Core in, capped: suction service port") in rows
    assert ("evacuate", "Core tool shut: suction service port") in rows
    assert ("evacuate", "Receiver outlet valve back-seated") in rows
    lines = {line.item: line.count for group in made.dispatch.load for line in group.lines}
    # By hand: three ports are opened, two of them have cores, and two cores are out at once.
    assert lines["New core of a port"] == 2 and lines["New cap and seal of a port"] == 3
    assert lines["Core tools"] == 2
    hookups = done.circuits["a"].context.hookups
    assert [use.core_out for use in hookups.evacuation.pumped] == [True, False]


def test_a_gauge_port_open_and_unused_is_capped_in_the_sweep() -> None:
    (sweep,) = steps(packet(prepare(CREAMERY)), "sweep").values()
    assert "Receiver outlet valve mid-seated: by its stem, gauge port capped" in labels(sweep)


# ---- A8: the machine's own valves, and what was shut is opened again


def test_one_receiver_valve_is_not_two_service_valves_and_nothing_is_shut(tmp_path: Path) -> None:
    """Front-seated, the receiver's outlet valve leaves the joint open to the compressor through the
    suction line: shutting it would keep nothing out, and nitrogen would stand before it."""
    done = jobs.prepared(tmp_path, LEAK)
    made = packet(done)
    flares = steps(made, "remake-flares")
    assert "shut" not in flares and "reopen" not in flares
    everything = [
        text
        for section in made.sections
        for step in section.steps
        for text in (markup.plain(step.action), markup.plain(step.if_out), *labels(step))
    ]
    assert not [text for text in everything if "ervice valves" in text]
    hold = labels(steps(made, "pressure-hold")["feed"])
    assert "Receiver outlet valve mid-seated: by its stem" in hold
    running = labels(steps(made, "leave-clean")["gauges-off"])
    assert "Receiver outlet valve back-seated: by its stem" in running


def test_valves_shut_for_the_flares_are_named_and_opened_again_before_nitrogen() -> None:
    made = packet(prepare(CLINIC))
    flares = steps(made, "remake-flares")
    valves = ["Liquid service valve", "Suction service valve"]
    assert labels(flares["shut"]) == [f"{name} closed: by its stem" for name in valves]
    assert labels(flares["reopen"]) == [f"{name} open: by its stem" for name in valves]
    assert list(flares)[-1] == "reopen"
    for fragment, step in (
        ("pressure-hold", "feed"),
        ("evacuate", "hook-up"),
        ("recover", "valves"),
    ):
        rows = labels(steps(made, fragment)[step])
        assert [row for row in rows if "service valve" in row] == labels(flares["reopen"])
    rows = labels(steps(made, "leave-clean")["gauges-off"])
    assert rows[:2] == labels(flares["reopen"])


@pytest.mark.parametrize("id", [*IDS, *WITHOUT_DRIER])
def test_valves_are_shut_only_where_they_part_the_joints_from_the_compressor(id: str) -> None:
    """Walked anew over the drawn lines: no way leads past the shut valves to the compressor, the
    port that is opened lies on the joints' side, and without any one of them a way is open."""
    plan = circuit(id)
    joints = list(graphs.build(plan).joints)
    for chosen in combinations(joints, 1):
        found = isolation(plan, chosen)
        shut = {one.part for one in found.valves}
        if not shut:
            continue
        assert "compressor" not in reached(id, chosen[0], shut)
        assert all("compressor" in reached(id, chosen[0], shut - {one}) for one in shut)
        on = plan.service_ports[found.port].on
        sides = {on} if on in plan.lines else set(met(id, on))
        assert sides & (reached(id, chosen[0], shut) | set(met(id, chosen[0])))


def met(id: str, port: str) -> list[str]:
    return [name for name, line in circuit(id).lines.items() if port in (line.from_, line.to)]


def reached(id: str, joint: str, shut: set[str]) -> set[str]:
    """Parts and lines joined to a joint without going through a shut valve; a joint at a shut
    valve counts on its line's side."""
    plan = circuit(id)
    ends = {name: {line.from_, line.to} for name, line in plan.lines.items()}
    seen, todo = set(), set(met(id, joint))
    while todo:
        line = todo.pop()
        seen.add(line)
        for end in ends[line]:
            part = end.partition(".")[0]
            if part in shut:
                continue
            seen.add(part)
            more = {
                name for name, both in ends.items() for one in both if one.startswith(f"{part}.")
            }
            todo |= more - seen
    return seen


@pytest.mark.parametrize("path", [CREAMERY, CLINIC, LIBRARY], ids=lambda path: path.parent.name)
def test_each_hand_valve_of_the_machine_is_a_reading_wherever_gas_must_pass_it(path: Path) -> None:
    done = prepare(path)
    hookups = done.circuits["a"].context.hookups
    hand = {
        name
        for name, part in hookups.found.parts.items()
        if part.kind in ("service-valve", "ball-valve")
    }
    for what in ("recovery-valves", "evacuation-valves", "sweep-valves", "running-valves"):
        assert hand <= {id for id, _ in port_turns.of(what, hookups)}
