"""The example machine's numbers, worked by hand or by a reference library beside each check."""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from pathlib import Path

import CoolProp.CoolProp as coolprop
import psychrolib
import pytest
from CoolProp import AbstractState

from packets import saturation_data
from packets.formatting import show
from packets.model.numbers import Number, NumberTable, Register
from packets.numbers import recovery_level
from packets.pipeline import prepare
from packets.quantities import PSI
from tests import contexts, jobs
from tests.handbook_rows import printed, rows

LB = 0.45359237
# R-448A by mass: 32/125/1234yf/134a/1234ze(E) 26/26/20/21/7 (ASHRAE Fundamentals 2021 ch. 29).
R448A = {"R32": 26, "R125": 26, "R1234yf": 20, "R134a": 21, "R1234ze(E)": 7}


@pytest.fixture(scope="module")
def register() -> Register:
    done = prepare(jobs.EXAMPLE / "job.yaml")
    return done.circuits["a"].context.register


def number(register: Register, name: str) -> Number:
    found = register.number(name)
    assert found is not None, name
    return found


def shown(register: Register, name: str) -> str:
    n = number(register, name)
    return show(n.value, n.quantity, "ip", n.round, n.step, n.unit).text


def mixture() -> AbstractState:
    state = AbstractState("HEOS", "&".join(R448A))
    state.set_mass_fractions([share / 100 for share in R448A.values()])
    return state


def test_air_pressure_at_980_ft_as_psychrolib_gives_it(register: Register) -> None:
    psychrolib.SetUnitSystem(psychrolib.IP)
    psi = psychrolib.GetStandardAtmPressure(980.0)
    assert number(register, "site.atmosphere").value / PSI == pytest.approx(psi, rel=1e-4)
    assert shown(register, "site.atmosphere") == "14.2 psia"


def test_recovery_level_of_a_small_high_pressure_charge(register: Register) -> None:
    # 40 CFR 82.156(a) Table 1: high-pressure, full charge under 200 lb, newer machine: 0 in. Hg,
    # 29.9 in. Hg absolute. At 980 ft that is above the air's pressure: open at 0 psig, which is
    # the air's own pressure and not more.
    absolute = number(register, "recovery.level_absolute").value
    assert absolute == number(register, "site.atmosphere").value < 29.9 * 3386.389
    assert shown(register, "recovery.level") == "0 psig"


def test_cylinder_stop_by_guideline_k(register: Register) -> None:
    # 0.8 x 47.7 lb x SG; SG = 1097.5/997.05 = 1.1007 with the liquid density from CoolProp at
    # 77 F; 0.8 x 47.7 x 1.1007 = 42.00 lb; + tare 27.6 lb = 69.60 lb, down to half an ounce.
    state = mixture()
    state.update(coolprop.QT_INPUTS, 0.0, 298.15)
    stop = (0.8 * 47.7 * state.rhomass() / 997.05 + 27.6) * 16
    done = prepare(jobs.EXAMPLE / "job.yaml")
    (filling,) = done.circuits["a"].lists.recovery
    assert filling.cylinder.id == "C-121"
    text = show(filling.stop, "mass", "ip", "down", LB / 32)
    assert text.value == Decimal(int(stop * 2)) / 2
    assert text.text == "69 lb 9.5 oz"


def test_hold_pressure_is_the_low_side_s_at_the_hottest_pipe(register: Register) -> None:
    # (250 + 14.18) x (68 + 459.67)/(95 + 459.67) - 14.18 = 237.1 psig by the gas law; real
    # nitrogen moves a little more, so a little less goes in.
    ideal = (250 + 14.18) * 527.67 / 554.67 - 14.18
    start = number(register, "hold.start").value / PSI
    assert ideal - 1.0 < start < ideal
    assert shown(register, "hold.limit") == "250 psig"
    # By CoolProp's nitrogen at constant density the fill reaches the limit at 95 F, not more.
    air = number(register, "site.atmosphere").value
    density = coolprop.PropsSI("D", "T", 527.67 / 1.8, "P", start * PSI + air, "Nitrogen")
    hot = coolprop.PropsSI("P", "T", 554.67 / 1.8, "D", density, "Nitrogen") - air
    assert 249.5 < hot / PSI < 250.05


