"""Every drawing of every circuit and work, at the two sizes with names, read back from its SVG."""

from __future__ import annotations

import time
from functools import cache

import pytest

from packets.circuit import names
from packets.circuit.brazing import braze_plan
from packets.drawings import hookups
from packets.drawings.board import Board, lay_out
from packets.drawings.drawing import FULL, HALF, Drawing, Size
from packets.drawings.grouping import grouped
from packets.model.hookups import Opened
from tests.circuit.known import IDS, circuit
from tests.drawings import samples
from tests.drawings.faults import faults
from tests.drawings.reading import Read

SIZES = {"full": FULL, "half": HALF}
every_board = pytest.mark.parametrize(("id", "size"), [(id, size) for id in IDS for size in SIZES])


@cache
def board(id: str, size: str) -> Board:
    """A shipped circuit laid out."""
    return lay_out(circuit(id), SIZES[size])


@every_board
def test_nothing_lies_on_anything_else_whatever_every_job_draws(id: str, size: str) -> None:
    for name, drawing in samples.around(board(id, size)):
        assert faults(drawing) == [], name


@every_board
@pytest.mark.parametrize("work", samples.WORKS)
def test_nothing_lies_on_anything_else_while_joints_are_made(id: str, size: str, work: str) -> None:
    parts = samples.out(id, work)
    drawn = [*samples.brazing(board(id, size), parts), *samples.unbrazing(board(id, size), parts)]
    assert len(drawn) >= 4
    for name, drawing in drawn:
        assert faults(drawing) == [], name


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", samples.differing())
def test_a_machine_that_differs_is_drawn_as_cleanly(name: str, size: str) -> None:
    made = lay_out(samples.differing()[name], SIZES[size])
    for which, drawing in samples.job(made, ("compressor", "drier")):
        assert faults(drawing) == [], which


# ---- what a braze drawing shows


def brazed(id: str, size: Size = HALF) -> list[tuple[hookups.BrazeStep, Read, Drawing]]:
    """Each joint of a compressor and drier change with its drawing."""
    made = lay_out(circuit(id), size)
    steps = braze_plan(circuit(id), Opened(("compressor", "drier"))).steps
    drawn = [hookups.braze(made, step, str(at)) for at, step in enumerate(steps, 1)]
    return [(step, Read(one.svg), one) for step, one in zip(steps, drawn, strict=True)]


@pytest.mark.parametrize("id", IDS)
def test_the_joint_has_a_ring_with_its_number_and_the_route_runs_through_it(id: str) -> None:
    for number, (_, read, drawing) in enumerate(brazed(id), 1):
        (ring,) = read.circles("ring")
        middle = (ring[0] + ring[2]) / 2, (ring[1] + ring[3]) / 2
        ends = [point for line in read.lines("route") for point in line.points]
        near = [p for p in ends if abs(p[0] - middle[0]) + abs(p[1] - middle[1]) < 0.1]
        assert len(near) >= 2, "the gas comes to the joint and goes on from it"
        assert [one.words for one in read.words if one.badge] == [str(number)]
        assert f"joint {number}" in drawing.title


@pytest.mark.parametrize("id", IDS)
def test_black_caps_are_those_of_the_route_and_white_plugs_those_that_stay(id: str) -> None:
    for step, read, drawing in brazed(id):
        assert step.route is not None
        caps = read.fills("cap")
        white = len(step.route.keep_closed) + (step.route.vent.end is not None)
        assert (caps.count("#000"), caps.count("#fff")) == (len(step.route.caps), white)
        said = [one.words for one in read.words]
        assert said.count("Cap") == len(step.route.caps)
        for end in (*step.route.caps, *step.route.keep_closed):
            assert names.end(circuit(id), end) in drawing.description


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("id", IDS)
def test_what_the_hook_up_speaks_of_is_named(id: str, size: str) -> None:
    plan, nameless = circuit(id), set()
    for step, read, _ in brazed(id, SIZES[size]):
        assert step.route is not None
        said = " ".join(one.words for one in read.words)
        for side in (step.route.inlet, step.route.vent):
            if side.port:
                assert names.service_port(plan, side.port) in said
        for part in [step.part] if size == "half" else plan.parts:
            assert names.part(plan, part) in said
        for one in step.route.valves:
            assert one.state.upper() in said
            if names.part(plan, one.part) not in said:
                nameless.add(one.part)
        assert "Nitrogen" in said and "Vent" in said
    # Half as wide, words on all sides may push out one valve's name; its state stands beside it.
    assert len(nameless) <= (size == "half")


