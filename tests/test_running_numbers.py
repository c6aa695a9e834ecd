"""Head, compressor superheat, drier, air, controls and heating of a settled machine: by CoolProp
and by hand."""

from __future__ import annotations

from pathlib import Path

import CoolProp.CoolProp as coolprop
import pytest
from CoolProp import AbstractState
from CoolProp.CoolProp import PropsSI

from packets.composing.texts import number_text
from packets.formulas.atmosphere import pressure_at_altitude
from packets.model.numbers import WriteIn
from packets.model.packet import Blank, Step
from packets.pipeline import Prepared
from tests import jobs, sample_jobs
from tests.splits import ORIFICE, TXV, number, register, split, stopped, table, warned

F = 1 / 1.8
AIR = pressure_at_altitude(980 * 0.3048)
CONTROLS = "    controls: {low_pressure_cut_in: 40 psig, low_pressure_cut_out: 18 psig"
CAPACITY = ("    internal_volume", "    cooling_capacity: 36000 Btu/h\n    internal_volume")


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) * F


def walk_in_dew(fahrenheit: float) -> float:
    """Dew pressure of R-448A [Pa absolute] by CoolProp's mixture."""
    state = AbstractState("HEOS", "R32&R125&R1234yf&R134a&R1234ze(E)")
    state.set_mass_fractions([0.26, 0.26, 0.20, 0.21, 0.07])
    state.update(coolprop.QT_INPUTS, 1.0, kelvin(fahrenheit))
    return float(state.p())


def example(
    folder: Path, name: str, changes: dict[str, list[jobs.Change]] | None = None
) -> Prepared:
    return jobs.prepared(folder, changes, jobs.EXAMPLES / name)


def printed(done: Prepared) -> dict[str, Step]:
    """The steps of the running machine by their ids."""
    assert done.packet is not None, [str(f) for f in done.findings]
    return {
        step.id.partition("@")[0].partition("/")[2]: step
        for section in done.packet.sections
        if section.fragment == "verify"
        for step in section.steps
    }


def blanks(done: Prepared) -> dict[str, Blank]:
    return {b.id: b for step in printed(done).values() for row in step.readings for b in row}


def limit(done: Prepared, reading: str) -> str:
    found = blanks(done)[reading].limit
    assert found is not None, reading
    return found.text()


# --- head --------------------------------------------------------------------------------------


def test_the_head_is_the_dew_of_the_condensing_range_in_local_gauge_pressure(
    tmp_path: Path,
) -> None:
    # The record: condensing from 90 to 120 °F, 980 ft up. The high end is no cut-out's: 395 psig.
    done = jobs.prepared(tmp_path)
    for end, fahrenheit in (("least", 90), ("most", 120)):
        found = number(done, f"verify.head_{end}").value
        assert found == pytest.approx(walk_in_dew(fahrenheit) - AIR, rel=2e-3)
    assert limit(done, "head") == "183 to 286 psig"


def test_a_gauge_in_the_mountains_reads_the_head_higher(tmp_path: Path) -> None:
    cut_out = ("high_pressure_cut_out: 395 psig", "high_pressure_cut_out: 440 psig")
    high = split(tmp_path, ("altitude: 980 ft", "altitude: 5000 ft"), cut_out)
    air = pressure_at_altitude(5000 * 0.3048)
    dew = PropsSI("P", "T", kelvin(120), "Q", 1, "R410A")
    assert number(high, "verify.head_most").value == pytest.approx(dew - air, rel=5e-3)


def test_the_maker_s_least_head_wins_over_the_range(tmp_path: Path) -> None:
    own = ("    internal_volume", "    head_minimum: 175 psig\n    internal_volume")
    done = jobs.prepared(tmp_path, {"equipment.yaml": [own]})
    assert limit(done, "head").startswith("175 to ")
    above = ("    internal_volume", "    head_minimum: 400 psig\n    internal_volume")
    said = stopped(jobs.prepared(tmp_path, {"equipment.yaml": [above]}), "range")
    assert "cut-out" in said


def test_no_head_is_allowed_past_the_cut_out_and_the_two_are_told(tmp_path: Path) -> None:
    low = ("high_pressure_cut_out: 395 psig", "high_pressure_cut_out: 270 psig")
    done = jobs.prepared(tmp_path, {"equipment.yaml": [low]})
    assert limit(done, "head") == "183 to 270 psig"
    assert "270 psig" in warned(done, "head-above-cut-out")


def test_without_a_hose_on_the_high_side_there_is_no_box_for_the_head(tmp_path: Path) -> None:
    # Both ports of the wall split stand behind its capillary tube.
    clinic = example(tmp_path, "clinic-wall-split")
    assert "head" not in printed(clinic)


# --- superheat at the compressor ---------------------------------------------------------------


