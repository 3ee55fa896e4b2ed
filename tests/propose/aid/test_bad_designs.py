"""Designs that a shop could really have built, each caught by the right check with a sentence that a person reads.

Every one starts from the example of its pattern, which passes, and differs from it in what makes it bad.
"""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import pytest

from floorwright.basis.check import Verdict
from floorwright.basis.errors import InputError, UnstableError
from floorwright.propose.aid.design import Design, design
from floorwright.propose.aid.registry import PATTERNS


def changed(pattern: str, changes: Mapping[str, Any]) -> dict[str, Any]:
    """The example of a pattern with fields changed; a dotted name reaches into a group, None takes a field out."""
    raw = copy.deepcopy(tomllib.loads(PATTERNS[pattern].example))
    for name, value in changes.items():
        *groups, last = name.split(".")
        place = raw
        for group in groups:
            place = place.setdefault(group, {})
        if value is None:
            place.pop(last, None)
        else:
            place[last] = value
    return raw


@dataclass(frozen=True, kw_only=True)
class Bad:
    """A bad design.

    Attributes:
        what: what is wrong with it, as somebody would tell it.
        check: name of the check that catches it; says: words of its sentence; case: words of its governing case.
    """

    what: str
    pattern: str
    check: str
    says: str
    changes: Mapping[str, Any] = field(default_factory=dict)
    verdict: Verdict = "fails"
    case: str = ""


STRIP = {"section": {"shape": "flat", "depth": "1 in", "width": "3/16 in"}, "material": "A36"}

BAD = (
    Bad(
        what="a panel cart that stands when it is full and tips when one side is emptied first",
        pattern="panel_cart",
        changes={"part.mass": "55 lb", "part.height": "44 in", "slots": 8, "wheels.rating": "3000 lb"},
        check="stopped dead by an obstacle",
        says="it tips over the right side",
        case="of 8 pieces on it",
    ),
    Bad(
        what="a trestle whose feet never reach the floor on one side",
        pattern="settling_trestle",
        changes={"off_centre": 0.45, "settles_at": "30 %"},
        check="all feet stand under load",
        says="tips before all feet stand",
    ),
    Bad(
        what="springs that go solid as the feet come down",
        pattern="settling_trestle",
        changes={
            "preload": "2 lbf",
            "spring": {
                "wire_diameter": "0.125 in",
                "outside_diameter": "1 in",
                "coils": 12,
                "free_length": "2.1 in",
                "ends": "squared_ground",
                "material": "music_wire",
            },
        },
        check="wheel spring: reserve before solid",
        says="come within 15% of solid",
    ),
    Bad(
        what="casters chosen by a quarter of the load",
        pattern="panel_cart",
        changes={"wheels.rating": "165 lb"},
        check="casters: rating",
        says="when the floor is uneven",
        case="off the floor",
    ),
    Bad(
        what="casters without a mark, from the scrap bin",
        pattern="panel_cart",
        changes={"wheels.rating": None},
        check="casters: rating",
        says="carry no rating: nobody knows what they hold",
        verdict="unknown",
    ),
    Bad(
        what="a handle at knee height",
        pattern="panel_cart",
        changes={"handle_height": "24 in"},
        check="handle height",
        says="people push stooped",
    ),
    Bad(
        what="a grinder on two posts of strip without a brace",
        pattern="free_frame",
        changes={
            "stocks.strip": STRIP,
            "members.back post 1.stock": "strip",
            "members.back post 2.stock": "strip",
            "members.front post.stock": "strip",
        },
        check="buckling of the frame",
        says="brace it or take heavier posts",
    ),
    Bad(
        what="long bars with nothing at their ends",
        pattern="bar_cart",
        changes={"end_stops": "none"},
        check="load stays on: ahead",
        says="it slides 14.5 in and falls off",
    ),
    Bad(
        what="brakes on two wheels, one of which lifts on an uneven floor, on a ramp",
        pattern="panel_cart",
        changes={"route.slope": "1 in 8", "route.friction": 0.2},
        check="brakes",
        says="they hold",
    ),
    Bad(
        what="small wheels in front of a high threshold",
        pattern="panel_cart",
        changes={"route.bump": "3/4 in", "wheels.diameter": "3 in"},
        check="threshold",
        says="threshold",
    ),
    Bad(
        what="aluminium dividers taken for as strong as steel ones",
        pattern="panel_cart",
        changes={
            "divider.stock": {
                "section": {"shape": "rect_tube", "depth": "1 in", "width": "1 in", "wall": "1/8 in"},
                "material": "6061_T6_ext",
            }
        },
        check="strength: divider post",
        says="aluminium needs its own code",
        verdict="unknown",
    ),
    Bad(
        what="two painted faces against each other",
        pattern="panel_cart",
        changes={"part.painted": "both"},
        check="painted faces",
        says="give a separator, or one part in a slot",
    ),
    Bad(
        what="dividers so low that panels go over them at the first bump",
        pattern="panel_cart",
        changes={"divider.height": 0.2, "lean": "0 deg"},
        check="load stays on: to the left",
        says="tips over the divider",
    ),
    Bad(
        what="a wash cart that is sent through the oven as well",
        pattern="panel_cart",
        changes={
            "place.no_oven": None,
            "place.oven": "400 F",
            "wheels.temperature": "180 F",
            "place.lining_temperature": "250 F",
            "place.vented": True,
        },
        check="oven",
        says="wheels, grease, springs or lining bear 180 °F",
    ),
    Bad(
        what="so heavy that one person cannot stop it",
        pattern="panel_cart",
        changes={"part.mass": "80 lb", "wheels.rating": "3000 lb"},
        check="stopping by hand",
        says="one person cannot",
    ),
    Bad(
        what="a cart that is longer than any aisle corner it goes round",
        pattern="panel_cart",
        changes={"route.aisle": "4 ft"},
        check="corner of the route",
        says="Round a corner it needs aisles",
    ),
    Bad(
        what="a trestle that keeps rolling while work goes on, because nothing locks its wheels",
        pattern="settling_trestle",
        changes={"wheels.brake": "none"},
        check="held while work goes on",
        says="nothing locks its wheels",
    ),
    Bad(
        what="a trestle unloaded by a hoist, whose springs throw it up",
        pattern="settling_trestle",
        changes={
            "preload": "10 lbf",
            "spring": {
                "wire_diameter": "0.125 in",
                "outside_diameter": "1 in",
                "coils": 9,
                "free_length": "2.2 in",
                "ends": "squared_ground",
                "material": "music_wire",
            },
        },
        check="hop when unloaded",
        says="the wheels leave the floor",
    ),
    Bad(
        what="lifted by a fork truck under its rails",
        pattern="panel_cart",
        changes={"place.forked": True},
        check="fork truck",
        says="no channels that hold it on the forks",
    ),
)


