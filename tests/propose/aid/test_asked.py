"""What was asked and which limits were adopted, as a sheet shows them."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from floorwright.basis.sources import source
from floorwright.propose.aid.adopted import LIMIT_SOURCES, PRACTICE, adopted, load_cases
from floorwright.propose.aid.aid import Aid
from floorwright.propose.aid.asked import Asked, asked
from floorwright.propose.aid.registry import PATTERNS, pattern_of
from floorwright.propose.aid.spec import AidSpec, Limits


def spec_of(pattern: str, **more: Any) -> AidSpec:
    raw = tomllib.loads(PATTERNS[pattern].example)
    for table, fields in more.items():
        raw[table] = raw.get(table, {}) | fields
    found: AidSpec = pattern_of(raw).read(raw)
    return found


def field(found: tuple[Asked, ...], group: str, name: str) -> Asked:
    return next(each for each in found if (each.group, each.name) == (group, name))


def test_values_have_units_a_person_uses() -> None:
    spec = spec_of("panel_cart", place={"oven": "180 C", "no_oven": False}, people={"lifts": "12/h"})
    us, si = asked(spec, "us"), asked(spec, "si")
    assert field(us, "place", "oven").text == "356 °F"
    assert field(si, "place", "oven").text == "180 °C"
    assert field(us, "people", "lifts").text == "12.0 an hour"
    assert field(us, "part", "length").text == "48 in"
    assert field(si, "part", "length").text == "1,219.2 mm"
    # 1 in 50 is 1.146 degrees.
    assert field(us, "route", "slope").text == "1.15 deg"
    assert field(us, "divider", "stock").text.startswith("HSS1X1X1/8, ")


def test_said_usual_and_open_are_told_apart() -> None:
    found = asked(spec_of("panel_cart"), "us")
    assert field(found, "route", "aisle").said == "said"
    assert field(found, "people", "pushed by").said == "usual"
    assert field(found, "place", "earthed") == Asked(
        group="place",
        name="earthed",
        text="not answered",
        meaning="frame and hooks are bonded to earth in the booth",
        said="open",
    )
    assert field(found, "wheels", "trail").text == "not told"


def test_many_nodes_and_members_stand_under_one_another() -> None:
    found = asked(spec_of("free_frame"), "si")
    nodes = [each for each in found if each.group == "nodes"]
    assert len(nodes) == len(spec_of("free_frame").nodes)  # type: ignore[attr-defined]
    assert "by bolts" in field(found, "pieces", "bench grinder").text


@pytest.mark.parametrize("pattern", list(PATTERNS))
def test_every_table_of_a_spec_is_shown(pattern: str) -> None:
    shown = {each.group.split(", ")[0] for each in asked(spec_of(pattern), "us")}
    shown |= {each.name for each in asked(spec_of(pattern), "us")}
    raw = tomllib.loads(PATTERNS[pattern].example)
    assert shown >= {name.replace("_", " ") for name, value in raw.items() if isinstance(value, dict)} - {"limits"}


def test_every_limit_has_a_source_or_says_that_there_is_none() -> None:
    assert set(LIMIT_SOURCES) == set(Limits.model_fields)
    for each in LIMIT_SOURCES.values():
        assert each == PRACTICE or source(each).citation


def test_a_limit_that_the_shop_tightened_is_marked() -> None:
    found = {each.name: each for each in adopted(spec_of("free_frame", limits={"tilt": "15 deg"}), "us")}
    assert (found["tilt"].text, found["tilt"].set_by_shop) == ("15.0 deg", True)
    assert not found["lean"].set_by_shop


@pytest.mark.parametrize("pattern", list(PATTERNS))
def test_every_state_is_in_one_load_case(pattern: str) -> None:
    spec = spec_of(pattern)
    aid = Aid(spec, PATTERNS[pattern].lay_out(spec), "si")
    cases = load_cases(aid.states, spec, "si")
    assert sorted(words for case in cases for words in case.words) == sorted(state.words for state in aid.states)
    assert all(case.rests_on for case in cases)
    pushed = next(case for case in cases if case.words[0].startswith("pushed"))
    assert pushed.force == "250 N"
