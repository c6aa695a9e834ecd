"""The rise test: when to read, what a leak and what water would read, and the judge's inputs.

The paper's words and `formulas.rise.verdict` must agree. So the levels printed are those the
verdict works with, rounded inwards, and the reading from which a straight climb counts as a leak
is asked of the verdict itself. Nothing here depends on the altitude but the mass that a leak
would lose: a vacuum gauge reads absolute.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packets.formatting import show
from packets.formulas import rise
from packets.formulas.leak_size import hold_loss, leak_from_drop, vacuum_leak_in_service
from packets.model.numbers import Input, Number, Register, Words
from packets.numbers import hold_sees, leaks
from packets.numbers.context import Context
from packets.numbers.volume import InternalVolume, internal_volume, wait_for_volume
from packets.quantities import MICRON, to_si

_SHARES = (("evac.rise_first", "First", 0.25), ("evac.rise_second", "Second", 0.5))
_STEP = 1.005  # steps in which a leak's proof is looked for
_HIGHEST = 1e5  # Pa


@dataclass(frozen=True)
class RiseTest:
    """What judges the readings of a rise test, all in SI. `limit` is the one printed.

    `read_at` are the times of the readings after the pump is shut off, the last is the stand.
    `leak_from` is the reading at the end of a straight climb from which it proves a leak.
    """

    coldest: float
    limit: float
    read_at: tuple[float, ...]
    water: tuple[float, float]
    leak_from: float

    @property
    def wait(self) -> float:
        return self.read_at[-1]

    def verdict(self, readings: Sequence[tuple[float, float]]) -> rise.Verdict:
        """One of four answers from (time [s], pressure [Pa absolute]), the first at time 0."""
        return rise.verdict(readings, self.coldest, self.limit, self.wait)


def rise_test(context: Context) -> RiseTest | None:
    """The judge's inputs, from the register; None where a number of it is missing."""
    register = context.register
    coldest, leak_from = register.number("evac.coldest"), register.number("evac.leak_from")
    if coldest is None or leak_from is None:
        return None
    limit = _number(register, "evac.rise_limit")
    shown = show(limit.value, "vacuum", context.units, limit.round, limit.step)
    unit = "micron" if context.units == "ip" else "Pa"
    return RiseTest(
        coldest.value,
        to_si(float(shown.value), "vacuum", unit),
        tuple(
            _number(register, id).value
            for id in ("evac.rise_first", "evac.rise_second", "evac.rise_time")
        ),
        rise.water_levels(coldest.value),
        leak_from.value,
    )


def add(context: Context) -> None:
    """Add the read times, evac.leak_*, evac.hold_says and evac.rise_sees*."""
    _times(context)
    _straight(context)
    _hold_says(context)
    volume = internal_volume(context)
    if volume is None:
        wait_for_volume(context, "evac.rise_sees", "evac.rise_sees_words")
    else:
        _sees(context, volume)


def _number(register: Register, id: str) -> Number:
    found = register.number(id)
    assert found is not None, id
    return found


def _times(context: Context) -> None:
    """Whole minutes at a quarter and at half of the stand, where the stand is long enough."""
    stand = _number(context.register, "evac.rise_time").value
    exact = [stand * share for _, _, share in _SHARES]
    whole = [round(seconds / 60) * 60.0 for seconds in exact]
    for (id, name, share), seconds in zip(
        _SHARES, whole if 0 < whole[0] < whole[1] < stand else exact, strict=True
    ):
        context.number(
            id,
            f"{name} reading of the stand",
            "time",
            seconds,
            formula=f"{share:g} of the stand",
            working=f"{share:g} x {stand / 60:.0f} min",
            source="three readings tell a line from a curve; common practice, no source",
            confidence="practice",
        )


