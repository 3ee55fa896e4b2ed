"""Photos over HTTP: only what a record shows, only pictures come in, marks, masks, order, removal."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from PIL import Image

from floorwright.shop.improvements import change_improvement, improvement
from floorwright.shop.ports import Author, Shop
from floorwright.web.desk import LOOPBACK_HOSTS, Options
from webapp import Person

MAREN = Author(who="Maren", role="lead")


def jpeg(colour: str = "red", size: tuple[int, int] = (64, 48)) -> bytes:
    out = io.BytesIO()
    exif = Image.Exif()
    exif.get_ifd(0x8825)[1] = "N"
    Image.new("RGB", size, colour).save(out, "JPEG", exif=exif)
    return out.getvalue()


def hashes(shop: Shop, number: int) -> list[str]:
    return [each.hash for each in improvement(shop, number).record.photos]


def upload(person: Person, number: int, *files: tuple[str, bytes], status: int = 303, **fields: Any) -> Any:
    given = [("photos", (name, data, "image/jpeg")) for name, data in files]
    return person.send(f"/improvements/{number}/photos", {"moment": "before"} | fields, files=given, status=status)


def test_a_photo_is_kept_by_this_browser_alone_and_asked_for_anew(person: Person, shop: Shop) -> None:
    answer = person.get(f"/photos/{hashes(shop, 1)[0]}")
    assert answer.headers["content-type"] == "image/jpeg"
    assert answer.headers["cache-control"] == "private, no-cache"
    again = person.get(
        f"/photos/{hashes(shop, 1)[0]}", status=304, headers={"If-None-Match": answer.headers["etag"]}
    )
    assert not again.content
    smaller = person.get(f"/photos/{hashes(shop, 1)[0]}?width=200")
    assert len(smaller.content) < len(answer.content)


@pytest.mark.parametrize("path", ["0" * 64, "..%2f..%2fshop.sqlite3", "x" * 3000, "%00"])
def test_no_other_file_can_be_had(person: Person, path: str) -> None:
    assert person.client.get(f"/photos/{path}").status_code == 404


@pytest.mark.parametrize("width", ["0", "-1", "1e9", "x", "99999"])
def test_a_width_that_is_none_is_refused(person: Person, shop: Shop, width: str) -> None:
    person.get(f"/photos/{hashes(shop, 1)[0]}?width={width}", status=422)


def test_a_picture_in_the_store_that_no_record_shows_is_not_given(person: Person, shop: Shop) -> None:
    hash_ = shop.photos.add(jpeg())
    person.get(f"/photos/{hash_}", status=404)
    upload(person, 8, ("a.jpg", jpeg()))
    person.get(f"/photos/{hash_}")
    photos = [each.model_dump(mode="json") for each in improvement(shop, 8).record.photos if each.hash != hash_]
    change_improvement(shop, 8, {"photos": photos}, MAREN)
    person.get(f"/photos/{hash_}", status=404)


def test_several_photos_come_in_together_without_their_place(person: Person, shop: Shop) -> None:
    upload(person, 8, ("a.jpg", jpeg("red")), ("b.jpg", jpeg("blue")), caption="Two of them")
    record = improvement(shop, 8).record
    assert [each.caption for each in record.photos[-2:]] == ["Two of them"] * 2
    stored = Image.open(io.BytesIO(shop.photos.read(record.photos[-1].hash)))
    assert not stored.getexif()


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("a.jpg", b"<script>alert(1)</script>"),
        ("<img src=x onerror=alert(1)>.jpg", b"MZ" + b"\0" * 200),
        ("a.svg", b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>"),
        ("a.jpg", jpeg()[:40]),
        ("a.jpg", b""),
    ],
)
def test_what_is_no_picture_is_refused_in_a_sentence_and_nothing_is_kept(
    person: Person, shop: Shop, name: str, data: bytes
) -> None:
    before, held = hashes(shop, 8), shop.photos.hashes()
    page = upload(person, 8, ("good.jpg", jpeg("green")), (name, data), status=422).text
    assert 'class="wrong"' in page
    assert "<img src=x" not in page
    assert hashes(shop, 8) == before
    assert shop.photos.hashes() == held


def test_no_file_at_all_is_said(person: Person) -> None:
    assert "Choose at least one photo." in upload(person, 8, status=422).text


def test_caption_moment_and_day_are_changed_and_can_be_undone(person: Person, shop: Shop) -> None:
    found = improvement(shop, 8)
    hash_ = found.record.photos[0].hash
    fields = {"version": found.version, "caption": "The <b>tub</b> é", "moment": "other", "taken_on": "2026-11-01"}
    answer = person.send(f"/improvements/8/photos/{hash_}", fields)
    photo = improvement(shop, 8).record.photos[0]
    assert (photo.caption, photo.moment, str(photo.taken_on)) == ("The <b>tub</b> é", "other", "2026-11-01")
    page = person.get(answer.headers["location"]).text
    assert "Saved." in page
    assert "<b>tub" not in page


def test_a_wrong_day_stands_beside_its_field(person: Person, shop: Shop) -> None:
    found = improvement(shop, 8)
    hash_ = found.record.photos[0].hash
    fields = {"version": found.version, "caption": "kept", "moment": "other", "taken_on": "yesterday"}
    page = person.send(f"/improvements/8/photos/{hash_}", fields, status=422).text
    assert 'id="w-taken_on"' in page
    assert "kept" in page


def test_photos_are_put_in_order(person: Person, shop: Shop) -> None:
    first, second = hashes(shop, 1)
    person.send(f"/improvements/1/photos/{second}/move", {"to": "earlier"})
    assert hashes(shop, 1) == [second, first]
    person.send(f"/improvements/1/photos/{second}/move", {"to": "earlier"})
    assert hashes(shop, 1) == [second, first]


def test_marks_are_drawn_over_the_photo_and_shown_with_their_words(person: Person, shop: Shop) -> None:
    hash_ = hashes(shop, 8)[0]
    marks = [
        {"kind": "ring", "points": [[0.1, 0.1], [0.4, 0.3]], "label": "the <tub> 日本"},
        {"kind": "arrow", "points": [[0.9, 0.9], [0.5, 0.5]]},
        {"kind": "line", "points": [[0.1, 0.9], [0.2, 0.8], [0.3, 0.9]]},
    ]
    person.send(f"/improvements/8/photos/{hash_}/marks", {"marks": json.dumps(marks)})
    page = person.get("/improvements/8").text
    assert page.count('class="mark-over"') == 3
    assert "the &lt;tub&gt; 日本" in page
    assert "<tub>" not in page
    assert "a ring (the &lt;tub&gt; 日本), an arrow" in page
    person.send(f"/improvements/8/photos/{hash_}/marks", {"marks": "[]"})
    assert improvement(shop, 8).record.photos[0].marks == ()


@pytest.mark.parametrize(
    "marks",
    ["{", "7", '["x"]', '[{"kind":"ring","points":[[0,0],[2,2]]}]', '[{"kind":"star","points":[[0,0],[1,1]]}]'],
)
def test_marks_that_cannot_be_drawn_are_refused(person: Person, shop: Shop, marks: str) -> None:
    page = person.send(f"/improvements/8/photos/{hashes(shop, 8)[0]}/marks", {"marks": marks}, status=422).text
    assert 'role="alert"' in page


def test_what_is_masked_is_gone_for_good(person: Person, shop: Shop) -> None:
    upload(person, 8, ("a.jpg", jpeg("white", (100, 100))))
    hash_ = hashes(shop, 8)[-1]
    answer = person.send(f"/improvements/8/photos/{hash_}/mask", {"boxes": "[[0.2,0.2,0.6,0.6]]"})
    masked = hashes(shop, 8)[-1]
    assert answer.headers["location"] == f"/improvements/8/photos/{masked}"
    assert masked != hash_
    picture = Image.open(io.BytesIO(person.get(f"/photos/{masked}").content)).convert("L")
    assert picture.getpixel((40, 40)) == 0
    assert picture.getpixel((90, 90)) > 240  # type: ignore[operator]
    person.get(f"/photos/{hash_}", status=404)
    assert hash_ not in shop.photos.hashes()


def test_a_recorder_is_told_in_one_sentence_that_a_whole_photo_stays(shop: Shop) -> None:
    from floorwright.shop import access
    from floorwright.shop.admission import Role
    from floorwright.shop.ports import Author

    pairing = access.offer_pairing(shop, Role.RECORDER, Author(who="Ines"))
    phone = Person(shop, Options(hosts=LOOPBACK_HOSTS | {"192.0.2.20"}, lan=True), address="192.0.2.40")
    phone.client.base_url = "http://192.0.2.20"
    phone.send("/pair", {"code": pairing.code, "name": "Bay 2"}, page="/pair")
    hash_ = hashes(shop, 8)[0]
    text = phone.send(f"/improvements/8/photos/{hash_}/mask", {"boxes": "[[0,0,1,1]]"}, status=403).text
    assert "a recorder may black out 50 % in all: draw smaller boxes, or ask the lead." in text
    assert hashes(shop, 8) == [hash_]
    phone.send(f"/improvements/8/photos/{hash_}/mask", {"boxes": "[[0,0,0.4,0.4]]"})
    assert hashes(shop, 8) != [hash_]


@pytest.mark.parametrize("boxes", ["", "[]", "[[0.5,0.5,0.2,0.2]]", "[[0,0,1]]", "[[0,0,9,9]]", '[["a",0,1,1]]'])
def test_a_mask_without_a_box_is_refused(person: Person, shop: Shop, boxes: str) -> None:
    hash_ = hashes(shop, 8)[0]
    page = person.send(f"/improvements/8/photos/{hash_}/mask", {"boxes": boxes}, status=422).text
    assert "Drag a box over what is to be blacked out" in page
    assert hashes(shop, 8) == [hash_]


def test_removing_needs_a_tick_and_takes_every_copy(person: Person, shop: Shop) -> None:
    hash_ = hashes(shop, 8)[0]
    page = person.send(f"/improvements/8/photos/{hash_}/remove", {"why": "a face"}, status=422).text
    assert "nobody can bring it back" in page
    person.send(f"/improvements/8/photos/{hash_}/remove", {"why": "a face", "sure": "yes"})
    assert hashes(shop, 8) == []
    person.get(f"/photos/{hash_}", status=404)
    person.get(f"/improvements/8/photos/{hash_}", status=404)


def test_a_photo_of_another_improvement_cannot_be_changed_here(person: Person, shop: Shop) -> None:
    other = hashes(shop, 1)[0]
    for action in ("marks", "mask", "remove", "move"):
        sent = {"marks": "[]", "boxes": "[[0,0,1,1]]", "sure": "yes", "to": "later"}
        person.send(f"/improvements/8/photos/{other}/{action}", sent, status=404)
    assert other in hashes(shop, 1)


def test_a_new_improvement_brings_its_photo_or_nothing(person: Person, shop: Shop) -> None:
    fields = {"title": "Hose in the way", "area": "Wash", "waste": "walking"}
    bad = person.send("/improvements/new", fields, files={"photo": ("a.jpg", b"no", "image/jpeg")}, status=422)
    assert "Hose in the way" in bad.text
    answer = person.send("/improvements/new", fields, files={"photo": ("a.jpg", jpeg(), "image/jpeg")})
    record = improvement(shop, int(answer.headers["location"].rpartition("/")[2])).record
    assert (record.title, record.noticed_by, record.photos[0].moment) == ("Hose in the way", "lead", "before")
    assert answer.headers["location"] == "/improvements/17"
