"""The improvement record: what it refuses, how it moves through the cycle, what its history keeps."""

from __future__ import annotations

import datetime as dt

import pytest

from floorwright.basis.errors import ConflictError, InputError, NotFoundError
from floorwright.shop.improvements import (
    add_improvement,
    change_improvement,
    counts_of,
    history,
    improvement,
    overview,
    overviews,
)
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Phase
from shop.conftest import LEAD, basic, filed, timed

APPROVAL = {"by": "R. Moss", "role": "shop lead", "on": "2026-10-01"}


def test_all_wrong_fields_are_named_at_once(shop: Shop) -> None:
    with pytest.raises(InputError) as caught:
        add_improvement(shop, {"title": "", "waste": "laziness", "area": "Welding", "noticed_by": "x"}, LEAD)
    fields = {problem.field: problem.message for problem in caught.value.problems}
    assert set(fields) == {"title", "waste", "noticed_on"}
    assert "walking" in fields["waste"]
    assert overviews(shop) == []


def test_an_area_that_the_shop_does_not_have(shop: Shop) -> None:
    with pytest.raises(InputError, match="'Roof' is not an area here; the shop has Welding, Packing"):
        filed(shop, area="Roof")


def test_a_labour_rate_that_the_shop_does_not_have(shop: Shop) -> None:
    with pytest.raises(InputError, match="'gold' is not known; the shop has burdened, billing"):
        filed(shop, labour_rate="gold")


def test_a_measure_that_is_no_time_cannot_save_time(shop: Shop) -> None:
    with pytest.raises(InputError, match="cannot save time"):
        filed(shop, measures=[{"name": "scratches", "kind": "counts", "saves_time": True}])


def stand(shop: Shop, id_: int) -> tuple[Phase, str]:
    with shop.work() as work:
        counts = counts_of(work, id_)
    found = overview(improvement(shop, id_), counts)
    return found.phase, found.next_step


def test_it_walks_through_the_cycle_and_always_names_one_next_step(shop: Shop) -> None:
    id_ = filed(shop, measures=[]).id
    assert stand(shop, id_)[0] is Phase.IDEA
    change_improvement(shop, id_, {"measures": basic()["measures"]}, LEAD)
    assert stand(shop, id_) == (
        Phase.PLAN,
        "Measure before you change anything: 0 readings so far of 'fetch clamps'.",
    )
    timed(shop, id_, "before", [40.0 + i for i in range(12)], dt.date(2026, 8, 5))
    assert stand(shop, id_) == (Phase.PLAN, "The baseline stands. Write down the change that you want to try.")
    change_improvement(shop, id_, {"countermeasure": "A rack at the bay"}, LEAD)
    assert stand(shop, id_)[0] is Phase.DO
    change_improvement(shop, id_, {"trial_started_on": "2026-09-01"}, LEAD)
    assert stand(shop, id_) == (Phase.CHECK, "Measure after the change: 0 readings so far of 'fetch clamps'.")
    timed(shop, id_, "after", [20.0 + i for i in range(12)], dt.date(2026, 9, 5))
    assert stand(shop, id_)[1] == "Look at the result together: prove says what it shows and what comes next."
    change_improvement(shop, id_, {"approval": APPROVAL}, LEAD)
    assert stand(shop, id_) == (Phase.ACT, "Write down the new standard work.")
    change_improvement(shop, id_, {"standard_work": "Clamps go back to the rack."}, LEAD)
    change_improvement(shop, id_, {"watch": {"what": "clamps not in the rack", "every_days": 7}}, LEAD)
    assert stand(shop, id_) == (Phase.ACT, "Watch clamps not in the rack every 7 days.")


def test_standard_work_comes_after_approval(shop: Shop) -> None:
    id_ = filed(shop, trial_started_on="2026-09-01").id
    with pytest.raises(InputError, match="standard work needs the approval for use first"):
        change_improvement(shop, id_, {"standard_work": "as shown"}, LEAD)
    assert improvement(shop, id_).version == 1


def test_cautions_need_a_safety_sign_off(shop: Shop) -> None:
    id_ = filed(
        shop, trial_started_on="2026-09-01", cautions=[{"signal": "WARNING", "text": "The table can pinch fingers"}]
    ).id
    with pytest.raises(InputError, match="needs a safety sign-off beside it"):
        change_improvement(shop, id_, {"approval": APPROVAL}, LEAD)
    change_improvement(shop, id_, {"safety_approval": APPROVAL}, LEAD)
    assert change_improvement(shop, id_, {"approval": APPROVAL}, LEAD).record.approval is not None


def test_approval_before_any_trial_is_refused(shop: Shop) -> None:
    id_ = filed(shop).id
    with pytest.raises(InputError, match="give the day the trial started"):
        change_improvement(shop, id_, {"approval": APPROVAL}, LEAD)


def test_history_says_who_when_and_what_and_a_correction_names_what_it_replaces(shop: Shop) -> None:
    id_ = filed(shop).id
    change_improvement(shop, id_, {"area": "Packing"}, Author(who="Tomasz Żak", role="packer"))
    change_improvement(shop, id_, {"area": "Welding"}, LEAD, reason="it was welding after all", corrects=True)
    first, second, third = history(shop, id_)
    assert (first.version, first.who, first.role) == (1, "Ines", "improvement lead")
    (change,) = second.changes
    assert (change.path, change.before, change.after) == ("area", "Welding", "Packing")
    assert (third.replaces, third.reason) == (2, "it was welding after all")
    with shop.work() as work:
        assert work.records.version("improvement", id_, 2)["area"] == "Packing"


def test_a_correction_without_a_reason_is_refused(shop: Shop) -> None:
    id_ = filed(shop).id
    with pytest.raises(InputError, match="a correction says why"):
        change_improvement(shop, id_, {"area": "Packing"}, LEAD, corrects=True)


def test_two_people_cannot_overwrite_each_other_unseen(shop: Shop) -> None:
    id_ = filed(shop).id
    change_improvement(shop, id_, {"title": "One"}, LEAD, expected_version=1)
    with pytest.raises(ConflictError):
        change_improvement(shop, id_, {"title": "Another"}, LEAD, expected_version=1)
    assert improvement(shop, id_).record.title == "One"


def test_saying_the_same_again_adds_no_version(shop: Shop) -> None:
    id_ = filed(shop).id
    assert change_improvement(shop, id_, {"area": "Welding"}, LEAD).version == 1


def test_list_filters_by_phase_and_words(shop: Shop) -> None:
    filed(shop)
    filed(shop, title="Ścierki leżą daleko", measures=[])
    assert [each.filed.id for each in overviews(shop, search="AFAR welding")] == [1]
    assert [each.filed.id for each in overviews(shop, phase=Phase.IDEA)] == [2]
    assert [each.filed.id for each in overviews(shop, search="ścierki")] == [2]


def test_an_improvement_that_is_not_there(shop: Shop) -> None:
    with pytest.raises(NotFoundError):
        improvement(shop, 99)
