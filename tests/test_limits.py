"""A limit says and judges the same thing."""

from __future__ import annotations

from decimal import Decimal as D

from hypothesis import given
from hypothesis import strategies as st

from packets.model.limits import Limit, Row, mass_text


def test_a_reading_on_the_printed_limit_is_allowed() -> None:
    assert Limit("at_most", "micron", high=D(500)).allows(D(500)) is True
    assert Limit("at_most", "micron", high=D(500)).allows(D(501)) is False
    assert Limit("at_least", "V", low=D(188)).allows(D(188)) is True
    assert Limit("at_least", "V", low=D(188)).allows(D("187.9")) is False


def test_texts_are_what_a_gauge_shows() -> None:
    assert Limit("at_most", "micron", high=D(500)).text() == "500 micron or less"
    assert Limit("between", "V", D(188), D(228)).text() == "188 to 228 V"
    assert Limit("at_most", "lb oz", high=D("232.5")).text() == "14 lb 8.5 oz or less"
    assert Limit("at_most", "in. Hg vacuum", high=D(-10)).text() == "10 in. Hg vacuum or deeper"
    assert mass_text(D(0)) == "0 oz"
    assert mass_text(D(-20)) == "\N{MINUS SIGN}1 lb 4 oz"


TABLE = Limit("rows", "psig", rows=(Row(D(60), D(228), D(234)), Row(D(62), D(229), D(235))), by="t")


def test_between_two_rows_the_stricter_holds() -> None:
    assert TABLE.band(D(60)) == (D(228), D(234))
    assert TABLE.band(D(61)) == (D(229), D(234))
    assert TABLE.allows(D(228), D(61)) is False
    assert TABLE.allows(D(228), D(60)) is True


def test_a_straight_band_runs_from_row_to_row_and_is_cut_to_the_safe_side() -> None:
    rows = (Row(D(60), D(228), D(234)), Row(D(63), D(229), D(236)))
    band = Limit("rows", "psig", rows=rows, by="t", straight=True)
    # A third of the way: 228.33 up to a tenth, 234.67 down.
    assert band.band(D(61)) == (D("228.4"), D("234.6"))
    assert band.band(D(60)) == (D(228), D(234)) and band.band(D(63)) == (D(229), D(236))
    assert band.allows(D(229), D(61)) is True and band.allows(D(235), D(61)) is False
    assert band.band(D(64)) is None


def test_outside_the_table_nothing_is_judged() -> None:
    assert TABLE.band(D(59)) is None
    assert TABLE.allows(D(230), D(63)) is None
    assert TABLE.allows(D(230)) is None


def test_a_choice_is_good_bad_or_not_one_of_the_words() -> None:
    limit = Limit("choice", choices=("clean", "acid"), good=("clean",))
    assert limit.allows("clean") is True
    assert limit.allows("acid") is False
    assert limit.allows("wet") is None


@given(st.decimals(-1000, 1000, places=1), st.decimals(-1000, 1000, places=1))
def test_what_is_above_the_highest_is_never_allowed(high: D, reading: D) -> None:
    assert Limit("at_most", "V", high=high).allows(reading) is (reading <= high)
