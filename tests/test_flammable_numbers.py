"""A flammable charge against its room, and the kit that may meet it."""

from __future__ import annotations

from pathlib import Path

import pytest

from packets.composing.texts import number_text
from packets.formulas import flammables as formula
from packets.pipeline import Prepared
from tests import jobs
from tests.splits import nameplate, number, register, split, stopped, warned

# 20 m2, h0 0.6 m: R-32 1.533 kg (IEC 60335-2-40:2018 GG.2, in three guides); twice the height
# twice the charge.
ROOM = "altitude: 980 ft, room: {area: 20 m2, height: 8 ft, install_height: %s}}"


def flammable(
    folder: Path, *changes: jobs.Change, room: str = "", kit: list[jobs.Change] | None = None
) -> Prepared:
    """A split with R-32 and 4 kg by its plate."""
    space = [("altitude: 980 ft}", ROOM % room)] if room else []
    charge = nameplate("4 kg", "{covers: 50 ft}")
    every = (charge, *space, *changes)
    return split(folder, *every, kit=jobs.RATED if kit is None else kit, refrigerant="R-32")


def test_the_room_takes_what_the_standard_s_tables_give(tmp_path: Path) -> None:
    done = flammable(tmp_path, room="1.8 m")
    # 1.533 kg x 1.8/0.6 = 4.60 kg, down.
    assert number(done, "flammable.room_charge").value == pytest.approx(4.600, abs=0.002)
    assert number_text(number(done, "flammable.room_charge"), "si") == "4.59 kg"
    # Least area for 4 kg: (4 / (2.5 x 0.307^1.25 x 1.8))^2 = 15.1 m2, up.
    assert number_text(number(done, "flammable.least_area"), "si") == "15.2 m²"
    assert done.packet is not None, [str(f) for f in done.findings]


def test_a_charge_the_room_does_not_take_stops(tmp_path: Path) -> None:
    done = flammable(tmp_path, room="0.2 m")
    assert "3 lb 6 oz" in stopped(done, "flammable-charge")
    assert done.packet is None


def test_a_room_not_stated_is_asked_for_only_above_the_free_charge(tmp_path: Path) -> None:
    assert "space.room" in warned(flammable(tmp_path), "flammable-room")
    small = flammable(tmp_path, ("charge: 4 kg", "charge: 1.8 kg"))
    assert not warned(small, "flammable-room")


def test_more_than_the_standard_covers_stops(tmp_path: Path) -> None:
    # m3 = 260 m3 x 0.307 = 79.8 kg.
    done = flammable(tmp_path, ("charge: 4 kg", "charge: 85 kg"), room="1.8 m")
    assert "175 lb" in stopped(done, "flammable-charge")


def test_the_limits_are_air_conditioning_s_and_say_so_elsewhere(tmp_path: Path) -> None:
    change = ("use: comfort-cooling", "use: commercial-refrigeration")
    done = flammable(tmp_path, change, room="1.8 m")
    assert "air conditioners" in warned(done, "flammable-standard")


def test_limits_of_a_standard_that_does_not_cover_the_machine_are_left_blank(
    tmp_path: Path,
) -> None:
    change = ("use: comfort-cooling", "use: commercial-refrigeration")
    done = flammable(tmp_path, change, room="1.8 m")
    assert done.packet is not None, [str(f) for f in done.findings]
    (group,) = [group for group in done.packet.card if group.title == "Flammable"]
    assert [line.id for line in group.lines] == ["flammable.lfl", "flammable.room_charge"]
    assert "label" in group.lines[1].blank and not group.lines[1].value
    waiting = register(done).waiting
    for name in ("flammable.m1", "flammable.m2", "flammable.m3", "flammable.least_area"):
        assert waiting[name].key == "use"


def test_only_flammable_machines_print_them(tmp_path: Path) -> None:
    plain = split(tmp_path)
    assert plain.packet is not None
    assert "Flammable" not in [group.title for group in plain.packet.card]
    assert "flammable.lfl" not in register(plain)
    done = flammable(tmp_path, room="1.8 m")
    assert done.packet is not None
    (group,) = [group for group in done.packet.card if group.title == "Flammable"]
    assert [line.id for line in group.lines] == [
        "flammable.lfl", "flammable.m1", "flammable.room_charge", "flammable.least_area",
    ]  # fmt: skip
    assert all(line.mark for line in group.lines)


def test_the_basis_stands_with_the_limit(tmp_path: Path) -> None:
    lfl = number(flammable(tmp_path), "flammable.lfl")
    assert "ISO 817" in lfl.source
    assert lfl.value == 0.307


def test_the_concentration_limit_of_one_blend_stays_blank(tmp_path: Path) -> None:
    room = ("altitude: 980 ft}", ROOM % "1.8 m")
    blank = split(tmp_path, room, kit=jobs.RATED, refrigerant="R-454B")
    assert "edition" in register(blank).waiting["room.concentration_charge"].why
    # R-410A: 0.42 kg/m3 (ASHRAE 34, from memory) x 20 m2 x 8 ft = 48.77 m3: 20.5 kg.
    known = split(tmp_path, room)
    assert number(known, "room.concentration_charge").value == pytest.approx(20.48, abs=0.01)
    low = split(
        tmp_path, ("altitude: 980 ft}", "altitude: 980 ft, room: {area: 5 m2, height: 8 ft}}")
    )
    assert "oxygen meter" in warned(low, "concentration-limit")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("micron, rated_for: [A1, A2L]}", "micron}", "vacuum pump"),
        ("leak_detector: {id: D-2, rated_for: [A1, A2L]}\n", "", "leak_detector"),
        ("fan: {rated_for: [A1, A2L]}", "fan: {rated_for: [A1]}", "fan is not rated"),
        ("service_hoses: {rated_for: [A1, A2L]}", "service_hoses: {rated_for: [A1]}", "hoses"),
    ],
)
def test_a_tool_that_is_not_rated_stops(tmp_path: Path, old: str, new: str, says: str) -> None:
    kit = [(before, after.replace(old, new)) for before, after in jobs.RATED]
    assert kit != jobs.RATED
    done = flammable(tmp_path, room="1.8 m", kit=kit)
    assert says in stopped(done, "kit-rating")
    assert jobs.codes(done) == ["kit-rating"]


def test_a_cylinder_without_the_left_hand_valve_takes_no_flammable_gas(tmp_path: Path) -> None:
    kit = [(before, after.replace("    left_hand: true\n", "")) for before, after in jobs.RATED]
    assert "left-hand" in stopped(flammable(tmp_path, room="1.8 m", kit=kit), "cylinder-room")


def test_a_kit_that_is_not_rated_serves_what_does_not_burn(tmp_path: Path) -> None:
    assert split(tmp_path).packet is not None


def test_class_3_takes_the_smaller_factors(tmp_path: Path) -> None:
    done = split(tmp_path, nameplate("150 g", "{covers: 50 ft}"), refrigerant="R-290")
    # 4 m3 x 0.038 = 0.152 kg (IEC 60335-2-40, from memory).
    assert number(done, "flammable.m1").value == pytest.approx(0.152)
    assert formula.GENERAL_FACTORS[0] == 4
