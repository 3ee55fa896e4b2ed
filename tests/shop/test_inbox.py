"""The inbox: what devices send is stored in order, each thing once, and every item gets its answer."""

from __future__ import annotations

import base64
import datetime as dt
from typing import Any

import pytest
from pydantic import ValidationError

from floorwright.basis.errors import AccessError
from floorwright.shop.admission import Role
from floorwright.shop.improvements import change_improvement, history, improvement
from floorwright.shop.inbox import BODIES, Answer, take
from floorwright.shop.ports import Author, Shop
from floorwright.shop.sent import MOST_ITEMS, Batch, Item
from floorwright.shop.studies import observations_of
from floorwright.shop.studies import study as study_of
from shop.conftest import LEAD, FixedClock, filed, study
from shop.test_photos import picture

TOM = Author(who="Tom's phone", role="recorder")
NOW = "2026-11-20T09:00:00"


def item(key: str, kind: str, made_at: str = NOW, **body: Any) -> Item:
    return Item.model_validate({"key": key, "kind": kind, "made_at": made_at, "body": body})


def seen(key: str = "k-1", **more: Any) -> Item:
    return item(key, "improvement", **{"title": "Clamps far away", "waste": "walking", "area": "Welding"} | more)


def row(key: str, value: float = 40.0, taken_at: str = "2026-11-20T08:30:00", **more: Any) -> dict[str, Any]:
    return {"key": key, "taken_at": taken_at, "cycle": 1, "value": value} | more


def sent(shop: Shop, *items: Item, role: Role = Role.RECORDER, **more: Any) -> list[Answer]:
    return take(shop, items, TOM, role, **more)


def states(answers: list[Answer]) -> list[str]:
    return [each.state for each in answers]


def said(answer: Answer) -> list[str]:
    return [problem.sentence() for problem in answer.problems]


def test_a_whole_queue_from_the_first_photo_to_readings_refers_to_itself_by_key(shop: Shop) -> None:
    jpeg = base64.b64encode(picture()).decode()
    mark = {"kind": "ring", "points": [[0.1, 0.1], [0.5, 0.5]]}
    answers = sent(
        shop,
        seen(seen="The rack stands 30 m away"),
        item("k-2", "photo", improvement={"key": "k-1"}, moment="before", jpeg=jpeg, marks=[mark]),
        item("k-3", "note", improvement={"key": "k-1"}, text="Second shift says so too"),
    )
    assert states(answers) == ["stored"] * 3
    number = answers[0].result["number"]
    record = improvement(shop, number).record
    assert (record.noticed_by, record.noticed_on) == ("Tom's phone", dt.date(2026, 11, 20))
    assert [(photo.hash, len(photo.marks)) for photo in record.photos] == [(answers[1].result["hash"], 1)]
    assert history(shop, number)[1].reason == "photo added: before"
    assert [(note.who, note.text) for note in record.trial_notes] == [("Tom's phone", "Second shift says so too")]
    change_improvement(shop, number, {"measures": [{"name": "fetch", "kind": "times"}]}, LEAD)
    # The next batch refers to what came with the first one.
    planned = item("k-4", "study", improvement={"key": "k-1"}, measure="fetch", moment="before", planned=20)
    answers = sent(
        shop,
        planned,
        item("k-5", "readings", study={"key": "k-4"}, rows=[row("r1")]),
        item("k-6", "asked", study={"key": "k-4"}, people_asked_on="2026-11-20"),
        item("k-7", "readings", study={"key": "k-4"}, rows=[row("r1"), row("r2", 42.0)]),
    )
    assert states(answers) == ["stored", "refused", "stored", "stored"]
    assert "ask the people before you time them" in said(answers[1])[0]
    assert answers[3].result == {"new": 2, "already": 0}
    number = answers[0].result["study"]
    assert study_of(shop, number).record.people_asked_on == dt.date(2026, 11, 20)
    assert [each.value for each in observations_of(shop, number)] == [40.0, 42.0]


