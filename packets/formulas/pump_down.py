"""How the pressure in a machine falls while a pump draws through a hook-up.

V dp/dt = leak - Q(p), where Q(p) is what the hook-up carries at that pressure. Left out: water,
gas that comes off surfaces and out of oil, turbulence at the start, the pump's own losses. All
of them slow the real machine, so a time from here is "no sooner than", and water alone can
make it many times longer.
"""

from __future__ import annotations

import math
import operator
from collections import Counter
from typing import NamedTuple

from packets.formulas.conductance import AIR, ROOM, Gas
from packets.formulas.hookup import Drop, Line, Network, Pump, pressure_drop
from packets.formulas.ranges import Range, guard

PRESSURE = Range(1e-3, 1.2e5, "Pa absolute")
LEAK = Range(0.0, 1e3, "Pa m3/s")
VOLUME = Range(1e-5, 10.0, "m3")
POINTS = Range(8, 1000, "points")
_NO_FLOW = 1e-20  # Pa m3/s; moves no pressure by a float's last digit


class Point(NamedTuple):
    """A point of a curve: time since the pump was opened [s], pressure in the machine [Pa]."""

    time: float
    pressure: float


class NeverReached(ValueError):
    """A target the hook-up cannot reach: at `lowest` [Pa] pump and leak balance."""

    def __init__(self, target: float, lowest: float) -> None:
        self.target = target
        self.lowest = lowest
        super().__init__(f"{target:g} Pa is not reached: the pressure settles at {lowest:g} Pa")


class Flow:
    """A hook-up made ready: which throughput goes with which pressure in the machine.

    Both directions are checked by the public functions; values outside their ranges are the
    caller's mistake here.
    """

    def __init__(self, pump: Pump, network: Network, temperature: float, gas: Gas) -> None:
        def ready(line: Line) -> list[Drop]:
            return [pressure_drop(part, temperature, gas) for part in reversed(line)]

        alike = Counter(network.lines)
        self._pump = pump
        self._common = ready(network.common)
        self._lines = [ready(line) for line in alike]
        self._counts = list(alike.values())
        self._shares = [1 / len(network.lines)] * len(alike)  # of the flow, for one line of each

    def pressure(self, throughput: float) -> float:
        """Pressure in the machine [Pa] while this much [Pa m3/s] flows to the pump."""
        if throughput < _NO_FLOW:
            return self._pump.ultimate
        outlet = self._pump.ultimate + throughput / self._pump.displacement
        outlet += _lost(self._common, outlet, throughput)
        if len(self._lines) == 1:
            return outlet + _lost(self._lines[0], outlet, throughput / self._counts[0])
        return outlet + self._shared(outlet, throughput)

    def throughput(self, pressure: float) -> float:
        """Throughput [Pa m3/s] at a pressure in the machine [Pa]; 0 at or under the ultimate."""
        low, high = 0.0, self._pump.displacement * (pressure - self._pump.ultimate)
        if high <= 0.0:
            return 0.0
        # The pressure only rises with the flow: halve until a float cannot tell.
        for _ in range(200):
            middle = 0.5 * (low + high)
            if high - low <= 1e-13 * high:
                break
            if self.pressure(middle) < pressure:
                low = middle
            else:
                high = middle
        return 0.5 * (low + high)

    def _shared(self, outlet: float, throughput: float) -> float:
        """Drop [Pa] of unlike lines side by side: their flows settle so that all lose the same
        (Newton's method, from the shares found last)."""
        flows = [share * throughput for share in self._shares]
        for _ in range(100):
            drops = [_lost(line, outlet, q) for line, q in zip(self._lines, flows, strict=True)]
            missing = throughput - sum(map(operator.mul, self._counts, flows))
            if max(drops) - min(drops) < 1e-9 * max(drops) and abs(missing) < 1e-9 * throughput:
                self._shares = [q / throughput for q in flows]
                return max(drops)
            more = [
                _lost(line, outlet, 1.001 * q) for line, q in zip(self._lines, flows, strict=True)
            ]
            eases = [0.001 * q / (m - d) for q, m, d in zip(flows, more, drops, strict=True)]
            weights = list(map(operator.mul, self._counts, eases))
            level = (missing + sum(map(operator.mul, weights, drops))) / sum(weights)
            flows = [
                min(max(q + (level - d) * ease, 0.2 * q), 5 * q)
                for q, d, ease in zip(flows, drops, eases, strict=True)
            ]
        raise ArithmeticError("the flow between unlike lines does not settle")


def effective_speed(
    pump: Pump, network: Network, pressure: float, temperature: float = ROOM, gas: Gas = AIR
) -> float:
    """Speed at which a hook-up empties the machine at a pressure in it [m3/s]: S = Q / p.

    The pump's inlet pressure comes from the flow balance, so each hose is taken at its own mean
    pressure, not at the machine's. Nothing is left at or under the pump's ultimate: 0.

    Args:
        pump: its displacement and ultimate.
        network: lines and what they share.
        pressure: in the machine, 0.001 Pa to 120 kPa [Pa absolute].
        temperature: of gas and hoses, 230 to 340 [K].
        gas: AIR or NITROGEN.

    Raises:
        OutOfRange: an argument outside its range.

    Source: 1/S = 1/Sp + 1/C (several, seen), with Knudsen's formula (from memory) for C.

    >>> from packets.formulas.hookup import Tube
    >>> cfm = 0.3048**3 / 60
    >>> one_hose = Network(((Tube(0.31 * 0.0254, 0.9144),),))  # 0.31 in. x 3 ft, no port
    >>> speed = effective_speed(Pump(5 * cfm, 0.001), one_hose, 133.322)  # at 1,000 micron
    >>> round(speed / cfm, 2)
    0.87
    """
    p = guard("pressure", pressure, PRESSURE)
    return Flow(pump, network, temperature, gas).throughput(p) / p