def test_the_full_width_names_every_part_in_every_drawing() -> None:
    for id in IDS:
        made = lay_out(circuit(id), FULL)
        for name, drawing in samples.job(made, ("compressor", "drier")):
            said = " ".join(one.words for one in Read(drawing.svg).words)
            for part in circuit(id).parts:
                assert names.part(circuit(id), part) in said, (id, name)


@pytest.mark.parametrize("id", IDS)
def test_the_route_is_the_heaviest_line_and_has_arrows(id: str) -> None:
    for step, read, _ in brazed(id):
        (thin,) = {line.weight for line in read.lines("line")}
        heavy = min(line.weight for line in read.lines("route"))
        assert heavy >= 2 * thin
        assert step.route is not None
        # The hose in, the way out and, where it is long enough, the route between have one.
        assert len(read.shapes("arrow")) >= 2
        if sum(max(b[2] - b[0], b[3] - b[1]) for r in read.lines("route") for b in r.bars()) > 40:
            assert len(read.shapes("arrow")) >= 3


def test_arrows_point_the_way_the_gas_goes() -> None:
    # The design's case: nitrogen in at the suction port, out at the compressor's discharge; on
    # the paper the suction line comes up to the compressor from below.
    step, read, _ = brazed("packaged-cooling")[0]
    assert step.route is not None and step.route.inlet.port == "suction-port"
    (ring,) = read.circles("ring")
    (pipe,) = [
        line for line in read.lines("route") if any(abs(p[1] - ring[3]) < 3 for p in line.points)
    ][:1]
    assert pipe.points[0][1] > pipe.points[-1][1], "drawn in the direction of the gas: upwards"


def test_parts_that_are_away_are_dashed() -> None:
    for step, _, drawing in brazed("packaged-cooling"):
        assert ('stroke-dasharray="1.1 0.9"' in drawing.svg) == bool(step.waiting)
        assert ("not fitted yet" in drawing.description) == bool(step.waiting)


def test_a_joint_that_is_screwed_gets_no_gas() -> None:
    opened = Opened(("compressor", "drier"), screwed=("drier.in", "drier.out"))
    steps = braze_plan(circuit("split-heat-pump"), opened).steps
    drawing = hookups.braze(board("split-heat-pump", "half"), steps[-1], "4")
    read = Read(drawing.svg)
    assert faults(drawing) == []
    assert not read.lines("route") and not read.groups("gear") and len(read.circles("ring")) == 1
    assert "no flame" in drawing.description.lower()


def test_steps_share_a_drawing_only_with_inlet_vent_valves_and_caps_alike() -> None:
    steps = braze_plan(circuit("packaged-cooling"), Opened(("compressor", "drier"))).steps
    groups = list(grouped(steps))
    assert [step for group in groups for step in group] == list(steps)
    for group in groups:
        routes = [step.route for step in group]
        assert len({(r.inlet, r.vent, r.valves) for r in routes if r}) <= 1
    twice = (steps[-1], steps[-1])
    assert list(grouped(twice)) == [twice]
    drawing = hookups.braze_group(board("packaged-cooling", "full"), twice[:1], ("A",))
    assert "joint A" in drawing.title


# ---- what the other drawings show


@every_board
def test_each_hook_up_shows_its_equipment_and_ports(id: str, size: str) -> None:
    drawn = dict(samples.around(board(id, size)))
    wanted = {
        "recovery": ["Recovery machine,"], "hold": ["Nitrogen"], "charging": ["Charging"],
        "evacuation": ["Vacuum pump", "Vacuum gauge"],
    }  # fmt: skip
    for name, captions in wanted.items():
        read = Read(drawn[name].svg)
        said = " ".join(one.words for one in read.words)
        assert len(read.groups("gear")) == len(captions)
        assert all(caption in said for caption in captions)
        assert len(read.lines("hose")) >= len(captions)
    clean = Read(drawn["clean"].svg)
    assert not clean.groups("gear") and not clean.lines("hose") and not clean.lines("route")
    said = " ".join(one.words for one in clean.words)
    for port in circuit(id).service_ports:
        assert names.service_port(circuit(id), port) in said


def test_valves_are_shown_with_the_state_they_are_set_to() -> None:
    for size in SIZES:
        drawn = dict(samples.around(board("condensing-unit-receiver", size)))
        for name in ("recovery", "evacuation", "hold", "charging"):
            said = [one.words for one in Read(drawn[name].svg).words]
            assert "OPEN by magnet" in said and "MID-SEATED" in said


