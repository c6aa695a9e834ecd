"""What limits the pressure of a hold: plates, reliefs, tubes, the regulator, and what rules ask."""

from __future__ import annotations

from packets import reference
from packets.formatting import tube
from packets.formulas import hold_test
from packets.formulas.tube import allowable_stress, rated_pressure
from packets.model.numbers import Confidence, Number
from packets.numbers.context import Context
from packets.quantities import INCH, PSI

LOW_SIDE, REGULATOR = "low-side design pressure", "nitrogen regulator outlet"


def limits(context: Context) -> dict[str, float]:
    """What each part that sees the test pressure allows [Pa gauge]."""
    record = context.record
    limits: dict[str, float] = {}

    def add(name: str, pressure: float) -> None:
        # Two parts of one name: the weaker counts.
        limits[name] = min(pressure, limits.get(name, pressure))

    # The compressor's figure is its own: the coil and the lines joined to it keep the nameplate's.
    if record.design_pressure.low is not None:
        add(LOW_SIDE, record.design_pressure.low.value)
    if record.compressor.test_pressure is not None:
        add("compressor maker's test pressure", record.compressor.test_pressure.value)
    add("high-side design pressure", record.design_pressure.high.value)
    for relief in record.reliefs:
        share = hold_test.relief_limit(relief.setting.value)
        add(f"0.9 x relief on the {relief.place}", share)
    for part in record.limits:
        add(part.part, part.pressure.value)
    for line in record.lines:
        pressure = _tube_limit(context, line.size.value)
        if pressure is None:
            context.findings.error(
                "tube-size",
                context.record_place("lines"),
                f"{line.name}: {tube(line.size.value)} is no size of the refrigeration tube table",
                "write the outside diameter as on the tube, e.g. 1-1/8 in",
            )
        else:
            add(f"{line.name.replace('-', ' ')} {tube(line.size.value)} tube", pressure)
    regulator = context.kit.regulator
    if regulator is not None:
        add(REGULATOR, regulator.outlet.value)
        if regulator.relief is not None:
            add("0.9 x regulator relief", hold_test.relief_limit(regulator.relief.value))
    return limits


def _tube_limit(context: Context, size: float) -> float | None:
    """Rated pressure of annealed tube at the hottest pipe [Pa gauge]. The thinner of two walls."""
    rows = [row for row in reference.table("tube").rows if abs(row["od_in"] * INCH - size) < 1e-4]
    if not rows:
        return None
    stress_rows = [
        row for row in reference.table("copper_stress").rows if row["temper"] == "annealed"
    ]
    points = [((r["temperature_f"] + 459.67) / 1.8, r["stress_psi"] * PSI) for r in stress_rows]
    stress = allowable_stress(context.job.conditions.hottest_pipe.value, points)
    return min(
        rated_pressure(
            row["od_in"] * INCH,
            row["wall_in"] * INCH,
            stress,
            over_diameter=row["tolerance"]["over_diameter_in"] * INCH,
            under_wall=row["tolerance"]["under_wall_in"] * INCH,
        )
        for row in rows
        if "tolerance" in row
    )


def rules(context: Context, limit: Number, governing: str) -> None:
    """If the rules ask for more than the weakest part allows, people decide, not the planner.

    The rules ask it of piping laid on site: a package built and tested in the factory has none.
    """
    rule, record = context.rules.hold_test, context.record
    if rule.asks != "lower-of-design-and-relief" or context.hookups.found.factory_built:
        return
    reliefs = [relief.setting.value for relief in record.reliefs]
    high = min([record.design_pressure.high.value, *reliefs])
    low = record.design_pressure.low
    asks = []
    if low is not None and limit.value < min([low.value, *reliefs]):
        asked = context.shown(min([low.value, *reliefs]), "gauge-pressure")
        asks.append(f"{asked} for low-side")
    if limit.value < high and _high_side_laid(context):
        asks.append(f"{context.shown(high, 'gauge-pressure')} for high-side")
    if not asks:
        return
    side = f"{' and '.join(asks)} field piping"
    context.findings.warn(
        "hold-below-rules",
        context.record_place("design_pressure"),
        f"The rules ask {side};"
        f" this hold stops at {context.shown(limit.value, 'gauge-pressure', 'down')}"
        + ("" if governing == LOW_SIDE else f" ({governing})"),
        "manager and authority decide: test the high side by itself in sections if they ask it"
        if _high_side_laid(context)
        else "manager and authority decide: change or isolate what stops it, as its maker allows",
    )


def _high_side_laid(context: Context) -> bool:
    """Whether any line laid on site is high side; one that the circuit does not tell counts.

    A wall split's metering stands outdoors, so that both its field lines are low side.
    """
    drawn, laid = context.hookups.found.lines, context.record.lines
    return not laid or any(
        line.name not in drawn or drawn[line.name].side != "low" for line in laid
    )


def kit(context: Context, limits: dict[str, float], governing: str) -> None:
    """A regulator that stops the hold below what the machine allows can be left at the shop."""
    if governing != REGULATOR:
        return
    machine = min(p for name, p in limits.items() if name != REGULATOR)
    context.findings.warn(
        "regulator-low",
        context.place("kit", "regulator", "outlet"),
        f"the regulator's outlet stops the hold at"
        f" {context.shown(limits[REGULATOR], 'gauge-pressure', 'down')}; the machine allows"
        f" {context.shown(machine, 'gauge-pressure', 'down')}",
        "load a regulator that reaches it",
    )


def ground(name: str) -> Confidence:
    """How sure the governing limit is: plate given, tube computed, share of a relief practice."""
    if "relief" in name:
        return "practice"
    return "computed" if name.endswith(" tube") else "given"


def relief(context: Context, limit: Number) -> None:
    """A relief that opens above the limit does not guard the low side: a hand must.

    A hold stays at 0.9 of the relief, so a relief always opens somewhat above what it limits; the
    warning is for one that opens above what another part allows and could be set lower.
    """
    relief = context.kit.regulator.relief if context.kit.regulator else None
    if relief is not None and hold_test.relief_limit(relief.value) > limit.value + PSI:
        better = context.shown(limit.value / hold_test.RELIEF_SHARE, "gauge-pressure", "up")
        context.findings.warn(
            "relief-above-limit",
            context.place("kit", "regulator", "relief"),
            f"the regulator's relief opens at {relief.text}, above the hold limit of"
            f" {context.shown(limit.value, 'gauge-pressure', 'down')}",
            f"load a relief set at {better} or less, which holds shut up to"
            f" {context.shown(limit.value, 'gauge-pressure', 'down')}, or keep a hand on the"
            " regulator while filling",
        )
