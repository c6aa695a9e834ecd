"""Drawings a third of the page wide: joints alone, in lines, symbols, arrows and two words."""

from __future__ import annotations

import time
from collections.abc import Iterator
from functools import cache

import pytest

from packets import pipeline
from packets.circuit import names, standing
from packets.circuit.brazing import braze_plan
from packets.circuit.recovery import recovery_plan
from packets.circuit.unbrazing import unbraze_plan
from packets.drawings import hookups
from packets.drawings.board import Board, lay_out
from packets.drawings.drawing import THIRD, Drawing
from packets.drawings.grouping import grouped
from packets.drawings.letters import width
from packets.model.circuits import CircuitPlan
from packets.model.hookups import BrazeStep, Hookups, Opened, Route, UnbrazeStep
from tests.circuit.known import IDS, circuit
from tests.drawings import samples
from tests.drawings.faults import faults
from tests.drawings.reading import Box, Read
from tests.jobs import EXAMPLES

JOBS = sorted(folder.name for folder in EXAMPLES.iterdir())
# Of each symbol the longer side [mm]; a tee is a dot on the line.
LEAST_SYMBOL = 3.1

Joint = tuple[str, Route | None, Drawing]


@cache
def board(id: str) -> Board:
    """A circuit laid out, shipped or one that differs."""
    return lay_out(samples.differing()[id] if id not in IDS else circuit(id), THIRD)


@cache
def planned(name: str) -> Hookups:
    """What an example job opens and joins."""
    done = pipeline.prepare(EXAMPLES / name / "job.yaml")
    (found,) = done.circuits.values()
    return found.context.hookups


def brazed(on: Board, steps: tuple[BrazeStep, ...]) -> Iterator[Joint]:
    for number, step in enumerate(steps, 1):
        yield step.joint, step.route, hookups.braze(on, step, str(number))


def unbrazed(on: Board, steps: tuple[UnbrazeStep, ...], cut: tuple[str, ...]) -> Iterator[Joint]:
    for at, step in enumerate(steps):
        yield step.joint, step.route, hookups.unbraze(on, steps, at, cut)


def of_work(id: str, work: str) -> Iterator[Joint]:
    steps = braze_plan(circuit(id), Opened(samples.out(id, work))).steps
    yield from brazed(board(id), steps)


def of_job(name: str) -> Iterator[Joint]:
    plan = planned(name)
    found, made = lay_out(plan.found, THIRD), lay_out(plan.made, THIRD)
    yield from brazed(made, plan.braze.steps)
    yield from unbrazed(found, plan.unbraze.steps, tuple(plan.cut))


# ---- nothing on anything else


@pytest.mark.parametrize("id", IDS)
@pytest.mark.parametrize("work", samples.WORKS)
def test_nothing_lies_on_anything_else(id: str, work: str) -> None:
    parts = samples.out(id, work)
    drawn = samples.job(board(id), parts)
    assert len(drawn) >= 4
    for name, drawing in drawn:
        assert faults(drawing) == [], name


@pytest.mark.parametrize("id", samples.differing())
def test_a_machine_that_differs_is_drawn_as_cleanly(id: str) -> None:
    for name, drawing in samples.job(board(id), ("compressor", "drier")):
        assert faults(drawing) == [], name
        assert drawing.height_mm <= 55


@pytest.mark.parametrize("name", JOBS)
def test_the_joints_of_the_examples_are_drawn_as_cleanly(name: str) -> None:
    for joint, route, drawing in of_job(name):
        assert faults(drawing) == [], joint
        shows(planned(name).made, route, drawing)


