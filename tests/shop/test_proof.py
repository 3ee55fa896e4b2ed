"""What a proof says of readings that need care: wrong order, a plan not kept, pairs without a partner."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from floorwright.basis.errors import InputError
from floorwright.shop.gains import gains
from floorwright.shop.improvements import change_improvement
from floorwright.shop.ports import Shop
from floorwright.shop.proof import prove
from floorwright.shop.studies import add_observations
from shop.conftest import LEAD, basic, filed, readings, study, timed

BEFORE, AFTER = dt.date(2026, 8, 5), dt.date(2026, 9, 5)
SLOW = [40.0, 42.0, 39.5, 41.0, 43.5, 38.0, 40.5, 42.5, 39.0, 41.5, 40.2, 41.8]
FAST = [20.0, 22.0, 19.5, 21.0, 23.5, 18.0, 20.5, 22.5, 19.0, 21.5, 20.2, 21.8]


def notes_of(shop: Shop, before: dt.date, after: dt.date, **more: Any) -> str:
    measure = {"name": "fetch clamps", "kind": "times"} | more
    id_ = filed(shop, measures=[measure], countermeasure="a rack", trial_started_on="2026-09-01").id
    timed(shop, id_, "before", SLOW, before)
    timed(shop, id_, "after", FAST[:11], after)
    (proof,) = prove(shop, id_)
    return " ".join((proof.verdict or "none", *proof.notes))


def test_readings_after_that_are_older_than_those_before_are_not_compared(shop: Shop) -> None:
    assert notes_of(shop, AFTER, BEFORE) == (
        "none No comparison yet. The readings after the change end on 2026-08-05, before those from before it "
        "begin (2026-09-05); check which study is which."
    )


def test_readings_on_the_wrong_side_of_the_trial_are_named(shop: Shop) -> None:
    assert "Some readings before the change were taken on or after 2026-09-01" in notes_of(
        shop, dt.date(2026, 9, 1), AFTER
    )


def test_a_plan_that_was_not_kept_is_said(shop: Shop) -> None:
    said = notes_of(shop, BEFORE, AFTER, planned_after=12)
    assert "12 readings after the change were fixed beforehand and 11 were taken" in said
    assert "fixed beforehand" not in notes_of(shop, BEFORE, AFTER, planned_after=11)


def test_pairs_without_a_partner_are_said(shop: Shop) -> None:
    said = notes_of(shop, BEFORE, AFTER, paired=True)
    assert "11 pairs are compared; readings without a partner are left out (1)." in said


def test_a_share_stands_in_per_cent_in_the_ledger(shop: Shop) -> None:
    id_ = filed(shop, measures=[{"name": "searching", "kind": "shares"}]).id
    for moment, hits, day in (("before", 30.0, BEFORE), ("after", 3.0, AFTER)):
        planned = study(shop, id_, moment, "searching")
        add_observations(shop, planned.id, readings([hits], day, exposure=60.0))
    (line,) = gains(shop).lines
    assert (line.entry.column.unit, line.gain / 1e6) == ("%", 45.0)


def test_what_matters_is_said_before_looking_or_stays_marked(shop: Shop) -> None:
    id_ = filed(shop).id
    timed(shop, id_, "before", [40.0 + i for i in range(12)], dt.date(2026, 8, 5))
    easier = basic()["measures"][0] | {"smallest_that_matters": 4.0}
    change_improvement(shop, id_, {"measures": [easier]}, LEAD)
    timed(shop, id_, "after", [20.0 + i for i in range(12)], dt.date(2026, 9, 5))
    later = easier | {"smallest_that_matters": 1.0, "planned_after": 12}
    with pytest.raises(InputError, match="was said before its readings came in"):
        change_improvement(shop, id_, {"measures": [later]}, LEAD)
    change_improvement(shop, id_, {"measures": [later]}, LEAD, reason="five seconds were too many to ask")
    change_improvement(shop, id_, {"measures": [later | {"said_late": False, "per": "frame"}]}, LEAD)
    (proof,) = prove(shop, id_)
    assert proof.measure.said_late
    assert "What matters here was changed after readings were in; the history says when and why." in proof.notes
    assert proof.outcome is not None
    assert "always-valid" in proof.outcome.results["rule"]


@pytest.mark.parametrize("planned", [12, None])
def test_where_ranks_decide_the_proof_shows_their_interval(shop: Shop, planned: int | None) -> None:
    """One reading of 300 s after the change: the mean got worse, the ranks got better, and they decide."""
    measure = {"name": "fetch clamps", "kind": "times", "smallest_that_matters": 5.0, "planned_after": planned}
    id_ = filed(shop, measures=[measure]).id
    timed(shop, id_, "before", SLOW, BEFORE)
    timed(shop, id_, "after", [*FAST[:-1], 300.0], AFTER)
    (proof,) = prove(shop, id_)
    assert proof.verdict == ("proven" if planned else "likely")
    assert proof.interval is not None
    assert proof.interval.low_si == pytest.approx(-22, abs=1)
    assert proof.interval.high_si == pytest.approx(-18, abs=1)
    assert proof.difference == pytest.approx(-20, abs=1)
