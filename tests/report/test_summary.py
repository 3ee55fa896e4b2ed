"""The sheet of the whole shop."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from floorwright.report import Amount, Gain, NextStep, NumberRow, Paper, preview_summary, render_summary
from report.pages import chart, read, summary, text_of

LONG = "a sentence about the shop that does not want to end, "


def overlong(row: NumberRow) -> NumberRow:
    return replace(
        row,
        measure=LONG,
        unit=LONG,
        before=LONG,
        after=LONG,
        difference=LONG,
        interval=LONG,
        verdict=LONG,
        again=LONG,
    )


@pytest.mark.parametrize("paper", get_args(Paper))
def test_the_shop_is_on_one_sheet_across(paper: Paper) -> None:
    pdf = render_summary(replace(summary(), paper=paper, ledger=chart()))
    (page,) = read(pdf).pages
    assert page.mediabox.width > page.mediabox.height
    said = text_of(pdf)
    for words in (
        "Alder Hollow Street Furniture", "January to November 2026", "Banked", "$4,200 a year", "Freed",
        "$7,100 a year", "Hoped for", "$12,800 a year", "burdened rate", "Improvement 8", "Weld bay · walking",
        "Walk for one basket s a basket 61.7 41.7 −20.0 (−24.1 to −15.9) proven again by 2026-12-30", "worse",
        "$1,840", "$1,210 to $2,480", "4 months", "Floor given back", "5.4 m²",
        "Look at next", "Time 7 more loads", "Likely now.", "1 of 1",
    ):  # fmt: skip
        assert words in said, words


def test_the_three_sums_are_never_added_up() -> None:
    assert "24,100" not in text_of(render_summary(summary()))


def test_more_improvements_than_fit_go_on_behind_and_the_sheet_says_so() -> None:
    pdf = render_summary(summary(rows=60))
    sheet, whole = text_of(pdf, 0), text_of(pdf)
    assert "48 more on the sheet after this one." in sheet
    assert "Improvement 12" in sheet
    assert "Improvement 13" not in sheet
    assert all(f"Improvement {i}" in whole for i in range(1, 61))


def test_a_shop_without_improvements_has_a_sheet() -> None:
    empty = replace(summary(rows=0), next_steps=(), gains=(), amounts=(), rate="")
    assert len(read(render_summary(empty)).pages) == 1


def test_everything_too_long_still_leaves_the_sheet_whole() -> None:
    page = summary(rows=12)
    long = replace(
        page,
        shop=LONG * 3,
        rows=tuple(
            replace(r, title=LONG, area=LONG, measures=(overlong(r.measures[0]),) * 2, worth=LONG, payback=LONG)
            for r in page.rows
        ),
        amounts=tuple(Amount(label=LONG, value=LONG, note=LONG * 3) for _ in range(3)),
        next_steps=tuple(NextStep(what=LONG * 3, why=LONG * 3) for _ in range(6)),
        gains=tuple(Gain(name=LONG, value=LONG) for _ in range(8)),
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


def test_improvements_with_many_measures_leave_room_for_letters_that_can_be_read() -> None:
    page = summary(rows=12)
    three = replace(page, rows=tuple(replace(r, measures=r.measures[:1] * 3) for r in page.rows))
    said = text_of(render_summary(three), 0)
    assert "3 more on the sheet after this one." in said


def test_an_idea_says_so_in_place_of_its_measures() -> None:
    page = summary(rows=1)
    (one,) = page.rows
    idea = replace(one, measures=(), worth="", worth_range="", payback="", note="Only an idea so far.")
    assert "Improvement 1 Weld bay · walking Only an idea so far." in text_of(
        render_summary(replace(page, rows=(idea,)))
    )


def test_gains_beyond_six_columns_are_printed_behind_the_sheet() -> None:
    page = replace(summary(rows=2), gains=tuple(Gain(name=f"Gain {i}", value=f"{i}.5 m²") for i in range(8)))
    pdf = render_summary(page)
    assert "Gain 6" not in text_of(pdf, 0)
    assert "Gain 6 6.5 m² Gain 7 7.5 m²" in text_of(pdf, 1)
