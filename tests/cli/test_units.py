"""What a person types is read in the shop's own units and said back with them."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.conftest import Run, parsed

KINDS = {
    "walked": ("distance", "150", "150 ft", 45.72),
    "scrap": ("weight", "150", "150 lb", 68.0388555),
    "push": ("force", "38.4", "38.4 lbf", 170.8117100),
    "floor": ("space", "98.25", "98.25 ft²", 9.127724),
    "index": ("lift", "1.8", "1.8 LI", 1.8),
    "fetch": ("times", "75.5", "75.5 s", 75.5),
}


def planned(run: Run, units: str, kind: str) -> None:
    run("new", "shop", "--name", "S", "--units", units, "--area", "Welding")
    run("improvement", "add", "shop", "--title", "Clamps", "--waste", "walking", "--area", "Welding")
    run("improvement", "measure", "shop", "1", "it", kind)
    run("study", "plan", "shop", "1", "it", "before", "--people-asked", "2026-08-01")


@pytest.mark.parametrize("name", KINDS)
def test_a_bare_number_is_in_the_shops_unit(run: Run, name: str) -> None:
    kind, typed, said, si = KINDS[name]
    planned(run, "us", kind)
    assert f"now holds {said} as cycle 1" in run("study", "add", "shop", "1", typed).stdout
    (reading,) = parsed(run("study", "show", "shop", "1", "--readings", "--json"))["readings"]
    assert reading["value"] == pytest.approx(si, rel=1e-6)
    assert said in run("study", "show", "shop", "1", "--readings").stdout


def test_a_metric_shop_and_a_value_with_its_unit(run: Run) -> None:
    planned(run, "si", "distance")
    assert "45 m as cycle 1" in run("study", "add", "shop", "1", "45").stdout
    assert "45.72 m as cycle 2" in run("study", "add", "shop", "1", "150 ft").stdout
    assert "0.5 m as cycle 3" in run("study", "add", "shop", "1", "1/2").stdout


def test_a_correction_takes_values_as_people_write_them(run: Run) -> None:
    planned(run, "us", "distance")
    run("study", "add", "shop", "1", "150")
    (row,) = parsed(run("study", "show", "shop", "1", "--readings", "--json"))["readings"]
    said = run("study", "correct", "shop", "1", row["key"], "--set", "value=140", "--reason", "slip").stdout
    assert said.endswith("140 ft instead of 150 ft.\n")
    said = run(
        "study", "correct", "shop", "1", f"{row['key'][:6]}~1", "--set", "value=40 m", "--reason", "slip"
    ).stdout
    assert said.endswith("131.234 ft instead of 140 ft.\n")
    refused = run(
        "study", "correct", "shop", "1", f"{row['key'][:6]}~2", "--set", "value=4 s", "--reason", "slip", expect=2
    )
    assert "'s' is not a unit of distance" in refused.stderr


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("five", "'five' is not a time"),
        ("1e999", "should be an ordinary number"),
        ("NaN", "'NaN' is not a time"),
        ("0", "is 0 s; a time is more than 0 s and at most 12 h"),
        ("13 h", "is 46,800 s; a time is more than 0 s and at most 12 h"),
    ],
)
def test_values_that_cannot_be_true(run: Run, typed: str, says: str) -> None:
    planned(run, "us", "times")
    assert says in run("study", "add", "shop", "1", typed, expect=2).stderr
    assert parsed(run("study", "show", "shop", "1", "--json"))["values"] == []


def test_below_zero_and_a_name_for_a_code(run: Run) -> None:
    planned(run, "us", "times")
    assert "'-5' is below zero" in run("study", "add", "shop", "1", "-5", expect=2).stderr
    assert "'-5' is below zero" in run("study", "add", "shop", "1", "--", "-5", expect=2).stderr
    assert "never a name" in run("study", "add", "shop", "1", "5", "--operator", "Maria", expect=2).stderr


def test_counts_ask_what_they_were_counted_over(run: Run) -> None:
    planned(run, "us", "counts")
    assert "exposure: is missing" in run("study", "add", "shop", "1", "3", expect=2).stderr
    assert "3 in 40 as cycle 1" in run("study", "add", "shop", "1", "3", "--exposure", "40").stdout
    assert "0 in 40 as cycle 2" in run("study", "add", "shop", "1", "0", "--exposure", "40").stdout


def test_elements_are_typed_one_after_the_other(run: Run) -> None:
    planned(run, "us", "times")
    elements = ("--element", "walk", "--element", "pick", "--setup-element", "jig")
    run("study", "plan", "shop", "1", "it", "after", "--people-asked", "2026-08-01", *elements)
    assert "--element: is missing" in run("study", "add", "shop", "2", "5", expect=2).stderr
    assert "'run' is not an element" in run("study", "add", "shop", "2", "5", "--element", "run", expect=2).stderr
    for element, cycle in (("walk", 1), ("PICK", 1), ("walk", 2), ("pick", 2)):
        assert (
            f"as cycle {cycle}, {element.lower()}"
            in run("study", "add", "shop", "2", "5", "--element", element, "--rating", "95 %").stdout
        )
    assert "60 s" in run("study", "add", "shop", "2", "60", "--element", "jig").stdout
    rows = parsed(run("study", "show", "shop", "2", "--readings", "--json"))["readings"]
    assert [row["work"] for row in rows] == ["run"] * 4 + ["setup"]
    assert {row["rating"] for row in rows} == {0.95, None}


@pytest.mark.parametrize(
    ("kind", "smallest", "says"),
    [
        ("distance", "20", "--smallest: is 20 without a unit; write '20 ft' or '20 m'."),
        ("shares", "5", "--smallest: is 5; write a share such as '5 %' or 0.05."),
        ("counts", "5 lb", "--smallest: is '5 lb'; it should be a bare number for this kind, such as 0.5."),
        ("times", "5 ft", "'ft' is not a unit of time"),
    ],
)
def test_the_smallest_change_that_matters_has_its_unit(run: Run, kind: str, smallest: str, says: str) -> None:
    planned(run, "us", "times")
    assert says in run("improvement", "measure", "shop", "1", "new", kind, "--smallest", smallest, expect=2).stderr


def test_measures_are_added_changed_and_kept(run: Run, tmp_path: Path) -> None:
    planned(run, "us", "times")
    said = run("improvement", "measure", "shop", "1", "walk", "distance", "--smallest", "20 ft").stdout
    assert said == "Improvement 1 measures walk (distance, lower is better, 20 ft matters).\n"
    run("improvement", "measure", "shop", "1", "it", "times", "--smallest", "5 s", "--saves-time")
    measures = parsed(run("improvement", "show", "shop", "1", "--json"))["measures"]
    assert [(each["name"], each["smallest_that_matters"]) for each in measures] == [("it", 5.0), ("walk", 6.096)]
    assert "keep that measure" in run("improvement", "measure", "shop", "1", "it", "distance", expect=2).stderr
