"""`push` and `reach`: what a person reads, laws, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asking import complaints
from floorwright import catalogue
from floorwright.basis.outcome import Outcome
from floorwright.basis.people.pushing import acceptable
from floorwright.basis.people.reaching import reach, zone

PUSH: dict[str, Any] = dict(catalogue.calculation("push").example)
REACH: dict[str, Any] = dict(catalogue.calculation("reach").example)


def run(name: str, change: dict[str, Any]) -> Outcome:
    base = PUSH if name == "push" else REACH
    return catalogue.calculation(name)({k: v for k, v in (base | change).items() if v is not None})


def test_the_acceptable_force_is_accepted_by_the_share_asked_for() -> None:
    force = run("push", {"percent": 83}).results["acceptable_force"].value_si
    assert run("push", {"force": force}).results["percent_acceptable"] == pytest.approx(83)


@pytest.mark.parametrize(
    ("change", "moved", "verdict"),
    [
        ({"distance": "1 m"}, ["distance"], "ok"),
        ({"frequency": 0.001}, ["frequency"], "ok"),
        ({"distance": "80 m"}, ["distance"], "unknown"),
        ({"frequency": 12}, ["frequency"], "unknown"),
        ({"hand_height": "0.4 m"}, ["hand_height"], "unknown"),
        ({"hand_height": "1.5 m", "distance": "1 m"}, ["hand_height", "distance"], "unknown"),
    ],
)
def test_inputs_outside_the_range_are_moved_and_said(
    change: dict[str, Any], moved: list[str], verdict: str
) -> None:
    """A small force that all accept inside the range: outside on the hard side it is not known."""
    outcome = run("push", change | {"force": "60 N"})
    assert outcome.results["moved_into_range"] == moved
    for name in moved:
        assert any(text.startswith(f"{name}: ") and "outside the fitted range" in text for text in outcome.warnings)
    assert outcome.checks[0].verdict == verdict


def test_a_force_too_large_fails_even_where_the_range_ends() -> None:
    assert run("push", {"frequency": 12, "force": "900 N"}).checks[0].verdict == "fails"


@pytest.mark.parametrize(("force", "verdict"), [("150 N", "ok"), ("185 N", "close"), ("215 N", "fails")])
def test_ninety_per_cent_of_women_is_the_aim(force: str, verdict: str) -> None:
    check = run("push", {"force": force}).checks[0]
    assert check.verdict == verdict
    assert "of women find" in check.sentence


def test_a_handle_at_knee_height_is_named() -> None:
    assert any(
        "A fixed handle does best between 0.95 and 1.18 m" in t for t in run("push", {"hand_height": 0.5}).warnings
    )


def test_the_disputed_digit_is_told() -> None:
    outcome = run("push", {"phase": "sustained", "sex": "male"})
    assert any("0.6887" in text for text in outcome.working.assumptions)


SEXES = st.sampled_from(["female", "male"])


@given(
    st.sampled_from(["push", "pull"]),
    st.sampled_from(["initial", "sustained"]),
    SEXES,
    st.floats(0.65, 1.3),
    st.floats(2.1, 60),
    st.floats(0.003, 9),
    st.floats(1.01, 1.5),
)
def test_further_and_oftener_is_never_easier(
    action: Any, phase: Any, sex: Any, hand: float, far: float, often: float, more: float
) -> None:
    base = acceptable(action, phase, sex, hand_m=hand, distance_m=far, per_min=often).mean_n
    assert acceptable(action, phase, sex, hand_m=hand, distance_m=far * more, per_min=often).mean_n <= base + 1e-9
    assert acceptable(action, phase, sex, hand_m=hand, distance_m=far, per_min=often * more).mean_n <= base * 1.0002


@given(SEXES, st.floats(0, 2.5), st.floats(0, 1), st.floats(0, 0.3))
def test_deeper_is_reached_by_no_more(sex: Any, height: float, depth: float, more: float) -> None:
    assert 0 <= reach(height, depth + more, sex).share <= reach(height, depth, sex).share + 1e-12 <= 1 + 1e-12


@pytest.mark.parametrize(
    ("height", "name"), [(0.5, "low"), (0.9, "best"), (1.2, "golden"), (1.6, "high"), (2.0, "overhead")]
)
def test_zones(height: float, name: str) -> None:
    assert zone(height) == name
    assert run("reach", {"height": height}).results["zone"] == name


def test_a_small_woman_does_not_reach_what_a_tall_man_does() -> None:
    outcome = run("reach", {"height": "2 m", "depth": "6 in"})
    assert outcome.results["reaches"] == {"female": {"5": False, "95": True}, "male": {"5": False, "95": True}}
    assert outcome.checks[0].verdict == "fails"
    assert outcome.results["percent_of_women"] < outcome.results["percent_within_reach"]


@pytest.mark.parametrize(("name", "which"), [("female", "percent_of_women"), ("male", "percent_of_men")])
def test_a_population_may_be_named(name: str, which: str) -> None:
    results = run("reach", {"height": "1.9 m", "population": name}).results
    assert results["percent_within_reach"] == pytest.approx(results[which])


def test_nobody_reaches_further_than_an_arm() -> None:
    outcome = run("reach", {"depth": "1.5 m"})
    assert outcome.results["percent_within_reach"] == 0
    assert outcome.results["depth_zone"] == "stretched"
    assert outcome.checks[0].ratio is None


@pytest.mark.parametrize(
    ("name", "change", "fields"),
    [
        ("push", {"sex": "any", "percent": 100}, {"sex", "percent"}),
        ("push", {"frequency": 0, "hand_height": "high"}, {"frequency", "hand_height"}),
        ("push", {"force": "-3 N"}, {"force"}),
        ("reach", {"height": "-1 m", "population": {"women": 2}}, {"height", "population.women"}),
        ("reach", {"population": "everybody"}, {"population"}),
    ],
)
def test_what_makes_no_sense_is_named(name: str, change: dict[str, Any], fields: set[str]) -> None:
    base = PUSH if name == "push" else REACH
    assert set(complaints(name, base | change)) == fields
