"""Settings in the browser: short groups, each saved by itself with the version seen, and undo."""

from __future__ import annotations

import re

import pytest

from floorwright.shop.improvements import improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.settings import change_settings, settings
from webapp import Person

TOM = Author(who="Tom", role="lead")
RATES = {
    "rate_name": ["floor, burdened", "floor, wage", "shop hour, billed", ""],
    "rate_basis": ["burdened", "wage", "billing", "burdened"],
    "rate_per_hour": ["36.50", "24.60", "82.00", ""],
    "rate_note": ["", "", "", ""],
}


def version(shop: Shop) -> str:
    return str(settings(shop).version)


def change(person: Person, shop: Shop, group: str, fields: dict[str, object], status: int = 303) -> str:
    """Save a group from the version that stands now; returns the page that follows."""
    sent = person.send(f"/settings/change/{group}", {"version": version(shop)} | fields, status=status)
    return person.get(sent.headers["location"]).text if status == 303 else sent.text


def test_the_shop_is_renamed_and_the_change_taken_back(person: Person, shop: Shop) -> None:
    text = change(person, shop, "shop", {"name": "Our Shop", "people": "", "currency": "€"})
    assert "<p>Saved.</p>" in text
    now = settings(shop).record
    assert (now.name, now.people, now.currency) == ("Our Shop", None, "€")
    undo = re.search(r'<input type="hidden" name="version" value="(\d+)"><button class="link">Undo', text)
    assert undo is not None
    back = person.send("/settings/undo", {"version": undo.group(1)}, follow=True, status=200).text
    assert "Taken back." in back
    assert settings(shop).record.name == "Dunnowick Metalworks"


def test_saving_without_a_change_says_so_and_offers_no_undo(person: Person, shop: Shop) -> None:
    text = change(person, shop, "shop", {"name": "Dunnowick Metalworks", "people": "28", "currency": "$"})
    assert "Nothing was changed." in text
    assert version(shop) == "1"


def test_the_whole_app_follows_the_units(person: Person, shop: Shop) -> None:
    assert 'value="264 ft/min"' in person.get("/settings").text
    change(person, shop, "units", {"units": "si", "paper": "a4"})
    assert (settings(shop).record.units, settings(shop).record.paper) == ("si", "a4")
    assert 'value="1.34 m/s"' in person.get("/settings").text
    assert re.search(r'name="distance" value="[\d.]+ m"', person.get("/settings/distances").text)


@pytest.mark.parametrize(
    ("typed", "metres_a_second"),
    [("3 mph", 1.34112), ("80 m/min", 4 / 3), ("300", 1.524), ("264 ft/min", 1.34112)],
)
def test_walking_speed_is_read_in_either_unit(
    person: Person, shop: Shop, typed: str, metres_a_second: float
) -> None:
    change(person, shop, "counting", {"walking_speed_m_s": typed, "confidence": "90 %", "interest": "10"})
    now = settings(shop).record
    assert now.walking_speed_m_s == pytest.approx(metres_a_second)
    assert (now.confidence, now.interest) == (0.9, 0.1)


def test_all_that_is_wrong_with_a_group_stands_beside_its_boxes(person: Person, shop: Shop) -> None:
    text = change(
        person,
        shop,
        "counting",
        {"walking_speed_m_s": "fast", "confidence": "100 %", "interest": "x"},
        status=422,
    )
    assert re.search(r'id="w-walking_speed_m_s">[^<]*fast', text)
    assert "is &#39;100 %&#39;; it should be a percentage from 80 to 99.9 %" in text
    assert "is &#39;x&#39;; it should be a percentage from 0 to 100 %" in text
    assert 'value="fast"' in text
    assert version(shop) == "1"


def test_rates_are_added_changed_and_taken_away(person: Person, shop: Shop) -> None:
    more = {
        name: [*values[:3], new]
        for (name, values), new in zip(RATES.items(), ["night", "wage", "30", ""], strict=True)
    }
    change(person, shop, "rates", more)
    assert [(each.name, str(each.per_hour)) for each in settings(shop).record.rates] == [
        ("floor, burdened", "36.50"),
        ("floor, wage", "24.60"),
        ("shop hour, billed", "82.00"),
        ("night", "30"),
    ]
    change(person, shop, "rates", RATES)
    assert [each.name for each in settings(shop).record.rates] == RATES["rate_name"][:3]


