"""`when` expressions: what they may say, and that nothing else is ever run."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.expressions import BadExpression, MissingValue, names, parse, settle

VALUES = {"burnt": True, "txv": False, "crew": 2, "kind": "scroll", "unknown": None}


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("burnt", True),
        ("not burnt", False),
        ("burnt and not txv", True),
        ("txv or burnt", True),
        ("crew >= 2", True),
        ("crew == 1", False),
        ("kind == 'scroll'", True),
        ("kind != 'scroll' or (burnt and crew < 3)", True),
        ("True", True),
    ],
)
def test_settles(text: str, holds: bool) -> None:
    assert settle(text, VALUES) is holds


@pytest.mark.parametrize(
    "text",
    [
        "",
        "burnt()",
        "__import__('os')",
        "kind.upper",
        "kind[0]",
        '"a" * 10**9',
        "10**9**9",
        "lambda: 1",
        "[x for x in kind]",
        "crew + 1 == 2",
        "1 < crew < 3",
        "burnt if txv else crew",
        "f'{kind}'",
        "(burnt := 1)",
        "burnt; txv",
        "kind is None",
        "b'x' == kind",
        "not " * 100 + "burnt",
        "burnt" + " and burnt" * 50,
        "kind < 3",
        "missing_name",
    ],
)
def test_everything_else_is_refused(text: str) -> None:
    with pytest.raises(BadExpression):
        settle(text, VALUES)


def test_a_value_the_job_does_not_state_is_not_taken_for_false() -> None:
    for text in ("unknown", "burnt or unknown", "txv and unknown", "unknown == 'x'"):
        with pytest.raises(MissingValue, match="unknown"):
            settle(text, VALUES)


def test_names_are_told() -> None:
    assert names(parse("burnt and (crew > 2 or not txv)")) == {"burnt", "crew", "txv"}


@given(st.text(max_size=60))
def test_any_text_settles_or_is_refused(text: str) -> None:
    try:
        assert settle(text, VALUES) in (True, False)
    except BadExpression as problem:
        assert str(problem)
