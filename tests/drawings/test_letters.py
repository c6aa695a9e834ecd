"""Widths of words against the font file, and how words break."""

from __future__ import annotations

import doctest
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets import fonts
from packets.drawings import letter_widths, letters, measure
from tests.drawings.reading import ink

PRINTED = sorted(letter for letter in fonts.characters() if letter.isprintable())


@pytest.mark.parametrize("bold", [False, True])
def test_every_letter_is_as_wide_as_the_font_says(bold: bool) -> None:
    for letter in PRINTED:
        expected = ink(letter, bold)[0] * 10 * 25.4 / 72
        assert letters.width(letter, 10.0, bold) == pytest.approx(expected, abs=1e-3), letter


def test_the_table_is_what_the_script_writes() -> None:
    assert measure.advances("JobPacketSans-Regular.ttf") == letter_widths.REGULAR
    assert measure.advances("JobPacketSans-Bold.ttf") == letter_widths.BOLD


@pytest.mark.parametrize("bold", [False, True])
def test_ink_of_plain_words_stays_between_rise_and_drop(bold: bool) -> None:
    for letter in map(chr, range(0x21, 0x7F)):
        if letter not in "$@|[]{}()/\\`":
            _, low, high = ink(letter, bold)
            assert low >= -letters.DROP and high <= letters.RISE, letter


@given(st.lists(st.text("abcdefgh", min_size=1, max_size=9), min_size=1, max_size=7))
def test_broken_words_are_all_there_and_no_wider(words: list[str]) -> None:
    text = " ".join(words)
    blocks = letters.breaks(text, 8.0)
    assert [" ".join(block.lines) for block in blocks] == [text] * len(blocks)
    wides = [block.wide for block in blocks]
    assert wides == sorted(wides, reverse=True)
    assert all(one.high < two.high for one, two in pairwise(blocks))


def test_an_unknown_letter_counts_as_wide_as_the_type_is_high() -> None:
    assert letters.width("中", 72.0) == pytest.approx(25.4)


def test_examples_in_docstrings_run() -> None:
    found = doctest.testmod(letters)
    assert found.attempted and not found.failed
