"""The results page: what each measure shows, and why it is called that."""

from __future__ import annotations

import re

from floorwright.shop import improvements
from floorwright.shop.ports import Author, Shop
from floorwright.web.results_view import results_of
from floorwright.web.teller import Teller
from webapp import Person

LEAD = Author(who="Ines", role="lead")


def test_every_measure_has_verdict_gain_and_rule(person: Person) -> None:
    text = person.get("/improvements/5/results").text
    assert "0.167 per slat less (0.0851 to 0.256)" in text
    assert "1.02 s a piece more (0.219 to 1.75)" in text
    assert "Proven: the whole always-valid 95 % interval shows a gain of more than 0.0300 per slat." in text
    assert "Worse: the whole fixed-sample 95 % interval shows a loss." in text


def test_both_intervals_stand_side_by_side_and_one_decides(shop: Shop) -> None:
    clamps = results_of(Teller(shop).story(1))[0]
    assert [row.name for row in clamps.intervals] == ["fixed, 95 %", "fixed, by ranks, 95 %", "always valid, 95 %"]
    assert [row.decides for row in clamps.intervals] == [False, False, True]
    assert clamps.intervals[2].ends == "−116 to −70.9"
    assert clamps.rests.startswith("Nobody fixed the number of readings beforehand")


def test_a_plan_that_was_kept_lets_the_fixed_interval_decide(shop: Shop) -> None:
    lift = results_of(Teller(shop).story(6))[0]
    assert [row.decides for row in lift.intervals] == [True, False]
    assert lift.rests.startswith("The 12 readings after the change were fixed beforehand")


def test_what_got_worse_rests_on_the_fixed_interval(shop: Shop) -> None:
    load = results_of(Teller(shop).story(5))[1]
    assert [row.decides for row in load.intervals] == [True, False]


def test_a_share_is_shown_in_per_cent(shop: Shop) -> None:
    hardware = results_of(Teller(shop).story(11))[0]
    assert hardware.sides[0].level == "17.9 %"
    assert hardware.sides[0].interval == "12.0 to 25.9"
    assert hardware.intervals == ()
    assert hardware.word == "no verdict yet"


def test_the_repeat_says_whether_the_gain_held(shop: Shop) -> None:
    clamps = results_of(Teller(shop).story(1))[0]
    assert clamps.held == (
        "Measured again (32.3 s a frame, 20 readings): the gain held; against before it is still proven."
    )
    assert [(each.after_days, each.state) for each in clamps.repeats] == [(30, "measured"), (90, "overdue")]
    assert clamps.again is not None


def test_nothing_is_split_by_operator(person: Person, shop: Shop) -> None:
    with shop.work() as work:
        codes = {
            row.operator
            for study in work.records.all("study")
            for row in work.observations.of(study.id)
            if row.operator
        }
    assert codes
    for each in improvements.overviews(shop):
        text = re.sub(r"<svg.*?</svg>", "", person.get(f"/improvements/{each.filed.id}/results").text, flags=re.S)
        assert not [code for code in codes if re.search(rf"\b{re.escape(code)}\b", text)], each.filed.id


def test_an_idea_without_measures_says_what_to_do(person: Person) -> None:
    text = person.get("/improvements/10/results").text
    assert "Nothing is measured yet." in text
    assert "Say what you would measure" in text


def test_unknown_improvement_and_words_from_people_are_safe(person: Person, shop: Shop) -> None:
    person.get("/improvements/999/results", 404)
    improvements.change_improvement(shop, 3, {"question": "<script>alert(1)</script>"}, LEAD)
    text = person.get("/improvements/3/results").text
    assert "<script>alert(1)" not in text
    assert "&lt;script&gt;alert(1)" in text
