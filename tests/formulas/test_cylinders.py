"""Cylinder limits against the AHRI Guideline K example, 49 CFR and CoolProp."""

from __future__ import annotations

import math
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas import cylinders
from packets.formulas.ranges import OutOfRange
from tests.handbook_rows import agrees, ids, rows

PSI = 6894.757


def _fluid(refrigerant: str) -> str:
    if refrigerant != "R-454B":
        return refrigerant.replace("-", "")
    parts = {"R32": 68.9 / PropsSI("M", "R32"), "R1234yf": 31.1 / PropsSI("M", "R1234yf")}
    total = sum(parts.values())
    return "HEOS::" + "&".join(f"{name}[{moles / total}]" for name, moles in parts.items())


def _liquid_density(refrigerant: str, fahrenheit: float) -> float:
    kelvin = (fahrenheit + 459.67) / 1.8
    return float(PropsSI("D", "T", kelvin, "Q", 0, _fluid(refrigerant)))


@pytest.mark.parametrize("row", rows("cylinders"), ids=ids)
def test_handbook(row: dict[str, Any]) -> None:
    told = row["inputs"]
    if told["ask"] in ("net", "gross"):
        value = cylinders.max_net_mass(told["wc"], told["gravity"])
        if told["ask"] == "gross":
            value = cylinders.gross_stop(value, told["tare"])
        assert agrees(value, row)
    elif told["ask"] == "service":
        needed = cylinders.service_pressure_needed(told["psig"] * PSI)
        assert agrees(needed / PSI, row)
        assert cylinders.rating_covers(told["psig"] * PSI, told["rating_psig"] * PSI)
        assert not cylinders.rating_covers(told["psig"] * PSI, needed - 1.0)
    elif told["ask"] == "gravity":
        density = _liquid_density(told["refrigerant"], 77.0)
        assert agrees(cylinders.specific_gravity(density), row)
    else:
        _check_liquid_full(told["refrigerant"], float(row["expected"]))


def _check_liquid_full(refrigerant: str, fahrenheit: float) -> None:
    """Filled to the limit at 77 F, the cylinder turns liquid-full within half a degree."""
    gravity = cylinders.specific_gravity(_liquid_density(refrigerant, 77.0))
    net = cylinders.max_net_mass(20.0, gravity)
    shares = [
        cylinders.liquid_share(net, 20.0, _liquid_density(refrigerant, fahrenheit + step))
        for step in (-0.5, 0.5)
    ]
    assert shares[0] <= 1.0 <= shares[1]
    # 49 CFR 173.304(b): not liquid-full at any temperature to 131 F.
    at_131 = cylinders.liquid_share(net, 20.0, _liquid_density(refrigerant, 131.0))
    assert at_131 < 1.0


def test_the_superseded_rule_overfills_light_refrigerants() -> None:
    for gravity in (0.964, 0.989, 0.494):
        assert cylinders.max_net_mass(21.6, gravity) < 0.8 * 21.6


def test_overfilled_cylinder_shows_and_takes_nothing() -> None:
    assert cylinders.room_left(18.0, 19.5) == -1.5
    assert cylinders.fill_in_order(5.0, [-1.5, 18.0]).into_each == (0.0, 5.0)
    with pytest.raises(OutOfRange):
        cylinders.cylinders_needed(5.0, -1.5)
    with pytest.raises(OutOfRange):
        cylinders.fill_in_order(5.0, [math.nan])


masses = st.floats(1e-2, 1000)
rooms = st.floats(1e-2, 1000)


@given(masses, rooms)
def test_count_is_the_least_that_holds_the_mass(mass: float, room: float) -> None:
    count = cylinders.cylinders_needed(mass, room)
    assert count * room >= mass * (1 - 1e-12)
    assert (count - 1) * room < mass


@given(masses, st.lists(st.floats(-10, 1000), max_size=6))
def test_filling_loses_nothing_and_overfills_none(mass: float, given_rooms: list[float]) -> None:
    filling = cylinders.fill_in_order(mass, given_rooms)
    assert math.isclose(sum(filling.into_each) + filling.left_over, mass, rel_tol=1e-9)
    pairs = list(zip(filling.into_each, given_rooms, strict=True))
    assert all(0.0 <= taken <= max(room, 0.0) for taken, room in pairs)
    if filling.left_over > 0:
        assert all(taken == max(room, 0.0) for taken, room in pairs)


@given(st.floats(1, 500), st.floats(0.31, 1.7))
def test_filled_to_the_limit_is_four_fifths_liquid(capacity: float, gravity: float) -> None:
    net = cylinders.max_net_mass(capacity, gravity)
    density = gravity * cylinders.WATER_DENSITY_77F
    assert math.isclose(cylinders.liquid_share(net, capacity, density), 0.8, rel_tol=1e-9)
