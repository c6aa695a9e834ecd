"""Rated tube pressure against the CDA Copper Tube Handbook, every size of the table."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.formulas import tube
from packets.formulas.ranges import OutOfRange
from tests.handbook_rows import agrees, ids, printed, rows, table

INCH, PSI = 0.0254, 6894.757293168361
TUBES: list[dict[str, Any]] = table("tube")["rows"]


def _kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def _stress_points(temper: str) -> list[tuple[float, float]]:
    return [
        (_kelvin(row["temperature_f"]), row["stress_psi"] * PSI)
        for row in table("copper_stress")["rows"]
        if row["temper"] == temper
    ]


def _tube(size: str, wall: float | None) -> dict[str, Any]:
    found = [
        row
        for row in TUBES
        if row["size"] == size and row["temper"] == "annealed" and wall in (None, row["wall_in"])
    ]
    assert len(found) == 1
    return found[0]


def _rated(row: dict[str, Any], stress: float) -> float:
    return tube.rated_pressure(
        row["od_in"] * INCH,
        row["wall_in"] * INCH,
        stress,
        over_diameter=row["tolerance"]["over_diameter_in"] * INCH,
        under_wall=row["tolerance"]["under_wall_in"] * INCH,
    )


@pytest.mark.parametrize("row", rows("tube"), ids=ids)
def test_handbook_pressure(row: dict[str, Any]) -> None:
    told = row["inputs"]
    stress = tube.allowable_stress(_kelvin(told["temperature_f"]), _stress_points("annealed"))
    assert agrees(_rated(_tube(told["size"], told.get("wall_in")), stress) / PSI, row)


def test_every_annealed_size_is_checked_at_three_temperatures() -> None:
    annealed = [row for row in TUBES if row["temper"] == "annealed"]
    assert len(rows("tube")) == 3 * len(annealed) == 48


@pytest.mark.parametrize("row", rows("copper_stress"), ids=ids)
def test_handbook_stress(row: dict[str, Any]) -> None:
    told = row["inputs"]
    points = _stress_points(told["temper"])
    assert agrees(tube.allowable_stress(_kelvin(told["temperature_f"]), points) / 1e6, row)


@pytest.mark.parametrize("row", TUBES, ids=lambda row: f"{row['size']}-{row['wall_in']}")
def test_table_agrees_with_itself(row: dict[str, Any]) -> None:
    inside = tube.bore(row["od_in"] * INCH, row["wall_in"] * INCH)
    assert math.isclose(inside, row["bore_in"] * INCH, abs_tol=1e-9)
    # ASTM B280 prints the size as a fraction and the diameter to .001 in. (5/16 as .312)
    assert abs(printed(row["size"])[0] - row["od_in"]) <= 0.0005 + 1e-9
    area = math.pi * (row["od_in"] - row["wall_in"]) * row["wall_in"]
    weight = row["weight"]["mass_lb_per_ft"]
    assert abs(area * 12 * 0.323 - weight) <= printed(repr(weight))[1]


def test_above_the_stress_table_is_refused_below_it_is_not() -> None:
    points = _stress_points("annealed")
    assert tube.allowable_stress(_kelvin(-20), points) == points[0][1]
    with pytest.raises(OutOfRange):
        tube.allowable_stress(_kelvin(401), points)
    with pytest.raises(ValueError, match="rising"):
        tube.allowable_stress(300.0, points[::-1])


def test_a_wall_that_is_no_tube_is_refused() -> None:
    with pytest.raises(OutOfRange):
        tube.rated_pressure(0.006, 0.003, 4e7, over_diameter=0.0, under_wall=0.0)


@given(st.floats(200, 477.5), st.floats(200, 477.5))
def test_hotter_metal_never_gains_stress(one: float, other: float) -> None:
    cool, hot = sorted((one, other))
    points = _stress_points("annealed")
    assert tube.allowable_stress(hot, points) <= tube.allowable_stress(cool, points)


@given(st.sampled_from(TUBES), st.floats(0, 1e-4), st.floats(0, 5e-5))
def test_tolerances_only_lower_the_rating(row: dict[str, Any], over: float, under: float) -> None:
    d, t = row["od_in"] * INCH, row["wall_in"] * INCH
    exact = tube.rated_pressure(d, t, 4e7, over_diameter=0.0, under_wall=0.0)
    worst = tube.rated_pressure(d, t, 4e7, over_diameter=over, under_wall=under)
    assert worst <= exact
    # Barlow's thin-wall figure is the formula without its 0.8 t term, and lies below.
    assert 2 * 4e7 * t / d < exact


def test_inside_volume_by_hand() -> None:
    """42 ft of 1-1/8 in. tube, bore 1.025 in.: 0.82516 in2 x 504 in. = 415.9 in3 = 6.815 L."""
    litres = 1000 * tube.volume(1.025 * INCH, 42 * 12 * INCH)
    assert litres == pytest.approx(6.815, abs=0.001)


def test_a_wall_tolerance_of_more_than_half_the_wall_is_refused() -> None:
    tube.rated_pressure(0.02, 0.001, 4e7, over_diameter=0.0, under_wall=0.0005)
    with pytest.raises(OutOfRange):
        tube.rated_pressure(0.02, 0.001, 4e7, over_diameter=0.0, under_wall=0.00051)
