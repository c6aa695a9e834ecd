"""Printed values round to the safe side and read as the trade writes them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.formatting import minutes, show, tube
from packets.quantities import PSI, from_si


@pytest.mark.parametrize(
    ("value", "quantity", "way", "step", "text"),
    [
        (250 * PSI, "gauge-pressure", "down", PSI, "250 psig"),
        (249.9 * PSI, "gauge-pressure", "down", PSI, "249 psig"),
        (249.1 * PSI, "gauge-pressure", "up", PSI, "250 psig"),
        (249.9 * PSI, "gauge-pressure", "down", 5 * PSI, "245 psig"),
        (0.0, "gauge-pressure", "down", 0.0, "0 psig"),
        (-10.2 * 3386.389, "gauge-pressure", "down", 0.0, "10.5 in. Hg vacuum"),
        (14.5 * 0.45359237, "mass", "nearest", 0.5 * 0.028349523125, "14 lb 8 oz"),
        (300 * 101325 / 760000, "vacuum", "down", 101325 / 760000, "300 micron"),
        (273.15, "temperature", "nearest", 0.0, "32 °F"),
        (255.37, "temperature", "nearest", 0.0, "0 °F"),
        (250.0, "temperature", "up", 0.0, "\N{MINUS SIGN}9 °F"),
    ],
)
def test_shows(value: float, quantity: str, way: str, step: float, text: str) -> None:
    assert show(value, quantity, "ip", way, step).text == text


def test_tubes_are_named_in_fractions() -> None:
    assert [tube(n / 16 * 0.0254) for n in (4, 6, 14, 18, 22, 32)] == [
        "1/4 in", "3/8 in", "7/8 in", "1-1/8 in", "1-3/8 in", "2 in",
    ]  # fmt: skip


def test_minutes_are_said_as_people_say_them() -> None:
    assert [minutes(m) for m in (5, 60, 75, 1440)] == ["5 min", "1 h", "1 h 15 min", "24 h"]


@given(
    st.floats(1, 5e6),
    st.sampled_from(["ip", "si"]),
    st.sampled_from([0.0, 0.1 * PSI, PSI, 5 * PSI]),
)
def test_a_maximum_never_prints_more_and_a_minimum_never_less(
    value: float, system: str, step: float
) -> None:
    unit = "psig" if system == "ip" else "kPag"
    exact = from_si(value, "gauge-pressure", unit)
    down = show(value, "gauge-pressure", system, "down", step).value  # type: ignore[arg-type]
    up = show(value, "gauge-pressure", system, "up", step).value  # type: ignore[arg-type]
    assert float(down) <= exact * (1 + 1e-8)
    assert float(up) >= exact * (1 - 1e-8)
