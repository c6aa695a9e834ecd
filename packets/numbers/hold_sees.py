"""How small a leak the hold can see, and how long it must last to see a stated one."""

from __future__ import annotations

import math

from packets.formatting import show
from packets.formulas import hold_test, leak_size
from packets.formulas.constants import YEAR
from packets.model.numbers import Confidence, Input, Number, Words, weakest
from packets.numbers import charge_parts, hold_time, leaks
from packets.numbers.context import Context
from packets.numbers.hold_table import gauge_step, thermometer_step
from packets.numbers.machine import practice
from packets.numbers.volume import InternalVolume, internal_volume, wait_for_volume
from packets.quantities import PSI

_NEEDED = "Hold that is sure to show the loss worth finding"
_ALL = (
    "hold.sees",
    "hold.sees_words",
    "hold.misses_words",
    "hold.time_needed",
    "hold.needed_words",
)
_DAY, _YEAR_OF_DAYS = 86400.0, 365
_ORDER = (
    "an order of magnitude: the same flow of refrigerant as of nitrogen; half as large a leak"
    " shows where the instruments read true"
)


def add(context: Context, fill: float, at: str) -> None:
    """Add hold.sees*, hold.leak_to_see and hold.time_needed* for a fill [Pa gauge]."""
    volume, time = internal_volume(context), context.register.number("hold.time")
    if volume is None or time is None:
        wait_for_volume(context, *_ALL)
        return
    drop = sure_drop(context, fill)
    leak = leak_size.leak_from_drop(volume.most, drop, time.value)
    leaks.add(
        context,
        "hold.sees",
        "Smallest leak the hold is sure to show, refrigerant a year",
        leak,
        formula="Q = V dp / t, dp from the highest the band allows to its lowest",
        working=f"{volume.text} x {drop / PSI:.2f} psi / {time.value / 3600:g} h"
        f" = {leaks.flow(leak)}",
        inputs=(
            volume.input,
            Input("hold", context.shown(time.value, "time", "up"), time.id),
            Input("fill", context.shown(fill, "gauge-pressure"), at),
            _step(context, "gauge", "pressure"),
            _step(context, "thermometer", "thermometer"),
        ),
        source="definition of a leak rate; hold time and instruments as in the hold's table",
        confidence=weakest("computed", time.confidence),
        assumption=_ORDER,
    )
    _misses(context, leak)
    _needed(context, volume, drop, time)


def _misses(context: Context, leak: float) -> None:
    """The largest leak [Pa m3/s] that can pass unseen, as a technician weighs it: how long it takes
    to empty the machine, rounded down so that no leak is promised that the hold may miss."""
    mass = leaks.mass_a_year(context, leak)
    if mass is None:
        sees = context.register.entries["hold.sees_words"]
        assert isinstance(sees, Words)
        text = f"a leak under {sees.text}"
    else:
        sees_mass = context.register.number("hold.sees")
        mark = leaks.MARK if sees_mass and sees_mass.confidence in leaks.WEAK else ""
        days = charge_parts.of(context).full / mass * YEAR / _DAY
        count, unit = (days, "day") if days < 2 * _YEAR_OF_DAYS else (days / _YEAR_OF_DAYS, "year")
        if days < 2:
            count, unit = days * 24, "hour"
        whole = max(math.floor(count), 1)
        taken = f"{whole} {unit}{'' if whole == 1 else 's'}"
        text = f"a leak that takes over {taken} to empty the machine{mark}"
    context.register.add(
        Words("hold.misses_words", "Leak that the hold may miss", text, "hold.sees and the charge")
    )


def sure_drop(context: Context, fill: float) -> float:
    """Drop that no error of one step of gauge and thermometer at start and end can hide [Pa]."""
    outdoor = context.job.conditions.outdoor.value
    band = hold_test.allowed_band(
        fill + context.atmosphere,
        outdoor,
        outdoor,
        gauge_step(context),
        thermometer_step(context),
    )
    return band.highest - band.lowest


def coarse(context: Context, fill: float) -> None:
    """A gauge that leaves so wide a band round the fill [Pa gauge] that a gross leak passes."""
    most = practice("hold-band")["share"] * fill
    drop, step = sure_drop(context, fill), gauge_step(context)
    if drop <= most:
        return
    # The gauge's step counts four times in the band: two readings, up and down.
    better = (most - (drop - 4.0 * step)) / 4.0
    finer = [psi for psi in (5.0, 2.0, 1.0, 0.5) if psi * PSI <= better]
    shown = context.shown(drop, "pressure-difference", "up")
    context.findings.warn(
        "hold-gauge-coarse",
        context.place("kit", "gauges", "pressure", "resolution"),
        f"with this gauge and thermometer a drop of {shown} passes the hold unseen, more than a"
        f" tenth of the fill of {context.shown(fill, 'gauge-pressure', 'down')}",
        f"load a gauge with steps of {context.shown(finer[0] * PSI, 'pressure-difference')}"
        " or less and write it as resolution"
        if finer
        else "load a finer pressure gauge and a finer thermometer and write their resolution",
    )