@every_board
def test_a_burnt_circuit_is_recovered_through_a_labelled_drier(id: str, size: str) -> None:
    drawn = dict(samples.around(board(id, size)))
    clean, burnt = drawn["recovery"], drawn["recovery-burnt"]
    read = Read(burnt.svg)
    (gear,) = read.groups("gear")
    (tag,) = [one.box for one in read.words if one.words == "Acid-rated drier"]
    assert gear[0] < (tag[0] + tag[2]) / 2 < gear[2] and gear[1] - 5 < tag[3] <= gear[1] + 2.0
    # Every hose ends at the drier's end of the machine: none goes round it.
    ends = [line.points[-1][0] for line in read.lines("hose")]
    middle = (gear[0] + gear[2]) / 2
    assert ends and len({x > middle for x in ends}) == 1
    assert len(ends) == len(Read(clean.svg).lines("hose"))
    assert "acid-rated drier" in burnt.description
    assert "drier" not in clean.description.replace("drier process tube", "")
    assert "Acid-rated drier" not in [one.words for one in Read(clean.svg).words]


def test_charging_says_that_the_coil_takes_the_magnets_place() -> None:
    for size in SIZES:
        drawn = dict(samples.around(board("condensing-unit-receiver", size)))
        at = {one.words: one.box for one in Read(drawn["charging"].svg).words}
        held, later = at["OPEN by magnet"], at["then coil back on"]
        assert 0 < later[1] - held[1] < 6, "the second under the first"
        assert "coil back on the liquid-line solenoid" in drawn["charging"].description
        for name in ("recovery", "evacuation", "hold"):
            assert "then coil back on" not in drawn[name].svg


def test_a_state_stands_beside_its_valve() -> None:
    made = board("condensing-unit-receiver", "half")
    valves = {"MID-SEATED": "receiver-valve", "OPEN by magnet": "solenoid"}
    for name, drawing in samples.around(made):
        for words, part in valves.items():
            body = made.box(made.placed[part].body)
            for box in [one.box for one in Read(drawing.svg).words if one.words == words]:
                apart = max(body[0] - box[2], box[0] - body[2], body[1] - box[3], box[1] - body[3])
                assert apart < 12.0, (name, words)


def test_the_gauge_shares_a_pumped_port_when_there_is_no_other() -> None:
    drawing = dict(samples.around(board("packaged-cooling", "half")))["evacuation"]
    said = " ".join(one.words for one in Read(drawing.svg).words)
    assert "Pump and gauge, core out" in said
    assert "side branch" in drawing.description


# ---- of all drawings


@pytest.mark.parametrize("size", SIZES)
def test_the_same_circuit_gives_the_same_bytes(size: str) -> None:
    once, twice = (
        [one.svg for _, one in samples.job(lay_out(circuit("split-heat-pump"), SIZES[size]),
                                           ("compressor", "drier"))]
        for _ in range(2)
    )  # fmt: skip
    assert once == twice


def test_every_drawing_of_a_circuit_shows_each_part_in_the_same_place() -> None:
    for size in SIZES:
        drawn = samples.job(board("packaged-heat-pump", size), ("compressor", "drier"))
        places = {tuple(Read(one.svg).groups("symbol")) for _, one in drawn}
        assert len(places) == 1


@pytest.mark.parametrize("id", IDS)
def test_a_hook_up_is_lower_than_it_is_wide_by_half(id: str) -> None:
    # A heat pump has a loop in its loop and three ports to reach.
    most = 64 if "heat-pump" in id else 46
    for name, drawing in samples.around(board(id, "half")):
        assert drawing.height_mm <= most or name == "clean", name


@every_board
def test_a_drawing_is_low_enough_to_share_a_page(id: str, size: str) -> None:
    for name, drawing in samples.job(board(id, size), ("compressor", "drier")):
        assert drawing.width_mm == SIZES[size].width_mm
        assert drawing.height_mm <= 110, name


def test_all_drawings_of_a_job_take_a_blink() -> None:
    begun = time.process_time()
    drawn = samples.job(lay_out(circuit("condensing-unit-receiver"), HALF), ("compressor", "drier"))
    assert len(drawn) == 14
    assert time.process_time() - begun < 2.0  # measured 0.2 s; a search gone wild takes minutes
