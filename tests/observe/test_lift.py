"""`lift` and `lift_job` as calculations: form, ends, manner of lifting, checks, messages."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints, outcome, results
from formula import check_working

HANDS = {"horizontal": "40 cm", "vertical": "60 cm", "asymmetry": 0}
LIFT: dict[str, Any] = {
    "load": "12 kg",
    "origin": HANDS,
    "travel": "40 cm",
    "frequency": 1,
    "duration": "short",
    "coupling": "good",
}


@pytest.mark.parametrize(
    ("load", "form"),
    [
        ("12 kg", "metric"),
        (12, "metric"),
        ("26 lb", "us"),
        ("26 pounds", "us"),
        ("26lbs", "us"),
        ("5 lb 3 oz", "us"),
    ],
)
def test_form_follows_the_unit_of_the_load(load: Any, form: str) -> None:
    assert results("lift", LIFT | {"load": load})["form"] == form


def test_form_that_is_told_wins() -> None:
    assert results("lift", LIFT | {"load": "26 lb", "form": "metric"})["form"] == "metric"
    assert results("lift", LIFT | {"form": "us"})["form"] == "us"


def test_index_is_that_of_the_worse_end() -> None:
    high = {"horizontal": "50 cm", "vertical": "150 cm", "asymmetry": "45 deg"}
    given = {name: value for name, value in LIFT.items() if name != "travel"} | {"destination": high}
    found = results("lift", given)
    assert found["LI"] == found["destination"]["LI"] > found["origin"]["LI"]


def test_heights_of_both_ends_make_the_travel() -> None:
    """90 cm: 0.82 + 4.5/90 = 0.87."""
    high = HANDS | {"vertical": "150 cm"}
    given = LIFT | {"destination": high, "travel": "90 cm"}
    assert results("lift", given)["origin"]["DM"] == pytest.approx(0.87)


@pytest.mark.parametrize(
    ("manner", "words"),
    [("two_person", "two people"), ("one_handed", "one-handed"), ("hoisted", "hoist"), ("seated", "seated")],
)
def test_what_the_equation_does_not_cover_is_unknown(manner: str, words: str) -> None:
    found = outcome("lift", LIFT | {"manner": manner})
    (check,) = found.checks
    assert check.verdict == "unknown"
    assert check.capacity is None
    assert words in check.sentence
    assert found.results["LI"] is None
    assert set(found.results["origin"].values()) == {None}


@pytest.mark.parametrize(
    ("load", "verdict", "words"),
    [
        ("5 kg", "ok", "nearly all healthy workers"),
        ("11.5 kg", "close", "nearly all healthy workers"),
        ("20 kg", "fails", "raised for part of the workforce"),
        ("60 kg", "fails", "high for many workers"),
    ],
)
def test_check_of_the_index_against_one(load: str, verdict: str, words: str) -> None:
    (check,) = outcome("lift", LIFT | {"load": load}).checks
    assert check.verdict == verdict
    assert words in check.sentence
    assert check.ratio == pytest.approx(results("lift", LIFT | {"load": load})["LI"])


def test_outside_the_range_fails_and_says_where() -> None:
    found = outcome("lift", LIFT | {"origin": HANDS | {"horizontal": "70 cm"}})
    (check,) = found.checks
    assert (check.verdict, check.ratio) == ("fails", None)
    assert "the hands' distance from the ankles is 70 cm, beyond 63 cm" in check.sentence
    assert found.results["LI"] is None
    assert check_working(found.working) >= 3


@pytest.mark.parametrize("frequency", [0.1, 0.2, 0.7, 4, 15, 16])
def test_working_holds_on_rows_between_rows_and_beyond(frequency: float) -> None:
    found = outcome("lift", LIFT | {"frequency": frequency})
    assert check_working(found.working) >= 5


def test_seldom_and_origin_only_are_said() -> None:
    texts = outcome("lift", LIFT | {"frequency": 0.05}).warnings
    assert "0.05 lifts a minute is counted as 0.2" in texts[0]
    assert "Only the origin was rated" in texts[1]


@pytest.mark.parametrize(
    ("more", "field", "message"),
    [
        ({"load": "0 kg"}, "load", "is 0 kg; it should be more than 0 kg"),
        ({"load": "12 ft"}, "load", "'ft' is not a unit of mass"),
        ({"origin": HANDS | {"asymmetry": 20}}, "origin.asymmetry", "20 needs its unit, such as '20 deg'"),
        ({"origin": HANDS | {"asymmetry": "200 deg"}}, "origin.asymmetry", "it should be 180 deg or less"),
        ({"origin": HANDS | {"vertical": "-1 cm"}}, "origin.vertical", "it should be 0 m or more"),
        ({"travel": None}, "travel", "is missing; give the vertical distance moved"),
        (
            {"destination": HANDS | {"vertical": "150 cm"}},
            "travel",
            "is 0.4 m, but the hands move 0.9 m between the ends; leave travel out",
        ),
        ({"frequency": 0}, "frequency", "it should be more than 0"),
        ({"duration": "2 h"}, "duration", "it should be 'short', 'moderate' or 'long'"),
        ({"coupling": "ok"}, "coupling", "it should be 'good', 'fair' or 'poor'"),
        ({"form": "imperial"}, "form", "it should be 'metric' or 'us'"),
    ],
)
def test_bad_input(more: dict[str, Any], field: str, message: str) -> None:
    assert message in complaints("lift", LIFT | more)[field]


TASK = {
    "load_average": "8 kg",
    "load_max": "12 kg",
    "origin": HANDS,
    "travel": "40 cm",
    "frequency": 1,
    "coupling": "good",
}


def job(*tasks: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"tasks": [TASK | task for task in tasks], "duration": "moderate"} | more


def test_one_task_equals_the_single_lift() -> None:
    single = results("lift", LIFT | {"load": "8 kg", "duration": "moderate"})
    found = results("lift_job", job({}))
    assert found["CLI"] == pytest.approx(single["LI"])
    assert found["tasks"][0]["STRWL"]["value"] == pytest.approx(single["origin"]["RWL"]["value"])


def test_task_counts_with_its_worse_end() -> None:
    high = {"horizontal": "55 cm", "vertical": "150 cm", "asymmetry": 0}
    found = results("lift_job", job({"destination": high, "travel": None}, {}))
    assert [task["end"] for task in found["tasks"]] == ["destination", "origin"]


def test_job_beyond_the_table_fails() -> None:
    found = outcome("lift_job", job({"frequency": 9}, {"frequency": 9}))
    assert found.results["CLI"] is None
    assert found.checks[-1].verdict == "fails"
    assert "outside the range of the equation" in found.checks[-1].sentence
    assert check_working(found.working) > 10


def test_job_with_a_hoist_is_unknown() -> None:
    found = outcome("lift_job", job({}, {"manner": "hoisted"}))
    assert [check.verdict for check in found.checks] == ["unknown"]
    assert found.results["CLI"] is None


def test_heaviest_load_over_its_limit_is_said() -> None:
    texts = outcome("lift_job", job({"load_max": "40 kg"})).warnings
    assert "heaviest load alone is over its limit in task 1" in texts[0]


def test_both_forms_in_one_job_are_said() -> None:
    texts = outcome("lift_job", job({}, {"load_average": "10 lb", "load_max": "10 lb"})).warnings
    assert "both forms of the equation were used" in texts[0]


def test_bad_tasks_are_named_together() -> None:
    found = complaints("lift_job", job({"load_max": "5 kg"}, {"travel": None}))
    assert "below the average of 8 kg" in found["tasks[0].load_max"]
    assert "give the vertical distance moved" in found["tasks[1].travel"]
