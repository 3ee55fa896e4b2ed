"""Two people change the same thing: what goes together is kept, what does not is put before the second of them."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorwright.basis.errors import InputError, NotFoundError
from floorwright.shop.clash import Clash
from floorwright.shop.improvements import change_improvement, history, improvement
from floorwright.shop.merge import merge
from floorwright.shop.ports import Author, Shop
from floorwright.shop.settings import change_settings, settings
from floorwright.shop.studies import change_study
from floorwright.shop.studies import study as study_of
from shop.conftest import LEAD, basic, filed, study

TOM = Author(who="Tom", role="welder")


def note(text: str, who: str = "Ines") -> dict[str, str]:
    return {"on": "2026-11-20", "who": who, "text": text}


def test_changes_of_other_fields_are_both_kept(shop: Shop) -> None:
    id_ = filed(shop, cost={"building_hours": 9.0}).id
    change_improvement(shop, id_, {"area": "Packing", "cost.material": "12.00"}, LEAD, expected_version=1)
    found = change_improvement(
        shop, id_, {"title": "Another", "cost.downtime_hours": 2}, TOM, expected_version=1
    ).record
    assert (found.title, found.area) == ("Another", "Packing")
    assert found.cost is not None
    assert (found.cost.building_hours, str(found.cost.material), found.cost.downtime_hours) == (9.0, "12.00", 2.0)
    assert [each.path for each in history(shop, id_)[-1].changes] == ["title", "cost.downtime_hours"]


def test_the_same_field_is_put_before_the_second_with_both_versions(shop: Shop) -> None:
    id_ = filed(shop, cost={"building_hours": 9.0}).id
    change_improvement(shop, id_, {"area": "Packing", "cost.material": "12.00"}, LEAD, expected_version=1)
    change_improvement(shop, id_, {"question": "Why?"}, LEAD)
    wanted = {"title": "Another", "cost.material": "15.00"}
    with pytest.raises(Clash, match=r"changed cost\.material of improvement 1 meanwhile; look at both") as caught:
        change_improvement(shop, id_, wanted, TOM, expected_version=1)
    assert caught.value.to_record() == {
        "version": 3,
        "clashes": [{"field": "cost.material", "base": "0", "yours": "15.00", "theirs": "12.00"}],
    }
    assert improvement(shop, id_).record.title == "Clamps are fetched from afar"
    # In sight of theirs, the second decides.
    assert change_improvement(shop, id_, wanted, TOM, expected_version=3).record.title == "Another"


def test_the_same_change_by_both_is_no_clash_however_it_was_typed(shop: Shop) -> None:
    id_ = filed(shop).id
    change_improvement(shop, id_, {"events_per_year": 9800, "title": "New"}, LEAD, expected_version=1)
    found = change_improvement(shop, id_, {"events_per_year": 9800.0, "title": "  New "}, TOM, expected_version=1)
    assert found.version == 2


def test_notes_of_both_are_kept_in_the_order_in_which_they_arrived(shop: Shop) -> None:
    id_ = filed(shop, trial_notes=[note("first")]).id
    for who, text in (("Ines", "wheels catch"), ("Tom", "too high"), ("Ana", "wheels catch")):
        change_improvement(
            shop, id_, {"trial_notes": [note("first"), note(text, who)]}, Author(who=who), expected_version=1
        )
    said = [each.text for each in improvement(shop, id_).record.trial_notes]
    assert said == ["first", "wheels catch", "too high", "wheels catch"]


def test_what_fits_only_with_the_change_of_the_other_is_judged_together(shop: Shop) -> None:
    id_ = filed(shop, trial_started_on="2026-09-01").id
    approval = {"by": "R. Moss", "role": "shop lead", "on": "2026-10-01"}
    change_improvement(shop, id_, {"approval": approval}, LEAD, expected_version=1)
    found = change_improvement(shop, id_, {"standard_work": "as shown"}, TOM, expected_version=1)
    assert found.record.standard_work == "as shown"
    with pytest.raises(InputError, match="standard work needs the approval"):
        change_improvement(shop, id_, {"approval": None}, TOM, expected_version=2)


def test_a_wrong_field_and_a_version_that_never_was_are_said(shop: Shop) -> None:
    id_ = filed(shop).id
    change_improvement(shop, id_, {"area": "Packing"}, LEAD)
    with pytest.raises(InputError, match="events_per_year: is 'five'; it should be a number"):
        change_improvement(shop, id_, {"events_per_year": "five"}, LEAD, expected_version=1)
    with pytest.raises(InputError, match="colour: is not a field here"):
        change_improvement(shop, id_, {"colour": "red"}, LEAD, expected_version=1)
    with pytest.raises(NotFoundError, match="no version 9 of improvement 1"):
        change_improvement(shop, id_, {"title": "x"}, LEAD, expected_version=9)


def test_measures_that_both_added_are_kept_and_one_that_both_changed_clashes(shop: Shop) -> None:
    id_ = filed(shop).id
    (first,) = basic()["measures"]
    change_improvement(
        shop, id_, {"measures": [first, {"name": "walked", "kind": "distance"}]}, LEAD, expected_version=1
    )
    mine = [first, {"name": "scratches", "kind": "counts"}]
    found = change_improvement(shop, id_, {"measures": mine}, TOM, expected_version=1)
    assert [each.name for each in found.record.measures] == ["fetch clamps", "walked", "scratches"]
    change_improvement(shop, id_, {"measures": [first | {"better": "higher"}, *mine[1:]]}, LEAD, expected_version=3)
    with pytest.raises(Clash, match="changed measures"):
        change_improvement(shop, id_, {"measures": [first | {"per": "m"}, *mine[1:]]}, TOM, expected_version=3)


def test_studies_and_settings_are_kept_from_overwriting_too(shop: Shop) -> None:
    planned = study(shop, filed(shop).id, "before")
    change_study(shop, planned.id, {"note": "one"}, LEAD, expected_version=1)
    change_study(shop, planned.id, {"planned": 30}, TOM, expected_version=1)
    assert (study_of(shop, planned.id).record.note, study_of(shop, planned.id).record.planned) == ("one", 30)
    with pytest.raises(Clash, match="changed note of study 1"):
        change_study(shop, planned.id, {"note": "two"}, TOM, expected_version=1)
    seen = settings(shop).version
    change_settings(shop, {"areas": ["Welding", "Packing", "Paint"]}, LEAD, expected_version=seen)
    change_settings(shop, {"areas": ["Welding", "Packing", "Saw"]}, TOM, expected_version=seen)
    change_settings(shop, {"people": 20}, TOM, expected_version=seen)
    assert settings(shop).record.areas == ("Welding", "Packing", "Paint", "Saw")
    with pytest.raises(Clash, match="changed people of the settings"):
        change_settings(shop, {"people": 21}, LEAD, expected_version=seen)


TEXTS = st.sampled_from("abcd")
BODIES = st.fixed_dictionaries(
    {
        "title": TEXTS,
        "cost": st.none() | st.fixed_dictionaries({"material": TEXTS, "note": TEXTS}),
        "trial_notes": st.lists(TEXTS, max_size=3),
        "measures": st.lists(
            st.fixed_dictionaries({"name": TEXTS, "per": TEXTS}), max_size=3, unique_by=lambda each: each["name"]
        ),
    }
)


@given(BODIES, BODIES)
def test_who_changed_alone_gets_what_was_wanted(base: dict[str, Any], wanted: dict[str, Any]) -> None:
    assert merge(base, wanted, base).body == wanted
    assert merge(base, base, wanted).body == wanted
    assert merge(base, wanted, wanted).body == wanted
    assert not merge(base, wanted, base).clashes


@given(BODIES, BODIES, BODIES)
def test_nothing_is_overwritten_or_lost_unseen(
    base: dict[str, Any], yours: dict[str, Any], theirs: dict[str, Any]
) -> None:
    given_ = copy.deepcopy((base, yours, theirs))
    found = merge(base, yours, theirs)
    assert (base, yours, theirs) == given_
    clashing = {each.field.split(".")[0] for each in found.clashes}
    for name in base:
        sides = (yours[name], theirs[name])
        if name in clashing:
            assert base[name] not in sides
        elif isinstance(base[name], list) and base[name] not in sides:
            added = [item for side in sides for item in side if item not in base[name]]
            assert all(item in found.body[name] for item in added)
        elif base[name] not in sides and sides[0] != sides[1]:
            assert set(found.body[name]) == {"material", "note"}
        else:
            assert found.body[name] in sides


@given(BODIES, BODIES, BODIES)
def test_the_same_fields_clash_whoever_came_first(
    base: dict[str, Any], yours: dict[str, Any], theirs: dict[str, Any]
) -> None:
    one, other = merge(base, yours, theirs), merge(base, theirs, yours)
    assert {each.field for each in one.clashes} == {each.field for each in other.clashes}