def test_every_row_of_the_hold_table_keeps_to_the_limit(register: Register) -> None:
    table = register.entries["hold.allowed"]
    assert isinstance(table, NumberTable)
    limit = number(register, "hold.limit").value
    for row in table.rows:
        assert row.target is not None
        assert row.low < row.target <= limit
        assert row.high <= limit
    fills = [row.target for row in table.rows if row.target is not None]
    assert fills == sorted(fills)


def test_scale_stops_at_the_start_less_the_charge() -> None:
    # 35 lb 4 oz - 14 lb 8 oz = 20 lb 12 oz.
    (draw,) = prepare(jobs.EXAMPLE / "job.yaml").circuits["a"].lists.charging
    assert show(draw.stop, "mass", "ip", "nearest", LB / 32).text == "20 lb 12 oz"


def test_superheat_band_by_coolprop_s_dew_point(register: Register) -> None:
    table = register.entries["verify.superheat"]
    assert isinstance(table, NumberTable)
    air = number(register, "site.atmosphere").value
    state = mixture()
    for row in table.rows:
        state.update(coolprop.PQ_INPUTS, row.by + air, 1.0)
        dew = state.T()
        # Record: superheat 8 F, within 3 F.
        assert row.low == pytest.approx(dew + 5 / 1.8, abs=0.02)
        assert row.high == pytest.approx(dew + 11 / 1.8, abs=0.02)


def test_water_boils_where_the_handbook_says(register: Register) -> None:
    # F1 row of IAPWS values: 300 micron is -21.1 F (ice sublimes). A minimum rounds up.
    (row,) = [r for r in rows("water") if r["id"] == "leaves-at-300-micron-degF"]
    value, _ = printed(row["expected"])
    assert value == pytest.approx(-21.1)
    assert shown(register, "evac.water_boils") == "\N{MINUS SIGN}21 °F"
    # Trade figure, computed with IAPWS: water at 35 F levels at 5,170 micron.
    assert number(register, "evac.water_plateau").value / (101325 / 760000) == pytest.approx(
        5170, abs=10
    )


def test_sweep_of_five_volumes(register: Register) -> None:
    # 5 x 0.9 ft3 at 30 scfh: 9 min at standard density; the air here is thinner, 8.7 min.
    assert number(register, "purge.sweep_time").value / 60 == pytest.approx(8.7, abs=0.1)
    assert shown(register, "purge.sweep_time") == "9 min"


def test_voltage_limits_round_inward(register: Register) -> None:
    # 208 V +-10 %: 187.2 to 228.8, so 188 to 228.
    assert (shown(register, "verify.volts_low"), shown(register, "verify.volts_high")) == (
        "188 V",
        "228 V",
    )


def test_every_number_says_where_it_stands(register: Register) -> None:
    for entry in register:
        if isinstance(entry, (Number, NumberTable)):
            assert entry.source, entry.id
            assert entry.formula, entry.id
            assert entry.confidence in (
                "given",
                "seen",
                "computed",
                "secondary",
                "memory",
                "practice",
            )


def test_what_stands_on_practice_or_memory_is_marked_on_the_card() -> None:
    done = prepare(jobs.EXAMPLE / "job.yaml")
    assert done.packet is not None
    marks = {line.id: line.mark for group in done.packet.card for line in group.lines}
    assert marks["purge.sweep_flow"]
    assert marks["hold.time"]
    assert not marks["hold.limit"]
    assert not marks["evac.target"]


def test_the_maker_s_torque_wins_over_the_table(tmp_path: Path) -> None:
    change = (
        "    internal_volume: 0.9 ft3",
        "    torque: {port-cap: 6 lbf ft}\n    internal_volume: 0.9 ft3",
    )
    done = jobs.prepared(tmp_path, {"equipment.yaml": [change]})
    register = done.circuits["a"].context.register
    assert number(register, "torque.port_cap").confidence == "given"
    assert shown(register, "torque.port_cap") == "6 lbf ft"


