"""The page of an improvement: what it shows, its forms, two people at once, undo."""

from __future__ import annotations

import html
import re
from typing import Any

import pytest

from floorwright.shop.improvements import change_improvement, improvement
from floorwright.shop.ports import Author, Shop
from webapp import Person

MAREN = Author(who="Maren", role="lead")
NASTY = "<script>alert('x')</script> \"&'; DROP TABLE -- ${7*7} {{7*7}} \u202eabc 日本 ñ 🛠"


def version(shop: Shop, number: int) -> int:
    return improvement(shop, number).version


def sent(person: Person, shop: Shop, number: int, part: str, fields: dict[str, Any], status: int = 303) -> Any:
    """A part of the page filled in, in sight of the version that stands now."""
    held = {"version": str(version(shop, number))}
    return person.send(f"/improvements/{number}/change/{part}", held | fields, status=status)


def text_of(page: str) -> str:
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", page)))


def test_reads_from_what_was_seen_to_where_else(person: Person) -> None:
    page = text_of(person.get("/improvements/1").text)
    told = [
        "What was seen", "For every frame the welder walks", "What is measured", "103 to 137", "The change",
        "CAUTION", "The trial", "Brakes are easy to reach", "The result", "90.7 s a frame less (70.9 to 116)",
        "What it is worth", "nine times in ten", "Signed off for safety by Ines", "How it holds",
        "Rack between bays 1 and 2", "Where else", "Weld bay 3",
    ]  # fmt: skip
    place = page.find("Where else")  # the list of parts beside the page ends with it
    for each in told:
        place = page.find(each, place + 1)
        assert place >= 0, each


@pytest.mark.parametrize("number", range(1, 17))
def test_every_improvement_of_the_demo_has_its_page(person: Person, number: int) -> None:
    page = person.get(f"/improvements/{number}").text
    assert f"<title>{number} · " in page
    assert "{{" not in page
    assert "None" not in text_of(page)


def test_an_empty_part_says_what_comes_next_and_why(person: Person) -> None:
    page = person.get("/improvements/10").text
    assert "Say what you would measure: one thing, and the smallest change that matters." in page
    assert "it keeps the result honest" in page
    assert '<details class="edit no-print" open id="edit-measure-new">' in page


def test_a_number_opens_its_working_with_sources(person: Person) -> None:
    page = text_of(person.get("/improvements/1").text)
    assert "readings before" in page
    assert "Miller" in page
    assert "[1]" in page


def test_there_is_no_such_improvement(person: Person) -> None:
    person.get("/improvements/99", status=404)


def test_a_part_is_filled_in_and_can_be_undone(person: Person, shop: Shop) -> None:
    answer = sent(person, shop, 8, "change", {"countermeasure": "A rack by length.\r\nMade of offcuts."})
    assert answer.headers["location"] == f"/improvements/8?saved={version(shop, 8)}&part=change#change"
    assert improvement(shop, 8).record.countermeasure == "A rack by length.\nMade of offcuts."
    page = person.get(answer.headers["location"]).text
    assert "Saved." in page
    person.send("/improvements/8/undo", {"version": version(shop, 8)})
    assert improvement(shop, 8).record.countermeasure == ""


def test_an_old_address_offers_no_undo_of_what_is_no_longer_last(person: Person, shop: Shop) -> None:
    assert "Saved." not in person.get("/improvements/8?saved=1&part=change").text


def test_a_form_sent_as_it_stood_changes_nothing(person: Person, shop: Shop) -> None:
    before = version(shop, 1)
    page = person.get("/improvements/1").text
    form = page[page.index('id="edit-cost"') :]
    form = form[: form.index("</form>")]
    held = dict(re.findall(r'name="([^"]+)" type="text" value="([^"]*)"', form))
    held["cost.note"] = html.unescape(re.search(r"<textarea[^>]*>([^<]*)<", form)[1])  # type: ignore[index]
    assert held["cost.building_hours"] == "9"
    sent(person, shop, 1, "cost", held)
    assert version(shop, 1) == before


def test_what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost(person: Person, shop: Shop) -> None:
    fields = {"cost.building_hours": "nine", "cost.material": "84,50", "cost.note": "bar ends"}
    page = sent(person, shop, 8, "cost", fields, status=422).text
    assert "is &#39;nine&#39;; it should be a number" in page
    assert 'aria-invalid="true"' in page
    assert "bar ends" in page
    assert re.search(r'<details class="edit no-print" open id="edit-cost">', page)
    assert improvement(shop, 8).record.cost is None


def test_the_watch_goes_when_all_of_it_is_emptied(person: Person, shop: Shop) -> None:
    sent(person, shop, 1, "watch", {"watch.what": "", "watch.every_days": "", "watch.chart": "", "watch.who": ""})
    assert improvement(shop, 1).record.watch is None


