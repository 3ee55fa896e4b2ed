"""`floorwright settings`: rates, areas, the distance table; what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.conftest import Run, parsed


@pytest.fixture
def shop(run: Run) -> str:
    run("new", "shop", "--name", "Test Shop", "--area", "Welding")
    return "shop"


def test_rates_are_added_and_replaced_by_their_basis(run: Run, shop: str) -> None:
    run("settings", shop, "--rate", "wage=24.60", "--rate", "burdened=35.18")
    now = parsed(run("settings", shop, "--rate", "burdened=36", "--json"))
    assert [(rate["basis"], rate["per_hour"]) for rate in now["rates"]] == [("wage", "24.60"), ("burdened", "36")]
    assert "burdened $36.00 an hour" in run("settings", shop).stdout


def test_a_distance_table_in_feet_and_the_walking_speed(run: Run, shop: str, tmp_path: Path) -> None:
    (tmp_path / "far.csv").write_text("from,to,distance (ft)\nrack,bench,100\nbench,crib,30\n", encoding="utf-8")
    now = parsed(run("settings", shop, "--distances", "far.csv", "--walking-speed", "3 mph", "--json"))
    assert now["distances_m"] == [["rack", "bench", pytest.approx(30.48)], ["bench", "crib", pytest.approx(9.144)]]
    assert now["walking_speed_m_s"] == pytest.approx(1.34112)
    run("settings", shop, "--stations", "far.csv")
    assert "2 distances, the longest 100 ft" in run("settings", shop).stdout


def test_areas_are_added_once(run: Run, shop: str) -> None:
    now = parsed(run("settings", shop, "--area", "Wash", "--area", "Welding", "--json"))
    assert now["areas"] == ["Welding", "Wash"]


def test_shifts_are_added_and_changed_by_their_name(run: Run, shop: str) -> None:
    run("settings", shop, "--shift", "first=06:00-14:30", "--shift", "night=22:00-06:00")
    now = parsed(run("settings", shop, "--shift", "first=05:30-14:00", "--json"))
    assert now["shifts"] == [
        {"name": "first", "starts": "05:30:00", "ends": "14:00:00"},
        {"name": "night", "starts": "22:00:00", "ends": "06:00:00"},
    ]
    assert "first 05:30 to 14:00; night 22:00 to 06:00" in run("settings", shop).stdout
    assert parsed(run("settings", shop, "--set", "shifts=[]", "--json"))["shifts"] == []


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--shift", "first"), "'first' should be NAME=FROM-TO, such as first=06:00-14:30"),
        (("--shift", "first=six-14:30"), "shifts[0].starts: is 'six'; it should be a time such as 06:00."),
        (("--shift", "first=06:00-06:00"), "shift 'first' starts and ends at the same time"),
        (("--set", 'shifts=[{"name":"a","starts":"06:00Z","ends":"07:00"}]'), "without a time zone"),
        (("--rate", "gold=5"), "should be BASIS=MONEY"),
        (("--rate", "wage=-5"), "rates[0].per_hour"),
        (("--walking-speed", "3 lb"), "'lb' is not a unit of speed"),
        (("--set", "units=imperial"), "units"),
        (("--set", "colour=green"), "colour"),
        (("--distances", "nowhere.csv"), "nowhere.csv"),
    ],
)
def test_mistakes_get_a_sentence_and_change_nothing(
    run: Run, shop: str, arguments: tuple[str, ...], says: str
) -> None:
    before = parsed(run("settings", shop, "--json"))
    assert says in run("settings", shop, *arguments, expect=2).stderr
    assert parsed(run("settings", shop, "--json")) == before