def test_the_same_item_again_changes_nothing_and_is_answered_alike(shop: Shop) -> None:
    (first,) = sent(shop, seen())
    (again,) = sent(shop, seen())
    assert (again.state, again.result) == ("again", first.result)
    (other,) = sent(shop, seen(title="Something else"))
    assert (other.state, said(other)) == (
        "refused",
        ["key: was received before with other content; send this as a new item."],
    )
    assert [each.version for each in history(shop, 1)] == [1]


def test_what_is_wrong_stops_only_what_refers_to_it(shop: Shop) -> None:
    answers = sent(
        shop,
        seen("k-1", area="Roof"),
        item("k-2", "note", improvement={"key": "k-1"}, text="for the roof"),
        seen("k-3"),
        item("k-4", "note", improvement={"key": "k-3"}, text="for the other"),
        item("k-5", "note", improvement=77, text="for nothing"),
        item("k-6", "note", improvement={"key": "never sent"[:5]}, text="x"),
    )
    assert states(answers) == ["refused", "held", "stored", "stored", "refused", "held"]
    assert said(answers[0]) == ["area: 'Roof' is not an area here; the shop has Welding, Packing."]
    assert said(answers[4]) == ["The shop has no improvement 77."]
    # Mended on the device and sent again, it takes the others along.
    answers = sent(shop, seen("k-1"), item("k-2", "note", improvement={"key": "k-1"}, text="for the roof"))
    assert states(answers) == ["stored", "stored"]


@pytest.mark.parametrize(
    ("kind", "body", "says"),
    [
        ("dance", {}, "kind: 'dance' is no kind of item; send one of improvement, photo, note, study, asked"),
        ("note", {"improvement": 1}, "text: is missing; it is needed here."),
        ("note", {"improvement": 1, "text": "x", "colour": "red"}, "colour: is not a field here"),
        ("note", {"improvement": "one", "text": "x"}, "improvement: should be a number, or the key of the item"),
        ("note", {"improvement": {"kee": "k"}, "text": "x"}, "improvement: should be a number, or the key"),
        (
            "note",
            {"improvement": 1, "text": "\ud800"},
            "body: holds something that is neither text nor an ordinary",
        ),
        ("photo", {"improvement": 1, "jpeg": "no base64!"}, "jpeg: is cut off or no base64; take the photo again."),
        ("photo", {"improvement": 1, "jpeg": "aGVsbG8="}, "photo: is not a picture of a known kind"),
        (
            "study",
            {"improvement": 1, "measure": "none", "moment": "before"},
            "measure: is no measure of improvement",
        ),
        ("readings", {"study": 1, "rows": []}, "rows: has 0 entries; it needs at least 1."),
        ("readings", {"study": 1, "rows": [row("a", -4)]}, "rows[0].value: is '-4'; it should be 0 or more."),
        ("readings", {"study": 1, "rows": [row("a", operator="Maria")]}, "'Maria' is not an operator code"),
        ("improvement", {"title": float("nan")}, "body: holds something that is neither text nor an ordinary"),
    ],
)
def test_a_body_that_is_wrong_gets_a_sentence(shop: Shop, kind: str, body: dict[str, Any], says: str) -> None:
    study(shop, filed(shop).id, "before")
    (answer,) = sent(shop, item("k-1", kind, **body))
    assert answer.state == "refused"
    assert any(each.startswith(says) or says in each for each in said(answer)), said(answer)
    assert len(history(shop, 1)) == 1


def test_a_refusal_does_not_send_the_picture_back(shop: Shop) -> None:
    (answer,) = sent(shop, item("k-1", "photo", improvement=1, jpeg="A" * 17_000_000))
    assert answer.state == "refused"
    assert len(str(answer.to_record())) < 1000


