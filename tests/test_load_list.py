"""The load list against the printed steps: what they tell to use is on it, once, and enough."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from packets import pdf, rendering
from packets.composing.loading import PLACES
from packets.formatting import System
from packets.model.packet import LoadLine, Packet, Section, Step
from packets.pipeline import Prepared, prepare
from packets.wording.gear import GEAR
from tests import jobs
from tests.test_packets import DRIER_ONLY, EMPTY, FLAMMABLE

EXAMPLES = {path.parent.name: path for path in sorted(jobs.EXAMPLES.glob("*/job.yaml"))}
# Jobs that no example is: one without recovery, one without a compressor, one on one phase.
VARIANTS = {"plain": jobs.PLAIN, "drier": DRIER_ONLY, "recovered": EMPTY, "flammable": FLAMMABLE}
JOBS = [*EXAMPLES, *VARIANTS]
RATED = ("Vacuum pump", "Fan", "Gas detector", "Electronic leak detector", "Gauge set",
         "Recovery machine", "Charging hose")  # fmt: skip


def made(name: str, folder: Path) -> Prepared:
    """An example, or the creamery changed."""
    done = prepare(EXAMPLES[name]) if name in EXAMPLES else jobs.prepared(folder, VARIANTS[name])
    assert done.packet is not None, [str(f) for f in done.findings]
    return done


def packet(done: Prepared) -> Packet:
    assert done.packet is not None, [str(f) for f in done.findings]
    return done.packet


def lines(of: Packet) -> list[LoadLine]:
    return [line for group in of.dispatch.load for line in group.lines]


def named(of: Packet, start: str) -> LoadLine | None:
    """The one line that begins so; None where there is none."""
    found = [line for line in lines(of) if re.match(rf"{start}(?! oil\b)", line.item)]
    assert len(found) <= 1, [line.item for line in found]
    return found[0] if found else None


def orders(step: Step) -> Iterator[str]:
    """What a printed step and its cautions tell the technician to do or to answer."""
    yield "".join(span.text for span in (*step.action, *step.if_out))
    for caution in step.cautions:
        yield str(caution.avoidance)
    for blanks in step.readings:
        yield from (str(blank.label) for blank in blanks)


def unloaded(section: Section, of: Packet) -> list[str]:
    """Gear that the section's printed words use and that no line lists for this section."""
    items = " | ".join(line.item for line in lines(of) if section.number in line.sections)
    said = " ".join(text for step in section.steps for text in orders(step))
    return [
        f"{section.number}: {word}"
        for word, listed in GEAR.items()
        if re.search(word, said, re.IGNORECASE) and not re.search(listed, items, re.IGNORECASE)
    ]


@pytest.mark.parametrize("name", JOBS)
def test_what_a_printed_step_uses_is_listed_for_its_section(name: str, tmp_path: Path) -> None:
    of = packet(made(name, tmp_path))
    assert [missing for section in of.sections for missing in unloaded(section, of)] == []


@pytest.mark.parametrize("name", JOBS)
def test_each_thing_is_on_the_list_once_and_for_sections_that_are_printed(
    name: str, tmp_path: Path
) -> None:
    of = packet(made(name, tmp_path))
    items = [re.sub(r"\W+", " ", line.item.lower()) for line in lines(of)]
    assert len(items) == len(set(items))
    numbers = {section.number for section in of.sections}
    for line in lines(of):
        assert line.sections and set(line.sections) <= numbers
        assert list(line.sections) == sorted(set(line.sections))
        assert line.count >= 1
    assert [group.title for group in of.dispatch.load] == [
        title for title in PLACES.values() if title in {g.title for g in of.dispatch.load}
    ]
    # One set of hoses a use: no hose of the same kind under another name.
    for kind in ("Vacuum hoses", "Gauge set and hoses", "Charging hose", "Vent hose", "Fan"):
        named(of, kind)