def test_what_is_wrong_with_a_rate_names_its_row(person: Person, shop: Shop) -> None:
    wrong = RATES | {"rate_per_hour": ["36.50", "lots", "82.00", ""]}
    text = change(person, shop, "rates", wrong, status=422)
    assert "Row 2, per hour: is &#39;lots&#39;; it should be an amount of money such as 84.50." in text
    assert 'value="lots"' in text
    assert len(re.findall(r'name="rate_name"', text)) == 4  # three, and an empty one for the next


def test_an_area_that_improvements_use_does_not_vanish(person: Person, shop: Shop) -> None:
    used = improvement(shop, 1).record.area
    left = [each for each in settings(shop).record.areas if each != used]
    text = change(person, shop, "areas", {"areas": "\n".join(left)}, status=422)
    assert re.search(rf"improvements? [\d, and]+ uses? &#39;{used}&#39;; give (it|them) another area first", text)
    assert used in settings(shop).record.areas
    more = [*settings(shop).record.areas, "Yard"]
    change(person, shop, "areas", {"areas": "\n".join([*more, "", " Yard "])})
    assert settings(shop).record.areas == tuple(more)


def test_shifts_are_kept_and_a_wrong_time_names_its_row(person: Person, shop: Shop) -> None:
    rows = {"shift_name": ["first", "late"], "shift_starts": ["06:00", "22:00"], "shift_ends": ["14:30", "06:00"]}
    change(person, shop, "shifts", rows)
    assert [each.name for each in settings(shop).record.shifts] == ["first", "late"]
    text = change(person, shop, "shifts", rows | {"shift_ends": ["14:30", "six"]}, status=422)
    assert "Row 2, ends: is &#39;six&#39;; it should be a time such as 06:00." in text


def test_distances_are_typed_in_either_unit_and_what_was_not_touched_stays_exact(
    person: Person, shop: Shop
) -> None:
    change_settings(shop, {"distances_m": [["Saw", "Laser", 7.77777], ["Saw", "Dock", 10.0]]}, TOM)
    text = person.get("/settings/distances").text
    shown = re.findall(r'name="distance" value="([^"]+)"', text)
    assert shown == ["25.5 ft", "32.8 ft"]
    fields = {
        "from": ["Saw", "Saw", "Dock"],
        "to": ["Laser", "Dock", "Laser"],
        "distance": ["25.5 ft", "4 m", "100"],
    }
    sent = person.send("/settings/distances", {"version": version(shop), "of": "*"} | fields)
    assert "Saved." in person.get(sent.headers["location"]).text
    assert settings(shop).record.distances_m == (
        ("Saw", "Laser", 7.77777),
        ("Saw", "Dock", 4.0),
        ("Dock", "Laser", pytest.approx(30.48)),
    )


def test_what_is_wrong_with_a_distance_names_its_row(person: Person, shop: Shop) -> None:
    fields = {
        "version": version(shop),
        "of": "*",
        "from": ["Saw", "Saw", "", "Saw"],
        "to": ["Laser", "Dock", "Dock", "Laser"],
        "distance": ["far", "90000", "3", "3"],
    }
    text = person.send("/settings/distances", fields, status=422).text
    assert "Row 1: " in text
    assert "Row 2: &#39;90000&#39; should be between 0 and 16,404 ft." in text
    assert "Row 3: from is missing." in text
    assert "Row 4" not in text  # row 1 was not understood, so nothing stands twice
    assert 'value="far"' in text