def found(made: Design, name: str) -> Any:
    """The check of this name."""
    return next(each.check for each in made.findings if each.check.name == name)


@pytest.mark.parametrize("pattern", list(PATTERNS))
def test_the_example_it_starts_from_passes(pattern: str) -> None:
    made = design(changed(pattern, {}))
    assert made.rating.given, made.rating.why_not


@pytest.mark.parametrize("bad", BAD, ids=[each.what for each in BAD])
def test_a_bad_design_is_caught_by_the_right_check(bad: Bad) -> None:
    made = design(changed(bad.pattern, bad.changes))
    check = found(made, bad.check)
    assert check.verdict == bad.verdict, check.sentence
    assert bad.says in check.sentence, check.sentence
    assert bad.case in check.case, check.case
    # What it starts from passes that check, so that it is the change that is caught.
    before = found(design(changed(bad.pattern, {})), bad.check) if bad.check != "threshold" else None
    assert before is None or before.verdict in ("ok", "close")


@pytest.mark.parametrize("bad", [each for each in BAD if each.check != "handle height"], ids=lambda each: each.what)
def test_what_fails_or_is_unknown_withholds_the_rating(bad: Bad) -> None:
    made = design(changed(bad.pattern, bad.changes))
    finding = next(each for each in made.findings if each.check.name == bad.check)
    if finding.safety:
        assert not made.rating.given
        assert bad.check in made.rating.why_not
        assert made.rating.plate[-1] == "NOT RATED - do not use"


def test_posts_on_hinges_are_no_frame() -> None:
    with pytest.raises(UnstableError, match=r"Node 'top front' moves along y: nothing holds it; brace it"):
        design(changed("free_frame", {"joints.kind": "pinned"}))


def test_carrying_people_is_not_rated() -> None:
    made = design(changed("panel_cart", {"people.ride": True}))
    assert not made.rating.given
    assert "carries people: not rated" in made.rating.why_not
    assert any(each.signal == "DANGER" for each in made.cautions)


@pytest.mark.parametrize(
    ("pattern", "changes", "field", "says"),
    [
        ("panel_cart", {"slots": 0}, "slots", "1 or more"),
        ("panel_cart", {"part.thickness": "-1 in"}, "part.thickness", "more than 0"),
        ("panel_cart", {"wheels.diametre": "6 in"}, "wheels.diametre", "did you mean diameter?"),
        ("panel_cart", {"base.rails.material": "A500BB"}, "base.rails.material", "did you mean"),
        ("bar_cart", {"tiers": 0}, "tiers", "1 or more"),
        ("settling_trestle", {"working_load": "0 lb"}, "working_load", "more than 0"),
        ("free_frame", {"members.top.to": "top frontt"}, "members.top.to", "did you mean"),
        ("free_frame", {"wheels_at": ["back left", "back right"]}, "wheels_at", "three or more"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(
    pattern: str, changes: dict[str, Any], field: str, says: str
) -> None:
    with pytest.raises(InputError) as refused:
        design(changed(pattern, changes))
    problems = {each.field: each.message for each in refused.value.problems}
    assert field in problems, problems
    assert says in problems[field], problems[field]


def test_a_pattern_with_a_typing_slip_is_named() -> None:
    with pytest.raises(InputError, match=r"there is no pattern 'panel_carts'; did you mean 'panel_cart'\?"):
        design({"pattern": "panel_carts", "title": "x"})