def test_the_suction_line_at_the_compressor_is_20_to_30_degrees_over_coolprop_s_dew(
    tmp_path: Path,
) -> None:
    # 20 to 30 °F with a receiver: common practice, no source.
    done = jobs.prepared(tmp_path)
    found = table(done, "verify.compressor_line")
    state = AbstractState("HEOS", "R32&R125&R1234yf&R134a&R1234ze(E)")
    state.set_mass_fractions([0.26, 0.26, 0.20, 0.21, 0.07])
    for row in found.rows:
        state.update(coolprop.PQ_INPUTS, row.by + AIR, 1.0)
        assert row.low - state.T() == pytest.approx(20 * F, abs=0.1)
        assert row.high - state.T() == pytest.approx(30 * F, abs=0.1)
    assert blanks(done)["compressor-line"].limit is not None


def test_the_maker_s_superheat_at_the_compressor_wins(tmp_path: Path) -> None:
    own = (
        "      type: scroll",
        "      type: scroll\n      superheat: {low: 12 degF, high: 24 degF}",
    )
    done = split(tmp_path, own)
    row = table(done, "verify.compressor_line").rows[0]
    assert (row.high - row.low) * 1.8 == pytest.approx(12)
    upside = (
        "      type: scroll",
        "      type: scroll\n      superheat: {low: 24 degF, high: 12 degF}",
    )
    assert "not below" in stopped(split(tmp_path, upside), "range")


def test_an_expansion_valve_without_a_band_there_gets_a_write_in(tmp_path: Path) -> None:
    done = split(tmp_path)
    assert "compressor-line" not in printed(done)
    assert "manufacturer" in limit(done, "superheat-there")


# --- box, drier, air ---------------------------------------------------------------------------


def test_the_box_is_within_three_degrees_before_superheat_counts(tmp_path: Path) -> None:
    # Common practice, no source: 36 - 3 and 36 + 3 °F.
    done = jobs.prepared(tmp_path)
    assert limit(done, "box-cold") == "33 to 39 °F"
    order = list(printed(done))
    assert order.index("box") < order.index("superheat")


def test_a_freezer_s_box_below_zero_has_its_band(tmp_path: Path) -> None:
    # -5 - 3 and -5 + 3 °F: a limit under the scale's zero is a limit.
    cold = [
        ("setpoint: 36 degF, coldest: 35 degF", "setpoint: -5 degF, coldest: -10 degF"),
        ("{low: 18 degF, high: 30 degF}", "{low: -20 degF, high: -15 degF}"),
    ]
    done = jobs.prepared(tmp_path, {"equipment.yaml": cold})
    assert limit(done, "box-cold") == "\N{MINUS SIGN}8 to \N{MINUS SIGN}2 °F"


def test_the_drier_is_read_at_the_start_and_the_suction_drier_with_it(tmp_path: Path) -> None:
    # 3 °F across a liquid-line drier: from memory. The suction drier's limit is the return visit's.
    done = jobs.prepared(tmp_path)
    assert limit(done, "drier-drop") == "3 °F or less"
    drop = number_text(number(done, "drier.drop_limit"), "ip")
    assert limit(done, "start-drop").partition(" ")[0] == drop.partition(" ")[0].partition(".")[0]
    assert "suction-drier-start" not in printed(split(tmp_path))


def test_air_flow_is_350_cfm_for_each_ton(tmp_path: Path) -> None:
    # 36,000 Btu/h are three tons by definition; 350 cfm a ton from memory: 1,050 cfm.
    done = split(tmp_path, CAPACITY)
    assert limit(done, "air-flow") == "1050 cfm or more"
    assert blanks(done)["air-flow"].unit == "cfm"
    bare = split(tmp_path)
    assert "air-flow" not in blanks(bare)
    assert "table" in limit(bare, "air-flow-table")


def test_a_split_without_its_table_in_the_record_is_written_in(tmp_path: Path) -> None:
    done = split(tmp_path)
    assert isinstance(register(done).entries["verify.split_most"], WriteIn)
    assert "maker's table" in limit(done, "split")


# --- controls ----------------------------------------------------------------------------------


def test_the_control_opens_and_closes_within_three_psi_of_its_setting(tmp_path: Path) -> None:
    # Common practice, no source: 18 and 40 psig of the record, 3 psi to each side.
    done = jobs.prepared(tmp_path)
    assert (limit(done, "cut-out"), limit(done, "cut-in")) == ("15 to 21 psig", "37 to 43 psig")
    own = {"equipment.yaml": [(CONTROLS, f"{CONTROLS}, within: 1 psi")]}
    assert limit(jobs.prepared(tmp_path, own), "cut-out") == "17 to 19 psig"


@pytest.mark.parametrize(
    ("setting", "says"), [("1 psig", "0 to 4 psig"), ("-2 psig", "1.5 to 10.0 in. Hg vacuum")]
)
def test_a_cut_out_near_the_air_s_pressure_keeps_one_unit(
    tmp_path: Path, setting: str, says: str
) -> None:
    low = ("low_pressure_cut_out: 18 psig", f"low_pressure_cut_out: {setting}")
    done = jobs.prepared(tmp_path, {"equipment.yaml": [low]})
    # 2 psi is 4.07 in. Hg, 5 psi 10.18; half a psi is kept from the air's pressure.
    assert limit(done, "cut-out") == says