def test_only_the_rows_of_one_station_are_changed(person: Person, shop: Shop) -> None:
    change_settings(shop, {"distances_m": [["Saw", "Laser", 5.0], ["Dock", "Packing", 6.0]]}, TOM)
    text = person.get("/settings/distances?of=Saw").text
    assert re.findall(r'name="from" value="([^"]+)"', text) == ["Saw"]
    person.send(
        "/settings/distances",
        {"version": version(shop), "of": "Saw", "from": [""], "to": [""], "distance": [""]},
    )
    assert settings(shop).record.distances_m == (("Dock", "Packing", 6.0),)


def test_a_long_table_is_shown_station_by_station_and_whole_when_asked_for(person: Person, shop: Shop) -> None:
    whole = settings(shop).record.distances_m
    first = [leg for leg in whole if "Stores" in leg[:2]]
    shown = person.get("/settings/distances").text
    assert len(re.findall(r'name="from" value="[^"]+"', shown)) == len(first) < len(whole)
    shown = person.get("/settings/distances?of=*").text
    assert len(re.findall(r'name="from" value="[^"]+"', shown)) == len(whole)


def test_two_browsers_that_change_the_same_see_both_versions(person: Person, shop: Shop) -> None:
    change_settings(shop, {"name": "Theirs"}, TOM)
    sent = {"version": "1", "name": "Mine", "people": "30", "currency": "$"}
    text = person.send("/settings/change/shop", sent, status=409).text
    assert "Somebody else changed this while you had it open." in text
    assert "<td>Mine</td><td>Theirs</td>" in text
    assert settings(shop).record.name == "Theirs"
    again = re.search(r'name="version" value="(\d+)">\s*<input type="hidden" name="name" value="Mine">', text)
    assert again is not None
    person.send("/settings/change/shop", sent | {"version": again.group(1)})
    assert (settings(shop).record.name, settings(shop).record.people) == ("Mine", 30)


def test_two_browsers_that_change_different_things_both_keep_theirs(person: Person, shop: Shop) -> None:
    change_settings(shop, {"people": 40}, TOM)
    person.send("/settings/change/shop", {"version": "1", "name": "Mine", "people": "28", "currency": "$"})
    assert (settings(shop).record.name, settings(shop).record.people) == ("Mine", 40)


def test_two_browsers_at_the_distances_see_both(person: Person, shop: Shop) -> None:
    change_settings(shop, {"distances_m": [["Saw", "Laser", 5.0]]}, TOM)
    base = version(shop)
    change_settings(shop, {"distances_m": [["Saw", "Laser", 6.0]]}, TOM)
    fields = {"version": base, "of": "*", "from": ["Saw"], "to": ["Laser"], "distance": ["7 m"]}
    text = person.send("/settings/distances", fields, status=409).text
    assert "There now: Saw to Laser 19.7 ft." in text
    assert 'value="7 m"' in text


def test_a_change_that_was_changed_again_is_not_undone_over_it(person: Person, shop: Shop) -> None:
    change_settings(shop, {"name": "One"}, TOM)
    change_settings(shop, {"name": "Two"}, TOM)
    text = person.send("/settings/undo", {"version": "2"}, status=422).text
    assert "Somebody changed name again after this; change it by hand." in text
    assert "1 is how the shop began" in person.send("/settings/undo", {"version": "1"}, status=422).text


def test_the_last_changes_say_who_and_what(person: Person, shop: Shop) -> None:
    change_settings(shop, {"people": 40, "interest": 0.1}, TOM, reason="new hall")
    text = person.get("/settings").text
    assert "interest, people" in text
    assert "25 Nov 2026, 09:30, Tom · new hall" in text


def test_the_name_at_this_computer_is_kept_and_used_at_once(person: Person, shop: Shop) -> None:
    person.send("/settings/here", {"here": "Rosa Lind"})
    text = person.get("/settings").text
    assert "You are here as Rosa Lind." in text
    change(person, shop, "shop", {"name": "New", "people": "28", "currency": "$"})
    assert "09:30, Rosa Lind" in person.get("/settings").text
    assert 'id="w-here">is missing' in person.send("/settings/here", {"here": " "}, status=422).text


def test_an_unknown_group_is_no_page(person: Person) -> None:
    person.send("/settings/change/secrets", {"version": "1"}, status=404)
