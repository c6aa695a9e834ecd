"""Weigh-in charge against CoolProp's liquid density and hand-worked scales."""

from __future__ import annotations

import math
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas import charge
from packets.formulas.ranges import OutOfRange
from tests.handbook_rows import agrees, ids, rows

INCH, FOOT, OUNCE, POUND = 0.0254, 0.3048, 0.45359237 / 16, 0.45359237


def _liquid_density(refrigerant: str, fahrenheit: float) -> float:
    fluid = refrigerant.replace("-", "")
    if refrigerant == "R-454B":
        parts = {"R32": 68.9 / PropsSI("M", "R32"), "R1234yf": 31.1 / PropsSI("M", "R1234yf")}
        total = sum(parts.values())
        fluid = "HEOS::" + "&".join(f"{name}[{moles / total}]" for name, moles in parts.items())
    return float(PropsSI("D", "T", (fahrenheit + 459.67) / 1.8, "Q", 0, fluid))


@pytest.mark.parametrize("row", rows("charge"), ids=ids)
def test_handbook_ounces_a_foot(row: dict[str, Any]) -> None:
    told = row["inputs"]
    density = _liquid_density(told["refrigerant"], told["temperature_f"])
    mass = charge.mass_in_tube(told["bore_in"] * INCH, FOOT, density)
    assert agrees(mass / OUNCE, row)


def test_split_weigh_in_by_hand() -> None:
    """6 lb for 25 ft of line, 42 ft installed, 0.6 oz/ft: 17 x 0.6 = 10.2 oz on top.

    6 lb 10.2 oz = 6.6375 lb from a cylinder that shows 31.00 lb: stop at 24.36 lb.
    """
    adder = charge.line_adder(42 * FOOT, 25 * FOOT, 0.6 * OUNCE / FOOT)
    assert adder / OUNCE == pytest.approx(10.2)
    total = charge.total_charge([6 * POUND, adder])
    assert total / POUND == pytest.approx(6.6375)
    assert charge.scale_stop(31 * POUND, total) / POUND == pytest.approx(24.3625)


def test_shorter_line_takes_nothing_off() -> None:
    assert charge.line_adder(10 * FOOT, 25 * FOOT, 0.05) == 0.0


def test_more_than_the_cylinder_shows_cannot_be_charged() -> None:
    with pytest.raises(OutOfRange):
        charge.scale_stop(6.0, 6.1)


def test_no_cylinder_gives_its_heel() -> None:
    draw = charge.draw_in_order(6.0, [0.4, 4.5, 1.5], 0.5)
    assert draw.from_each == (0.0, 4.0, 1.0)
    assert draw.short_by == pytest.approx(1.0)


masses = st.floats(0.01, 500)


@given(masses, st.lists(st.floats(0, 500), max_size=6), st.floats(0, 20))
def test_drawing_loses_nothing(mass: float, contents: list[float], heel: float) -> None:
    draw = charge.draw_in_order(mass, contents, heel)
    assert math.isclose(sum(draw.from_each) + draw.short_by, mass, rel_tol=1e-9, abs_tol=1e-9)
    pairs = zip(draw.from_each, contents, strict=True)
    assert all(0 <= drawn <= max(0.0, content - heel) for drawn, content in pairs)


@given(masses, st.floats(0, 0.5), st.floats(0, 500))
def test_overcharge_limit_never_passes_the_cap(mass: float, share: float, cap: float) -> None:
    assert charge.overcharge_limit(mass, share, cap) <= cap
    assert charge.overcharge_limit(mass, share) >= mass


@given(st.floats(0, 500), st.floats(0, 500), st.floats(0, 1))
def test_longer_line_never_takes_less(one: float, other: float, adder: float) -> None:
    short, long = sorted((one, other))
    assert charge.line_adder(short, 7.6, adder) <= charge.line_adder(long, 7.6, adder)


@given(st.floats(0, 1), st.integers(1, 20))
def test_scale_steps_add_up_over_cylinders(step: float, cylinders: int) -> None:
    assert math.isclose(charge.weigh_in_uncertainty(step, cylinders), step * cylinders)


def test_receiver_caps_the_charge_by_hand() -> None:
    """10 L, 80 % filled, R-448A-like 1,050 kg/m3: 8.4 kg."""
    capacity = charge.receiver_capacity(0.010, 1050.0, 0.8)
    assert capacity == pytest.approx(8.4)
    assert charge.overcharge_limit(8.2, 0.05, capacity) == capacity


def test_overcharge_limit_by_hand() -> None:
    """6.60 kg and 5 %: 6.93 kg."""
    assert charge.overcharge_limit(6.60, 0.05) == pytest.approx(6.93)
