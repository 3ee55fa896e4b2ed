"""Photos: stripped, masked for good, removed for good, wherever they are shown."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from floorwright.basis.errors import AccessError, InputError, NotFoundError
from floorwright.shop.admission import Role
from floorwright.shop.improvements import history, improvement
from floorwright.shop.photos import add_photo, covered, find_photo, mark_photo, mask_photo, remove_photo
from floorwright.shop.ports import Box, Shop
from floorwright.shop.records import Mark
from shop.conftest import LEAD, filed


def picture(colour: tuple[int, int, int] = (200, 180, 160)) -> bytes:
    """A small PNG."""
    out = io.BytesIO()
    Image.new("RGB", (80, 60), colour).save(out, "PNG")
    return out.getvalue()


def test_a_photo_is_stored_with_its_improvement(shop: Shop) -> None:
    id_ = filed(shop).id
    hash_ = add_photo(shop, id_, picture(), LEAD, name="rack.png", moment="before", caption="The old rack")
    (photo,) = improvement(shop, id_).record.photos
    assert (photo.hash, photo.moment, photo.caption) == (hash_, "before", "The old rack")
    assert Image.open(io.BytesIO(shop.photos.read(hash_))).size == (80, 60)


def test_a_text_named_jpg_is_refused_and_leaves_nothing(shop: Shop) -> None:
    id_ = filed(shop).id
    with pytest.raises(InputError, match=r"notes\.jpg"):
        add_photo(shop, id_, b"dear diary", LEAD, name="notes.jpg")
    assert improvement(shop, id_).record.photos == ()
    assert shop.photos.hashes() == set()


def test_masking_replaces_the_photo_everywhere_and_the_unmasked_one_is_gone(shop: Shop) -> None:
    first, second = filed(shop).id, filed(shop).id
    hash_ = add_photo(shop, first, picture(), LEAD)
    assert add_photo(shop, second, picture(), LEAD) == hash_
    masked = mask_photo(shop, hash_, [Box(0.25, 0.25, 0.75, 0.75)], LEAD)
    assert shop.photos.hashes() == {masked}
    for id_ in (first, second):
        (photo,) = improvement(shop, id_).record.photos
        assert photo.hash == masked
    shown = Image.open(io.BytesIO(shop.photos.read(masked)))
    middle, corner = shown.getpixel((40, 30)), shown.getpixel((2, 2))
    assert isinstance(middle, tuple)
    assert isinstance(corner, tuple)
    assert max(middle) < 40
    assert min(corner) > 120


@pytest.mark.parametrize("box", [Box(0.5, 0.1, 0.4, 0.2), Box(-0.1, 0, 0.5, 0.5), Box(0, 0, 1.2, 0.5)])
def test_a_box_outside_the_photo_is_refused(shop: Shop, box: Box) -> None:
    hash_ = add_photo(shop, filed(shop).id, picture(), LEAD)
    with pytest.raises(InputError, match="fractions between 0 and 1"):
        mask_photo(shop, hash_, [box], LEAD)
    assert shop.photos.hashes() == {hash_}


def test_the_share_that_boxes_cover_counts_what_they_share_once() -> None:
    # Worked out by hand: two halves of half the picture that share a quarter of it; a box inside another; none.
    assert covered([Box(0, 0, 0.5, 1), Box(0, 0, 1, 0.5)]) == pytest.approx(0.75)
    assert covered([Box(0, 0, 1, 1), Box(0.2, 0.2, 0.4, 0.4)]) == pytest.approx(1)
    assert covered([]) == 0


ENDS = st.lists(st.integers(0, 9), min_size=2, max_size=2, unique=True).map(sorted)
BOXES = st.lists(st.tuples(ENDS, ENDS).map(lambda e: (e[0][0], e[1][0], e[0][1], e[1][1])), max_size=6)


@given(BOXES)
def test_the_share_that_boxes_cover_is_what_is_black_on_squared_paper(
    boxes: list[tuple[int, int, int, int]],
) -> None:
    squares = {(x, y) for left, top, right, bottom in boxes for x in range(left, right) for y in range(top, bottom)}
    found = covered([Box(*(end / 9 for end in each)) for each in boxes])
    assert found == pytest.approx(len(squares) / 81)


def test_a_recorder_masks_parts_of_a_photo_and_a_lead_all_of_it(shop: Shop) -> None:
    id_ = filed(shop).id
    hash_ = add_photo(shop, id_, picture(), LEAD)
    with pytest.raises(AccessError, match=r"black out 100 % of the photo for good; a recorder may .* 50 % in all"):
        mask_photo(shop, hash_, [Box(0, 0, 1, 1)], LEAD, role=Role.RECORDER)
    assert shop.photos.hashes() == {hash_}
    # Bit by bit it comes to the same; what is black already counts once, and cannot be forgotten.
    first = mask_photo(shop, hash_, [Box(0, 0, 0.4, 1)], LEAD, role=Role.RECORDER)
    same = mask_photo(shop, first, [Box(0.1, 0, 0.4, 1)], LEAD, role=Role.RECORDER)
    with pytest.raises(AccessError, match=r"black out 80 % of the photo"):
        mask_photo(shop, same, [Box(0.4, 0, 0.8, 1)], LEAD, role=Role.RECORDER)
    assert shop.photos.hashes() == {same}
    whole = mask_photo(shop, same, [Box(0, 0, 1, 1)], LEAD)
    assert shop.photos.hashes() == {whole}
    assert "photo masked" in history(shop, id_)[-1].reason


RING = {"kind": "ring", "points": [[0.1, 0.1], [0.5, 0.5]], "label": "too far"}


def test_marks_are_drawn_over_the_photo_of_one_improvement_which_stays_as_it_is(shop: Shop) -> None:
    first, second = filed(shop).id, filed(shop).id
    hash_ = add_photo(shop, first, picture(), LEAD, caption="The rack")
    add_photo(shop, second, picture(), LEAD)
    stored = shop.photos.read(hash_)
    arrow = Mark.model_validate({"kind": "arrow", "points": [(0, 0), (0.25, 1)]})
    mark_photo(shop, first, hash_, [RING, arrow], LEAD)
    (photo,) = improvement(shop, first).record.photos
    assert [(each.kind, each.points) for each in photo.marks] == [
        ("ring", ((0.1, 0.1), (0.5, 0.5))),
        ("arrow", ((0.0, 0.0), (0.25, 1.0))),
    ]
    assert (photo.caption, shop.photos.read(hash_)) == ("The rack", stored)
    assert improvement(shop, second).record.photos[0].marks == ()
    # The set takes the place of the one before; masking and adding the photo again leave it.
    mark_photo(shop, first, hash_, [RING], LEAD)
    masked = mask_photo(shop, hash_, [Box(0.6, 0.6, 0.9, 0.9)], LEAD)
    (photo,) = improvement(shop, first).record.photos
    assert (photo.hash, [each.label for each in photo.marks]) == (masked, ["too far"])
    mark_photo(shop, first, masked, [], LEAD)
    assert improvement(shop, first).record.photos[0].marks == ()
    assert [each.reason for each in history(shop, first)][-1] == "marks taken off a photo"


@pytest.mark.parametrize(
    ("marks", "says"),
    [
        (
            [RING | {"points": [[0.1, 0.1], [0.5, 1.5]]}],
            r"marks\[0\]\.points\[1\]\[1\]: is '1.5'; it should be 1 or less",
        ),
        ([RING, RING | {"kind": "star"}], r"marks\[1\]\.kind: is 'star'"),
        ([RING | {"points": [[0.1, 0.1]] * 3}], r"marks\[0\]: has 3 points; a ring has two"),
        ([RING | {"points": [[0.1, 0.1]] * 2}], "begins and ends in the same place; drag it a little further"),
        ([RING] * 21, "marks: has 21 entries; at most 20 fit"),
        ([RING | {"label": "W" * 61}], "label: is too long; at most 60 characters fit"),
    ],
)
def test_a_mark_that_cannot_be_drawn_is_refused(shop: Shop, marks: list[dict[str, object]], says: str) -> None:
    id_ = filed(shop).id
    hash_ = add_photo(shop, id_, picture(), LEAD)
    with pytest.raises(InputError, match=says):
        mark_photo(shop, id_, hash_, marks, LEAD)
    assert improvement(shop, id_).version == 2


def test_marks_need_the_photo_in_the_improvement(shop: Shop) -> None:
    first, second = filed(shop).id, filed(shop).id
    hash_ = add_photo(shop, first, picture(), LEAD)
    with pytest.raises(NotFoundError, match="Improvement 2 shows no photo"):
        mark_photo(shop, second, hash_, [RING], LEAD)


def test_removal_is_for_good_and_the_history_says_so(shop: Shop) -> None:
    id_ = filed(shop).id
    hash_ = add_photo(shop, id_, picture(), LEAD)
    assert remove_photo(shop, find_photo(shop, hash_[:8]), LEAD, "asked by the person shown") == 1
    assert improvement(shop, id_).record.photos == ()
    assert "asked by the person shown" in history(shop, id_)[-1].reason
    with pytest.raises(NotFoundError):
        shop.photos.read(hash_)
    with pytest.raises(NotFoundError):
        find_photo(shop, hash_[:8])
