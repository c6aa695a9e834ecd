"""Reading what people write. Conversion factors: exact definitions (NIST SP 811, appendix B)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets import quantities
from packets.quantities import UNITS, BadQuantity, from_si, parse, to_si


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("14 lb 8 oz", "mass", 14.5 * 0.45359237),
        ("9 lb 4 oz", "mass", 9.25 * 0.45359237),
        ("3/8 in", "length", 0.375 * 0.0254),
        ("1-1/8 in", "length", 1.125 * 0.0254),
        ("1 1/8 in", "length", 1.125 * 0.0254),
        ("5 ft 3 in", "length", 63 * 0.0254),
        ("88 degF", "temperature", (88 + 459.67) / 1.8),
        ("8 degF", "temperature-difference", 8 / 1.8),
        ("-40 degC", "temperature", 233.15),
        ("250 psig", "gauge-pressure", 250 * 6894.757293168361),
        ("500 micron", "vacuum", 500 * 101325 / 760000),
        ("0.9 ft3", "volume", 0.9 * 0.3048**3),
        ("56 fl oz", "volume", 56 * 29.5735295625e-6),
        ("8 cfm", "volume-flow", 8 * 0.3048**3 / 60),
        ("30 m3/h", "volume-flow", 30 / 3600),
        ("8 lbf ft", "torque", 10.846543586651203),
        ("20 %", "ratio", 0.2),
        ("101 kPa abs", "absolute-pressure", 101000),
    ],
)
def test_reads_what_the_trade_writes(text: str, kind: str, si: float) -> None:
    assert parse(text, kind).value == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "fix"),
    [
        ("9 lbs4", "mass", "write 9 lb 4 oz"),
        ("9 lb 4", "mass", "write 9 lb 4 oz"),
        ("450 psi", "gauge-pressure", "write 450 psig (gauge)"),
        ("14.5", "mass", "add the unit: 14.5 lb, 14.5 oz, 14.5 kg"),
    ],
)
def test_says_what_would_be_right(text: str, kind: str, fix: str) -> None:
    with pytest.raises(BadQuantity) as problem:
        parse(text, kind)
    assert problem.value.fix == fix


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("nan lb", "mass"),
        ("inf lb", "mass"),
        ("1e5 lb", "mass"),
        ("-5 lb", "mass"),
        ("3/0 in", "length"),
        ("", "mass"),
        ("lb", "mass"),
        ("8 oz 9 lb", "mass"),
        ("1.2.3 lb", "mass"),
        ("450 psig", "mass"),
        ("450 psia", "gauge-pressure"),
        ("-500 degF", "temperature"),
        ("9" * 61 + " lb", "mass"),
        (14, "mass"),
        (None, "mass"),
        (True, "mass"),
    ],
)
def test_refuses_and_gives_a_fix(text: object, kind: str) -> None:
    with pytest.raises(BadQuantity) as problem:
        parse(text, kind)
    assert problem.value.fix


def test_a_bare_pressure_is_named_as_the_muddle_it_is() -> None:
    with pytest.raises(BadQuantity, match="gauge or absolute"):
        parse("450 psi", "gauge-pressure")


def test_every_kind_reads_its_own_example() -> None:
    for kind in UNITS:
        assert parse(quantities.example(kind), kind).kind == kind


@given(st.data())
def test_units_round_trip(data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from(sorted(UNITS)))
    unit = data.draw(st.sampled_from(sorted(UNITS[kind])))
    number = data.draw(st.floats(0.001, 1e5))
    assert from_si(to_si(number, kind, unit), kind, unit) == pytest.approx(number, rel=1e-9)


@given(st.text(max_size=80), st.sampled_from(sorted(UNITS)))
def test_no_text_does_more_than_be_refused(text: str, kind: str) -> None:
    try:
        parse(text, kind)
    except BadQuantity as problem:
        assert str(problem)
        assert problem.fix
