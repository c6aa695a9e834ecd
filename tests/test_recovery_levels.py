"""The level before opening, as the rules print it and as the gauge at the site shows it, by hand
from 29.9 in. Hg and the standard atmosphere (ASHRAE Fundamentals, psychrometrics)."""

from __future__ import annotations

import dataclasses
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from packets import saturation_data
from packets.composing.texts import entry_text
from packets.findings import Findings
from packets.model.numbers import Register
from packets.numbers import recovery_level
from packets.numbers.context import Context
from packets.pipeline import prepare
from packets.quantities import parse
from tests import jobs, sample_jobs
from tests.splits import nameplate, number, split, stopped


@cache
def _base(example: str) -> Context:
    return prepare(jobs.EXAMPLES / example / "job.yaml").circuits["a"].context


def level(
    refrigerant: str,
    charge: str,
    altitude: str = "0 ft",
    *,
    sealed: bool = False,
    small: bool = False,
    units: Any = "ip",
    use: str = "commercial-refrigeration",
    compressor: str = "mechanical-failure",
) -> Context:
    """The recovery.level numbers of a split, or of a factory-sealed machine."""
    base = _base("clinic-wall-split")
    record = dataclasses.replace(
        base.record,
        refrigerant=refrigerant,
        charge=parse(charge, "mass"),
        charge_from="recorded",
        line_set=None,
        small_appliance=small,
    )
    machine = dataclasses.replace(
        base.equipment,
        circuits={"a": record},
        use=use,
        space=dataclasses.replace(base.equipment.space, altitude=parse(altitude, "length")),
    )
    hookups = base.hookups
    if sealed:
        plan = dataclasses.replace(
            hookups.found,
            factory_built=True,
            parts={k: p for k, p in hookups.found.parts.items() if p.kind != "service-valve"},
        )
        hookups = dataclasses.replace(hookups, found=plan, made=plan)
    state = dataclasses.replace(base.state, compressor=compressor)
    job = dataclasses.replace(
        base.job, now=dataclasses.replace(base.job.now, circuits={"a": state})
    )
    context = dataclasses.replace(
        base,
        files=dataclasses.replace(base.files, equipment=machine, job=job),
        hookups=hookups,
        fluid=saturation_data.load(refrigerant),
        register=Register(),
        findings=Findings(),
        units=units,
    )
    recovery_level.add(context)
    return context


def printed(context: Context, name: str = "recovery.level") -> str:
    return entry_text(context.register.entries[name], context.units)


@pytest.mark.parametrize(
    ("refrigerant", "charge", "altitude", "ip", "si"),
    [
        # Table 1, medium pressure, under 200 lb and a newer machine: 10 in. Hg. It was 10.5.
        ("R-134a", "14 lb", "0 ft", "10.0 in. Hg vacuum", "\N{MINUS SIGN}34 kPa gauge"),
        ("R-134a", "199 lb", "0 ft", "10.0 in. Hg vacuum", "\N{MINUS SIGN}34 kPa gauge"),
        ("R-134a", "200 lb", "0 ft", "15.0 in. Hg vacuum", "\N{MINUS SIGN}51 kPa gauge"),
        # 5,000 ft: 24.90 in. Hg of air; 29.9 - 10 = 19.9 absolute: 5.0 on the gauge.
        ("R-134a", "14 lb", "5000 ft", "5.0 in. Hg vacuum", "\N{MINUS SIGN}17 kPa gauge"),
        # 10,000 ft: 20.58 in. Hg: 0.68, deeper to the half inch.
        ("R-134a", "14 lb", "10000 ft", "1.0 in. Hg vacuum", "\N{MINUS SIGN}3 kPa gauge"),
        # High pressure under 200 lb: 0.
        ("R-448A", "14 lb", "0 ft", "0 psig", "0 kPa gauge"),
        ("R-448A", "200 lb", "0 ft", "10.0 in. Hg vacuum", "\N{MINUS SIGN}34 kPa gauge"),
    ],
)
def test_the_level_is_the_rule_s_number_at_the_gauge_s_step(
    refrigerant: str, charge: str, altitude: str, ip: str, si: str
) -> None:
    assert printed(level(refrigerant, charge, altitude)) == ip
    assert printed(level(refrigerant, charge, altitude, units="si")) == si


@pytest.mark.parametrize(
    ("altitude", "ip"),
    [
        ("0 ft", "4.0 in. Hg vacuum"),
        # 25.9 in. Hg absolute is the air of 3,900 ft: above it there is nothing to pull.
        ("3700 ft", "0.5 in. Hg vacuum"),
        ("4000 ft", "0 psig"),
        ("10000 ft", "0 psig"),
    ],
)
def test_a_small_appliance_is_four_inches_and_zero_high_up(altitude: str, ip: str) -> None:
    assert printed(level("R-134a", "1 lb", altitude, sealed=True, small=True)) == ip


@pytest.mark.parametrize(
    ("compressor", "least"), [("running", "0.9"), ("electrical-burnout", "0.8")]
)
def test_the_share_goes_by_whether_the_compressor_runs(compressor: str, least: str) -> None:
    # 90 % of 16 oz is 14.4 oz, 80 % is 12.8 oz; the recovery machine is of 2024.
    context = level("R-134a", "1 lb", sealed=True, small=True, compressor=compressor)
    share = context.register.number("recovery.share")
    assert share is not None
    assert share.value / 0.45359237 == pytest.approx(float(least))
    assert printed(context, "recovery.share") == f"{float(least) * 16:.1f} oz"