def test_cautions_are_added_changed_and_taken_away(person: Person, shop: Shop) -> None:
    rows = {"cautions-0-signal": "WARNING", "cautions-0-text": "Pinch point.", "cautions-1-text": ""}
    sent(person, shop, 8, "cautions", rows)
    assert [(each.signal, each.text) for each in improvement(shop, 8).record.cautions] == [
        ("WARNING", "Pinch point.")
    ]
    more = {"cautions-0-signal": "WARNING", "cautions-0-text": ""}
    more |= {"cautions-1-signal": "NOTICE", "cautions-1-text": "Wear gloves."}
    sent(person, shop, 8, "cautions", more)
    assert [each.text for each in improvement(shop, 8).record.cautions] == ["Wear gloves."]


def test_an_approval_with_cautions_waits_for_the_safety_sign_off(person: Person, shop: Shop) -> None:
    leave = {"approval.by": "Hollis", "approval.role": "operations manager", "approval.on": "2026-11-25"}
    page = sent(person, shop, 2, "approval", leave, status=422)
    assert "safety sign-off" in page.text
    safety = {f"safety_{name}": value for name, value in leave.items()}
    sent(person, shop, 2, "safety_approval", safety)
    sent(person, shop, 2, "approval", leave)
    assert improvement(shop, 2).record.approval is not None


def test_a_measure_takes_its_quantity_in_either_system(person: Person, shop: Shop) -> None:
    fields = {
        "version": version(shop, 10), "place": "new", "mnew-name": "water a frame", "mnew-kind": "weight",
        "mnew-better": "lower", "mnew-smallest": "2 kg",
    }  # fmt: skip
    person.send("/improvements/10/measures", fields)
    assert improvement(shop, 10).record.measures[0].smallest_that_matters == 2.0
    assert 'value="4.40925 lb"' in person.get("/improvements/10").text
    fields |= {"place": "0", "version": version(shop, 10)}
    fields = {name.replace("mnew-", "m0-"): value for name, value in fields.items()} | {"m0-smallest": "10 lb"}
    person.send("/improvements/10/measures", fields)
    assert improvement(shop, 10).record.measures[0].smallest_that_matters == pytest.approx(4.5359237)


def test_a_measure_without_its_unit_is_refused_beside_its_field(person: Person, shop: Shop) -> None:
    fields = {
        "version": version(shop, 10), "place": "new", "mnew-name": "walk", "mnew-kind": "distance",
        "mnew-better": "lower", "mnew-smallest": "20",
    }  # fmt: skip
    page = person.send("/improvements/10/measures", fields, status=422).text
    assert "without a unit; write" in html.unescape(page)
    assert 'id="w-mnew-smallest"' in page


def test_a_measure_that_nobody_touched_keeps_its_last_digit(person: Person, shop: Shop) -> None:
    held = improvement(shop, 8).record.measures[0]
    fields = {
        "version": version(shop, 8), "place": "0", "m0-name": held.name, "m0-kind": held.kind.value,
        "m0-better": held.better, "m0-smallest": "60 lb", "m0-per": "a week",
    }  # fmt: skip
    person.send("/improvements/8/measures", fields)
    assert improvement(shop, 8).record.measures[0].smallest_that_matters == held.smallest_that_matters


def test_dropping_needs_a_reason_and_can_be_taken_back(person: Person, shop: Shop) -> None:
    page = person.send("/improvements/8/drop", {"version": version(shop, 8), "dropped": ""}, status=422).text
    assert "Say why it is dropped" in page
    person.send("/improvements/8/drop", {"version": version(shop, 8), "dropped": "The line is going."})
    assert "The line is going." in person.get("/improvements/8").text
    person.send("/improvements/8/drop", {"version": version(shop, 8), "back": "yes"})
    assert improvement(shop, 8).record.dropped == ""


def test_a_note_is_added_with_the_name_of_who_wrote_it(person: Person, shop: Shop) -> None:
    person.send("/improvements/8/notes", {"note": "The tub is too small."})
    note = improvement(shop, 8).record.trial_notes[-1]
    assert (note.text, note.who, note.on.isoformat()) == ("The tub is too small.", "lead", "2026-11-25")
    assert "Write what was seen on trial." in person.send("/improvements/8/notes", {"note": " "}, status=422).text


def test_two_tabs_in_different_fields_both_count(person: Person, shop: Shop) -> None:
    seen = version(shop, 8)
    change_improvement(shop, 8, {"place": "north wall"}, MAREN)
    fields = {"version": seen, "countermeasure": "A rack by length."}
    person.send("/improvements/8/change/change", fields)
    record = improvement(shop, 8).record
    assert (record.place, record.countermeasure) == ("north wall", "A rack by length.")