def _straight(context: Context) -> None:
    """Readings of the leak that just reaches the limit, and where a straight climb is proof."""
    register = context.register
    target, limit = _number(register, "evac.target"), _number(register, "evac.rise_limit")
    times = [_number(register, id).value for id, _, _ in _SHARES]
    times.append(_number(register, "evac.rise_time").value)
    for (_, name, _), id, seconds in zip(
        _SHARES, ("evac.leak_first", "evac.leak_second"), times[:-1], strict=True
    ):
        share = seconds / times[-1]
        context.number(
            id,
            f"{name} reading of a leak that just reaches the limit",
            "vacuum",
            target.value + share * (limit.value - target.value),
            round="down",
            step=limit.step,
            to="gauges.micron",
            formula="target + share of the stand x (limit - target)",
            working=f"{target.value:.1f} + {share:.2f} x ({limit.value:.1f} - {target.value:.1f})",
            inputs=(
                Input("target", context.shown(target.value, "vacuum"), target.id),
                Input("limit", context.shown(limit.value, "vacuum"), limit.id),
            ),
            source="Q = V dp/t: a leak's rise is straight",
            confidence="computed",
            assumption="shut off at the target; a larger leak climbs in larger equal steps",
        )
    coldest = _number(register, "evac.coldest")
    proof = straight_proof(target.value, limit.value, tuple(times), coldest.value)
    context.number(
        "evac.leak_from",
        "A straight climb proves a leak from",
        "vacuum",
        proof,
        round="up",
        step=100 * MICRON,
        to="gauges.micron",
        formula="least end of a straight climb through the read times that no bend to water's"
        " level fits, each reading right within 2 % and 5 micron",
        working=f"from {target.value:.1f} Pa, water up to"
        f" {rise.water_levels(coldest.value)[1]:.0f} Pa -> {proof:.0f} Pa",
        inputs=(Input("coldest part", context.shown(coldest.value, "temperature"), coldest.id),),
        source="the rise test's verdict; its errors and margins are common practice, no source",
        confidence="practice",
        assumption="below it a straight climb is undecided: water may still bend it",
    )


def straight_proof(start: float, limit: float, times: tuple[float, ...], coldest: float) -> float:
    """Least last reading [Pa] at which a straight climb from `start` is called a leak."""
    last = max(limit, start) * _STEP
    while last < _HIGHEST:
        climb = [(t, start + (last - start) * t / times[-1]) for t in (0.0, *times)]
        told = rise.verdict(climb, coldest, limit, times[-1])
        if told.answer is rise.Answer.LEAK:
            return last
        # The verdict says how far to follow a climb read more often than ours: no nearer than that.
        last = max(last * _STEP, told.read_to or 0.0)
    return _HIGHEST


def _hold_says(context: Context) -> None:
    """Whether the hold that passed would have shown the leak that a straight climb past
    evac.leak_from means. The circuit's volume falls out: both tests are of the same one."""
    register = context.register
    target, proof = _number(register, "evac.target"), _number(register, "evac.leak_from")
    stand = _number(register, "evac.rise_time")
    start, hold = register.number("hold.start"), register.number("hold.time")
    text = "compare it with the end reading of the pressure hold"
    if start is not None and hold is not None:
        drop = hold_loss(
            proof.value - target.value,
            stand.value,
            hold.value,
            context.atmosphere,
            start.value + context.atmosphere,
        )
        shown = context.shown(drop, "pressure-difference", "down")
        if drop > hold_sees.sure_drop(context, start.value):
            text = (
                f"the pressure hold would have lost at least {shown}: where it passed, look at the"
                " hook-up first"
            )
        else:
            text = f"the pressure hold would have lost {shown} or more, and can have missed it"
    register.add(Words("evac.hold_says", "The leak against the hold", text, "hold and rise"))


def _sees(context: Context, volume: InternalVolume) -> None:
    """The leak that just reaches the limit: as flow of air, and as refrigerant in service."""
    register = context.register
    target, limit = _number(register, "evac.target"), _number(register, "evac.rise_limit")
    stand = _number(register, "evac.rise_time")
    rise_by = max(limit.value - target.value, 0.0)
    air = leak_from_drop(volume.most, rise_by, stand.value)
    served, how = air, "the same flow of refrigerant"
    pressure = _standing(context)
    if pressure is not None:
        served = vacuum_leak_in_service(air, context.atmosphere, pressure)
        at = context.shown(pressure, "absolute-pressure")
        how = f"of refrigerant at {at}, at rest: x (p^2 - air^2)/air^2"
    leaks.add(
        context,
        "evac.rise_sees",
        "Leak that just reaches the limit of the rise, refrigerant a year",
        served,
        formula="Q = V (limit - target) / stand of air; laminar flow out of the charged machine",
        working=f"{volume.text} x {rise_by:.1f} Pa / {stand.value:.0f} s = {leaks.flow(air)};"
        f" {how}: {leaks.flow(served)}",
        inputs=(volume.input, Input("stand", context.shown(stand.value, "time"), stand.id)),
        source="Q = V dp/t; that leaks of this size flow laminar, from memory",
        confidence="memory",
        assumption="an order of magnitude; a smaller leak passes the rise",
    )


def _standing(context: Context) -> float | None:
    """Pressure in the charged machine at rest, the day's outdoor temperature [Pa absolute]."""
    fluid, outdoor = context.fluid, context.job.conditions.outdoor.value
    if fluid is None or not fluid.table.low <= outdoor <= fluid.table.high:
        return None
    pressure = fluid.table.bubble_pressure(outdoor)
    return pressure if pressure > context.atmosphere else None