def test_who_may_send_what(shop: Shop) -> None:
    number = filed(shop).id
    changed = item("k-1", "change", improvement=number, fields={"title": "New"}, version=1)
    (answer,) = sent(shop, changed)
    assert (answer.state, said(answer)) == (
        "refused",
        ["Only a lead may send this; ask the lead, or write it down as a note."],
    )
    (answer,) = sent(shop, changed, role=Role.LEAD)
    assert (answer.state, answer.result) == ("stored", {"version": 2})
    with pytest.raises(AccessError, match="may only look"):
        sent(shop, seen(), role=Role.VIEWER)


def test_a_change_that_meets_another_brings_both_versions_back(shop: Shop) -> None:
    number = filed(shop).id
    change_improvement(shop, number, {"title": "Theirs"}, LEAD)
    changed = item("k-1", "change", improvement=number, fields={"title": "Mine"}, version=1)
    (answer,) = sent(shop, changed, role=Role.LEAD)
    first = "Clamps are fetched from afar"
    assert (answer.state, answer.result) == (
        "conflict",
        {"version": 2, "clashes": [{"field": "title", "base": first, "yours": "Mine", "theirs": "Theirs"}]},
    )
    (answer,) = sent(
        shop, item("k-2", "change", improvement=number, fields={"title": "Mine"}, version=2), role=Role.LEAD
    )
    assert answer.state == "stored"


def test_the_day_on_which_people_were_asked_never_writes_over_another(shop: Shop) -> None:
    number = study(shop, filed(shop).id, "before", people_asked_on=None).id
    asked = {"study": number, "version": 1}
    answers = sent(
        shop,
        item("k-1", "asked", people_asked_on="2026-11-19", **asked),
        item("k-2", "asked", people_asked_on="2026-11-20", **asked),
        item("k-3", "asked", people_asked_on="2026-11-19", **asked),
    )
    assert states(answers) == ["stored", "conflict", "stored"]
    theirs = {"field": "people_asked_on", "base": None, "yours": "2026-11-20", "theirs": "2026-11-19"}
    assert answers[1].result == {"version": 2, "clashes": [theirs]}
    assert study_of(shop, number).record.people_asked_on == dt.date(2026, 11, 19)
    # In sight of theirs, the other day is meant.
    (chosen,) = sent(shop, item("k-4", "asked", study=number, version=2, people_asked_on="2026-11-20"))
    assert chosen.state == "stored"
    assert study_of(shop, number).record.people_asked_on == dt.date(2026, 11, 20)


def test_a_reading_key_with_other_content_is_refused_and_stops_nobody(shop: Shop) -> None:
    number = study(shop, filed(shop).id, "before").id
    answers = sent(
        shop,
        item("k-1", "readings", study=number, rows=[row("a"), row("b")]),
        item("k-2", "readings", study=number, rows=[row("c"), row("a", 99.0)]),
        item("k-3", "readings", study=number, rows=[row("b"), row("d")]),
        item("k-4", "readings", study=number, rows=[row("a2", 41.0, replaces="a", reason="misread")]),
    )
    assert states(answers) == ["stored", "refused", "stored", "stored"]
    assert "give it another key, or store it as a correction" in said(answers[1])[0]
    assert answers[2].result == {"new": 1, "already": 1}
    assert {each.key for each in observations_of(shop, number)} == {"a2", "b", "d"}


