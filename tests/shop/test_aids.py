"""A checked shop aid as the proposal of an improvement: what is kept, who says so, how it is taken back."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from floorwright import __version__
from floorwright.basis.errors import InputError, NotFoundError
from floorwright.propose.aid.registry import PATTERNS
from floorwright.shop.aids import begin_with_aid, keep_aid, kept_aids
from floorwright.shop.improvements import add_improvement, change_improvement, history, improvement, undo_change
from floorwright.shop.ports import Shop
from floorwright.shop.records import Proposed
from shop.conftest import LEAD, FixedClock, basic, filed


def spec(name: str = "free_frame", **more: Any) -> dict[str, Any]:
    return tomllib.loads(PATTERNS[name].example) | more


def kept(shop: Shop, id_: int) -> Proposed:
    found = improvement(shop, id_).record.proposal
    assert found is not None
    return found


def test_a_design_is_kept_as_it_was_given_with_what_its_checks_said(shop: Shop, clock: FixedClock) -> None:
    id_ = filed(shop).id
    raw = spec()
    version = keep_aid(shop, id_, raw, LEAD).version
    found = kept(shop, id_)
    assert found.spec == raw
    assert (found.pattern, found.title) == ("free_frame", "Base on wheels for a bench grinder")
    assert (found.checked_on, found.program) == (clock.now().date(), __version__)
    assert found.verdict in ("ok", "close")
    # The pieces of the example: a grinder of 45 lb and ballast of 60 lb; a pound is 0.45359237 kg by definition.
    assert found.rated_kg == pytest.approx(105 * 0.45359237)
    assert found.why_not == ()
    last = history(shop, id_)[-1]
    assert (last.version, last.who) == (version, "Ines")
    assert "proposal" in {change.path for change in last.changes}


def test_what_is_not_answered_withholds_the_rating(shop: Shop) -> None:
    id_ = filed(shop).id
    raw = spec()
    raw["place"] = {name: answer for name, answer in raw["place"].items() if name != "forked"}
    keep_aid(shop, id_, raw, LEAD)
    found = kept(shop, id_)
    assert found.verdict == "unknown"
    assert found.rated_kg is None
    assert found.why_not
    assert found.first


def test_its_cautions_join_the_improvement_and_go_with_it(shop: Shop) -> None:
    id_ = filed(shop, cautions=[{"signal": "NOTICE", "text": "Sharp edges on the rack"}]).id
    keep_aid(shop, id_, spec(), LEAD)
    texts = [each.text for each in improvement(shop, id_).record.cautions]
    assert "Sharp edges on the rack" in texts
    assert set(texts) > {each.text for each in kept(shop, id_).cautions}
    again = spec()
    again["place"]["wash"] = True
    keep_aid(shop, id_, again, LEAD)
    assert any("Wash chemicals" in each.text for each in improvement(shop, id_).record.cautions)
    keep_aid(shop, id_, spec(), LEAD)
    assert [each.text for each in improvement(shop, id_).record.cautions] == texts


def test_the_words_of_the_change_stay_and_the_title_stands_in_where_there_are_none(shop: Shop) -> None:
    silent, said = filed(shop).id, filed(shop, countermeasure="Roll the grinder to the work.").id
    for id_ in (silent, said):
        keep_aid(shop, id_, spec(), LEAD)
    assert improvement(shop, silent).record.countermeasure == "Base on wheels for a bench grinder"
    assert improvement(shop, said).record.countermeasure == "Roll the grinder to the work."


def test_it_is_taken_back_with_all_that_came_with_it(shop: Shop) -> None:
    before = filed(shop)
    version = keep_aid(shop, before.id, spec(), LEAD).version
    undo_change(shop, before.id, version, LEAD)
    assert improvement(shop, before.id).record == before.record


def test_a_new_improvement_begins_with_it(shop: Shop) -> None:
    fields = {name: value for name, value in basic().items() if name != "countermeasure"}
    id_ = begin_with_aid(shop, spec(), fields, LEAD).id
    assert kept(shop, id_).pattern == "free_frame"
    assert [each.id for each in kept_aids(shop)] == [id_]


def test_nobody_writes_a_rating_by_hand(shop: Shop) -> None:
    id_ = filed(shop).id
    keep_aid(shop, id_, spec(), LEAD)
    forged = kept(shop, id_).model_dump(mode="json") | {"rated_kg": 5000.0}
    for fields in ({"proposal": forged}, {"proposal.rated_kg": 5000.0}):
        with pytest.raises(InputError, match="cannot be written by hand"):
            change_improvement(shop, id_, fields, LEAD)
    with pytest.raises(InputError, match="cannot be written by hand"):
        add_improvement(shop, basic(proposal=forged), LEAD)
    change_improvement(shop, id_, {"proposal": None}, LEAD)
    assert improvement(shop, id_).record.proposal is None


def test_a_spec_that_is_wrong_names_its_field_and_nothing_is_kept(shop: Shop) -> None:
    id_ = filed(shop).id
    raw = spec()
    raw["wheels"]["diameter"] = "big"
    with pytest.raises(InputError) as caught:
        keep_aid(shop, id_, raw, LEAD)
    assert [each.field for each in caught.value.problems] == ["wheels.diameter"]
    assert improvement(shop, id_).record.proposal is None
    with pytest.raises(NotFoundError):
        keep_aid(shop, 99, spec(), LEAD)


@pytest.mark.parametrize("name", PATTERNS)
def test_the_example_of_every_pattern_can_be_kept(shop: Shop, name: str) -> None:
    id_ = filed(shop).id
    keep_aid(shop, id_, spec(name), LEAD)
    assert kept(shop, id_).pattern == name