def lowest_pressure(
    pump: Pump, network: Network, leak: float = 0.0, temperature: float = ROOM, gas: Gas = AIR
) -> float:
    """Lowest pressure the machine can reach while a leak feeds it [Pa absolute].

    The hook-up carries just the leak away. Without a leak this is the pump's ultimate; water,
    outgassing and the oil's own gas hold a real machine above it.

    Args:
        pump: its displacement and ultimate.
        network: lines and what they share.
        leak: into the machine, 0 to 1000 [Pa m3/s].
        temperature: of gas and hoses, 230 to 340 [K].
        gas: AIR or NITROGEN.

    Raises:
        OutOfRange: an argument outside its range.

    Source: flow balance.

    >>> from packets.formulas.hookup import hose_line
    >>> two = Network((hose_line(0.0095, 1.2),) * 2)
    >>> lowest_pressure(Pump(0.0024, 2.0), two)
    2.0
    >>> round(lowest_pressure(Pump(0.0024, 2.0), two, leak=0.01), 1)
    32.7
    """
    return Flow(pump, network, temperature, gas).pressure(guard("leak", leak, LEAK))


def curve(
    pump: Pump,
    network: Network,
    volume: float,
    start: float,
    target: float,
    *,
    leak: float = 0.0,
    temperature: float = ROOM,
    gas: Gas = AIR,
    points: int = 96,
) -> list[Point]:
    """Pressure against time from a start to a target, gas only.

    t = V integral dp / (Q(p) - leak), summed over steps that are even in the logarithm of the
    net throughput Q - leak; in each step the net throughput is a straight line of the pressure,
    for which the time is V (p1 - p2) / log mean. Exact for a constant speed and near the lowest
    pressure; with 96 points within 0.2 % elsewhere (tested against 1000).

    Args:
        pump: its displacement and ultimate.
        network: lines and what they share.
        volume: gas volume of the machine and its hoses, 10 mL to 10 m3 [m3].
        start: pressure at the start, to 120 kPa [Pa absolute].
        target: pressure to reach, below the start, 0.001 Pa or more [Pa absolute].
        leak: into the machine, 0 to 1000 [Pa m3/s].
        temperature: of gas and hoses, 230 to 340 [K].
        gas: AIR or NITROGEN.
        points: how many, 8 to 1000.

    Raises:
        OutOfRange: an argument outside its range, or a target not below the start.
        NeverReached: pump or leak holds the pressure above the target.

    Source: flow balance; for a constant speed it is t = (V/S) ln(p0/p1) (seen).

    >>> from packets.formulas.hookup import hose_line
    >>> two = Network((hose_line(0.0095, 1.2),) * 2)
    >>> falls = curve(Pump(0.0024, 2.0), two, 0.010, 101325.0, 66.66)
    >>> [round(p.time) for p in falls[::24]], round(falls[-1].pressure, 2)
    ([0, 10, 19, 30], 66.66)
    """
    v = guard("volume", volume, VOLUME)
    begin = guard("start", start, PRESSURE)
    end = guard("target", target, Range(PRESSURE.low, begin * (1 - 1e-9), "Pa absolute"))
    q_leak = guard("leak", leak, LEAK)
    steps = int(guard("points", points, POINTS)) - 1
    flow = Flow(pump, network, temperature, gas)
    lowest = flow.pressure(q_leak)
    net, last = flow.throughput(begin) - q_leak, flow.throughput(end) - q_leak
    if end <= lowest or last <= 0.0:
        raise NeverReached(end, lowest)
    falls, ratio = [Point(0.0, begin)], (last / net) ** (1 / steps)
    for step in range(1, steps + 1):
        lower = net * ratio
        pressure = flow.pressure(q_leak + lower) if step < steps else end
        time, above = falls[-1]
        falls.append(Point(time + v * (above - pressure) / _log_mean(net, lower), pressure))
        net = lower
    return falls


def time_to(
    pump: Pump,
    network: Network,
    volume: float,
    start: float,
    target: float,
    *,
    leak: float = 0.0,
    temperature: float = ROOM,
    gas: Gas = AIR,
) -> float:
    """Time to pump from a start to a target, gas only [s]: "no sooner than", so round up.

    The end of `curve`, with its arguments.

    Raises:
        OutOfRange: an argument outside its range, or a target not below the start.
        NeverReached: pump or leak holds the pressure above the target.

    Source: as `curve`.

    >>> from packets.formulas.hookup import hose_line
    >>> pump, liters = Pump(6 * 0.3048**3 / 60, 2.0), 0.001
    >>> two_large = Network((hose_line(0.0095, 1.2),) * 2)  # cores out
    >>> one_small = Network((hose_line(0.0048, 1.5, core_in=True),))
    >>> [round(time_to(pump, n, 10 * liters, 101325.0, 93.3)) for n in (two_large, one_small)]
    [36, 510]
    """
    return curve(pump, network, volume, start, target, leak=leak, temperature=temperature, gas=gas)[
        -1
    ].time


def _log_mean(one: float, other: float) -> float:
    apart = math.log(one / other)
    return 0.5 * (one + other) if abs(apart) < 1e-6 else (one - other) / apart


def _lost(line: list[Drop], outlet: float, throughput: float) -> float:
    """What a line loses [Pa], its parts taken from the pump's end."""
    lost = 0.0
    for drop in line:
        lost += drop(outlet + lost, throughput)
    return lost