@pytest.mark.parametrize("ahead_s", [-86_400.0, -3_600.0, 200.0, 7_200.4, 3 * 86_400.0])
def test_a_wrong_clock_is_set_right_and_the_readings_say_so(shop: Shop, clock: FixedClock, ahead_s: float) -> None:
    clock.moment = dt.datetime(2026, 11, 20, 9, 0)
    off = dt.timedelta(seconds=ahead_s)
    device_now = clock.moment + off
    taken = (device_now - dt.timedelta(minutes=30)).isoformat()
    made = (device_now - dt.timedelta(minutes=29)).isoformat()
    today = device_now.date().isoformat()
    number = filed(shop).id
    answers = sent(
        shop,
        item(
            "s", "study", made, improvement=number, measure="fetch clamps", moment="before", people_asked_on=today
        ),
        item("r", "readings", made, study={"key": "s"}, rows=[row("a", taken_at=taken, detail={"how": "watch"})]),
        item("n", "note", made, improvement=number, text="seen"),
        device_time=device_now,
    )
    assert states(answers) == ["stored"] * 3
    planned = study_of(shop, answers[0].result["study"])
    assert planned.record.people_asked_on == dt.date(2026, 11, 20)
    (reading,) = observations_of(shop, planned.id)
    assert abs(reading.taken_at - dt.datetime(2026, 11, 20, 8, 30)) < dt.timedelta(seconds=1)
    assert reading.detail == {"how": "watch", "device_clock_off_s": round(ahead_s)}
    assert improvement(shop, number).record.trial_notes[0].on == dt.date(2026, 11, 20)
    # The same reading in another item, while the clock seems off by a second more, is still the same reading.
    (again,) = sent(
        shop,
        item("r2", "readings", made, study={"key": "s"}, rows=[row("a", taken_at=taken, detail={"how": "watch"})]),
        device_time=device_now + dt.timedelta(seconds=1),
    )
    assert again.result == {"new": 0, "already": 1}


def test_a_clock_that_is_nearly_right_is_left_alone(shop: Shop, clock: FixedClock) -> None:
    number = study(shop, filed(shop).id, "before").id
    sent(
        shop,
        item("k", "readings", study=number, rows=[row("a", taken_at="2026-11-20T08:59:59.250")]),
        device_time=clock.moment + dt.timedelta(seconds=119),
    )
    (reading,) = observations_of(shop, number)
    assert (reading.taken_at, reading.detail) == (dt.datetime(2026, 11, 20, 8, 59, 59, 250_000), {})


@pytest.mark.parametrize("ahead_s", [0.4, 30.0, 119.0])
def test_a_reading_a_little_ahead_of_the_shops_clock_stays_as_it_is(
    shop: Shop, clock: FixedClock, ahead_s: float
) -> None:
    number = study(shop, filed(shop).id, "before").id
    taken = clock.moment + dt.timedelta(seconds=ahead_s)
    (answer,) = sent(
        shop,
        item(
            "k-1", "readings", made_at=taken.isoformat(), study=number, rows=[row("r1", taken_at=taken.isoformat())]
        ),
        device_time=taken,
    )
    (reading,) = observations_of(shop, number)
    assert (answer.state, reading.taken_at, reading.detail) == ("stored", taken, {})


def test_just_before_midnight_no_reading_lies_ahead(shop: Shop, clock: FixedClock) -> None:
    clock.moment = dt.datetime(2026, 11, 20, 23, 59, 30)
    number = study(shop, filed(shop).id, "before").id
    rows = [row("a", taken_at="2026-11-21T00:00:10"), row("b", taken_at="2026-11-21T00:00:50")]
    (answer,) = sent(
        shop,
        item("k", "readings", "2026-11-21T00:00:55", study=number, rows=rows),
        device_time=dt.datetime(2026, 11, 21, 0, 1),
    )
    assert answer.state == "stored"
    first, second = observations_of(shop, number)
    assert second.taken_at == clock.moment
    assert second.taken_at - first.taken_at == dt.timedelta(seconds=40)
    assert second.detail == {"device_clock_off_s": 80.0}


def test_a_clock_that_was_set_right_between_timing_and_sending(shop: Shop, clock: FixedClock) -> None:
    number = study(shop, filed(shop).id, "before").id
    made = "2026-11-25T09:10:00"  # five days ahead when it was timed, right when it was sent
    (answer,) = sent(
        shop,
        item("k", "readings", made, study=number, rows=[row("a", taken_at="2026-11-25T09:09:00")]),
        device_time=clock.moment,
    )
    assert answer.state == "stored"
    (reading,) = observations_of(shop, number)
    assert reading.taken_at.date() <= clock.moment.date()
    assert reading.detail["device_clock_off_s"] > 4 * 86_400


