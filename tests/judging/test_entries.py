"""What people write in boxes, read one way or not at all.

Unit factors: NIST SP 811 (1 psi = 6.894757 kPa, 1 lb = 0.45359237 kg, 1 in. Hg = 3.386389 kPa).
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.judging import entries
from packets.judging.entries import NotRead
from packets.quantities import UNITS


@pytest.mark.parametrize(
    ("text", "quantity", "unit", "value"),
    [
        ("248", "gauge-pressure", "psig", "248"),
        (" 248 psig ", "gauge-pressure", "psig", "248"),
        ("248.50", "gauge-pressure", "psig", "248.50"),
        ("-3", "gauge-pressure", "psig", "-3"),
        ("\N{MINUS SIGN}3", "gauge-pressure", "psig", "-3"),
        ("1,500", "vacuum", "micron", "1500"),
        ("1 710 kPag", "gauge-pressure", "psig", None),
        ("10", "gauge-pressure", "in. Hg vacuum", "-10"),
        ("10 in. Hg", "gauge-pressure", "in. Hg vacuum", "-10"),
        ("-10 inHg", "gauge-pressure", "in. Hg vacuum", "-10"),
        ("14 lb 8 oz", "mass", "lb oz", "232"),
        ("14 8", "mass", "lb oz", "232"),
        ("14-8.5", "mass", "lb oz", "232.5"),
        ("232 oz", "mass", "lb oz", "232"),
        ("14.5 lb", "mass", "lb oz", "232"),
        ("6.58", "mass", "kg", "6.58"),
        ("0", "mass", "lb oz", "0"),
        ("310 mic", "vacuum", "micron", "310"),
        ("52\N{DEGREE SIGN}", "temperature", "\N{DEGREE SIGN}F", "52"),
        ("52 deg", "temperature", "\N{DEGREE SIGN}F", "52"),
        ("14 lb 8\N{VULGAR FRACTION ONE HALF} oz", "mass", "lb oz", "232.5"),
        ("14 lb 8 1/2 oz", "mass", "lb oz", "232.5"),
        ("\N{VULGAR FRACTION ONE QUARTER} lb", "mass", "lb oz", "4"),
        ("52 1/2", "gauge-pressure", "psig", "52.5"),
        ("7\N{VULGAR FRACTION THREE QUARTERS}", "gauge-pressure", "psig", "7.75"),
    ],
)
def test_numbers_are_read_digit_by_digit(
    text: str, quantity: str, unit: str, value: str | None
) -> None:
    if value is None:
        with pytest.raises(NotRead):
            entries.number(text, quantity, unit)
    else:
        assert entries.number(text, quantity, unit) == Decimal(value)


@pytest.mark.parametrize(
    ("text", "quantity", "unit", "value"),
    [
        ("1710 kPa gauge", "gauge-pressure", "psig", 1710 / 6.894757),
        ("20 °C", "temperature", "°F", 68.0),
        ("6.58 kg", "mass", "lb oz", 6.58 / 0.45359237 * 16),
        ("10 in. Hg", "gauge-pressure", "psig", -10 * 3.386389 / 6.894757),
    ],
)
def test_a_unit_of_its_own_is_converted(text: str, quantity: str, unit: str, value: float) -> None:
    assert float(entries.number(text, quantity, unit)) == pytest.approx(value, rel=2e-6)


@pytest.mark.parametrize(
    ("text", "quantity", "unit"),
    [
        ("14.5", "mass", "lb oz"),  # pounds or ounces?
        ("14 lb 20 oz", "mass", "lb oz"),
        ("1710 kPa", "gauge-pressure", "psig"),  # gauge or absolute?
        ("about 248", "gauge-pressure", "psig"),
        ("248-250", "gauge-pressure", "psig"),
        ("2,48", "gauge-pressure", "psig"),
        ("248 micron", "gauge-pressure", "psig"),
        ("nan", "gauge-pressure", "psig"),
        ("1e5", "vacuum", "micron"),
        ("", "vacuum", "micron"),
        ("14\N{VULGAR FRACTION ONE HALF}", "mass", "lb oz"),  # pounds or ounces?
        ("52 5/4", "gauge-pressure", "psig"),
        ("52 1/3", "gauge-pressure", "psig"),
        ("52\N{DEGREE SIGN}", "gauge-pressure", "psig"),
    ],
)
def test_what_reads_two_ways_is_not_read(text: str, quantity: str, unit: str) -> None:
    with pytest.raises(NotRead):
        entries.number(text, quantity, unit)


@given(st.text(max_size=40), st.sampled_from(sorted(UNITS)))
def test_no_text_breaks_the_reader(text: str, quantity: str) -> None:
    unit = "lb oz" if quantity == "mass" else next(iter(UNITS[quantity].values())).shown
    for read in (
        lambda: entries.number(text, quantity, unit),
        lambda: entries.clock(text),
        lambda: entries.day(text),
    ):
        try:
            read()
        except NotRead:
            continue


@given(st.decimals(-500, 5000, allow_nan=False, places=2))
def test_a_bare_number_is_itself(value: Decimal) -> None:
    assert entries.number(str(value), "gauge-pressure", "psig") == value


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("13:40", 820),
        ("1:40 pm", 820),
        ("12:05 am", 5),
        ("06:10 +1", 370),
        ("8.05", 485),
        ("1340", 820),
        ("930", 570),
        ("930 pm", 1290),
        ("0005", 5),
    ],
)
def test_times_of_day(text: str, minutes: int) -> None:
    assert entries.clock(text).minutes == minutes


@pytest.mark.parametrize(
    "text", ["25:00", "13:60", "13:40 pm", "noon", "2460", "0:10 am", "13", "11000"]
)
def test_what_is_no_time_of_day(text: str) -> None:
    with pytest.raises(NotRead):
        entries.clock(text)


def test_days_read_one_way() -> None:
    for text in (
        "2026-03-20",
        "20 Mar 2026",
        "March 20, 2026",
        "3/20/2026",
        "20.3.2026",
        "3/20/26",
    ):
        assert entries.day(text) == date(2026, 3, 20)
    for text in ("3/4/26", "2026-02-30", "tomorrow", "20 Foo 2026"):
        with pytest.raises(NotRead):
            entries.day(text)


@pytest.mark.parametrize(
    ("text", "fix"),
    [
        ("3/4/2026", "write 2026-03-04 or 2026-04-03"),
        ("20/3/26", "write 2020-03-26 or 2026-03-20"),
        ("31/2/2026", "write year-month-day, e.g. 2026-03-18"),
        ("19/19/2026", "write year-month-day, e.g. 2026-03-18"),
    ],
)
def test_a_day_in_figures_that_reads_two_ways_names_both(text: str, fix: str) -> None:
    with pytest.raises(NotRead) as told:
        entries.day(text)
    assert told.value.fix == fix


@given(st.dates(date(2020, 1, 1), date(2039, 12, 31)))
def test_a_day_in_figures_is_never_read_as_another_day(day: date) -> None:
    for text in (f"{day.month}/{day.day}/{day.year}", f"{day.day}.{day.month}.{day.year}"):
        try:
            assert entries.day(text) == day
        except NotRead as problem:
            assert day.isoformat() in problem.fix
            assert day.day <= 12 and day.day != day.month


def test_a_word_is_read_by_its_beginning_where_only_one_begins_so() -> None:
    assert entries.ringed("y", ["yes", "no"]) == "yes"
    assert entries.ringed(" LEAK ", ["tight", "leak"]) == "leak"
    assert entries.ringed("l", ["leak", "loose"]) is None
    assert entries.ringed("no", ["none", "no"]) == "no"
    assert entries.ringed("", ["none", "no"]) is None


def test_ticks() -> None:
    assert entries.ticked("X") and entries.ticked(True)
    assert entries.ticked("no") is False
    assert entries.ticked("see below") is None