def test_a_listed_hydrocarbon_in_a_listed_use_has_no_required_level() -> None:
    # R-600a is of medium pressure: 10 in. Hg where it is not listed.
    listed = level("R-600a", "2 oz", sealed=True, small=True)
    assert printed(listed) == "0 psig"
    assert "ask for no level" in listed.register.number("recovery.level").formula  # type: ignore[union-attr]
    assert "recovery.share" not in listed.register
    assert printed(level("R-600a", "2 oz")) == "10.0 in. Hg vacuum"
    assert printed(level("R-600a", "2 oz", sealed=True, use="industrial-process")) != "0 psig"
    # An unsaturated fluorocarbon is no hydrocarbon.
    assert printed(level("R-1234yf", "1 lb", sealed=True, small=True)) == "4.0 in. Hg vacuum"


def test_a_split_is_never_a_small_appliance(tmp_path: Path) -> None:
    done = split(tmp_path, nameplate("4 lb", "{covers: 50 ft}", "\n    small_appliance: true"))
    assert "a split is joined and charged in the field" in stopped(done, "small-appliance")


def test_the_packet_of_a_small_appliance_asks_which_way_was_met(tmp_path: Path) -> None:
    done = sample_jobs.OWN["sealed"](tmp_path)
    assert done.packet is not None
    steps = [step for one in done.packet.sections for step in one.steps]
    names = [step.id.partition("@")[0] for step in steps if step.id.startswith("recover/")]
    assert "recover/small-level" in names and "recover/level" not in names
    assert number(done, "recovery.share").value == pytest.approx(0.8 * 4 * 0.45359237)


def test_the_level_goes_by_the_charge_before_the_work_and_the_leak_rules_by_the_new_one(
    tmp_path: Path,
) -> None:
    """199 lb before, a drier of 108 in³ more after: over 200 lb. The level is that under 200 lb,
    the label, the record and the leak rules say the new charge. Arithmetic on Table 1."""
    changes = {
        "equipment.yaml": [
            ("charge: 14 lb 8 oz", "charge: 199 lb"),
            ("refrigerant: R-448A", "refrigerant: R-134a"),
            ("    internal_volume: 0.9 ft3", "    additions: []\n"
             "    part_volumes: {drier: 12 in3}\n    internal_volume: 3.5 ft3"),
        ],
        "job.yaml": [
            ("acid_core: true", "acid_core: true, volume: 120 in3"),
            ("refrigerants: [R-448A, R-449A, R-404A]", "refrigerants: [R-134a]"),
        ],
        "kit.yaml": [
            ("holds: R-448A", "holds: R-134a"),
            ("refrigerant: R-448A", "refrigerant: R-134a"),
            ("gross: 35 lb 4 oz", "gross: 320 lb"),
            ("water_capacity: 47.7 lb\n    tare: 27.6 lb",
             "water_capacity: 250 lb\n    tare: 60 lb"),
            ("capacity: 220 lb", "capacity: 900 lb"),
            ("volume: 80 ft3, pressure: 2015", "volume: 500 ft3, pressure: 2015"),
        ],
    }  # fmt: skip
    done = jobs.prepared(tmp_path, changes)
    assert done.packet is not None, [str(f) for f in done.findings]
    before, total = number(done, "machine.charge"), number(done, "charge.total")
    assert before.value < 200 * 0.45359237 < total.value
    # 980 ft: 28.87 in. Hg; 19.9 absolute reads 8.97, 9.0 on the gauge. Over 200 lb it is 14.0.
    assert entry_text(done.circuits["a"].context.register.entries["recovery.level"], "ip") == (
        "9.0 in. Hg vacuum"
    )
    assert done.packet.basis is not None
    (basis,) = done.packet.basis.circuits
    assert basis.full_charge == pytest.approx(total.value)
    assert basis.held_before == pytest.approx(before.value)
    shown = entry_text(total, "ip")
    record = [line for line in done.packet.record if line.id == "full-charge"]
    assert all(shown in line.value for line in record) and record
    most = number(done, "leak.most")
    assert [one.value for one in most.inputs if one.where == "charge.total"] == [shown]


def test_nothing_is_cut_on_pressure_where_the_weight_met_the_rule(tmp_path: Path) -> None:
    """A fifth of the charge may still be in a small appliance cleared by weight: the gauge reads no
    pressure before it is cut, and no vacuum is asked for. Elsewhere it is the rule's level."""
    sealed = sample_jobs.OWN["sealed"](tmp_path)
    assert number(sealed, "recovery.level").value < -3386.0
    assert number(sealed, "recovery.open_at").value == 0.0
    assert sealed.packet is not None
    (blank,) = [
        blank
        for section in sealed.packet.sections
        if section.fragment == "isolate"
        for step in section.steps
        for row in step.readings
        for blank in row
        if blank.id == "higher" and blank.field.endswith("t1")
    ]
    assert blank.limit_text == "0 psig or less"
    deep = level("R-134a", "14 lb")
    assert printed(deep, "recovery.open_at") == printed(deep)