def test_two_tabs_in_one_field_show_both_versions_and_the_pick_is_stored(person: Person, shop: Shop) -> None:
    seen = version(shop, 1)
    change_improvement(
        shop, 1, {"cost": {"material": "99.00", "building_hours": 12}}, MAREN, reason="receipt found"
    )
    mine = {"version": seen, "cost.material": "70.00", "cost.note": "Two casters less.", "cost.building_hours": "9",
            "cost.downtime_hours": "1.5", "cost.upkeep_per_year": "20", "cost.life_years": "6"}  # fmt: skip
    page = person.send("/improvements/1/change/cost", mine, status=409).text
    shown = text_of(page)
    assert all(each in shown for each in ("Cost: material", "$70.00", "$99", "$84.5"))
    assert "receipt found" in shown
    form = {
        name: html.unescape(value)
        for name, value in re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', page)
    }
    del form["form_key"]
    fields = re.findall(r'name="field" value="([^"]+)"', page)
    assert "cost.material" in fields
    picks = {f"pick-{each}": "yours" if each == "cost.material" else "theirs" for each in fields}
    hidden = {name: value for name, value in form.items() if name != "field"}
    person.send("/improvements/1/clash", hidden | {"field": fields} | picks)
    cost = improvement(shop, 1).record.cost
    assert cost is not None
    assert (str(cost.material), cost.building_hours) == ("70.00", 12)


def test_whatever_is_typed_is_shown_as_text(person: Person, shop: Shop) -> None:
    long = NASTY + " x" * 2000
    sent(person, shop, 8, "seen", {
        "title": NASTY, "seen": long, "waste": "material", "area": "Stores", "place": NASTY, "noticed_by": NASTY,
        "noticed_on": "2026-11-01",
    })  # fmt: skip
    sent(person, shop, 8, "question", {"question": NASTY})
    sent(person, shop, 8, "change", {"countermeasure": NASTY, "change-reason": NASTY})
    sent(person, shop, 8, "cautions", {"cautions-0-signal": "DANGER", "cautions-0-text": NASTY})
    sent(person, shop, 8, "elsewhere", {"elsewhere": NASTY, "ask": NASTY[:150]})
    person.send("/improvements/8/notes", {"note": NASTY})
    for path in ("/improvements/8", "/improvements/8/history", "/improvements/8/card", "/improvements", "/"):
        page = person.get(path).text
        assert "<script>alert" not in page, path
        assert "49" not in re.findall(r"\$\{?(\d+)", page), path
    assert NASTY in html.unescape(person.get("/improvements/8").text)


def test_history_tells_every_change_in_words_and_undoes_one(person: Person, shop: Shop) -> None:
    page = text_of(person.get("/improvements/1/history").text)
    assert "Cost: material before $48.50 after $84.50" in page
    assert "Two digits were swapped" in page
    assert "Start of the trial before nothing after 20 Jul 2026" in page
    person.send("/improvements/1/undo", {"version": 12, "from": "history"})
    assert improvement(shop, 1).record.elsewhere == ""


def test_history_speaks_of_a_measure_in_the_units_of_the_shop(person: Person, shop: Shop) -> None:
    fields = {
        "version": version(shop, 8), "place": "0", "m0-name": "offcuts thrown away", "m0-kind": "weight",
        "m0-better": "lower", "m0-smallest": "50 lb", "m0-per": "week",
    }  # fmt: skip
    person.send("/improvements/8/measures", fields)
    assert "before 60 lb after 50 lb" in text_of(person.get("/improvements/8/history").text)


def test_taking_back_what_was_changed_again_says_which_comes_first(person: Person, shop: Shop) -> None:
    page = person.send("/improvements/1/undo", {"version": 4}, status=409).text
    assert "take that back first" in page


def test_the_card_holds_the_address_and_a_code_without_styles(person: Person) -> None:
    page = person.get("/improvements/3/card").text
    assert "http://127.0.0.1:8020/improvements/3" in page
    code = page[page.index('<div class="qr"') : page.index("</svg>", page.index('<div class="qr"'))]
    assert "style=" not in code
    assert "<path" in code


def test_a_viewer_reads_and_a_recorder_notes_but_only_a_lead_changes(shop: Shop) -> None:
    from floorwright.shop.access import make_token
    from floorwright.shop.admission import Role

    person = Person(shop)
    with person.client:
        for role, notes in ((Role.VIEWER, 403), (Role.RECORDER, 403)):
            secret, _ = make_token(shop, f"a {role}", role, MAREN, days=1)
            head = {"authorization": f"Bearer {secret}"}
            page = person.get("/improvements/8", headers=head).text
            assert "/change/seen" not in page
            assert ("/improvements/8/notes" in page) == (role is Role.RECORDER)
            data = {"form_key": person.key(), "version": "1", "countermeasure": "x"}
            assert person.client.post("/improvements/8/change/change", data=data, headers=head).status_code == notes
