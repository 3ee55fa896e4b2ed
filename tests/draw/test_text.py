"""Text and numbers as they are drawn."""

from __future__ import annotations

import pytest

from floorwright.draw.text import clean, decimals_for, money_text, number_text, shorten


@pytest.mark.parametrize(
    ("typed", "drawn"),
    [
        ("  two\n lines\t here ", "two lines here"),
        ("bell\x07 and null\x00", "bell and null"),
        ("half \ud83d pair", "half pair"),
        ("turned \u202egnp.exe", "turned gnp.exe"),
        ("\ufeffmarked", "marked"),
        ("e\u0301tabli", "établi"),
        ('#read("x") *b* $x$ @ref \\ \'', '#read("x") *b* $x$ @ref \\ \''),
    ],
)
def test_clean_keeps_words_and_drops_what_cannot_be_drawn(typed: str, drawn: str) -> None:
    assert clean(typed) == drawn


def test_shorten_cuts_after_a_word_and_says_so() -> None:
    assert shorten("the rack beside the bench", 18) == "the rack beside…"
    assert shorten("short", 18) == "short"
    assert len(shorten("x" * 90, 30)) == 30


@pytest.mark.parametrize(
    ("value", "shown"),
    [(62.44, "62.4"), (0, "0"), (1840.4, "1,840"), (-21.2, "−21.2"), (0.0512, "0.0512"), (12, "12")],
)
def test_a_number_has_three_figures_and_a_true_minus_sign(value: float, shown: str) -> None:
    assert number_text(value) == shown


def test_numbers_that_stand_together_share_their_decimals() -> None:
    decimals = decimals_for(58.0, 62.44, 66.71)
    assert [number_text(x, decimals) for x in (58.0, 62.44, 66.71)] == ["58.0", "62.4", "66.7"]


def test_a_negative_number_that_rounds_to_zero_has_no_sign() -> None:
    assert number_text(-0.004, 1) == "0.0"


@pytest.mark.parametrize(
    ("amount", "currency", "shown"),
    [(1840.2, "$", "$1,840"), (-300, "€", "−€300"), (1840, "zł", "1,840 zł"), (0, "$", "$0")],
)
def test_money_is_whole_and_has_its_currency(amount: float, currency: str, shown: str) -> None:
    assert money_text(amount, currency) == shown
