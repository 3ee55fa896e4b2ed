"""The control chart of a watched measure: its readings since the change, in time."""

from __future__ import annotations

import re

import pytest

from floorwright.basis.errors import InputError
from floorwright.shop.ports import Shop
from floorwright.shop.watching import watched
from webapp import Person


def lines(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", re.sub(r"<svg.*?</svg>", "", text, flags=re.S)).split())


def test_readings_after_the_change_set_the_limits_for_the_repeats(shop: Shop) -> None:
    found = watched(shop, 1)
    assert (found.kind, found.unit, len(found.values), found.baseline) == ("xmr", "s a frame", 60, 40)
    assert list(found.days) == sorted(found.days)
    assert found.outcome is not None
    assert found.outcome.results["centre"] == pytest.approx(29.27, abs=0.01)


def test_counts_are_drawn_over_what_they_were_counted_over(shop: Shop) -> None:
    found = watched(shop, 9)
    assert (found.kind, found.kinds) == ("u", ("u", "c"))
    assert found.outcome is not None
    assert sum(found.values) / len(found.values) == pytest.approx(3.4, abs=0.6)
    assert watched(shop, 9, kind="c").outcome is not None


def test_every_improvement_has_a_page(person: Person) -> None:
    for number in range(1, 17):
        person.get(f"/charts/watch/{number}")
    person.get("/charts/watch/999", 404)


def test_points_that_want_looking_at_are_named_with_their_day(person: Person) -> None:
    text = lines(person.get("/charts/watch/1").text)
    assert "a point beyond a control limit (three sigma). Go and see what was different." in text
    assert "60 readings since the change; the first 40 set the limits." in text
    assert "Watched: seconds to fetch clamps" in text


def test_the_form_chooses_measure_baseline_and_rules(person: Person) -> None:
    text = lines(person.get("/charts/watch/1?measure=walked+for+clamps&baseline=8&rules=eight_same_side").text)
    assert "12 readings since the change; the first 8 set the limits." in text


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("measure=nothing", "is no measure of improvement 1"),
        ("kind=p", "does not fit what is measured"),
        ("baseline=many", "should be a whole number"),
        ("baseline=999", "there are 60 points"),
        ("baseline=1", "baseline"),
    ],
)
def test_what_does_not_fit_is_said(person: Person, query: str, said: str) -> None:
    answer = person.get(f"/charts/watch/1?{query}", 422)
    assert said in answer.text.replace("&#39;", "'")


def test_nothing_measured_is_said(person: Person, shop: Shop) -> None:
    assert "Nothing is measured yet" in person.get("/charts/watch/10").text
    with pytest.raises(InputError):
        watched(shop, 10)
