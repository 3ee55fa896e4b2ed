"""Taking back a change: a new version, in which everything else stays as it is."""

from __future__ import annotations

import datetime as dt

import pytest

from floorwright.basis.errors import ConflictError, InputError, NotFoundError
from floorwright.shop.improvements import change_improvement, history, improvement, undo_change
from floorwright.shop.photos import add_photo, mask_photo, remove_photo
from floorwright.shop.ports import Author, Box, Shop
from shop.conftest import LEAD, filed, timed
from shop.test_photos import picture

TOM = Author(who="Tom", role="welder")
APPROVAL = {"by": "R. Moss", "role": "shop lead", "on": "2026-10-01"}


def test_only_what_that_version_changed_is_taken_back_and_the_history_keeps_all(shop: Shop) -> None:
    id_ = filed(shop, cost={"building_hours": 9.0}).id
    change_improvement(shop, id_, {"area": "Packing", "cost.material": "84.50"}, LEAD)
    change_improvement(shop, id_, {"title": "Another", "cost.downtime_hours": 1}, LEAD)
    found = undo_change(shop, id_, 2, TOM)
    assert (found.version, found.record.area, found.record.title) == (4, "Welding", "Another")
    assert found.record.cost is not None
    assert (str(found.record.cost.material), found.record.cost.downtime_hours) == ("0", 1.0)
    last = history(shop, id_)[-1]
    assert (last.version, last.who, last.replaces, last.reason) == (4, "Tom", 2, "version 2 taken back")
    assert {each.path for each in last.changes} == {"area", "cost.material"}
    # What was taken back can be brought back in the same way.
    assert undo_change(shop, id_, 4, TOM).record.area == "Packing"


def test_what_was_changed_again_is_not_taken_back_over_somebodys_head(shop: Shop) -> None:
    id_ = filed(shop).id
    change_improvement(shop, id_, {"area": "Packing", "title": "One"}, LEAD)
    change_improvement(shop, id_, {"title": "Two"}, TOM)
    change_improvement(shop, id_, {"question": "Why?"}, LEAD)
    with pytest.raises(ConflictError) as caught:
        undo_change(shop, id_, 2, LEAD)
    assert str(caught.value) == (
        "Version 3 by Tom changed title again after version 2; take that back first, or change it by hand."
    )
    assert improvement(shop, id_).version == 4
    undo_change(shop, id_, 3, LEAD)
    assert undo_change(shop, id_, 2, LEAD).record.area == "Welding"


def test_there_is_nothing_to_take_back_at_the_beginning_or_twice(shop: Shop) -> None:
    id_ = filed(shop).id
    change_improvement(shop, id_, {"area": "Packing"}, LEAD)
    with pytest.raises(InputError, match="version: 1 is how the improvement began; drop the improvement instead"):
        undo_change(shop, id_, 1, LEAD)
    undo_change(shop, id_, 2, LEAD)
    with pytest.raises(InputError, match="version: 2 has nothing left to take back"):
        undo_change(shop, id_, 2, LEAD)
    with pytest.raises(NotFoundError, match="no version 7"):
        undo_change(shop, id_, 7, LEAD)


def test_one_note_of_several_is_taken_back(shop: Shop) -> None:
    notes = [{"on": "2026-11-20", "who": "Ines", "text": text} for text in ("one", "two", "three")]
    id_ = filed(shop).id
    for count in (1, 2, 3):
        change_improvement(shop, id_, {"trial_notes": notes[:count]}, LEAD)
    assert [each.text for each in undo_change(shop, id_, 3, LEAD).record.trial_notes] == ["one", "three"]


def test_the_rules_of_a_change_hold_for_taking_one_back(shop: Shop) -> None:
    id_ = filed(shop, measures=[], trial_started_on="2026-09-01").id
    measures = [{"name": "fetch clamps", "kind": "times", "smallest_that_matters": 5.0}]
    change_improvement(shop, id_, {"measures": measures}, LEAD)
    timed(shop, id_, "after", [20.0, 21.0], dt.date(2026, 9, 5))
    with pytest.raises(InputError, match="keep that measure, and add another beside it"):
        undo_change(shop, id_, 2, LEAD)
    change_improvement(shop, id_, {"approval": APPROVAL}, LEAD)
    change_improvement(shop, id_, {"standard_work": "as shown"}, LEAD)
    with pytest.raises(InputError, match="standard work needs the approval"):
        undo_change(shop, id_, 3, LEAD)


def test_a_measure_changed_late_stays_marked_when_that_is_taken_back(shop: Shop) -> None:
    id_ = filed(shop).id
    timed(shop, id_, "after", [20.0, 21.0], dt.date(2026, 9, 5))
    late = [{"name": "fetch clamps", "kind": "times", "smallest_that_matters": 1.0, "saves_time": True}]
    change_improvement(shop, id_, {"measures": late}, LEAD, reason="agreed")
    (measure,) = undo_change(shop, id_, 2, LEAD).record.measures
    assert (measure.smallest_that_matters, measure.said_late) == (5.0, True)


def test_a_photo_that_is_gone_for_good_does_not_come_back(shop: Shop) -> None:
    id_ = filed(shop).id
    hash_ = add_photo(shop, id_, picture(), LEAD)
    masked = mask_photo(shop, hash_, [Box(0.25, 0.25, 0.75, 0.75)], LEAD)
    with pytest.raises(InputError, match="version: 3 took a photo away for good; nobody can bring it back"):
        undo_change(shop, id_, 3, LEAD)
    assert [photo.hash for photo in improvement(shop, id_).record.photos] == [masked]
    remove_photo(shop, masked, LEAD)
    with pytest.raises(InputError, match="version: 4 took a photo away for good"):
        undo_change(shop, id_, 4, LEAD)


def test_a_photo_that_was_added_goes_and_can_be_brought_back(shop: Shop) -> None:
    id_ = filed(shop).id
    hash_ = add_photo(shop, id_, picture(), LEAD, moment="before")
    assert undo_change(shop, id_, 2, LEAD).record.photos == ()
    assert [photo.hash for photo in undo_change(shop, id_, 3, LEAD).record.photos] == [hash_]