@pytest.mark.parametrize("name", JOBS)
def test_core_tools_are_as_many_as_ports_stand_with_their_cores_out_at_once(
    name: str, tmp_path: Path
) -> None:
    """Counted anew from each hook-up's plan, not by the function that the list is counted by."""
    done = made(name, tmp_path)
    of, hookups = packet(done), done.circuits["a"].context.hookups
    used = {section.fragment for section in of.sections}
    recovery = [use for use in (*hookups.recovery.liquid, *hookups.recovery.vapor) if use.core_out]
    pumped = [use for use in hookups.evacuation.pumped if use.core_out]
    ends = [hookups.sweep.inlet, hookups.sweep.vent] if hookups.sweep else []
    cored = [port for port in ends if hookups.made.service_ports[port].core]
    most = max(
        len(recovery) if "recover" in used else 0,
        len(pumped) if "evacuate" in used else 0,
        len(cored) if used & {"sweep", "purge-fuel"} else 0,
    )
    line = named(of, "Core tools")
    assert line is not None and line.count == most


@pytest.mark.parametrize(
    ("name", "core_tools"),
    [("clinic-wall-split", 2), ("creamery-cooler", 2), ("library-heat-pump", 3)],
)
def test_the_examples_kits_have_the_core_tools_their_lists_ask_for(
    name: str, core_tools: int
) -> None:
    """By hand from the drawings: the library's heat pump is recovered from its liquid port, common
    suction port and discharge port together; the others from two ports at most."""
    done = prepare(EXAMPLES[name])
    line = named(packet(done), "Core tools")
    assert line is not None and line.count == core_tools
    assert done.circuits["a"].context.kit.core_tools >= core_tools
    assert "core-tools" not in {finding.code for finding in done.findings}


def test_a_kit_with_too_few_core_tools_is_told_how_many_and_for_what(tmp_path: Path) -> None:
    short = {"kit.yaml": [("core_tools: 3", "core_tools: 2")]}
    done = jobs.prepared(tmp_path, short, jobs.EXAMPLES / "library-heat-pump")
    (found,) = [finding for finding in done.findings if finding.code == "core-tools"]
    assert found.severity == "warning" and found.place.line > 1
    assert "recovery" in found.message and "3 ports" in found.message
    assert "2 core tools" in found.message and found.fix == "load 3"


@pytest.mark.parametrize("name", JOBS)
def test_what_meets_a_flammable_refrigerant_is_rated_and_nothing_else_says_so(
    name: str, tmp_path: Path
) -> None:
    of = packet(made(name, tmp_path))
    flammable = of.safety_class not in ("A1", "B1")
    rated = {line.item for line in lines(of) if line.item.endswith(f", rated {of.safety_class}")}
    assert bool(rated) == flammable
    for start in RATED:
        line = named(of, start)
        assert line is None or (line.item in rated) == flammable, line
    left_hand = [line.item for line in lines(of) if "left-hand" in line.item.lower()]
    recovered = any(section.fragment == "recover" for section in of.sections)
    assert [item.split(" ")[0] for item in left_hand] == (
        ["Left-hand", "Recovery"] if flammable and recovered else []
    )


def test_sizes_are_counted_from_the_joints_that_are_opened() -> None:
    """By hand from the records: the creamery's compressor (1-1/8 and 7/8, a stub and a pipe end
    each), two suction-drier ends of 1-1/8, two drier ends of 1/2; the library's compressor (3/4 and
    1/2) and a drier flared at 3/8; the clinic's two flares."""
    found = {name: packet(prepare(path)) for name, path in EXAMPLES.items()}

    def amount(name: str, item: str) -> str | None:
        line = named(found[name], item)
        return line.amount.replace("\N{MULTIPLICATION SIGN}", "x") if line else None

    assert amount("creamery-cooler", "Pipe caps") == "2 x 1/2 in, 2 x 7/8 in, 4 x 1-1/8 in"
    assert amount("library-heat-pump", "Pipe caps") == "2 x 3/8 in, 2 x 1/2 in, 2 x 3/4 in"
    assert amount("clinic-wall-split", "Pipe caps") == "1 x 1/4 in, 1 x 1/2 in"
    assert amount("library-heat-pump", "New flare nuts") == "2 x 3/8 in"
    assert amount("clinic-wall-split", "New flare nuts") == "1 x 1/4 in, 1 x 1/2 in"
    assert amount("creamery-cooler", "New flare nuts") is None
    # One for each size of a joint's outlet and of the stubs that are purged before they come out.
    assert amount("library-heat-pump", "Vented caps") == "1 x 1/2 in, 1 x 3/4 in"
    assert amount("clinic-wall-split", "Vented caps") is None


