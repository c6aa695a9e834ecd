"""Pump-down against closed forms, an integration of its own, and what the trade sees."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packets.formulas import pump_down
from packets.formulas.conductance import AIR, ROOM
from packets.formulas.hookup import Line, Network, Opening, Pump, Tube, hose_line, pressure_drop
from packets.formulas.pump_down import Flow, NeverReached, curve, lowest_pressure, time_to
from packets.formulas.ranges import OutOfRange

CFM, INCH, FOOT, MICRON, LITER = 0.3048**3 / 60, 0.0254, 0.3048, 0.1333224, 1e-3
ATMOSPHERE = 101325.0
PUMP = Pump(6 * CFM, 15 * MICRON)
WIDE = Network(((Opening(0.1),),))
TWO_LARGE = Network((hose_line(0.375 * INCH, 4 * FOOT),) * 2)
ONE_SMALL = Network((hose_line(0.19 * INCH, 5 * FOOT, core_in=True),))
MANIFOLD = (Tube(0.2 * INCH, 0.15), Tube(0.19 * INCH, 5 * FOOT))
UNLIKE = Network((ONE_SMALL.lines[0], *TWO_LARGE.lines, hose_line(0.01, 2.0)), (Tube(0.012, 0.5),))


@pytest.mark.parametrize("cfm", [5, 6, 8])
def test_a_small_packaged_unit_falls_under_700_micron_in_about_a_minute(cfm: float) -> None:
    """Common practice, no source: two 3/8 in. hoses, cores out. Gas only, so a little sooner."""
    pump = Pump(cfm * CFM, 15 * MICRON)
    assert 20 < time_to(pump, TWO_LARGE, 10 * LITER, ATMOSPHERE, 700 * MICRON) < 60


@pytest.mark.parametrize("cfm", [5, 8])
def test_one_small_hose_with_the_core_in_takes_many_times_longer(cfm: float) -> None:
    """Common practice, no source."""
    pump = Pump(cfm * CFM, 15 * MICRON)
    small, large = (
        time_to(pump, network, 10 * LITER, ATMOSPHERE, 500 * MICRON)
        for network in (ONE_SMALL, TWO_LARGE)
    )
    assert small > 10 * large


def test_the_manifold_takes_the_gain_of_the_second_hose() -> None:
    """All gas through one small bore: two large hoses behind it hardly help."""
    behind = Network(TWO_LARGE.lines, MANIFOLD)
    assert time_to(PUMP, behind, 10 * LITER, ATMOSPHERE, 500 * MICRON) > 8 * time_to(
        PUMP, TWO_LARGE, 10 * LITER, ATMOSPHERE, 500 * MICRON
    )


@given(st.floats(1e-4, 2e-3), st.floats(1e-3, 1.0), st.floats(1.0, 50.0), st.floats(1.1, 100.0))
def test_constant_speed_as_one_logarithm(
    speed: float, volume: float, ultimate: float, above: float
) -> None:
    """t = (V/S) ln((p0 - pu)/(p1 - pu)) where the hook-up holds nothing back."""
    target = ultimate * above
    told = time_to(Pump(speed, ultimate), WIDE, volume, 1e4, target)
    expected = volume / speed * math.log((1e4 - ultimate) / (target - ultimate))
    assert told == pytest.approx(expected, rel=5e-3)


def test_a_leak_as_one_logarithm() -> None:
    """With S constant the pressure falls to pu + Q/S as exp(-S t/V)."""
    pump, volume, leak = Pump(1e-3, 2.0), 0.02, 0.05
    lowest = lowest_pressure(pump, WIDE, leak)
    assert lowest == pytest.approx(2.0 + leak / 1e-3, rel=2e-3)
    for point in curve(pump, WIDE, volume, 1e4, lowest + 1.0, leak=leak)[1:]:
        expected = lowest + (1e4 - lowest) * math.exp(-1e-3 * point.time / volume)
        assert point.pressure == pytest.approx(expected, rel=0.02)


@pytest.mark.parametrize("network", [TWO_LARGE, ONE_SMALL, UNLIKE], ids=["two", "one", "unlike"])
@pytest.mark.parametrize("leak", [0.0, 0.005])
def test_as_marched_in_time(network: Network, leak: float) -> None:
    """Runge-Kutta steps in time of V dp/dt = leak - S(p) p, with the public effective speed."""
    volume, target = 0.010, lowest_pressure(PUMP, network, leak) + 40.0

    def falls(pressure: float) -> float:
        speed = pump_down.effective_speed(PUMP, network, pressure)
        return (leak - speed * pressure) / volume

    told = curve(PUMP, network, volume, ATMOSPHERE, target, leak=leak, points=200)
    pressure = told[100].pressure
    end = told[160]
    steps = 60
    h = (end.time - told[100].time) / steps
    for _ in range(steps):
        k1 = falls(pressure)
        k2 = falls(pressure + 0.5 * h * k1)
        k3 = falls(pressure + 0.5 * h * k2)
        k4 = falls(pressure + h * k3)
        pressure += h * (k1 + 2 * k2 + 2 * k3 + k4) / 6
    assert pressure == pytest.approx(end.pressure, rel=2e-3)


@pytest.mark.parametrize("network", [TWO_LARGE, ONE_SMALL, UNLIKE], ids=["two", "one", "unlike"])
def test_enough_points(network: Network) -> None:
    told = curve(PUMP, network, 0.010, ATMOSPHERE, 100 * MICRON)
    fine = curve(PUMP, network, 0.010, ATMOSPHERE, 100 * MICRON, points=1000)
    assert told[-1].time == pytest.approx(fine[-1].time, rel=2e-3)


def _carried(line: Line, machine: float, outlet: float) -> float:
    """Flow through one line between two pressures, by halving on its own."""
    low, high = 0.0, 10.0 * machine
    for _ in range(200):
        flow = 0.5 * (low + high)
        pressure = outlet
        for part in reversed(line):
            pressure += pressure_drop(part)(pressure, flow)
        low, high = (flow, high) if pressure < machine else (low, flow)
    return low


@pytest.mark.parametrize("pressure", [ATMOSPHERE, 5000.0, 133.0, 20.0, 2.5])
def test_flows_balance_where_unlike_lines_meet(pressure: float) -> None:
    flow = Flow(PUMP, UNLIKE, ROOM, AIR).throughput(pressure)
    inlet = PUMP.ultimate + flow / PUMP.displacement
    for part in reversed(UNLIKE.common):
        inlet += pressure_drop(part)(inlet, flow)
    carried = sum(_carried(line, pressure, inlet) for line in UNLIKE.lines)
    assert carried == pytest.approx(flow, rel=1e-5)


def test_lines_in_any_order_and_alike_or_not() -> None:
    """The shortcut for lines that are alike gives what the search for unlike ones gives."""
    line = hose_line(0.008, 1.5)
    nearly = hose_line(0.008, 1.5 * (1 + 1e-12))
    alike = time_to(PUMP, Network((line, line)), 0.01, ATMOSPHERE, 60.0)
    unlike = time_to(PUMP, Network((line, nearly)), 0.01, ATMOSPHERE, 60.0)
    assert unlike == pytest.approx(alike, rel=1e-6)
    turned = Network(tuple(reversed(UNLIKE.lines)), UNLIKE.common)
    one, other = (time_to(PUMP, n, 0.01, ATMOSPHERE, 60.0) for n in (UNLIKE, turned))
    assert one == pytest.approx(other, rel=1e-6)


hoses = st.builds(hose_line, st.floats(0.003, 0.02), st.floats(0.3, 10.0), st.booleans())
networks = st.builds(
    Network,
    st.lists(hoses, min_size=1, max_size=3).map(tuple),
    st.lists(st.builds(Tube, st.floats(0.003, 0.02), st.floats(0.1, 3.0)), max_size=1).map(tuple),
)
pumps = st.builds(Pump, st.floats(5e-4, 0.01), st.floats(0.5, 10.0))
SLACK = 1e-4  # the steps of two curves do not fall alike


def _changed(network: Network, bore: float = 1.0, length: float = 1.0) -> Network:
    """The same with its first hose wider or longer."""
    *port, hose = network.lines[0]
    assert isinstance(hose, Tube)
    first = (*port, Tube(hose.bore * bore, hose.length * length))
    return Network((first, *network.lines[1:]), network.common)


@settings(max_examples=30, deadline=None)
@given(pumps, networks, st.floats(1.05, 4.0), st.floats(20.0, 2000.0))
def test_more_hose_never_pumps_faster_nor_a_wider_one_slower(
    pump: Pump, network: Network, times: float, target: float
) -> None:
    def taken(one: Pump, other: Network) -> float:
        return time_to(one, other, 0.01, ATMOSPHERE, target)

    plain = taken(pump, network)
    assert taken(pump, _changed(network, length=times)) >= plain * (1 - SLACK)
    assert taken(pump, _changed(network, bore=times)) <= plain * (1 + SLACK)
    added = Network((*network.lines, network.lines[0]), network.common)
    assert taken(pump, added) <= plain * (1 + SLACK)
    passed = Network(network.lines, (*network.common, Tube(0.01, 1.0)))
    assert taken(pump, passed) >= plain * (1 - SLACK)
    assert taken(Pump(pump.displacement * times, pump.ultimate), network) <= plain * (1 + SLACK)


@settings(max_examples=40, deadline=None)
@given(pumps, networks, st.floats(100.0, ATMOSPHERE), st.floats(0.0, 0.1), st.floats(0.0, 0.99))
def test_the_pressure_falls_all_the_way_to_its_target(
    pump: Pump, network: Network, start: float, leak: float, share: float
) -> None:
    lowest = lowest_pressure(pump, network, leak)
    if lowest >= 0.9 * start:
        with pytest.raises(NeverReached):
            time_to(pump, network, 0.01, start, 0.85 * start, leak=leak)
        return
    target = 1.01 * lowest + share * (0.98 * start - 1.01 * lowest)
    falls = curve(pump, network, 0.01, start, target, leak=leak)
    assert falls[0] == (0.0, start) and falls[-1].pressure == target
    for one, other in pairwise(falls):
        assert other.pressure < one.pressure and other.time > one.time
    if leak == 0.0:
        assert lowest == pump.ultimate


@settings(max_examples=25, deadline=None)
@given(pumps, networks, st.floats(15.0, 500.0), st.floats(1.01, 20.0), st.floats(0.0, 1e-3))
def test_a_lower_target_and_a_leak_never_take_less_time(
    pump: Pump, network: Network, target: float, above: float, leak: float
) -> None:
    low = time_to(pump, network, 0.01, ATMOSPHERE, target)
    assert low >= time_to(pump, network, 0.01, ATMOSPHERE, target * above) * (1 - SLACK)
    if lowest_pressure(pump, network, leak) < 0.99 * target:
        leaking = time_to(pump, network, 0.01, ATMOSPHERE, target, leak=leak)
        assert leaking >= low * (1 - SLACK)


@pytest.mark.parametrize("leak", [5e-324, 1e-18, 1e-13, 1e-9, 1e-5])
def test_a_leak_too_small_to_move_a_float(leak: float) -> None:
    """Drops far under the pressure they add to still share the flow of unlike lines."""
    lowest = lowest_pressure(PUMP, UNLIKE, leak)
    speed = pump_down.effective_speed(PUMP, UNLIKE, 2 * PUMP.ultimate)
    assert PUMP.ultimate <= lowest < PUMP.ultimate + 20 * leak / speed + 1e-9


def test_time_goes_with_volume() -> None:
    one, ten = (time_to(PUMP, TWO_LARGE, v, ATMOSPHERE, 60.0) for v in (0.01, 0.1))
    assert ten == pytest.approx(10 * one)


def test_a_leak_holds_the_pressure_where_the_hook_up_just_carries_it() -> None:
    leak = 0.01
    lowest = lowest_pressure(PUMP, TWO_LARGE, leak)
    carried = pump_down.effective_speed(PUMP, TWO_LARGE, lowest) * lowest
    assert carried == pytest.approx(leak, rel=1e-6)
    with pytest.raises(NeverReached) as told:
        time_to(PUMP, TWO_LARGE, 0.01, ATMOSPHERE, 0.99 * lowest, leak=leak)
    assert told.value.lowest == lowest
    assert "settles at" in str(told.value)


def test_at_the_ultimate_nothing_flows() -> None:
    assert pump_down.effective_speed(PUMP, TWO_LARGE, PUMP.ultimate) == 0.0
    with pytest.raises(NeverReached):
        time_to(PUMP, TWO_LARGE, 0.01, ATMOSPHERE, PUMP.ultimate)


def test_a_curve_takes_no_long_integration() -> None:
    taken = []
    for _ in range(5):
        start = time.process_time()  # others on the machine do not count
        curve(PUMP, UNLIKE, 0.01, ATMOSPHERE, 60.0, leak=1e-4)
        taken.append(time.process_time() - start)
    assert min(taken) < 0.2  # the benchmark holds it to 20 ms; a step gone wild takes seconds


BAD: list[Callable[[Any], object]] = [
    lambda x: pump_down.effective_speed(PUMP, TWO_LARGE, x),
    lambda x: pump_down.effective_speed(PUMP, TWO_LARGE, 100.0, x),
    lambda x: lowest_pressure(PUMP, TWO_LARGE, x),
    lambda x: lowest_pressure(PUMP, TWO_LARGE, 0.0, x),
    lambda x: curve(PUMP, TWO_LARGE, x, 1e5, 60.0),
    lambda x: curve(PUMP, TWO_LARGE, 0.01, x, 60.0),
    lambda x: curve(PUMP, TWO_LARGE, 0.01, 1e5, x),
    lambda x: curve(PUMP, TWO_LARGE, 0.01, 1e5, 60.0, leak=x),
    lambda x: curve(PUMP, TWO_LARGE, 0.01, 1e5, 60.0, temperature=x),
    lambda x: curve(PUMP, TWO_LARGE, 0.01, 1e5, 60.0, points=x),
    lambda x: time_to(PUMP, TWO_LARGE, x, 1e5, 60.0),
]


@pytest.mark.parametrize("value", [math.nan, math.inf, -1.0, 1e9, True, "1"])
@pytest.mark.parametrize("call", BAD)
def test_refuses(call: Callable[[Any], object], value: object) -> None:
    with pytest.raises(OutOfRange):
        call(value)


def test_refuses_a_target_not_below_the_start() -> None:
    with pytest.raises(OutOfRange):
        time_to(PUMP, TWO_LARGE, 0.01, 100.0, 100.0)
