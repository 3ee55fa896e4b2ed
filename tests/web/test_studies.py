"""The page of a study: what it says, its readings, corrections, the day people were asked, and planning one."""

from __future__ import annotations

import datetime as dt
import re
from concurrent.futures import ThreadPoolExecutor

import pytest

from floorwright.shop import studies as use
from floorwright.shop.improvements import add_improvement, change_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Observation
from webapp import Person

LEAD = Author(who="Ines", role="lead")


def lines(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", re.sub(r"<svg.*?</svg>", "", text, flags=re.S)).split())


def planned(shop: Shop, **more: object) -> int:
    record = add_improvement(
        shop,
        {
            "title": "Weigh the scrap",
            "waste": "material",
            "area": "Laser",
            "noticed_by": "Ines",
            "noticed_on": "2026-11-20",
            "measures": [{"name": "scrap", "kind": "weight"}, {"name": "cut", "kind": "times"}],
        },
        LEAD,
    )
    raw = {"improvement": record.id, "measure": "scrap", "moment": "before", "people_asked_on": "2026-11-20"}
    return use.plan_study(shop, raw | more, LEAD).id


def test_a_study_says_its_level_interval_and_how_many_more(person: Person) -> None:
    text = lines(person.get("/studies/1").text)
    assert "120 s a frame" in text
    assert "103 to 137 s a frame" in text
    assert "191 readings give the mean within 5 %, if you need it that close; take 167 more for that." in text
    assert "Normal time 480 s; standard time 552 s with an allowance of 15 % of work time." in text
    assert "times-before.csv, on 25 Jun 2026: 79 new readings; 2 rows left out" in text


def test_walks_say_where_the_walking_goes(person: Person) -> None:
    assert "Where the walking goes" in person.get("/studies/2").text


def test_no_operator_stands_on_the_page(person: Person, shop: Shop) -> None:
    with shop.work() as work:
        codes = {row.operator for row in work.observations.of(1)}
    assert codes > {""} or codes
    text = lines(person.get("/studies/1").text)
    assert not [code for code in codes if code and re.search(rf"\b{code}\b", text)]


def test_a_correction_is_a_new_row_with_its_reason(person: Person, shop: Shop) -> None:
    key = use.observations_of(shop, 1)[3].key
    fields = {"key": key, "value": "1:15", "element": "fetch clamps", "reason": "misread", "note": "", "rating": ""}
    person.send("/studies/1/correct", fields)
    rows = {row.key: row for row in use.observations_of(shop, 1, with_replaced=True)}
    assert rows[key].value != 75.0
    new = next(row for row in rows.values() if row.replaces == key)
    assert (new.value, new.reason) == (75.0, "misread")
    text = lines(person.get("/studies/1").text)
    assert "replaced" in text
    assert "Corrected: misread" in text


def test_a_correction_needs_a_reason_a_value_and_a_difference(person: Person, shop: Shop) -> None:
    row = use.observations_of(shop, 1)[3]
    base = {"key": row.key, "element": row.element, "note": row.note, "part": row.part}
    base |= {"rating": "" if row.rating is None else f"{100 * row.rating:g} %"}
    held = person.get(f"/studies/1/correct?key={row.key}").text
    value = re.search(r'name="value" type="text" value="([^"]+)"', held)
    assert value is not None
    for fields, said in (
        (base | {"value": "75", "reason": ""}, "a correction says why"),
        (base | {"value": "75 lb", "reason": "x"}, "is not a unit of time"),
        (base | {"value": "", "reason": "x"}, "is missing; write what was read"),
        (base | {"value": value.group(1), "reason": "x"}, "nothing is different from what is stored"),
        (base | {"value": "-3", "reason": "x"}, "below zero"),
        (base | {"value": "13 h", "reason": "x"}, "at most 12 h"),
    ):
        text = person.send("/studies/1/correct", fields, status=422).text
        assert said in lines(text), (fields, lines(text))
    assert len(use.observations_of(shop, 1, with_replaced=True)) == 79


def test_two_tabs_cannot_correct_the_same_reading_twice(person: Person, shop: Shop) -> None:
    key = use.observations_of(shop, 1)[3].key
    fields = {"key": key, "element": "fetch clamps", "reason": "misread"}
    person.send("/studies/1/correct", fields | {"value": "75"})
    text = person.send("/studies/1/correct", fields | {"value": "76"}, status=422).text
    assert "was corrected before; correct the reading that replaced it" in lines(text)


def test_unknown_studies_and_readings(person: Person) -> None:
    person.get("/studies/999", 404)
    person.get("/studies/1/correct?key=nope", 404)
    person.get("/studies/1/correct?key=%00%27--", 404)
    person.get("/studies/abc", 404)
    person.get("/studies/1?start=-1", 422)


def test_the_day_on_which_people_were_asked(person: Person, shop: Shop) -> None:
    number = planned(shop, people_asked_on=None)
    assert "Ask the people first" in person.get(f"/studies/{number}").text
    for day, said in (("2026-11-26", "lies ahead"), ("soon", "should be a date"), ("", "should be a date")):
        fields = {"field": "people_asked_on", "people_asked_on": day, "version": "1"}
        assert said in person.send(f"/studies/{number}/asked", fields, status=422).text
    person.send(f"/studies/{number}/asked", fields | {"people_asked_on": "2026-11-24"})
    assert str(use.study(shop, number).record.people_asked_on) == "2026-11-24"
    person.send(f"/studies/{number}/asked", {"field": "moment", "moment": "after"}, status=422)


def test_two_people_who_note_different_days_see_both_and_choose(person: Person, shop: Shop) -> None:
    number = planned(shop, people_asked_on=None)
    page = person.get(f"/studies/{number}").text
    version = re.search(r'name="version" value="(\d+)"', page)
    assert version is not None
    fields = {"field": "people_asked_on", "people_asked_on": "2026-11-24", "version": version[1]}
    use.change_study(shop, number, {"people_asked_on": "2026-11-20"}, LEAD)
    text = person.send(f"/studies/{number}/asked", fields, status=409).text
    assert "Somebody changed the same thing meanwhile" in text
    assert "20 Nov 2026" in text
    assert "24 Nov 2026" in text
    assert str(use.study(shop, number).record.people_asked_on) == "2026-11-20"
    action = re.search(r'action="(/studies/\d+/clash)"', text)
    assert action is not None
    chosen = {
        name: re.search(rf'name="{name}" value="([^"]*)"', text)[1].replace("&#34;", '"')  # type: ignore[index]
        for name in ("version", "field", "yours-people_asked_on")
    }
    person.send(action[1], chosen | {"pick-people_asked_on": "theirs"})
    assert str(use.study(shop, number).record.people_asked_on) == "2026-11-20"
    person.send(action[1], chosen | {"pick-people_asked_on": "yours"})
    assert str(use.study(shop, number).record.people_asked_on) == "2026-11-24"
    # In sight of a version that stands no more: both are shown again.
    use.change_study(shop, number, {"people_asked_on": "2026-11-23"}, LEAD)
    person.send(action[1], chosen | {"pick-people_asked_on": "yours"}, status=409)
    forged = {"version": "1", "field": "note", "pick-note": "yours", "yours-note": '"x"'}
    person.send(action[1], forged, status=422)


def test_the_same_day_noted_twice_or_another_field_is_no_clash(person: Person, shop: Shop) -> None:
    number = planned(shop, people_asked_on=None)
    fields = {"field": "people_asked_on", "people_asked_on": "2026-11-24", "version": "1"}
    person.send(f"/studies/{number}/asked", fields)
    person.send(f"/studies/{number}/asked", fields)
    shown = {"field": "shown_to_people_on", "shown_to_people_on": "2026-11-25", "version": "1"}
    person.send(f"/studies/{number}/asked", shown)
    record = use.study(shop, number).record
    assert (str(record.people_asked_on), str(record.shown_to_people_on)) == ("2026-11-24", "2026-11-25")


def test_a_plan_that_is_sent_twice_makes_one_study(person: Person, shop: Shop) -> None:
    page = person.get("/improvements/1/studies/new").text
    key = re.search(r'name="key" value="([0-9a-f]+)"', page)
    assert key is not None
    fields = {"measure": "fetching clamps", "moment": "again", "key": key[1]}
    before = len(use.study_rows(shop))
    reordered = person.send("/improvements/1/studies/new", fields | {"do": "add"}, status=200).text
    assert f'name="key" value="{key[1]}"' in reordered
    with ThreadPoolExecutor(4) as four:
        form = fields | {"form_key": person.key()}
        sent = [
            four.submit(person.client.post, "/improvements/1/studies/new", data=form, follow_redirects=False)
            for _ in range(4)
        ]
        answers = {(each.result().status_code, each.result().headers["location"]) for each in sent}
    assert len(answers) == 1
    assert next(iter(answers))[0] == 303
    assert len(use.study_rows(shop)) == before + 1
    said = person.send("/improvements/1/studies/new", fields | {"moment": "after"}, status=422).text
    assert "This form was sent before with other content; open it anew." in said
    assert (
        person.send("/improvements/1/studies/new", fields | {"key": "another"}).headers["location"] not in answers
    )
    assert len(use.study_rows(shop)) == before + 2


def test_a_typed_reading_is_stored_once_in_either_unit(person: Person, shop: Shop) -> None:
    number = planned(shop)
    fields = {"key": "abc", "value": "100 kg", "taken_at": "2026-11-24T08:00:00", "element": ""}
    person.send(f"/studies/{number}/readings", fields)
    person.send(f"/studies/{number}/readings", fields)
    person.send(f"/studies/{number}/readings", fields | {"key": "abd", "value": "100"})
    values = [row.value for row in use.observations_of(shop, number)]
    assert values == pytest.approx([100.0, 45.359237])
    assert "is missing" in person.send(f"/studies/{number}/readings", fields | {"value": ""}, status=422).text
    late = fields | {"key": "abe", "taken_at": "2026-11-26T08:00:00"}
    assert "lies ahead" in person.send(f"/studies/{number}/readings", late, status=422).text


def test_a_typed_reading_waits_until_the_people_are_asked(person: Person, shop: Shop) -> None:
    number = planned(shop, people_asked_on=None)
    fields = {"key": "abc", "value": "10", "taken_at": "2026-11-24T08:00:00"}
    text = person.send(f"/studies/{number}/readings", fields, status=422).text
    assert "ask the people before you time them" in text
    assert use.observations_of(shop, number) == []


def test_planning_a_study_with_elements_in_order(person: Person, shop: Shop) -> None:
    fields = {
        "measure": "fetching clamps",
        "moment": "again",
        "people_asked_on": "2026-11-24",
        "element-name": ["walk", "pick  up", ""],
        "element-work": ["run", "setup", "run"],
        "element-frequency": ["1", "0.5", ""],
        "allowance": "12 %",
        "planned": "20",
    }
    answer = person.send("/improvements/1/studies/new", fields)
    record = use.study(shop, int(answer.headers["location"].rpartition("/")[2])).record
    assert [(each.name, each.work, each.frequency) for each in record.elements] == [
        ("walk", "run", 1.0),
        ("pick  up", "setup", 0.5),
    ]
    assert (record.moment, record.planned, record.allowance) == ("again", 20, 0.12)


@pytest.mark.parametrize(
    ("do", "names"),
    [
        ("up-1", ["b", "a", "c"]),
        ("down-1", ["a", "c", "b"]),
        ("remove-0", ["b", "c"]),
        ("add", ["a", "b", "c", ""]),
        ("up-0", ["a", "b", "c"]),
        ("remove-9", ["a", "b", "c"]),
        ("down-x", ["a", "b", "c"]),
    ],
)
def test_elements_are_put_in_order_without_script(person: Person, shop: Shop, do: str, names: list[str]) -> None:
    before = len(use.study_rows(shop))
    fields = {"do": do, "note": "keep me", "element-name": ["a", "b", "c"]} | {
        "element-work": ["run"] * 3,
        "element-frequency": ["1"] * 3,
    }
    text = person.send("/improvements/1/studies/new", fields, status=200).text
    assert re.findall(r'name="element-name" value="([^"]*)"', text) == names
    assert "keep me" in text
    assert len(use.study_rows(shop)) == before


def test_what_is_wrong_with_a_plan_stands_beside_its_field(person: Person) -> None:
    fields = {"measure": "no such", "moment": "before", "element-name": "a", "element-work": "run"}
    text = person.send("/improvements/1/studies/new", fields | {"element-frequency": "1"}, status=422).text
    assert "is no measure of improvement 1" in lines(text)
    fields = {"measure": "fetching clamps", "moment": "", "planned": "many", "allowance": "lots"}
    assert "should be a share such as 15 %" in person.send("/improvements/1/studies/new", fields, status=422).text
    fields |= {"allowance": "", "element-name": ["a", "A"], "element-work": ["run"] * 2}
    fields |= {"element-frequency": ["1", "1"]}
    assert "stands there twice" in person.send("/improvements/1/studies/new", fields, status=422).text


def test_an_improvement_without_a_measure_says_what_comes_first(person: Person, shop: Shop) -> None:
    assert "Say on the improvement" in person.get("/improvements/10/studies/new").text
    person.get("/improvements/999/studies/new", 404)


def test_words_from_people_are_safe(person: Person, shop: Shop) -> None:
    change_improvement(shop, 1, {"title": "<img src=x onerror=alert(1)>"}, LEAD)
    use.change_study(shop, 1, {"note": "<script>alert(2)</script>"}, LEAD)
    text = person.get("/studies/1").text
    assert "<img src=x" not in text
    assert "<script>alert(2)" not in text


def test_readings_come_page_by_page_the_latest_first(person: Person, shop: Shop) -> None:
    number = planned(shop)
    day = dt.datetime(2026, 11, 24, 8)
    rows = [
        Observation(key=f"k{i}", taken_at=day + dt.timedelta(minutes=i), cycle=i, value=float(i))
        for i in range(1, 251)
    ]
    use.add_observations(shop, number, rows)

    def cycles(path: str) -> list[int]:
        return [int(each) for each in re.findall(r'data-label="cycle">(\d+)</td>', person.get(path).text)]

    assert cycles(f"/studies/{number}") == list(range(250, 50, -1))
    assert cycles(f"/studies/{number}?start=200") == list(range(50, 0, -1))
    assert cycles(f"/studies/{number}?start=900") == []