def test_tools_are_counted_at_once_and_materials_added_up() -> None:
    """The creamery's acid is tested once and on two return days; one extinguisher serves all; two
    technicians each wear goggles and hang a lock."""
    of = packet(prepare(EXAMPLES["creamery-cooler"]))
    counts = {line.item.partition(",")[0]: line.count for line in lines(of)}
    assert counts["Acid test kit for POE 32 oil"] == 3
    assert counts["Fire extinguisher"] == counts["Bubble solution"] == 1
    assert (
        counts["Goggles"] == counts["Lined gloves"] == counts["Locks and tags for disconnect"] == 2
    )
    # New parts are looked at in one section and fitted in another, and are one part each.
    assert (
        counts["New compressor CU-41 scroll"]
        == counts["New liquid-line drier LD-164 acid core"]
        == 1
    )


def test_enough_nitrogen_cylinders_are_named_and_no_more(tmp_path: Path) -> None:
    """80 ft3 at 2150 of 2200 psig hold 78 ft3 and the job uses 84: it takes both. Of 250 ft3 one
    will do, of two that are on the van."""
    assert named(packet(jobs.prepared(tmp_path)), "Nitrogen, 2 cylinders of 80 ft³;") is not None
    one = "  - {volume: 80 ft3, pressure: 2015 psig, full_pressure: 2200 psig}\n"
    more = packet(jobs.prepared(tmp_path, {"kit.yaml": [(one, one.replace("80", "250") * 2)]}))
    assert named(more, "Nitrogen, 1 cylinder of 250 ft³;") is not None


def test_live_work_has_its_gloves_and_locks_where_the_panel_is_opened_again() -> None:
    of = packet(prepare(EXAMPLES["creamery-cooler"]))
    (heater,) = [section.number for section in of.sections if section.fragment == "serve-heater"]
    for start in ("Rated gloves", "Locks and tags", "Meter, insulated probes"):
        line = named(of, start)
        assert line is not None and heater in line.sections


def test_a_job_without_a_flame_loads_nothing_for_one() -> None:
    of = packet(prepare(EXAMPLES["clinic-wall-split"]))
    said = " ".join(line.item for line in lines(of)).lower()
    for word in ("torch", "braz", "filler", "flux", "wet rags", "hot-work", "blanket and heat",
                 "compressor", "drier", "acid", " lugs"):  # fmt: skip
        assert word not in said, word


def test_a_tool_has_one_place_on_the_van_in_all_fragments() -> None:
    library = prepare(EXAMPLES["creamery-cooler"]).catalog
    assert library is not None
    places: dict[str, set[str]] = {}
    for fragment in library.library.fragments.values():
        for load in (*fragment.tools, *fragment.materials):
            places.setdefault(load.item, set()).add(load.place)
    assert {item for item, at in places.items() if len(at) > 1} == set()


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("units", ["ip", "si"])
def test_the_longest_list_leaves_the_sheet_two_sides(units: System, paper: rendering.Paper) -> None:
    """The creamery's is the longest of the examples."""
    of = packet(prepare(EXAMPLES["creamery-cooler"], units=units))
    pdf._library()
    sides = pdf._laid_out(rendering.html(of, paper=paper, parts=("dispatch",))).pages
    assert len(sides) <= 2