def time_needed(context: Context, fill: float) -> float | None:
    """How long a hold is sure to show the loss worth finding [s]; None where it is not known."""
    volume = internal_volume(context)
    leak = leaks.leak_of_yearly(context, _to_see(context)[0])
    if volume is None or leak is None:
        return None
    return leak_size.hold_time(volume.most, sure_drop(context, fill), leak)


def lengthen(context: Context, fill: float) -> None:
    """Lengthen a hold that rests on practice so that it is sure to show the loss the record states,
    where a day is enough for that. `fill` [Pa gauge]."""
    time = context.register.number("hold.time")
    if time is None or time.confidence == "given" or context.record.leak_to_see is None:
        return
    needed = time_needed(context, fill)
    day = hold_time.longest(context)
    if needed is None or not time.value < needed <= day:
        return
    hours = -(-needed // 3600) * 3600.0
    del context.register.entries["hold.time"]
    stated = context.record.leak_to_see
    context.number(
        "hold.time",
        "Hold for",
        "time",
        hours,
        round="up",
        unit="h",
        formula="the least whole hours in which the hold is sure to show the loss that is stated",
        working=f"{needed / 3600:.2f} h",
        inputs=(context.given("loss a year", stated, context.key("leak_to_see")),),
        source="equipment record",
        confidence="computed",
    )


def _step(context: Context, name: str, key: str) -> Input:
    step = getattr(context.kit.gauges, key).resolution
    return Input(f"{name} step", step.text if step else "one unit", f"kit, gauges.{key}")


def _to_see(context: Context) -> tuple[float, str, Confidence]:
    """Loss a year that is worth finding [kg], where that comes from, how sure it is."""
    stated = context.record.leak_to_see
    if stated is not None:
        return stated.value, stated.text, "given"
    share = practice("leak-to-see")["share"]
    return share * context.record.charge.value, f"{share:.0%} of the charge", "practice"


def _needed(context: Context, volume: InternalVolume, drop: float, time: Number) -> None:
    """Hold time that is sure to show the loss worth finding; too short a hold is told."""
    mass, said, confidence = _to_see(context)
    unit, step = leaks.unit_and_step(mass, context.units)
    worth = context.number(
        "hold.leak_to_see",
        "Loss a year that is worth finding",
        "mass",
        mass,
        round="up",
        step=step,
        unit=unit,
        formula="as given" if confidence == "given" else "a share of the charge",
        working=said,
        source="equipment record" if confidence == "given" else "common practice, no source",
        confidence=confidence,
    )
    loss = f"{show(mass, 'mass', context.units, worth.round, step, unit).text} a year"
    leak = leaks.leak_of_yearly(context, mass)
    if leak is None:
        why = f"no molar mass of {context.record.refrigerant} in our table"
        context.register.add(
            Words("hold.needed_words", _NEEDED, f"for {loss} the hold is not known", why)
        )
        return
    needed = context.number(
        "hold.time_needed",
        _NEEDED,
        "time",
        leak_size.hold_time(volume.most, drop, leak),
        round="up",
        unit="h",
        formula="t = V dp / Q, dp from the highest the band allows to its lowest",
        working=f"{volume.text} x {drop / PSI:.2f} psi / ({leaks.flow(leak)})",
        inputs=(volume.input, Input("loss a year", said, "hold.leak_to_see")),
        source="definition of a leak rate",
        confidence=weakest("computed", confidence),
        assumption=_ORDER,
    )
    hours = show(needed.value, "time", context.units, "up", unit="h").text
    day = hold_time.longest(context)
    # Beyond a day the hours are told to the manager who asked for the loss; nobody waits them.
    text = f"{loss} takes {hours}" if needed.value <= day else f"no hold of a day shows {loss}"
    context.register.add(Words("hold.needed_words", _NEEDED, text, "hold.time_needed"))
    if confidence == "given" and needed.value > time.value:
        _too_short(context, f"{loss} takes {hours}", needed.value)


def _too_short(context: Context, takes: str, needed: float) -> None:
    sees = context.register.entries["hold.sees_words"]
    assert isinstance(sees, Words)
    context.findings.warn(
        "hold-too-short",
        context.record_place("leak_to_see"),
        f"the hold is sure to show only a leak of {sees.text}; {takes}",
        "look for it by bubbles and tracer at each joint, load finer instruments, or"
        f" {hold_time.overrule(context, needed)}",
    )
