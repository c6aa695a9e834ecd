"""Split flows against the rules of parallel and series resistances, viscosity against CoolProp."""

from __future__ import annotations

import math

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from packets.circuit import flows
from packets.circuit.flows import Edge, solve

METRES = st.floats(0.01, 30_000.0)


def test_viscosity_of_nitrogen() -> None:
    outside = PropsSI("V", "T", 293.15, "P", 101325.0, "Nitrogen")
    assert pytest.approx(outside, rel=0.005) == flows.VISCOSITY


@given(flow=st.floats(1e-6, 1e-4), length=st.floats(0.1, 1e4))
def test_pressure_against_the_friction_factor_of_laminar_flow(flow: float, length: float) -> None:
    # Darcy-Weisbach with f = 64/Re, any density: dp = f L/d rho v^2/2.
    density, bore = 1.165, 0.008
    speed = flow / (math.pi / 4 * bore**2)
    reynolds = density * speed * bore / flows.VISCOSITY
    expected = 64 / reynolds * length / bore * density * speed**2 / 2
    assert flows.pressure(length, flow) == pytest.approx(expected)


def test_a_trickle_in_a_three_eighths_tube_is_laminar() -> None:
    # 5 scfh in 0.311 in. bore (ASTM B280): Re = 4 rho Q / (pi d mu).
    reynolds = 4 * 1.165 * flows.TRICKLE.high / (math.pi * 0.311 * 0.0254 * flows.VISCOSITY)
    assert 300 < reynolds < 500


def split(a: float, b: float) -> tuple[float, float]:
    """A unit of gas over two ways side by side."""
    found = solve([Edge("one", 0, 1, a), Edge("two", 0, 1, b)], 0, 1, {})
    assert found is not None
    return found.past("one"), found.past("two")


@given(a=METRES, b=METRES)
def test_two_ways_share_by_their_conductances(a: float, b: float) -> None:
    one, two = split(a, b)
    assert one == pytest.approx(b / (a + b), rel=1e-6)
    assert one + two == pytest.approx(1.0)


@given(st.lists(METRES, min_size=1, max_size=6))
def test_resistances_in_a_row_add(each: list[float]) -> None:
    row = [Edge(str(at), at, at + 1, r) for at, r in enumerate(each)]
    found = solve(row, 0, len(each), {})
    assert found is not None and found.above[0] == pytest.approx(sum(each), rel=1e-6)


def test_a_balanced_bridge_has_no_flow_across() -> None:
    arms = [Edge("a", 0, 1, 2.0), Edge("b", 0, 2, 4.0), Edge("c", 1, 3, 3.0), Edge("d", 2, 3, 6.0)]
    found = solve([*arms, Edge("across", 1, 2, 5.0)], 0, 3, {})
    assert found is not None and found.past("across") == pytest.approx(0.0, abs=1e-12)


def test_a_one_way_part_beside_a_free_way_stays_down_until_the_way_resists_enough() -> None:
    for resistance, lifted in ((50.0, False), (150.0, True)):
        free = Edge("free", 0, 1, resistance)
        found = solve([free, Edge("check", 0, 1, 1.0, lift=True)], 0, 1, {"check": 100.0})
        assert found is not None
        # By hand: 150 (1 - q) = 100 + q, q = 50/151.
        assert found.past("check") == pytest.approx(50 / 151 if lifted else 0.0)


def test_a_one_way_part_passes_nothing_backward() -> None:
    found = solve([Edge("check", 1, 0, 1.0, lift=True)], 0, 1, {"check": 100.0})
    assert found is None


def test_gas_lifts_what_is_its_only_way_out() -> None:
    row = [Edge("check", 0, 1, 1.0, lift=True), Edge("second", 1, 2, 1.0, lift=True)]
    found = solve(row, 0, 2, {"check": 100.0, "second": 50.0})
    assert found is not None and found.past("second") == pytest.approx(1.0)
    assert found.above[0] == pytest.approx(152.0)


@given(st.data())
def test_what_comes_into_a_place_goes_out_of_it(data: st.DataObject) -> None:
    count = data.draw(st.integers(2, 7))
    places = st.integers(0, count - 1)
    ways = data.draw(st.lists(st.tuples(places, places, METRES, st.booleans()), max_size=12))
    found = [Edge(f"e{at}", a, b, r, lift) for at, (a, b, r, lift) in enumerate(ways) if a != b]
    lifting = {edge.name: data.draw(st.floats(10, 3000)) for edge in found if edge.lift}
    flow = solve(found, 0, count - 1, lifting)
    if flow is None:
        return
    for place in range(count):
        out = sum(s for e, s in flow.through.items() if e.a == place)
        out -= sum(s for e, s in flow.through.items() if e.b == place)
        wanted = {0: 1.0, count - 1: -1.0}.get(place, 0.0)
        assert out == pytest.approx(wanted, abs=1e-5)
    for edge, size in flow.through.items():
        assert not edge.lift or size > -1e-6
