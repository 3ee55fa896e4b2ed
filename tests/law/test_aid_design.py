"""Laws of a whole checked aid: whatever the pattern, the sizes and the units, these hold."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import Any, Final, get_args

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from floorwright.basis import sources
from floorwright.basis.check import CLOSE_FROM, Check, Verdict
from floorwright.basis.errors import InputError
from floorwright.basis.quantity import UnitSystem
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.checks import stability
from floorwright.propose.aid.design import CHECKS, Design, design, parts_of
from floorwright.propose.aid.layout import XYZ, Hold, Layout, Way
from floorwright.propose.aid.registry import PATTERNS, pattern_of
from floorwright.propose.aid.spec import Place, Route
from floorwright.propose.aid.stands import solve
from floorwright.propose.aid.subsets import Piles
from formula import check_working

NAMES: Final = tuple(PATTERNS)
SYSTEMS: Final[tuple[UnitSystem, ...]] = ("us", "si")
FEW: Final = settings(
    max_examples=5,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
Raw = dict[str, Any]


def example(name: str) -> Raw:
    """The spec that `aid example` prints."""
    return tomllib.loads(PATTERNS[name].example)


@cache
def designed(name: str, system: UnitSystem = "us") -> Design:
    """The example of a pattern, checked once for all the tests."""
    return design(example(name), system)


def aid_of(layout: Layout, name: str) -> Aid:
    """The engine alone on a layout, with the spec of the example."""
    return Aid(designed(name).spec, layout)


def found(aid: Aid) -> list[Finding]:
    """What the checks of every aid say."""
    return [finding for check in CHECKS for finding in check(aid)]


@st.composite
def varied(draw: st.DrawFn) -> Raw:
    """An example with other sizes, masses, wheels and floors; some of its answers left open."""
    name = draw(st.sampled_from(NAMES))
    raw = example(name)
    raw["wheels"]["rating"] = f"{draw(st.integers(60, 1500))} lb"
    raw["route"] |= {
        "slope": f"1 in {draw(st.integers(12, 200))}",
        "bump": f"{draw(st.integers(0, 20))} mm",
        "gap": f"{draw(st.integers(0, 40))} mm",
    }
    raw["people"] = {"women": draw(st.booleans()), "pushed_by": draw(st.integers(1, 2))}
    for answer in draw(st.sets(st.sampled_from(sorted(raw["place"])), max_size=2)):
        del raw["place"][answer]
    if name == "panel_cart":
        raw["slots"] = draw(st.integers(3, 8))
        raw["part"]["mass"] = f"{draw(st.integers(5, 60))} lb"
        raw["wheels"]["diameter"] = f"{draw(st.integers(3, 8))} in"
    elif name == "bar_cart":
        raw["tiers"] = draw(st.integers(1, 3))
        raw["bars_per_tier"] = draw(st.integers(4, 14))
    elif name == "settling_trestle":
        raw["working_load"] = f"{draw(st.integers(300, 600))} lb"
    else:
        for piece in raw["pieces"]:
            piece["mass"] = f"{draw(st.integers(5, 400))} lb"
    return raw


def made(raw: Raw, system: UnitSystem = "us") -> Design:
    """Checked; a size that cannot be built is no example."""
    try:
        return design(raw, system)
    except InputError:
        assume(False)
        raise


def verdicts(findings: list[Finding]) -> dict[str, Verdict]:
    """By the name of the check."""
    return {each.check.name: each.check.verdict for each in findings}


def assert_same_ratio(one: Check, other: Check, rel: float = 1e-9) -> None:
    """Both have none, or the same."""
    assert (one.ratio is None) == (other.ratio is None), one.name
    if one.ratio is not None:
        assert one.ratio == pytest.approx(other.ratio, rel=rel, abs=1e-9), one.name


def assert_said(each: Design) -> None:
    """Every check is a whole answer, and its ratio and verdict agree."""
    known = set(sources.SOURCES)
    assert {finding.check.name for finding in each.findings}
    for finding in each.findings:
        check = finding.check
        assert check.name, check
        assert check.case, check
        assert check.sentence.strip().endswith("."), check
        assert check.source in known or check.source == "common practice, no source", check
        assert check.verdict in get_args(Verdict), check
        if check.verdict == "unknown":
            assert check.ratio is None, check
        if check.ratio is not None and check.ratio > 1 + 1e-9:
            assert check.verdict != "ok", check
    for working in each.workings:
        check_working(working)
        for step in working.steps:
            assert not step.source or step.source in known or step.source.startswith("common practice"), step


def assert_rated(each: Design) -> None:
    """A safety check that fails, or that nobody can answer, withholds the rating, and its name is said."""
    open_ = [
        finding.check.name
        for finding in each.findings
        if finding.safety and finding.check.verdict in ("fails", "unknown")
    ]
    assert set(open_) <= set(each.rating.why_not)
    if open_:
        assert not each.rating.given
        assert each.rating.total_kg is None
        assert not each.rating.by_tier_kg
        assert "NOT RATED" in " ".join(each.rating.plate)
    else:
        assert each.rating.given


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("system", SYSTEMS)
def test_every_check_of_an_example_is_a_whole_answer(name: str, system: UnitSystem) -> None:
    assert_said(designed(name, system))
    assert_rated(designed(name, system))


@FEW
@given(varied(), st.sampled_from(SYSTEMS))
def test_every_check_of_any_aid_is_a_whole_answer(raw: Raw, system: UnitSystem) -> None:
    each = made(raw, system)
    assert_said(each)
    assert_rated(each)


@pytest.mark.parametrize("name", NAMES)
def test_units_change_no_verdict_and_no_ratio(name: str) -> None:
    for one, other in zip(designed(name, "us").findings, designed(name, "si").findings, strict=True):
        assert one.check.name == other.check.name
        assert one.check.verdict == other.check.verdict, one.check.name
        assert_same_ratio(one.check, other.check)


@FEW
@given(varied())
def test_units_change_no_verdict_of_any_aid(raw: Raw) -> None:
    for one, other in zip(made(raw, "us").findings, made(raw, "si").findings, strict=True):
        assert (one.check.name, one.check.verdict) == (other.check.name, other.check.verdict)
        assert_same_ratio(one.check, other.check)


@pytest.mark.parametrize("name", NAMES)
def test_the_same_aid_is_checked_the_same_twice(name: str) -> None:
    assert design(example(name)).proposal() == designed(name).proposal()
    assert design(example(name)).rating == designed(name).rating


STRENGTH: Final = ("strength: ", "casters: rating", "sag: ", "buckling of the frame", "weld")


@pytest.mark.parametrize(
    ("name", "path", "values"),
    [
        ("panel_cart", ("part", "mass"), ("8 lb", "22 lb", "60 lb", "160 lb")),
        ("settling_trestle", ("working_load",), ("350 lb", "500 lb")),
        ("free_frame", ("pieces", 0, "mass"), ("10 lb", "45 lb", "300 lb", "1500 lb")),
    ],
)
def test_more_load_passes_no_strength_check_that_less_fails(
    name: str, path: tuple[Any, ...], values: tuple[str, ...]
) -> None:
    before: Mapping[str, float] = {}
    for value in values:
        raw = example(name)
        into: Any = raw
        for step in path[:-1]:
            into = into[step]
        into[path[-1]] = value
        now = {
            each.check.name: each.check.ratio
            for each in design(raw).findings
            if each.check.name.startswith(STRENGTH) and each.check.ratio is not None
        }
        assert len(now) > 3
        for check in before.keys() & now.keys():
            assert now[check] >= before[check] * (1 - 1e-9), (check, value)
        before = now


@pytest.mark.parametrize("name", ["panel_cart", "bar_cart", "free_frame"])
@FEW
@given(st.floats(0.01, 0.5), st.floats(0.0, 0.5))
def test_a_wider_base_never_tips_sooner(name: str, across: float, along: float) -> None:
    """The same masses, the wheels alone moved outwards."""
    layout = designed(name).layout
    wheels = tuple(
        replace(w, at=(w.at[0] + along * np.sign(w.at[0]), w.at[1] + across * np.sign(w.at[1])))
        for w in layout.wheels
    )
    narrow = {f.check.name: f.check for f in stability.findings(aid_of(layout, name))}
    wide = {f.check.name: f.check for f in stability.findings(aid_of(replace(layout, wheels=wheels), name))}
    for check in ("stands on a tilted floor", "pushed sideways", "stopped dead by an obstacle"):
        assert (wide[check].ratio or 0.0) <= (narrow[check].ratio or np.inf) * (1 + 1e-9), check


@st.composite
def cornered(draw: st.DrawFn) -> Aid:
    """The free frame with loose pieces anywhere over it, outside its wheels too."""
    layout = designed("free_frame").layout
    n = draw(st.integers(1, 9))
    place = st.tuples(st.floats(-0.5, 0.5), st.floats(-0.4, 0.4), st.floats(0.0, 2.0))
    masses, places = (draw(st.lists(each, min_size=n, max_size=n)) for each in (st.floats(0.5, 200.0), place))
    pieces = tuple(
        replace(layout.pieces[0], name=f"piece {i}", mass_kg=mass, centre=at)
        for i, (mass, at) in enumerate(zip(masses, places, strict=True))
    )
    loose = replace(layout, pieces=pieces, piles=Piles(rows=tuple((i,) for i in range(n))))
    return aid_of(loose, "free_frame")


def push_tried(aid: Aid, height: float) -> float:
    """Push asked for over push that tips, edge by edge and loading by loading; infinite where it tips unpushed."""
    limits, worst = aid.spec.limits, 0.0
    for over in stability.edges_of(aid):
        for mask in aid.layout.piles.all():
            there = np.array([True, *mask])
            weight = 9.80665 * float(over.mass_kg[there].sum())
            held = 9.80665 * float((over.mass_kg * over.inside_m)[there].sum())
            asked = min(limits.push_share * weight, limits.push_most)
            worst = max(worst, asked * height / held if held > 0 else np.inf)
    return worst


@given(cornered(), st.floats(0.2, 1.5))
@settings(max_examples=30, deadline=None)
def test_the_worst_push_is_that_of_trying_every_loading(aid: Aid, height: float) -> None:
    push, capacity, _, _, _ = stability.worst_push(aid, stability.edges_of(aid), height)
    found = push / capacity if capacity > 0 else np.inf
    assert found == pytest.approx(push_tried(aid, height), rel=1e-9)


@given(cornered(), st.floats(0.2, 1.5))
@settings(max_examples=30, deadline=None)
def test_with_too_many_loadings_the_push_errs_on_the_safe_side(aid: Aid, height: float) -> None:
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(stability, "all_masks", lambda piles: None)
        push, capacity, _, _, _ = stability.worst_push(aid, stability.edges_of(aid), height)
    found = push / capacity if capacity > 0 else np.inf
    assert found >= push_tried(aid, height) * (1 - 1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_twice_the_load_moves_the_frame_twice_as_far(name: str) -> None:
    layout = designed(name).layout
    twice = replace(
        layout,
        pieces=tuple(
            replace(p, mass_kg=2 * p.mass_kg, brim_kg=None if p.brim_kg is None else 2 * p.brim_kg)
            for p in layout.pieces
        ),
    )
    one, two = designed_causes(name), solve(twice)
    for a, b in zip(one.stands, two.stands, strict=True):
        for axis in range(3):
            first, second = a.moved[one.pieces(axis)], b.moved[two.pieces(axis)]
            assert second == pytest.approx(2 * first, rel=1e-9, abs=1e-15)
        assert b.forces[one.pieces(0)] == pytest.approx(2 * a.forces[one.pieces(0)], rel=1e-9, abs=1e-9)
        assert b.moved[0] == pytest.approx(a.moved[0], rel=1e-9, abs=1e-15)  # its own weight is what it was


@cache
def designed_causes(name: str) -> Any:
    """The solved frame of an example."""
    return solve(designed(name).layout)


def placed(layout: Layout, x: float, y: float) -> Layout:
    """Mirrored in x or y (-1), or turned by half a turn (both)."""

    def at(point: XYZ) -> XYZ:
        return (x * point[0], y * point[1], point[2])

    def way(old: Way) -> Way:
        sign = x if old[1] == "x" else y if old[1] == "y" else 1.0
        turned: dict[str, Way] = {"+x": "-x", "-x": "+x", "+y": "-y", "-y": "+y"}
        return turned[old] if sign < 0 else old

    def held(hold: Hold) -> Hold:
        return replace(hold, way=way(hold.way))

    mirror = -1.0 if x * y < 0 else 1.0
    return replace(
        layout,
        nodes={name: at(point) for name, point in layout.nodes.items()},
        bars={name: replace(bar, roll_rad=mirror * bar.roll_rad) for name, bar in layout.bars.items()},
        panels=tuple(replace(p, corners=tuple(at(c) for c in p.corners)) for p in layout.panels),
        wheels=tuple(replace(w, at=(x * w.at[0], y * w.at[1])) for w in layout.wheels),
        feet=tuple(replace(f, at=(x * f.at[0], y * f.at[1])) for f in layout.feet),
        pieces=tuple(
            replace(
                p,
                centre=at(p.centre),
                thrust={node: at(force) for node, force in p.thrust.items()},
                holds=tuple(held(h) for h in p.holds),
            )
            for p in layout.pieces
        ),
        extras=tuple(
            replace(e, forces={node: at(force) for node, force in e.forces.items()}) for e in layout.extras
        ),
    )


WAYS_ROUND: Final = {"ahead": "back", "back": "ahead", "to the left": "to the right", "to the right": "to the left"}


def renamed(check: str, x: float, y: float) -> str:
    """The name of a check of one way after the aid was turned."""
    head, _, tail = check.partition(": ")
    turns = x < 0 if tail in ("ahead", "back") else y < 0
    return f"{head}: {WAYS_ROUND[tail]}" if tail in WAYS_ROUND and turns else check


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("x", "y"), [(1.0, -1.0), (-1.0, -1.0)])
def test_turned_or_mirrored_it_is_checked_the_same(name: str, x: float, y: float) -> None:
    layout = designed(name).layout
    plain = {renamed(f.check.name, x, y): f.check for f in found(aid_of(layout, name))}
    other = {f.check.name: f.check for f in found(aid_of(placed(layout, x, y), name))}
    assert plain.keys() == other.keys()
    # Over a threshold it is pushed ahead: which end goes first is no matter of where one looks from.
    one_way = {"threshold", "pushed against a threshold"} if x < 0 else set()
    for check, was in plain.items():
        if check in one_way:
            continue
        assert other[check].verdict == was.verdict, check
        assert_same_ratio(other[check], was, rel=1e-6)


WORSE: Final[Mapping[Verdict, int]] = {"ok": 0, "close": 1, "unknown": 2, "fails": 3}
OPEN: Final = [("place", field) for field, told in Place.model_fields.items() if told.default is None] + [
    ("route", field) for field, told in Route.model_fields.items() if told.default is None
]

NEEDED: Final = frozenset(
    {
        "booth",
        "no_oven",
        "wash",
        "weld_cell",
        "forked",
        "towed",
        "hoisted",
        "keeps_exits_clear",
        "grating",
        "door_width",
        "door_height",
        "aisle",
        "turn_radius",
    }
)
"""Answers that every aid needs."""


@pytest.mark.parametrize("name", ["free_frame", "settling_trestle"])
def test_an_answer_left_open_makes_no_check_ok(name: str) -> None:
    """Answered or left open: what was not ok is not ok, and what needs the answer is unknown."""
    for table, field in OPEN:
        raw = example(name)
        if field not in raw[table]:
            continue
        del raw[table][field]
        before, after = verdicts(list(designed(name).findings)), verdicts(list(design(raw).findings))
        for check, verdict in after.items():
            assert verdict != "ok" or before[check] == "ok", (field, check)
        if field in NEEDED and (name, field) != ("settling_trestle", "turn_radius"):  # it rolls empty
            assert [check for check, verdict in after.items() if verdict == "unknown"], field


def test_with_nothing_answered_nothing_of_the_place_is_ok() -> None:
    raw = example("free_frame")
    del raw["place"]
    checks = {each.check.name: each.check.verdict for each in design(raw).findings}
    asked = ("coating booth", "oven", "wash", "weld cell", "fork truck", "tow", "hoist", "parking place")
    assert {name: checks[name] for name in asked} == dict.fromkeys(asked, "unknown")


def test_a_floor_taken_as_level_is_a_condition_of_the_rating() -> None:
    """Slope and bump left out mean none; the plate then says so."""
    raw = example("free_frame")
    raw.pop("route", None)
    assert any("on level" in each for each in design(raw).rating.conditions)


@pytest.mark.parametrize("name", NAMES)
def test_the_parts_list_weighs_what_the_aid_weighs(name: str) -> None:
    layout = designed(name).layout
    per_m = {
        bar.section.label: bar.section.of_density(bar.material.density_kg_m3).mass_per_length_kg_m
        for bar in layout.bars.values()
    }
    total = 0.0
    for part in parts_of(layout):
        if part.length_m is not None:
            label = next(each for each in per_m if part.material.startswith(f"{each}, "))
            total += part.count * part.length_m * per_m[label]
    assert total + sum(panel.mass_kg for panel in layout.panels) == pytest.approx(layout.own_kg, rel=1e-4)


@st.composite
def piles(draw: st.DrawFn) -> Piles:
    """Piles of one to four pieces, numbered in any order."""
    heights = draw(st.lists(st.integers(1, 4), min_size=1, max_size=5))
    places = draw(st.permutations(range(sum(heights))))
    ends = np.cumsum([0, *heights])
    return Piles(tuple(tuple(places[a:b]) for a, b in pairwise(ends)))


@given(piles(), st.integers(0, 2**32 - 1))
def test_choices_at_once_are_choices_one_by_one(rows: Piles, seed: int) -> None:
    """Whole numbers, so that ties come up: of the best ways of each pile the one with the fewest pieces."""
    shares = np.random.default_rng(seed).integers(-3, 4, (3, 5, rows.n)).astype(float)
    together = rows.choices(shares)
    for i, j in np.ndindex(3, 5):
        alone = np.zeros(rows.n, dtype=bool)
        for row in rows.rows:
            sums = [sum(shares[i, j, list(row[:count])]) for count in range(len(row) + 1)]
            alone[list(row[: sums.index(max(sums))])] = True
        assert (together[i, j] == alone).all()
        assert (rows.choice(shares[i, j]) == alone).all()
        assert float(rows.highest(shares[i, j])) == float(shares[i, j][alone].sum())


@pytest.mark.parametrize("name", NAMES)
def test_a_ratio_just_below_one_is_close(name: str) -> None:
    """Where ratio is what judges, 'close' is above 0.9 and never above 1."""
    for each in designed(name).findings:
        if each.check.name.startswith(STRENGTH) and each.check.ratio is not None:
            expected = "fails" if each.check.ratio > 1 else "close" if each.check.ratio > CLOSE_FROM else "ok"
            assert each.check.verdict == expected, each.check.name


def test_an_unknown_pattern_is_refused() -> None:
    raw = deepcopy(example("free_frame")) | {"pattern": "free_frames"}
    with pytest.raises(InputError, match="did you mean 'free_frame'"):
        pattern_of(raw)