def test_a_published_chart_serves_where_no_model_is_sound(tmp_path: Path) -> None:
    # Rows from CoolProp's R-404A stand in for a printed chart of a refused refrigerant.
    chart = []
    for fahrenheit in range(-40, 150, 10):
        t = (fahrenheit + 459.67) / 1.8
        bubble = coolprop.PropsSI("P", "T", t, "Q", 0, "R404A") - 101325
        dew = coolprop.PropsSI("P", "T", t, "Q", 1, "R404A") - 101325
        chart.append(
            f"      - {{temperature: {fahrenheit} degF, bubble: {bubble / PSI:.2f} psig, dew: {dew / PSI:.2f} psig}}"
        )
    done = jobs.prepared(
        tmp_path,
        {
            "equipment.yaml": [
                ("refrigerant: R-448A", "refrigerant: R-408A\n    chart:\n" + "\n".join(chart)),
            ],
            "kit.yaml": [("refrigerant: R-448A", "refrigerant: R-408A")],
            "job.yaml": [("R-448A, R-449A", "R-408A, R-449A")],
        },
    )
    register = done.circuits["a"].context.register
    table = register.entries["verify.superheat"]
    assert isinstance(table, NumberTable)
    assert "chart" in table.source
    # A chart has no liquid density, so the cylinder's limit waits, and names what to fill in.
    assert register.waiting["recovery.cylinder"].key == "circuits.a.specific_gravity"
    assert jobs.codes(done) == ["missing-input"]
    (missing,) = done.findings.errors()
    assert (
        "circuits.a.specific_gravity" in missing.message and "recovery.cylinder" in missing.message
    )
    # With it the same code makes the packet: 0.8 x 47.7 lb x 1.07 = 40.83 lb.
    stated = [("    chart:\n", "    specific_gravity: 1.07 times\n    chart:\n")]
    done = prepare(jobs.change(tmp_path, {"equipment.yaml": stated}))
    assert done.packet is not None, [str(f) for f in done.findings]
    register = done.circuits["a"].context.register
    assert shown(register, "recovery.room") == "40 lb 13 oz"
    assert number(register, "recovery.gravity").confidence == "given"


def test_recovery_names_the_charge_it_was_worked_with(tmp_path: Path) -> None:
    # The library's plate says 6 lb 2 oz; with its line set the machine holds 7 lb.
    done = jobs.prepared(tmp_path, example=jobs.EXAMPLES / "library-heat-pump")
    for name in ("recovery.time", "recovery.level", "recovery.level_absolute"):
        (full,) = [
            item
            for item in number(done.circuits["a"].context.register, name).inputs
            if item.name == "full charge"
        ]
        assert (full.value, full.where) == ("7 lb 0 oz", "machine.charge")
    time = number(done.circuits["a"].context.register, "recovery.time")
    # 3.5 lb / 6 lb/min + 3.5 lb / 0.6 lb/min = 6.4 min, in the working and as printed.
    assert "6.4 min" in time.working
    assert shown(done.circuits["a"].context.register, "recovery.time") == "6.4 min"


def test_a_machine_without_a_liquid_rate_is_not_said_to_draw_liquid(tmp_path: Path) -> None:
    done = jobs.prepared(tmp_path, example=jobs.EXAMPLES / "clinic-wall-split")
    time = number(done.circuits["a"].context.register, "recovery.time")
    assert "vapor rate" in time.formula and "half comes as liquid" not in time.assumption


def test_a_category_on_its_limit_is_told_only_where_the_levels_differ() -> None:
    """R-32 lies on the limit of high and very high pressure (355 psia at 104 F, 40 CFR 82.152).
    Table 1: under 200 lb both ask 0 in. Hg; from 200 lb high asks 10 in. Hg, very high 0."""
    for charge, differs in (("2 lb 10 oz", False), ("250 lb", True)):
        base = contexts.changed(
            record={"refrigerant": "R-32", "charge": contexts.quantity(charge, "mass")}
        )
        context = dataclasses.replace(base, fluid=saturation_data.load("R-32"))
        recovery_level.add(context)
        found = [f for f in context.findings if f.code == "category-near-limit"]
        assert bool(found) is differs, charge
        assert all("in. Hg" in one.fix for one in found)


@pytest.mark.parametrize(
    ("kind", "printed"),
    [
        # Half of 56 fl oz stays in a scroll or a rotary; 0.8 x 56 = 44.8 of others, up.
        ("scroll", "28 fl oz"),
        ("rotary", "28 fl oz"),
        ("reciprocating", "45 fl oz"),
    ],
)
def test_the_oil_asked_of_an_old_compressor_is_what_tips_out(
    tmp_path: Path, kind: str, printed: str
) -> None:
    """Shares by common practice, no source. It was 51 fl oz of every compressor."""
    change = ("type: scroll", f"type: {kind}")
    done = jobs.prepared(tmp_path, {"equipment.yaml": [change]})
    assert shown(done.circuits["a"].context.register, "machine.oil_short") == printed