def test_a_day_that_was_typed_ahead_is_refused_not_set_right(shop: Shop, clock: FixedClock) -> None:
    number = study(shop, filed(shop).id, "before").id
    typed = item("k", "readings", study=number, rows=[row("a", taken_at="2026-12-24T08:00:00")])
    (answer,) = sent(shop, typed, device_time=clock.moment)
    assert (answer.state, "2026-12-24 lies ahead" in said(answer)[0]) == ("refused", True)


@pytest.mark.parametrize("moment", ["1901-01-01T00:00:00", "9999-12-31T23:59:59", "2026-11-20T09:00:00Z"])
def test_a_time_that_no_clock_shows_is_no_time(moment: str) -> None:
    with pytest.raises(ValidationError):
        Batch.model_validate({"device_time": moment, "items": []})
    with pytest.raises(ValidationError):
        item("k", "note", moment)


@pytest.mark.parametrize("taken_at", ["0001-01-01T00:00:00", "9999-12-31T23:59:59"])
def test_readings_from_nowhere_are_refused_by_a_clock_that_is_off(
    shop: Shop, clock: FixedClock, taken_at: str
) -> None:
    number = study(shop, filed(shop).id, "before").id
    (answer,) = sent(
        shop,
        item("k", "readings", study=number, rows=[row("a", taken_at=taken_at)]),
        device_time=clock.moment + dt.timedelta(days=30),
    )
    assert answer.state == "refused"


def test_a_batch_has_a_limit_and_keys_a_form() -> None:
    one = {"kind": "note", "made_at": NOW, "body": {}}
    items = [one | {"key": f"k{i}"} for i in range(MOST_ITEMS + 1)]
    with pytest.raises(ValidationError, match="at most 200"):
        Batch.model_validate({"device_time": NOW, "items": items})
    assert len(Batch.model_validate({"device_time": NOW, "items": items[1:]}).items) == MOST_ITEMS
    for key in ("", "a b", "../x", "k" * 121):
        with pytest.raises(ValidationError):
            Item.model_validate(one | {"key": key})


def test_every_kind_describes_itself() -> None:
    assert list(BODIES) == ["improvement", "photo", "note", "study", "asked", "readings", "change"]
    for body in BODIES.values():
        assert body.model_json_schema()["properties"]


def test_what_was_recorded_for_another_shop_is_refused_and_stays_on_the_device(shop: Shop) -> None:
    body = {"improvement": filed(shop).id, "text": "The wheel squeaks"}
    made = dt.datetime(2026, 11, 20, 8, 59)
    other, own, unsaid = (
        Item(key=f"k-{name}", kind="note", made_at=made, body=body, shop=which)
        for name, which in (("other", "0" * 32), ("own", shop.identity), ("unsaid", ""))
    )
    answers = take(shop, [other, own, unsaid], LEAD, Role.LEAD)
    assert [each.state for each in answers] == ["refused", "stored", "stored"]
    assert "recorded for another shop" in answers[0].problems[0].message


def test_what_one_person_recorded_is_not_filed_under_the_next_ones_name(shop: Shop) -> None:
    body = {"improvement": filed(shop).id, "text": "The wheel squeaks"}
    made = dt.datetime(2026, 11, 20, 8, 59)
    ada = Item(key="k-ada", kind="note", made_at=made, body=body, owner="account 1")
    shared = Item(key="k-shared", kind="note", made_at=made, body=body)
    answers = take(shop, [ada, shared], LEAD, Role.RECORDER, owner="account 2")
    assert [each.state for each in answers] == ["refused", "stored"]
    assert "somebody else recorded this" in answers[0].problems[0].message
    assert [each.state for each in take(shop, [ada], LEAD, Role.RECORDER, owner="account 1")] == ["stored"]
