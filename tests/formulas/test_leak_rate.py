"""Leak rates of 40 CFR 82.152, against worked examples."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from packets.formulas import leak_rate
from tests.handbook_rows import agrees, ids, rows

LB = 0.45359237


@pytest.mark.parametrize("row", rows("leak_rate"), ids=ids)
def test_handbook(row: dict[str, Any]) -> None:
    told = row["inputs"]
    if told["ask"] == "net":
        net = leak_rate.net_added(told["charged_lb"] * LB, told["recovered_lb"] * LB)
        assert agrees(net / LB, row)
        return
    if told["ask"] == "most":
        most = leak_rate.most_addition(told["trigger"], told["full_lb"] * LB, told["days"])
        assert agrees(most / LB, row)
        return
    added, full = told["added_lb"] * LB, told["full_lb"] * LB
    if told["ask"] == "rolling":
        assert agrees(100 * leak_rate.rolling(added, full), row)
    else:
        assert agrees(100 * leak_rate.annualized(added, full, told["days"]), row)


def test_change_out_counts_net_only() -> None:
    """14.5 lb back in after 12.0 lb recovered: 2.5 lb had gone; all of it is not a leak rate."""
    assert leak_rate.net_added(14.5 * LB, 12.0 * LB) == pytest.approx(2.5 * LB)
    assert leak_rate.net_added(12.0 * LB, 14.5 * LB) == 0.0


masses = st.floats(0.01, 1000)
days = st.floats(1, 2000)


@given(masses, masses, days, days)
def test_a_shorter_interval_never_lowers_the_rate(
    added: float, full: float, one: float, other: float
) -> None:
    short, long = sorted((one, other))
    quick = leak_rate.annualized(added, full, short)
    assert quick >= leak_rate.annualized(added, full, long)
    # Over a year or more the annualizing method is the rolling one.
    assert leak_rate.annualized(added, full, 365.0) == leak_rate.rolling(added, full)


@given(st.floats(0.05, 1.0), masses, days)
def test_most_addition_lands_on_the_trigger(trigger: float, full: float, since: float) -> None:
    most = leak_rate.most_addition(trigger, full, since)
    assume(most > 0)
    assert math.isclose(leak_rate.annualized(most, full, since), trigger, rel_tol=1e-9)
