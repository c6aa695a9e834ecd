"""The level that the rules ask before opening: absolute, and as the local gauge shows it."""

from __future__ import annotations

from datetime import date

from packets.formatting import show
from packets.formulas import recovery as rule
from packets.formulas.ranges import OutOfRange
from packets.model.limits import Limit
from packets.model.numbers import Input, Number, Words, WriteIn
from packets.numbers import charge_parts
from packets.numbers.context import Context

_NEW_MACHINE = date(1993, 11, 15)
_K_104F = (104 + 459.67) / 1.8


def add(context: Context) -> None:
    """Add recovery.level, recovery.level_absolute, recovery.level_words and recovery.open_at."""
    _level(context)
    _open_at(context)


def _open_at(context: Context) -> None:
    """What the gauge may read when the circuit is proved empty: the level, or no pressure where a
    share of the charge by weight meets the rule without a level."""
    level, share = (
        context.register.entries.get(name) for name in ("recovery.level", "recovery.share")
    )
    label = "Before it is opened"
    if isinstance(level, WriteIn):
        context.register.add(WriteIn("recovery.open_at", label, level.quantity, level.read))
    elif isinstance(level, Number):
        by_weight = share is not None
        context.number(
            "recovery.open_at",
            label,
            "gauge-pressure",
            0.0 if by_weight else level.value,
            round="down",
            step=level.step,
            formula="no pressure, whichever way the rule was met" if by_weight else level.formula,
            working="" if by_weight else level.working,
            inputs=() if by_weight else level.inputs,
            source="common practice, no source" if by_weight else level.source,
            confidence="practice" if by_weight else level.confidence,
        )
    else:
        waiting = context.register.waiting["recovery.level"]
        context.register.wait("recovery.open_at", waiting.key, waiting.why)


def _level(context: Context) -> None:
    if context.rules.recovery.table == "ask":
        _asked_level(context)
        return
    record, made = context.record, context.kit.recovery_machine.made
    new = made >= _NEW_MACHINE
    column = "on or after" if new else "before"
    inputs = (
        full_charge(context),
        Input("recovery machine made", made.isoformat(), "kit, recovery_machine.made"),
        Input(
            "air pressure",
            context.shown(context.atmosphere, "absolute-pressure"),
            "site.atmosphere",
        ),
    )
    source, confidence = "40 CFR 82.156(a) Table 1", "seen"
    if exempt(context):
        _no_level(context, inputs)
        return
    if record.small_appliance and charge_parts.field_joined(context):
        context.findings.error(
            "small-appliance",
            context.record_place("small_appliance"),
            "a split is joined and charged in the field, so it is no small appliance,"
            " which is charged and sealed in a factory",
            "leave small_appliance out",
        )
    if record.small_appliance:
        level, category = rule.SMALL_APPLIANCE_LEVEL, "small appliance"
        source, confidence = "40 CFR 82.156(b), 4 in. Hg (from memory)", "memory"
        _by_weight(context, new)
    else:
        found = _category(context)
        if found is None:
            for name in ("recovery.level", "recovery.level_absolute", "recovery.level_words"):
                context.register.wait(
                    name, context.key("refrigerant"), "its pressure category is not known"
                )
            return
        category = found
        level = rule.required_level(category, charge_parts.of(context).full, new)
    local = rule.reading_before_opening(level, context.atmosphere)
    # The rule's number in whole kilopascals, not in the steps of a gauge that reads in psi.
    step = 1e3 if context.units == "si" else 0.0
    absolute = min(level, context.atmosphere)
    context.register.add(
        Words("recovery.level_words", "Recover to", _level_words(context, local), source)
    )
    context.number(
        "recovery.level_absolute",
        "Recovery level, absolute",
        "absolute-pressure",
        absolute,
        round="down",
        formula=("" if record.small_appliance else "Table 1: ")
        + f"{category}, full charge {charge_parts.full_text(context)},"
        f" machine made {column} 15 Nov 1993; never above the air pressure here",
        working=f"min({level / 1000:.1f}, {context.atmosphere / 1000:.1f})"
        f" = {absolute / 1000:.1f} kPa absolute",
        inputs=inputs,
        source=source,
        confidence=confidence,  # type: ignore[arg-type]
    )
    context.number(
        "recovery.level",
        "Recover to",
        "gauge-pressure",
        local,
        round="down",
        step=step,
        formula="absolute level less the air pressure here, to the digit of the rule's 29.9 in. Hg,"
        " and never above 0 gauge",
        working=f"min({level / 1000:.1f} - {context.atmosphere / 1000:.1f}"
        f" + {rule.REFERENCE_DIGIT / 1000:.2f}, 0) = {local / 1000:.1f} kPa",
        inputs=inputs,
        source=source,
        confidence=confidence,  # type: ignore[arg-type]
    )


