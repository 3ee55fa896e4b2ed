"""The form of a spec with groups in groups: every field has a place, and what is typed is what is read."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from pydantic import BaseModel

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.quantity import LENGTH, parse
from floorwright.propose.aid.registry import PATTERNS
from floorwright.propose.aid.spec import AidSpec
from floorwright.web.spec_form import Field, Form, form_of, in_units
from floorwright.web.spec_values import beside, raw_of, values_of


def form(name: str, system: Any = "us") -> Form:
    schema = PATTERNS[name].spec.model_json_schema()
    return form_of(schema, system, first="The aid", last=list(AidSpec.model_fields), rare=("limits",))


def fields(found: Form) -> dict[str, Field]:
    return {each.name: each for group in found for each in group.all_fields()}


def example(name: str) -> dict[str, Any]:
    return tomllib.loads(PATTERNS[name].example)


@pytest.mark.parametrize("name", PATTERNS)
def test_the_form_as_it_opens_means_the_example(name: str) -> None:
    found, raw = form(name), example(name)
    again = {"pattern": name} | raw_of(found, values_of(found, raw))
    assert PATTERNS[name].read(again) == PATTERNS[name].read(raw)


@pytest.mark.parametrize("name", PATTERNS)
def test_in_metres_it_means_the_same_to_a_hair(name: str) -> None:
    found, raw = form(name, "si"), example(name)
    again = {"pattern": name} | raw_of(found, values_of(found, raw, "si"))
    _alike(PATTERNS[name].read(again), PATTERNS[name].read(raw))


def _alike(one: Any, other: Any) -> None:
    if isinstance(one, BaseModel):
        for each in type(one).model_fields:
            _alike(getattr(one, each), getattr(other, each))
    elif isinstance(one, list) and len(one) == len(other):
        for mine, theirs in zip(one, other, strict=True):
            _alike(mine, theirs)
    elif isinstance(one, float):
        assert one == pytest.approx(other, rel=1e-5, abs=1e-9)
    else:
        assert one == other


@pytest.mark.parametrize("name", PATTERNS)
def test_every_field_of_the_spec_has_a_place_with_words(name: str) -> None:
    found = fields(form(name))
    tops = {each.split(".")[0] for each in found}
    assert tops == set(PATTERNS[name].spec.model_fields) - {"pattern", "rides_on"}
    assert all(each.label and not each.label.startswith("_") for each in found.values())
    assert len(found) == len(set(found))


def test_what_it_carries_comes_first_and_what_few_fill_in_is_folded() -> None:
    groups = form("panel_cart")
    assert [each.name for each in groups][:2] == ["part", ""]
    assert {each.name for each in groups if each.rare} >= {"limits", "deck"}
    order = [each.name for each in groups]
    assert order.index("wheels") < order.index("route") < order.index("people") < order.index("limits")


def test_a_bare_number_is_in_the_unit_of_the_shop() -> None:
    for system, unit in (("us", "in"), ("si", "m")):
        assert raw_of(form("panel_cart", system), {"part.length": "48"}) == {"part": {"length": f"48 {unit}"}}
    assert raw_of(form("panel_cart"), {"part.length": "1-1/2"}) == {"part": {"length": "1-1/2 in"}}
    assert raw_of(form("panel_cart"), {"part.length": "4 ft"}) == {"part": {"length": "4 ft"}}
    assert raw_of(form("panel_cart"), {"route.slope": "0.02", "slots": "12"}) == {
        "route": {"slope": 0.02},
        "slots": 12,
    }


def test_a_question_has_three_answers() -> None:
    found = fields(form("panel_cart"))["place.booth"]
    assert [value for value, _ in found.options] == ["", "yes", "no"]
    assert raw_of(form("panel_cart"), {"place.booth": "no"}) == {"place": {"booth": False}}
    assert raw_of(form("panel_cart"), {"place.booth": ""}) == {}


def test_a_choice_of_numbers_gives_a_number() -> None:
    assert raw_of(form("panel_cart"), {"per_slot": "2", "lean_to": "left"}) == {"per_slot": 2, "lean_to": "left"}


def test_lists_are_written_as_in_the_file_or_one_a_line() -> None:
    found = form("free_frame")
    tables = '[[pieces]]\nname = "vise"\nmass = "40 lb"\n\n[[pieces]]\nname = "box"'
    assert raw_of(found, {"pieces": tables}) == {"pieces": [{"name": "vise", "mass": "40 lb"}, {"name": "box"}]}
    assert raw_of(found, {"wheels_at": '"back left"\n{ node = "front" },'}) == {
        "wheels_at": ["back left", {"node": "front"}]
    }
    assert raw_of(found, {"nodes": '[nodes]\na = [0, 0, "1 ft"]'}) == {"nodes": {"a": [0, 0, "1 ft"]}}
    assert raw_of(found, {"nodes": 'a = [0, 0, "1 ft"]'}) == {"nodes": {"a": [0, 0, "1 ft"]}}


def test_lines_that_cannot_be_read_are_told_all_at_once() -> None:
    with pytest.raises(InputError) as caught:
        raw_of(form("free_frame"), {"nodes": "a = [0, 0", "pieces": "[[pieces]]\nname = vise", "title": "x"})
    told = {each.field: each.message for each in caught.value.problems}
    assert set(told) == {"nodes", "pieces"}
    assert "line 2" in told["pieces"]
    assert all("texts in quotes" in each for each in told.values())


def test_a_problem_stands_beside_the_field_that_shows_it() -> None:
    found = form("free_frame")
    asked = (
        Problem("wheels.diameter", "big", "is big"),
        Problem("pieces[1].mass", None, "is missing"),
        Problem("members.left rail.stock", "x", "is no stock"),
        Problem("handle", None, "is missing"),
        Problem("", None, "does not stand"),
    )
    told = [(each.field, each.message) for each in beside(found, asked)]
    assert told == [
        ("wheels.diameter", "is big"),
        ("pieces", "entry 2, mass: is missing"),
        ("members", "left rail, stock: is no stock"),
        ("handle.nodes", "is missing"),
        ("", "does not stand"),
    ]


@pytest.mark.parametrize("text", ["48 in", "1.25 in", "0.0394 in"])
def test_a_length_is_shown_in_either_system_without_losing_what_matters(text: str) -> None:
    value = parse(text, LENGTH)
    for system in ("us", "si"):
        assert parse(in_units(value, LENGTH, system), LENGTH) == pytest.approx(value, rel=1e-5)
