"""`casters` and `tip`: what a person reads, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints
from floorwright import catalogue
from floorwright.basis.outcome import Outcome

CASTERS: dict[str, Any] = dict(catalogue.calculation("casters").example)
TIP: dict[str, Any] = dict(catalogue.calculation("tip").example)


def run(name: str, given: dict[str, Any]) -> Outcome:
    return catalogue.calculation(name)({key: value for key, value in given.items() if value is not None})


def verdicts(outcome: Outcome) -> dict[str, str]:
    return {check.name: check.verdict for check in outcome.checks}


def test_a_caster_without_a_mark_has_no_rating() -> None:
    outcome = run("casters", CASTERS | {"rating": None})
    assert verdicts(outcome)["rating of the casters"] == "unknown"
    assert outcome.checks[1].sentence == "The rating of the casters is not given; a caster without a mark has none."


def test_chosen_by_a_quarter_of_the_load_fails() -> None:
    outcome = run("casters", CASTERS | {"rating": "100 kg"})
    assert verdicts(outcome)["rating of the casters"] == "fails"
    assert outcome.checks[1].sentence == "A caster must be rated 300 kg or more; these are rated 100 kg."


def test_rating_may_be_a_force() -> None:
    assert run("casters", CASTERS | {"rating": "4 kN"}).checks[1].capacity.value_si == pytest.approx(
        407.886, abs=1e-3
    )  # type: ignore[union-attr]


def test_a_load_outside_the_wheels_does_not_stand() -> None:
    outcome = run("casters", CASTERS | {"centre_of_mass": [0.7, 0, 1]})
    assert outcome.results["loads"] is None
    assert verdicts(outcome) == {"stands on its wheels": "fails", "rating of the casters": "unknown"}


@pytest.mark.parametrize(("unevenness", "kg"), [("0 mm", 100), ("5 mm", 120.394), ("50 mm", 200)])
def test_a_yielding_frame_lies_between_even_and_stiff(unevenness: str, kg: float) -> None:
    """400 kg in the middle of four wheels: 100 kg each, 40 N/mm x 5 mm = 200 N more, and no more than stiff."""
    given = CASTERS | {"centre_of_mass": [0, 0, 1], "frame": "yielding", "racking_stiffness": "40 N/mm"}
    outcome = run("casters", given | {"unevenness": unevenness})
    assert outcome.results["load_per_caster"].value_si == pytest.approx(kg, abs=1e-3)


@pytest.mark.parametrize(("bump", "factor"), [("5 mm", 1.5), ("7 mm", 2.2)])
def test_shock_by_bump(bump: str, factor: float) -> None:
    """5 % of a wheel of 125 mm is 6.25 mm."""
    given = CASTERS | {"shock_factor": None, "bump": bump, "wheel_diameter": "125 mm"}
    assert run("casters", given).results["shock_factor"] == factor


@pytest.mark.parametrize(
    ("change", "fields"),
    [
        ({"at": [[0, 0], [1, 0], [2, 0]]}, {"at"}),
        ({"frame": "yielding"}, {"racking_stiffness", "unevenness"}),
        ({"shock_factor": None}, {"bump", "wheel_diameter"}),
        ({"centre_of_mass": [0, 0, -1], "mass": 0}, {"centre_of_mass", "mass"}),
        ({"rating": 0}, {"rating"}),
    ],
)
def test_casters_that_cannot_be_are_named(change: dict[str, Any], fields: set[str]) -> None:
    given = {key: value for key, value in (CASTERS | change).items() if value is not None}
    assert set(complaints("casters", given)) == fields


@pytest.mark.parametrize(
    ("change", "fields"),
    [
        ({"supports": [[0, 0], [1, 0], [0, 1]]}, {"casters"}),
        ({"casters": None}, {"casters"}),
        ({"casters": [{"at": [0, 0]}, {"at": [1, 0]}, {"at": [2, 0]}]}, {"casters"}),
        ({"masses": [{"mass": 5, "at": [0, 0, 1], "removable": True}]}, {"masses"}),
        ({"masses": [{"mass": 5, "at": [0, 0, 1]}, {"mass": 5, "at": [0, 0, -1]}]}, {"masses[1].at"}),
        ({"slope": "steep"}, {"slope"}),
        ({"push": {"height": 1, "direction": [0, 0]}}, {"push.direction"}),
        ({"slope": "60 deg", "speed": 0}, {"slope", "speed"}),
    ],
)
def test_what_cannot_tip_is_named(change: dict[str, Any], fields: set[str]) -> None:
    given = {key: value for key, value in (TIP | change).items() if value is not None}
    assert set(complaints("tip", given)) == fields


@pytest.mark.parametrize("slope", ["1 in 50", "2 %", 0.02, "0.24 in/ft", "1.145763 deg", "1:50"])
def test_a_slope_is_read_as_people_write_it(slope: Any) -> None:
    left = run("tip", TIP | {"slope": slope}).results["tilt_angle"].value_si
    assert left == pytest.approx(run("tip", TIP | {"slope": "2 %"}).results["tilt_angle"].value_si, abs=1e-7)


def test_one_side_unloaded_first_tips_it() -> None:
    """Two rows of panels on a narrow cart: full it stands, with one row gone it does not bear the tilt."""
    narrow = TIP | {
        "casters": None,
        "supports": [[0.6, 0.28], [0.6, -0.28], [-0.6, -0.28], [-0.6, 0.28]],
        "masses": [
            {"mass": 40, "at": [0, 0, 0.5]},
            {"mass": 150, "at": [0, 0.2, 0.9]},
            {"mass": 150, "at": [0, -0.2, 0.9]},
        ],
    }
    assert verdicts(run("tip", narrow))["tilt"] == "ok"
    taken = narrow | {"masses": [narrow["masses"][0], *({**m, "removable": True} for m in narrow["masses"][1:])]}
    outcome = run("tip", taken)
    assert verdicts(outcome)["tilt"] == "fails"
    assert outcome.results["missing_when_worst"] in ([1], [2])
    assert "it must bear 10" in outcome.checks[0].sentence


def test_a_push_away_from_an_edge_does_not_tip_over_it() -> None:
    edges = run("tip", TIP | {"push": {"height": 1, "direction": "90 deg"}}).results["edges"]
    same = run("tip", TIP | {"push": {"height": 1, "direction": [0, 3]}}).results["edges"]
    for one, other in zip(edges, same, strict=True):
        assert (one["push_to_tip"] is None) == (other["push_to_tip"] is None)
        if one["push_to_tip"] is not None:
            assert one["push_to_tip"].value_si == pytest.approx(other["push_to_tip"].value_si)
    pushed = [edge for edge in edges if edge["push_to_tip"] is not None]
    assert pushed
    assert all(edge["normal"][1] > 0 for edge in pushed)


def test_thirteen_removable_masses_are_tilted_exactly_and_the_rest_is_unknown() -> None:
    many = [{"mass": 10, "at": [0, 0.01 * i, 0.5], "removable": True} for i in range(13)]
    outcome = run("tip", TIP | {"masses": [TIP["masses"][0], *many]})
    assert outcome.results["tilt_angle"].value_si > 0
    assert outcome.results["speed_to_tip"] is None
    assert verdicts(outcome)["obstacle"] == "unknown"


def test_swivels_that_reach_past_the_middle_do_not_stand() -> None:
    given = TIP | {"casters": [{"at": [x, y], "trail": 0.4} for x in (-0.5, 0.5) for y in (-0.3, 0.3)]}
    outcome = run("tip", given)
    assert outcome.results["tilt_angle"].value_si < 0
    assert outcome.checks[0].verdict == "fails"
    assert outcome.checks[0].sentence.startswith("It does not stand: it tips over the edge ")
