"""The sheet of the whole shop."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from floorwright.report import Amount, Gain, NextStep, Paper, preview_summary, render_summary
from report.pages import chart, read, summary, text_of

LONG = "a sentence about the shop that does not want to end, "


@pytest.mark.parametrize("paper", get_args(Paper))
def test_the_shop_is_on_one_sheet_across(paper: Paper) -> None:
    pdf = render_summary(replace(summary(), paper=paper, ledger=chart()))
    (page,) = read(pdf).pages
    assert page.mediabox.width > page.mediabox.height
    said = text_of(pdf)
    for words in (
        "Alder Hollow Street Furniture", "January to November 2026", "Banked", "$4,200 a year", "Freed",
        "$7,100 a year", "Hoped for", "$12,800 a year", "burdened rate", "Improvement 8", "Weld bay · walking",
        "−20.0 s (−24.1 to −15.9)", "$1,840", "4 months", "Lift index", "1.6 → 0.9", "Floor given back", "5.4 m²",
        "Look at next", "Time 7 more loads", "Likely now.", "1 of 1",
    ):  # fmt: skip
        assert words in said, words


def test_the_three_sums_are_never_added_up() -> None:
    assert "24,100" not in text_of(render_summary(summary()))


def test_more_improvements_than_fit_go_on_behind_and_the_sheet_says_so() -> None:
    pdf = render_summary(summary(rows=60))
    sheet, whole = text_of(pdf, 0), text_of(pdf)
    assert "50 more on the sheet after this one." in sheet
    assert "Improvement 11" not in sheet
    assert all(f"Improvement {i}" in whole for i in range(1, 61))


def test_a_shop_without_improvements_has_a_sheet() -> None:
    empty = replace(summary(rows=0), next_steps=(), gains=(), gain_columns=(), amounts=(), rate="")
    assert len(read(render_summary(empty)).pages) == 1


def test_everything_too_long_still_leaves_the_sheet_whole() -> None:
    page = summary(rows=10)
    long = replace(
        page,
        shop=LONG * 3,
        rows=tuple(
            replace(r, title=LONG, area=LONG, before=LONG, after=LONG, gain=LONG, verdict=LONG, worth=LONG)
            for r in page.rows
        ),
        amounts=tuple(Amount(label=LONG, value=LONG, note=LONG * 3) for _ in range(3)),
        next_steps=tuple(NextStep(what=LONG * 3, why=LONG * 3) for _ in range(6)),
        gain_columns=(LONG,) * 4,
        gains=tuple(Gain(name=LONG, value=LONG) for _ in range(6)),
    )
    pdf = render_summary(long)
    assert "Look at next" in text_of(pdf, 0)
    assert "In full, what the sheet shortens" in text_of(pdf, 1)


def test_the_sheet_is_tagged_and_titled() -> None:
    reader = read(render_summary(summary()))
    assert reader.metadata is not None
    assert reader.metadata.title == "Alder Hollow Street Furniture: improvements, January to November 2026"
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]


def test_a_preview_is_a_picture() -> None:
    (picture,) = preview_summary(summary(), dpi=40)
    assert picture.startswith(b"\x89PNG")
