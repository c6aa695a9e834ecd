"""Numbers for a machine that is locked out: capacitors, winding legs, what holds it off."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from packets.formatting import show
from packets.formulas import motor_circuit as formula
from packets.formulas.ranges import OutOfRange
from packets.model.numbers import Number, Words
from tests import jobs
from tests.splits import number, register, split, table

_CURRENT = "      rated_load_current: 13.7 A"


@pytest.mark.parametrize(
    ("ohm", "farad", "rated", "end"),
    [(20e3, 80e-6, 370.0, 10.0), (20e3, 80e-6, 370.0, 1.0), (15e3, 500e-6, 330.0, 1.0)],
)
def test_a_capacitor_s_time_is_that_of_a_circuit_integrated_by_scipy(
    ohm: float, farad: float, rated: float, end: float
) -> None:
    def reached(_: float, volts: Any) -> float:
        return float(volts[0] - end)

    reached.terminal = True  # type: ignore[attr-defined]
    peak = max(rated * math.sqrt(2) * math.sin(math.radians(d)) for d in range(181))
    walked = solve_ivp(
        lambda _, v: -v / (ohm * farad), (0.0, 1e3), [peak], events=reached, rtol=1e-9, atol=1e-9
    )
    made = formula.discharge_time(ohm, farad, formula.peak_voltage(rated), end)
    assert made == pytest.approx(walked.t_events[0][0], rel=1e-5)


def test_a_worked_example_of_the_trade() -> None:
    """80 microfarad at 370 V on 20 kohm: 523 V, 6.3 s to 10 V, 10 s to 1 V; 200 and 500 microfarad
    take 25 to 60 s to 1 V (common practice, no source)."""
    assert round(formula.peak_voltage(370.0)) == 523
    assert formula.discharge_time(20e3, 80e-6, 523.0, 10.0) == pytest.approx(6.3, abs=0.05)
    assert 24 < formula.discharge_time(20e3, 200e-6, formula.peak_voltage(330.0), 1.0) < 26
    assert 60 < formula.discharge_time(20e3, 500e-6, formula.peak_voltage(330.0), 1.0) < 63


@given(st.floats(1e3, 1e5), st.floats(1e-6, 1e-3), st.floats(100, 480), st.floats(0.5, 10))
def test_twice_the_resistor_takes_twice_the_time(
    ohm: float, farad: float, rated: float, end: float
) -> None:
    volts = formula.peak_voltage(rated)
    once = formula.discharge_time(ohm, farad, volts, end)
    assert formula.discharge_time(2 * ohm, farad, volts, end) == pytest.approx(2 * once)
    assert volts * math.exp(-once / (ohm * farad)) == pytest.approx(end)


@pytest.mark.parametrize("wrong", [(0.0, 1e-5, 500, 1), (2e4, 1.0, 500, 1), (2e4, 1e-5, 500, 0)])
def test_what_no_capacitor_is_is_refused(wrong: tuple[float, float, float, float]) -> None:
    with pytest.raises(OutOfRange):
        formula.discharge_time(*wrong)


def printed(found: Number) -> str:
    return show(found.value, found.quantity, "ip", found.round, found.step, found.unit).text


def test_the_longest_of_the_capacitors_sets_the_time(tmp_path: Path) -> None:
    caps = (
        f"{_CURRENT}\n      run_capacitor: {{value: 45 uF, within: 6 %, voltage: 370 V}}\n"
        "      start_capacitor: {value: 250 uF, voltage: 330 V}"
    )
    done = split(tmp_path, (_CURRENT, caps))
    time = number(done, "discharge.time")
    # 20 kohm x 250 uF = 5 s; 330 V x 1.4142 = 466.7 V; ln 466.7 = 6.1457.
    assert time.value == pytest.approx(30.73, abs=0.01)
    assert printed(time) == "31 s"
    assert "no rating is stated" not in time.assumption


def test_a_small_capacitor_and_an_unknown_one_get_the_least_time(tmp_path: Path) -> None:
    for folder, text in (("one", f"{_CURRENT}\n      run_capacitor: {{value: 45 uF}}"),
                         ("none", _CURRENT)):  # fmt: skip
        (tmp_path / folder).mkdir()
        time = number(split(tmp_path / folder, (_CURRENT, text)), "discharge.time")
        assert printed(time) == "15 s" and "the DC reading decides" in time.assumption
        # 20 kohm x 45 uF x ln(440 x 1.4142) = 0.9 s x 6.433 = 5.79 s.
        assert ("5.8 s" in time.working) == (folder == "one")


def test_the_legs_of_a_winding_by_hand() -> None:
    # 5 % of 10 ohm and 0.1 ohm of the meter.
    assert formula.leg_difference(10.0, 0.05, 0.1) == pytest.approx(0.6)


def test_the_table_of_legs_speaks_of_the_supply_s_own_pairs(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    single = table(split(tmp_path / "one", (_CURRENT, _CURRENT)), "winding.legs")
    (tmp_path / "three").mkdir()
    three = table(jobs.prepared(tmp_path / "three"), "winding.legs")
    assert single.by_label == "Start to run" and three.by_label == "Lowest leg"
    assert [row.by for row in single.rows] == sorted(row.by for row in single.rows)


@pytest.mark.parametrize(
    ("circuit", "phases", "own", "name"),
    [
        ("", 1, False, "thermostat"),
        ("", 1, True, "control switch"),
        ("creamery", 3, False, "temporary control switch"),
        ("creamery", 3, True, "control switch"),
    ],
)
def test_what_holds_the_compressor_off(
    tmp_path: Path, circuit: str, phases: int, own: bool, name: str
) -> None:
    """A thermostat can neither bump a three-phase compressor nor hold a pump-down one off."""
    change = (
        ("controls: {", "controls: {control_switch: true, ") if own else ("controls:", "controls:")
    )
    if circuit:
        done = jobs.prepared(tmp_path, {"equipment.yaml": [change]})
    else:
        done = split(tmp_path, change)
    found = register(done).entries["start.control"]
    assert isinstance(found, Words) and found.text == name
