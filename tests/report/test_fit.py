"""Fitting text to its place, and formulas as people write them."""

from __future__ import annotations

import pytest

from floorwright.basis.sentence import Sentence, said
from floorwright.report.fit import Fitter, breakable, figures, formula_text, true_minus


def test_what_was_shortened_is_kept_in_full_once() -> None:
    fit = Fitter()
    assert fit("a short one", 20, "Title") == "a short one"
    assert fit("words that go on for too long", 20, "Title") == "words that go on…"
    fit("words that go on for too long", 20, "Title")
    assert fit.in_full == [("Title", "words that go on for too long")]


def test_only_words_too_wide_may_break_inside() -> None:
    assert breakable("a rack", 6) == "a rack"
    assert breakable("a rack12 x", 5) == "a r\u200ba\u200bc\u200bk\u200b1\u200b2 x"


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("G*d**4/(8*D**3*Na)", "G·d⁴/(8·D³·Na)"),
        ("sqrt(s1**2/n1 + s2**2/n2)", "√(s1²/n1 + s2²/n2)"),
        ("m2 - m1", "m2 − m1"),
        ("x**-1", "x⁻¹"),
        ("r**(1/n)", "r^(1/n)"),
        ("x**2.5", "x^2.5"),
        ("2**10", "2¹⁰"),
        ("(-2.5) - 1e-9", "(−2.5) − 1 × 10⁻⁹"),
    ],
)
def test_a_formula_reads_as_people_write_it(typed: str, shown: str) -> None:
    assert formula_text(typed).replace("\u200b", "") == shown


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("5.350e-11", "5.350 × 10⁻¹¹"),
        ("1.2e+07 N", "1.2 × 10⁷ N"),
        ("-90.67 s a frame", "−90.67 s a frame"),
        ("18 steel", "18 steel"),
    ],
)
def test_a_result_reads_as_people_write_it(typed: str, shown: str) -> None:
    assert figures(typed) == shown


def test_only_numbers_get_a_true_minus_sign() -> None:
    assert true_minus("44 s less (-365 to 384), the 30-day check on 2026-11-12") == (
        "44 s less (−365 to 384), the 30-day check on 2026-11-12"
    )


def test_a_sentence_with_a_true_minus_sign_can_still_be_said_otherwise() -> None:
    sentence = true_minus(said("less ({inside})", inside=said("{low} to {high}", low="-365", high="384")))
    assert isinstance(sentence, Sentence)
    assert (sentence, sentence.template) == ("less (−365 to 384)", "less ({inside})")
