"""Steps that follow from the hook-ups: which ports are shut, which end hangs free, which drier."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from packets import locating, markup, pipeline
from packets.findings import Findings, Place
from packets.illustrating import illustrate
from packets.model.packet import Section
from packets.pipeline import Prepared
from tests import jobs

CREAMERY, LIBRARY, CLINIC = (
    jobs.EXAMPLES / name for name in ("creamery-cooler", "library-heat-pump", "clinic-wall-split")
)


def section(done: Prepared, fragment: str) -> Section:
    """The one section that a fragment makes."""
    assert done.packet is not None, [str(one) for one in done.findings]
    (found,) = [one for one in done.packet.sections if one.fragment == fragment]
    return found


# ---- ports that neither the hold nor the pump uses are shut before nitrogen goes in


@pytest.mark.parametrize(
    ("example", "shut"),
    [(CREAMERY, ["discharge-port"]), (LIBRARY, ["discharge-port", "suction-port"]), (CLINIC, [])],
    ids=lambda value: getattr(value, "name", ""),
)
def test_each_port_left_over_has_its_core_put_back(example: Path, shut: list[str]) -> None:
    done = pipeline.prepare(example / "job.yaml")
    hookups = done.circuits["a"].context.hookups
    used = {use.port for use in hookups.evacuation.pumped}
    blanks = [
        one.field.rpartition("__")[2]
        for step in section(done, "pressure-hold").steps
        for row in step.readings
        for one in row
        if "r-port-shut" in one.field
    ]
    assert sorted(blanks) == shut
    assert used.isdisjoint(blanks) and used | set(blanks) <= set(hookups.made.service_ports)


# ---- the far end of a part that hangs free


@pytest.mark.parametrize("example", [CREAMERY, LIBRARY], ids=lambda value: value.name)
def test_a_free_far_end_is_named_where_gas_is_fed_and_the_other_end_is_not_made(
    example: Path,
) -> None:
    done = pipeline.prepare(example / "job.yaml")
    steps = {one.joint: one for one in done.circuits["a"].context.hookups.braze.steps}
    titles = [one.group_title for one in section(done, "purge-and-braze").steps if one.group_title]
    assert len(titles) == len(steps)
    made: set[str] = set()
    for title, (joint, step) in zip(titles, steps.items(), strict=True):
        part = joint.partition(".")[0]
        begun = any(other.startswith(f"{part}.") for other in made)
        assert title.endswith(", far end free") == (
            part != "compressor" and not begun and step.route is not None
        )
        made.add(joint)


# ---- which drier: brazed or flared, one way or two


def drier(tmp_path: Path, example: Path, old: str, new: str) -> list[str]:
    """The steps of replacing the drier when its joints are made in another way."""
    found = (example / "equipment.yaml").read_text(encoding="utf-8")
    changes = []
    for line in found.splitlines():
        if line.strip().startswith(("drier.in:", "drier.out:")):
            assert old in line
            changes.append((line, line.replace(old, new)))
    assert len(changes) == 2
    done = jobs.prepared(tmp_path, {"equipment.yaml": changes}, example)
    return [one.id.split("@")[0].split("/")[1] for one in section(done, "replace-drier").steps]


@pytest.mark.parametrize(
    ("example", "old", "new", "wanted"),
    [
        (CREAMERY, "brazed", "brazed", ["cut-out", "fit"]),
        (CREAMERY, "brazed", "flare", ["undo", "fit-flared"]),
        (LIBRARY, "flare", "flare", ["undo-in-moving-air", "fit-flared-two-way"]),
        (LIBRARY, "flare", "brazed", ["cut-out", "fit-two-way"]),
    ],
    ids=["brazed", "flared", "two-way flared", "two-way brazed"],
)
def test_each_drier_has_its_own_steps(
    tmp_path: Path, example: Path, old: str, new: str, wanted: list[str]
) -> None:
    assert drier(tmp_path, example, old, new) == wanted


# ---- a drawing asked for, and nothing to draw


def told(example: Path, fragment: str, *drawings: str) -> list[str]:
    """The codes of what is told when a fragment asks for some drawings."""
    done = pipeline.prepare(example / "job.yaml")
    assert done.packet is not None and done.catalog is not None
    fragments = dict(done.catalog.library.fragments)
    fragments[fragment] = replace(fragments[fragment], drawings=drawings)
    hookups = {name: one.context.hookups for name, one in done.circuits.items()}
    findings = Findings()
    illustrate(done.packet, fragments, hookups, Place("equipment.yaml", 1, 1), findings)
    return [one.code for one in findings]


def test_a_drawing_of_nothing_is_told() -> None:
    assert told(CLINIC, "recover", "recovery", "unbraze") == ["nothing-to-draw"]
    assert told(CLINIC, "recover", "recovery", "charging") == []
    assert told(CREAMERY, "recover", "unbraze", "braze") == []


# ---- the second of a kind says what is other


def test_each_joint_s_braze_is_said_in_full_with_its_own_filler() -> None:
    done = pipeline.prepare(CREAMERY / "job.yaml")
    steps = section(done, "purge-and-braze").steps
    brazed = [one for one in steps if one.id.startswith("purge-and-braze/braze@")]
    assert len(brazed) == 6
    assert all("until no wet rag hisses" in markup.plain(one.action) for one in brazed)
    told = {markup.plain(one.action).partition(" with ")[2].partition(". ")[0] for one in brazed}
    assert told == {"BAg-5 or BAg-7 or BAg-24, with flux", "BCuP-2, no flux"}


def test_a_step_that_is_never_repeated_has_no_words_for_it(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    ours = (locating.procedures() / "sweep.yaml").read_text(encoding="utf-8")
    wrong = ours.replace("    action: ", "    again: Do it as before.\n    action: ", 1)
    assert wrong != ours
    (shop / "sweep.yaml").write_text(wrong, encoding="utf-8")
    assert "again-alone" in jobs.codes(pipeline.prepare(jobs.copy(tmp_path), shop))