def exempt(context: Context) -> bool:
    """Whether the rules list this refrigerant, in this use, as one without a required level: only
    in a self-contained machine with no more than a small appliance's charge."""
    listed = context.rules.recovery.exempt.get(context.equipment.use, ())
    return (
        context.record.refrigerant in listed
        and context.hookups.found.factory_built
        and not charge_parts.field_joined(context)
        and charge_parts.of(context).full <= rule.SMALL_APPLIANCE_CHARGE
    )


def _no_level(context: Context, inputs: tuple[Input, ...]) -> None:
    """No level is asked for; the gauge still reads no pressure before the circuit is opened."""
    source = context.rules.recovery.exempt_source
    words = _level_words(context, 0.0)
    context.register.add(Words("recovery.level_words", "Recover to", words, source))
    for id, label, quantity, value in (
        (
            "recovery.level_absolute",
            "Recovery level, absolute",
            "absolute-pressure",
            context.atmosphere,
        ),
        ("recovery.level", "Recover to", "gauge-pressure", 0.0),
    ):
        context.number(
            id,
            label,
            quantity,
            value,
            round="down",
            formula=f"the rules ask for no level of {context.record.refrigerant} in this use;"
            " the air pressure here, so that nothing sprays at the cut",
            working="no required level",
            inputs=inputs[2:],
            source=source,
            confidence="memory",
        )


def _by_weight(context: Context, new: bool) -> None:
    """The other way to clear a small appliance: a share of the charge that was in it."""
    runs = context.state.compressor == "running"
    full = charge_parts.of(context).full
    if full > rule.SMALL_APPLIANCE_CHARGE:
        return
    least = rule.small_appliance_minimum(full, new, runs)
    share = least / full
    context.number(
        "recovery.share",
        "Recovered, least, where none had leaked",
        "mass",
        least,
        round="up",
        step=context.kit.scale.resolution.value,
        formula="90 % of the charge with a running compressor and a recovery machine made on or"
        " after 15 Nov 1993, else 80 %",
        working=f"compressor {'running' if runs else 'not running'}: {share:.0%} x"
        f" {charge_parts.full_text(context)}",
        inputs=(full_charge(context),),
        source="40 CFR 82.156(b), from memory",
        confidence="memory",
    )


def _asked_level(context: Context) -> None:
    """The rules file names no level: it is asked for, and written in on site."""
    read = context.rules.recovery.ask or "recovery level of the rules in force at the site"
    for id, kind in (
        ("recovery.level", "gauge-pressure"),
        ("recovery.level_words", "gauge-pressure"),
        ("recovery.level_absolute", "absolute-pressure"),
    ):
        context.register.add(WriteIn(id, "Recover to", kind, read))


def _level_words(context: Context, level: float) -> str:
    """The level as read on a gauge: 0 psig or less, 10 in. Hg vacuum or deeper."""
    shown = show(level, "gauge-pressure", context.units, "down")
    return Limit("at_most", shown.unit, high=shown.value).text()


def _category(context: Context) -> str | None:
    """Pressure category: what the rule names, else what its definition computes to."""
    row = context.refrigerant_row
    if row is not None and "epa_category" in row:
        return str(row["epa_category"]["value"])
    if context.fluid is None:
        return None
    try:
        pressure = context.fluid.table.bubble_pressure(_K_104F)
    except OutOfRange:
        return (
            rule.pressure_category(None) if context.fluid.critical_temperature < _K_104F else None
        )
    if not rule.near_category_limit(pressure):
        return rule.pressure_category(pressure)
    # The category below a limit never asks for less: high pressure asks no less than very high.
    lower, upper = (rule.pressure_category(pressure * share) for share in (0.98, 1.02))
    deeper, other = (_local(context, category) for category in (lower, upper))
    if deeper != other:
        context.findings.warn(
            "category-near-limit",
            context.record_place("refrigerant"),
            f"{context.record.refrigerant} lies on a limit of the recovery table's categories",
            f"confirm its category with the agency; the deeper level of the two is printed,"
            f" {_level_words(context, deeper)}",
        )
    return lower


def _local(context: Context, category: str) -> float:
    """The level that a category asks of this machine, as the gauge here reads it [Pa gauge]."""
    new = context.kit.recovery_machine.made >= _NEW_MACHINE
    level = rule.required_level(category, charge_parts.of(context).full, new)
    return rule.reading_before_opening(level, context.atmosphere)


def full_charge(context: Context) -> Input:
    """The full charge as it was computed with: the record's, and the line set beyond it."""
    lines = charge_parts.of(context).lines
    where = "machine.charge" if lines else context.key("charge")
    return Input("full charge", charge_parts.full_text(context), where)