@pytest.mark.parametrize("id", IDS)
def test_a_number_stands_near_its_joint(id: str) -> None:
    apart = []
    for work in samples.WORKS:
        for _, drawing in samples.job(board(id), samples.out(id, work)):
            read = Read(drawing.svg)
            (ring,), (disc,) = read.circles("ring"), read.circles("badge")
            apart.append(
                max(abs(ring[at] + ring[at + 2] - disc[at] - disc[at + 2]) for at in (0, 1))
            )
    # Twice the distance between the middles [mm]; where arrows crowd it, a dotted line leads there.
    assert max(apart) <= 2 * 15 and sorted(apart)[len(apart) // 2] <= 2 * 7.2


# ---- what each shows


def shows(plan: CircuitPlan, route: Route | None, drawing: Drawing) -> None:
    """Every ring, plug and arrow of a route is there, and the words are the two."""
    read = Read(drawing.svg)
    assert len(read.circles("ring")) == len(read.circles("badge")) == 1
    said = [one.words for one in read.words if not one.badge]
    if route is None:
        assert said == [] and read.lines("route") == []
        return
    fills = read.fills("cap")
    vented = route.vent.end is not None
    assert fills.count("#000") == len(route.caps)
    assert fills.count("#fff") == len(route.keep_closed) + vented
    assert said.count("In") == said.count("Out") == 1
    assert said.count("Cap") <= len(route.caps)
    valves = [*route.valves, *standing.on_the_way(plan, route)]
    states = sorted(one.state.partition("-")[0].upper() for one in valves)
    assert sorted(one for one in said if one not in ("In", "Out", "Cap")) == states
    assert all(one.bold for one in read.words)
    arrow(read, "inlet", inward=True)
    arrow(read, "vent", inward=False)


def arrow(read: Read, kind: str, inward: bool) -> None:
    """One shaft of a kind, whose head points to the machine or away from it."""
    (shaft,) = read.lines(kind)
    outer = shaft.points[0] if inward else shaft.points[-1]
    inner = shaft.points[1] if inward else shaft.points[-2]
    heads = [head for head in read.shapes("arrow") if touches(head, outer, inner)]
    assert heads, f"no head on the {kind} arrow"


def touches(head: Box, *ends: tuple[float, float]) -> bool:
    """Whether a head holds an end of a shaft, or nearly."""
    near = 0.3
    return any(
        head[0] - near <= x <= head[2] + near and head[1] - near <= y <= head[3] + near
        for x, y in ends
    )


@pytest.mark.parametrize("id", IDS)
@pytest.mark.parametrize("work", samples.WORKS)
def test_ring_plugs_arrows_and_two_words_are_there(id: str, work: str) -> None:
    for _, route, drawing in of_work(id, work):
        shows(circuit(id), route, drawing)


@pytest.mark.parametrize("id", IDS)
def test_the_word_stands_at_the_outer_end_of_its_arrow(id: str) -> None:
    for joint, route, drawing in of_work(id, "compressor"):
        assert route is not None
        read = Read(drawing.svg)
        for word, kind, end in (("In", "inlet", 0), ("Out", "vent", -1)):
            (box,) = [one.box for one in read.words if one.words == word]
            (shaft,) = read.lines(kind)
            (x, y), own = shaft.points[end], ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
            others = read.lines("vent" if kind == "inlet" else "inlet")
            (a, b) = others[0].points[-1 if kind == "inlet" else 0]
            led = len(read.lines("leader"))
            apart = abs(own[0] - x) + abs(own[1] - y)
            assert apart < abs(own[0] - a) + abs(own[1] - b) or led, (joint, word)


@pytest.mark.parametrize("id", IDS)
def test_the_route_runs_through_the_ring_and_is_twice_as_heavy_as_a_line(id: str) -> None:
    for joint, _, drawing in of_work(id, "compressor"):
        read = Read(drawing.svg)
        (ring,) = read.circles("ring")
        middle = (ring[0] + ring[2]) / 2, (ring[1] + ring[3]) / 2
        ends = [point for line in read.lines("route") for point in line.points]
        near = [p for p in ends if abs(p[0] - middle[0]) + abs(p[1] - middle[1]) < 0.1]
        assert len(near) >= 2, joint
        (thin,) = {line.weight for line in read.lines("line")}
        assert min(line.weight for line in read.lines("route")) >= 2 * thin


@pytest.mark.parametrize("id", IDS)
def test_the_description_still_names_every_port_and_plug(id: str) -> None:
    plan = circuit(id)
    for joint, route, drawing in of_work(id, "compressor"):
        assert route is not None
        assert names.joint(plan, joint) in drawing.title
        for side in (route.inlet, route.vent):
            named = names.service_port(plan, side.port) if side.port else ""
            assert named in drawing.description
        for end in (*route.caps, *route.keep_closed):
            assert names.end(plan, end) in drawing.description


def words_of(drawing: Drawing) -> list[str]:
    return [one.words for one in Read(drawing.svg).words]


def test_a_valve_that_the_gas_passes_is_shown_open() -> None:
    # Both service valves lie on the long way round, and none on the short one.
    plan, cut = circuit("split-heat-pump"), ("compressor",)
    steps = unbraze_plan(plan, ["compressor.suction", "compressor.discharge"], cut).steps
    drawn = [drawing for *_, drawing in unbrazed(board("split-heat-pump"), steps, cut)]
    assert sorted(words_of(one).count("OPEN") for one in drawn) == [0, 2]
    (long,) = [one for one in drawn if "OPEN" in words_of(one)]
    assert "liquid service valve open and vapor service valve open" in long.description


def test_a_valve_set_before_is_shown_as_it_was_left() -> None:
    plan, made = circuit("condensing-unit-receiver"), board("condensing-unit-receiver")
    steps = braze_plan(plan, Opened(("compressor", "drier"))).steps
    (step,) = [one for one in steps if one.joint == "drier.in"]
    held = recovery_plan(plan).valves
    assert "MID" in words_of(hookups.braze(made, step, "3", held))
    assert "MID" not in words_of(hookups.braze(made, step, "3"))


def test_there_is_no_gear_and_no_name() -> None:
    for id in IDS:
        for _, _, drawing in of_work(id, "compressor"):
            read = Read(drawing.svg)
            assert not read.groups("gear") and not read.lines("hose")
            said = " ".join(one.words for one in read.words)
            assert not any(names.part(circuit(id), part) in said for part in circuit(id).parts)


# ---- caption


def test_a_caption_says_the_joint_in_one_line_and_a_cut_one_is_a_stub() -> None:
    made = board("condensing-unit-receiver")
    drawn = dict(samples.job(made, ("compressor", "drier")))
    assert drawn["braze-1"].caption == "Joint 1: compressor suction"
    assert drawn["unbraze-1"].caption == "Stub 1: compressor discharge"
    whole = dict(samples.unbrazing(made, ("evaporator", "drier")))
    assert whole["unbraze-1"].caption.startswith("Joint 1")
    for one in drawn.values():
        assert width(one.caption, 9.0, bold=True) <= THIRD.width_mm


def test_a_name_too_long_for_the_line_leaves_the_number() -> None:
    steps = braze_plan(circuit("packaged-cooling"), Opened(("compressor", "drier"))).steps
    pair = hookups.braze_group(board("packaged-cooling"), (steps[-1], steps[-1]), ("4", "5"))
    assert pair.caption == "Joints 4 and 5"
    assert "joint 4" in pair.title and "joint 5" in pair.title


# ---- size and speed


@pytest.mark.parametrize("id", IDS)
def test_three_stand_in_a_row_and_each_is_low(id: str) -> None:
    for name, drawing in samples.job(board(id), ("compressor", "drier")):
        assert drawing.width_mm == 60.0
        assert drawing.height_mm <= (51 if id == "split-heat-pump" else 31), name


@pytest.mark.parametrize("id", IDS)
def test_symbols_are_big_enough_for_arms_length(id: str) -> None:
    (_, _, drawing), *_ = of_work(id, "compressor")
    for left, top, right, bottom in Read(drawing.svg).groups("symbol"):
        assert max(right - left, bottom - top) >= LEAST_SYMBOL


def test_a_plate_takes_a_blink() -> None:
    begun = time.process_time()
    samples.job(lay_out(circuit("condensing-unit-receiver"), THIRD), ("compressor", "drier"))
    assert time.process_time() - begun < 0.6  # measured 0.07 s


@pytest.mark.parametrize("name", JOBS)
def test_joints_that_share_a_drawing_share_it_here_too(name: str) -> None:
    plan = planned(name)
    made = lay_out(plan.made, THIRD)
    for steps in grouped(plan.braze.steps):
        numbers = [str(at) for at in range(1, len(steps) + 1)]
        drawing = hookups.braze_group(made, steps, numbers)
        assert faults(drawing) == []
        assert len(Read(drawing.svg).circles("ring")) == len(steps)