def test_how_the_control_is_tried_follows_the_machine_s_valves(tmp_path: Path) -> None:
    # A solenoid pumps down; a liquid service valve is closed by hand; a package has neither.
    walk_in = printed(jobs.prepared(tmp_path))
    assert {"pump-down", "cut-in", "controls-set"} <= set(walk_in)
    assert "cut-out-by-valve" not in walk_in
    heat_pump = printed(example(tmp_path, "library-heat-pump"))
    assert {"cut-out-by-valve", "cut-in-by-valve", "controls-set"} <= set(heat_pump)
    assert "pump-down" not in heat_pump
    # Its liquid valve stands behind the capillary tube, on the low side: never closed to try.
    clinic = example(tmp_path, "clinic-wall-split")
    assert not {"pump-down", "cut-out-by-valve"} & set(printed(clinic))
    assert "low-setting" in blanks(clinic)


def test_no_valve_is_closed_to_reach_a_cut_out_under_the_air_s_pressure(tmp_path: Path) -> None:
    low = ("low_pressure_cut_out: 25 psig", "low_pressure_cut_out: -3 psig")
    done = example(tmp_path, "library-heat-pump", {"equipment.yaml": [low]})
    assert "cut-out-by-valve" not in printed(done)


def test_the_high_pressure_control_is_compared_and_never_driven(tmp_path: Path) -> None:
    step = printed(jobs.prepared(tmp_path))["controls-set"]
    told = "".join(span.text for span in step.action)
    assert "Do not jumper" in told and "Do not block the air" in told
    label = "".join(span.text for span in step.readings[0][0].label)
    assert "395 psig or less" in label


def test_a_receiver_without_written_settings_still_has_its_boxes(tmp_path: Path) -> None:
    whole = "high_pressure_cut_out: 395 psig}\n"
    bare = {"equipment.yaml": [(f"{CONTROLS}, {whole}", "")]}
    done = jobs.prepared(tmp_path, bare)
    assert "set on the control" in limit(done, "cut-out")


# --- heating -----------------------------------------------------------------------------------


def test_heating_is_held_to_the_record_s_ranges(tmp_path: Path) -> None:
    # R-454B, dew at 10 and 42 °F by CoolProp's mixture (68.9 % R-32, 31.1 % R-1234yf) at 640 ft.
    done = example(tmp_path, "library-heat-pump")
    state = AbstractState("HEOS", "R32&R1234yf")
    state.set_mass_fractions([0.689, 0.311])
    air = pressure_at_altitude(640 * 0.3048)
    for end, fahrenheit in (("least", 10), ("most", 42)):
        state.update(coolprop.QT_INPUTS, 1.0, kelvin(fahrenheit))
        found = number(done, f"verify.heating_suction_{end}").value
        assert found == pytest.approx(state.p() - air, rel=1e-2)
    assert limit(done, "rise") == "16 to 34 °F"
    assert limit(done, "leak-by") == "3 °F or less"
    assert limit(done, "defrost-time") == "10 min or less"
    assert limit(done, "discharge-heating") == "225 °F or less"
    assert "amps" in blanks(done) and "amps-heating" in blanks(done)


def test_without_its_heating_table_the_limits_are_written_in(tmp_path: Path) -> None:
    text = (jobs.EXAMPLES / "library-heat-pump" / "equipment.yaml").read_text(encoding="utf-8")
    (line,) = [line for line in text.splitlines() if line.startswith("    heating:")]
    changes = {"equipment.yaml": [(f"{line}\n", "")]}
    done = example(tmp_path, "library-heat-pump", changes)
    for reading in ("suction-heating", "rise"):
        assert "maker's heating table" in limit(done, reading)


def test_in_the_warm_somebody_watches_the_head_in_heating(tmp_path: Path) -> None:
    warm = {"job.yaml": [("outdoor: 61 degF", "outdoor: 78 degF")]}
    done = printed(example(tmp_path, "library-heat-pump", warm))
    assert "heating-warm" in done and "heating" not in done
    assert "second person" in "".join(span.text for span in done["heating-warm"].action)
    assert "head" in blanks(example(tmp_path, "library-heat-pump", warm))


def test_in_the_cold_low_head_says_nothing(tmp_path: Path) -> None:
    done = example(tmp_path, "library-heat-pump")
    assert "head" not in blanks(done)
    assert limit(done, "head-cold").endswith("or less")


# --- the way -----------------------------------------------------------------------------------


def test_a_person_walks_once_from_the_air_side_to_the_unit(tmp_path: Path) -> None:
    order = list(printed(split(tmp_path, (TXV, ORIFICE))))
    indoors, at_unit = {"air-flow", "split", "target"}, {"orifice-superheat", "head", "heat"}
    assert order[0] == "settle"
    # A fixed orifice is judged by superheat; its subcooling is noted beside the maker's.
    assert "orifice-subcooling" in order and "subcooling" not in order
    assert max(order.index(name) for name in indoors) < min(order.index(name) for name in at_unit)


def test_what_one_machine_has_not_is_not_printed() -> None:
    for _, circuit in sample_jobs.circuits():
        entries = circuit.context.register.entries
        pump = any(p.kind == "reversing-valve" for p in circuit.context.plan.parts.values())
        assert ("verify.defrost_time" in entries) == pump
