"""The one right next step of an improvement, and what falls due."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from floorwright.basis.errors import InputError
from floorwright.shop.due import due
from floorwright.shop.improvements import change_improvement
from floorwright.shop.ports import Shop
from floorwright.shop.story import story
from shop.conftest import LEAD, FixedClock, filed, timed
from shop.test_proof import AFTER, BEFORE, FAST, SLOW

MIXED = [value - 3 + 3 * (-1) ** i for i, value in enumerate(SLOW)]


def tried(shop: Shop, after: list[float], **more: Any) -> int:
    """An improvement that was timed before and after, not approved yet."""
    id_ = filed(shop, countermeasure="a rack", trial_started_on="2026-09-01", **more).id
    timed(shop, id_, "before", SLOW, BEFORE)
    timed(shop, id_, "after", after, AFTER)
    return id_


def test_proven_without_approval_asks_for_the_decision_also_when_a_repeat_is_due(shop: Shop) -> None:
    id_ = tried(shop, FAST)
    assert story(shop, id_).next_step == "Look at the result together, then approve it for use, or drop it."
    said = [each.what for each in due(shop) if each.improvement == id_]
    assert said[0] == "Measure 'fetch clamps' again, 30 days after the proof."
    assert said[1] == "Look at the result together, then approve it for use, or drop it."


def test_cautions_ask_for_the_safety_sign_off(shop: Shop) -> None:
    id_ = tried(shop, FAST, cautions=[{"signal": "CAUTION", "text": "The rack rolls"}])
    assert "get the safety sign-off and approve it for use" in story(shop, id_).next_step


def test_worse_and_not_shown_do_not_ask_for_approval(shop: Shop) -> None:
    worse = tried(shop, [value + 20 for value in SLOW])
    assert story(shop, worse).next_step == (
        "'fetch clamps' got worse: look at it together, then mend the change or drop it."
    )
    ruled_out = tried(shop, [value + 0.1 for value in SLOW])
    assert story(shop, ruled_out).next_step == (
        "No gain is shown: look at it together, then change something else or drop it."
    )


def test_advice_to_keep_timing_is_the_next_step(shop: Shop) -> None:
    found = story(shop, tried(shop, MIXED))
    outcome = found.proofs[0].outcome
    assert outcome is not None
    assert outcome.results["advice"]["state"] == "keep timing"
    assert found.next_step == outcome.results["advice"]["sentence"]


def test_a_dropped_improvement_asks_for_nothing(shop: Shop, clock: FixedClock) -> None:
    id_ = tried(shop, FAST)
    change_improvement(shop, id_, {"dropped": "the line is going"}, LEAD)
    assert story(shop, id_).next_step == "Dropped: the line is going"
    assert due(shop, within_days=200) == []


def test_after_approval_a_repeat_that_is_due_comes_first_and_one_that_failed_before_all(
    shop: Shop, clock: FixedClock
) -> None:
    id_ = tried(shop, FAST)
    approval = {"by": "R. Moss", "role": "lead", "on": "2026-09-10"}
    change_improvement(shop, id_, {"approval": approval}, LEAD)
    assert "the 30-day measurement is overdue since 2026-10-05" in story(shop, id_).next_step
    timed(shop, id_, "again", SLOW, dt.date(2026, 10, 6))
    assert story(shop, id_).next_step == "The gain in 'fetch clamps' has not held; go and see what has changed."
    assert any("has not held" in each.what for each in due(shop))


def test_a_measure_with_a_study_keeps_its_name_and_kind(shop: Shop) -> None:
    id_ = tried(shop, FAST)
    for measures in ([], [{"name": "fetch clamps", "kind": "distance"}]):
        with pytest.raises(InputError, match="keep that measure, and add another beside it"):
            change_improvement(shop, id_, {"measures": measures}, LEAD)
    smallest = [{"name": "fetch clamps", "kind": "times", "smallest_that_matters": 8.0}]
    change_improvement(shop, id_, {"measures": smallest}, LEAD, reason="agreed with the welders")


def test_a_field_of_a_field_is_set_and_the_others_stay(shop: Shop) -> None:
    id_ = filed(shop, cost={"building_hours": 9.0}).id
    changed = change_improvement(shop, id_, {"cost.material": "84.50", "watch.what": "clamps"}, LEAD).record
    assert changed.cost is not None
    assert changed.watch is not None
    assert (changed.cost.building_hours, str(changed.cost.material), changed.watch.what) == (9.0, "84.50", "clamps")
    with pytest.raises(InputError, match="'title' has no fields of its own"):
        change_improvement(shop, id_, {"title.x": 1}, LEAD)
