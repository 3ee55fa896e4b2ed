"""The pages of the demo shop, from its records to the words on paper."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from floorwright.report import NumberRow, render_improvement, render_summary
from floorwright.report.assemble import improvement_page
from floorwright.report.assemble_shop import shop_summary
from report.conftest import Demo
from report.pages import read, text_of

WORDS = {"proven", "likely", "not shown", "worse", "no verdict yet"}
NUMBERS = range(1, 17)


def rows_of(demo: Demo) -> list[NumberRow]:
    return [row for number in NUMBERS for row in demo.page(number).rows]


class TestTheShop:
    def test_is_on_one_sheet_and_its_later_improvements_on_the_next_with_nothing_cut(self, demo: Demo) -> None:
        pdf = render_summary(demo.summary())
        assert len(read(pdf).pages) == 2  # a dozen stand on the first
        assert "…" not in text_of(pdf)

    def test_is_so_on_a4_in_si_units_too(self, demo: Demo) -> None:
        told = [
            replace(each, settings=each.settings.model_copy(update={"paper": "a4", "units": "si"}))
            for each in demo.told
        ]
        pdf = render_summary(shop_summary(told, demo.book))
        assert len(read(pdf).pages) == 2
        said = text_of(pdf)
        assert "…" not in said
        assert "ft" not in re.findall(r"[^\W\d]+", said)

    def test_has_a_row_for_every_living_improvement_and_none_for_a_dropped_one(self, demo: Demo) -> None:
        titles = {row.number: row.title for row in demo.summary().rows}
        assert list(titles) == [str(number) for number in NUMBERS if number != 12]
        assert titles["10"] == "Wash stand at hip height"

    def test_shows_what_got_worse_beside_what_is_proven(self, demo: Demo) -> None:
        row = next(row for row in demo.summary().rows if row.number == "5")
        assert [(each.measure, each.verdict) for each in row.measures] == [
            ("Scratched slats", "proven"),
            ("Load a slat", "worse"),
        ]

    def test_gains_that_are_not_money_have_columns_of_their_own(self, demo: Demo) -> None:
        found = {gain.name: gain.value for gain in demo.summary().gains}
        assert found["lifting index, no. 6"] == "−1.06 LI"
        assert found["pieces on the floor, no. 7"] == "+0.361 per ft²"
        assert found["walking, no. 1"] == "−99.8 ft"

    def test_what_comes_first_is_what_got_worse_then_what_is_overdue(self, demo: Demo) -> None:
        first, second, *_ = demo.summary().next_steps
        assert first.what == "'load a slat' got worse: look at it together, then mend the change or drop it."
        assert first.why == "No. 5, Lined slots for bench slats"
        assert second.what == "Measure fetching clamps again: the 90-day measurement was due on 2026-11-11."

    def test_what_got_worse_is_named_where_the_next_step_is_about_something_else(self, demo: Demo) -> None:
        told = [replace(each, next_step="Watch the slots.") if each.filed.id == 5 else each for each in demo.told]
        first, *_ = shop_summary(told, demo.book).next_steps
        assert first.what == "Watch the slots."
        assert first.why == "No. 5, Lined slots for bench slats; load a slat got worse"

    def test_says_once_why_a_sum_can_differ_from_the_page_of_an_improvement(self, demo: Demo) -> None:
        banked = demo.summary().amounts[0]
        assert banked.value != demo.page(1).worth.headline
        assert text_of(render_summary(demo.summary())).count("Banked is by the ledger, before upkeep") == 1


class TestAnImprovement:
    @pytest.mark.parametrize("number", NUMBERS)
    def test_has_nothing_cut_and_its_working_on_two_pages(self, demo: Demo, number: int) -> None:
        """Two at most; a third where a repeat has its control chart."""
        page = demo.page(number)
        pdf = render_improvement(page)
        repeated = any(worked.title.endswith("does it hold?") for worked in page.appendix)
        assert len(read(pdf).pages) <= 3 + repeated
        assert "…" not in text_of(pdf)

    def test_rows_say_the_verdict_in_a_bare_word_and_the_unit_once(self, demo: Demo) -> None:
        rows = rows_of(demo)
        assert {row.verdict for row in rows} == WORDS
        numbers = [text for row in rows for text in (row.before, row.after, row.difference) if text]
        assert all(re.fullmatch(r"[+−]?[\d,.]+|not yet", text) for text in numbers)
        assert all(row.unit for row in rows)

    def test_a_provisional_gain_says_when_it_is_measured_again(self, demo: Demo) -> None:
        again = {row.measure: row.again for number in (6, 7, 3) for row in demo.page(number).rows}
        assert again == {
            "Lifting index": "now",
            "Bars per square foot": "by 2026-11-22",
            "Floor under the bars": "by 2026-11-22",
            "Find a job's parts": "",
        }

    def test_sentences_start_with_a_capital(self, demo: Demo) -> None:
        for number in NUMBERS:
            page = demo.page(number)
            starts = [
                page.verdict.sentence, page.verdict.rule, page.next_step, page.worth.headline, page.worth.interval,
                *(row.measure for row in page.rows), *(gain.name for gain in page.gains),
                *(worked.title for worked in page.appendix),
            ]  # fmt: skip
            assert not [text for text in starts if text[:1].islower()], number

    def test_a_number_below_zero_has_a_true_minus_sign(self, demo: Demo) -> None:
        page = demo.page(3)
        assert page.verdict.sentence == "Find a job's parts: 87.0 s a job less (−17.7 to 203)."
        assert "−15 to 175" in page.worth.facts[0].text

    def test_the_standard_work_stands_on_the_sheet_step_by_step(self, demo: Demo) -> None:
        page = demo.page(1)
        assert page.held_heading == "Held"
        assert page.held_by[0].text.count("\n") == 3
        said = text_of(render_improvement(page), 0)
        assert "4. End of shift: eight short and four long clamps on the rack." in said

    def test_an_idea_shows_its_next_step_and_lines_to_fill_in(self, demo: Demo) -> None:
        page = demo.page(10)
        assert page.held_heading == "Still to come"
        said = text_of(render_improvement(page), 0)
        assert page.next_step in said
        assert "What to measure Smallest change that matters" in said
        assert "No verdict yet" not in said

    def test_what_is_measured_before_says_so_and_what_comes_next_once(self, demo: Demo) -> None:
        page = demo.page(11)
        assert page.verdict.sentence == "Looking for hardware: 17.9 % before (20 readings), not yet after."
        assert [fact.label for fact in page.held_by] == ["Check", "Act"]
        assert text_of(render_improvement(page), 0).count(page.next_step) == 1

    def test_a_dropped_one_says_why_in_full(self, demo: Demo) -> None:
        page = demo.page(12)
        assert page.held_heading == "Dropped"
        assert page.held_by[0].text.endswith("Next idea: a plate over the grate.")
        assert page.next_step == ""

    def test_without_photos_it_asks_only_for_those_that_can_still_be_taken(self, demo: Demo) -> None:
        def said(number: int) -> str:
            story = demo.story(number)
            record = story.record.model_copy(update={"photos": ()})
            bare = replace(story, filed=replace(story.filed, record=record))
            return text_of(render_improvement(improvement_page(bare, demo.shop.photos.read)), 0)

        later = "Take a photo from the same spot, with the change in place."
        assert "Take a photo before anything changes." in said(10)
        assert "No photo None was taken before the change." in said(9)
        assert later in said(9)
        assert later not in said(12)

    def test_what_got_worse_stands_under_the_verdict_and_is_what_comes_next(self, demo: Demo) -> None:
        page = demo.page(5)
        assert (page.verdict.word, page.verdict.mark) == ("Proven", "proven")
        assert page.verdict.but == "but load a slat got worse: +1.02 s a piece (0.219 to 1.75)"
        assert page.next_step == demo.story(5).next_step
        said = text_of(render_improvement(page), 0)
        assert f"Proven {page.verdict.but} Scratched slats" in said
        assert page.next_step in said

    def test_nothing_stands_against_a_verdict_where_nothing_got_worse(self, demo: Demo) -> None:
        assert [number for number in NUMBERS if demo.page(number).verdict.but] == [5]

    def test_what_got_worse_stays_the_next_step_when_the_new_work_is_written_down(self, demo: Demo) -> None:
        story = demo.story(5)
        record = story.record.model_copy(update={"standard_work": "1. A slat a slot."})
        held = replace(story, filed=replace(story.filed, record=record))
        page = improvement_page(held, demo.shop.photos.read)
        assert page.held_heading == "Held"
        assert page.next_step == story.next_step

    def test_a_second_measure_that_is_lost_stands_against_the_verdict(self, demo: Demo) -> None:
        story = demo.story(1)
        main, walked = story.proofs
        assert walked.outcome is not None
        gone = replace(walked.outcome, results={**walked.outcome.results, "verdict": "not shown"})
        lost = replace(story, proofs=(main, replace(walked, again_outcome=gone)))
        verdict = improvement_page(lost, demo.shop.photos.read).verdict
        assert verdict.but == "but walked for clamps has not held"

    def test_worth_says_once_that_the_upkeep_is_taken_off(self, demo: Demo) -> None:
        said = text_of(render_improvement(replace(demo.page(1), appendix=(), sources=())))
        assert "nine times in ten, after $20 a year upkeep" in said
        assert said.count("upkeep") == 1
        (cost,) = (fact.text for fact in demo.page(4).worth.facts if fact.label == "Cost")
        assert cost.endswith("; $380 a year upkeep")


class TestTheWorking:
    def test_a_repeat_is_charted_against_the_readings_right_after_the_change(self, demo: Demo) -> None:
        holds = next(each for each in demo.page(1).appendix if each.title.endswith("does it hold?"))
        (chart,) = holds.pictures
        assert "limits set before" in chart.svg
        assert "lower limit" not in chart.text
        assert holds.picture_words == (
            "The lower limit comes out below 0, where no reading can be: it is not drawn.",
        )
        assert "beyond limit" in chart.text
        assert not any(each.title.endswith("does it hold?") for each in demo.page(3).appendix)

    def test_worth_is_drawn_with_its_range(self, demo: Demo) -> None:
        worth = next(each for each in demo.page(1).appendix if each.title == "What it is worth")
        assert "$4,050 a year on average, nine times in ten between $3,215 and $4,896" in worth.pictures[0].text
        assert demo.page(1).worth.headline == "$4,050 a year"

    def test_readings_are_listed_once_and_whole(self, demo: Demo) -> None:
        first = demo.page(1).appendix[0]
        before = next(line for line in first.given if line.symbol == "b")
        assert len(before.value.split(", ")) == 24
        count = next(step for step in first.steps if step.symbol == "n_b")
        assert (count.formula, count.numbers, count.result) == ("count(b)", "", "24")

    def test_money_is_in_the_currency_of_the_shop(self, demo: Demo) -> None:
        worth = next(each for each in demo.page(1).appendix if each.title == "What it is worth")
        cost = next(line for line in worth.given if line.symbol == "C")
        assert (cost.value, cost.unit) == ("$453.89", "")
        saving = next(step for step in worth.steps if step.symbol == "A")
        assert (saving.result, saving.unit) == ("$4,056", "a year")

    def test_warnings_stand_apart_from_what_is_taken_for_granted(self, demo: Demo) -> None:
        worth = demo.page(3).appendix[-1]
        assert len(worth.warnings) == 1
        assert not set(worth.warnings) & set(worth.assumptions)
        assert f"Mind: {worth.warnings[0]}" in text_of(render_improvement(demo.page(3)))

    def test_long_notes_of_points_stand_under_the_chart(self, demo: Demo) -> None:
        said = demo.page(1).appendix[0].picture_words
        assert said[-1] == "Point 50: rack was parked at bay 1; brought it back first."
