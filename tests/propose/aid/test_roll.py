"""`roll`: what a person reads, and what is refused. Expected forces are worked by hand."""

from __future__ import annotations

from math import atan, sin
from typing import Any

import pytest

from asking import complaints
from floorwright import catalogue
from floorwright.basis.outcome import Outcome
from floorwright.propose.aid.checks.rolling import TREADS, brakes_hold, lever_arms, table

ROLL: dict[str, Any] = dict(catalogue.calculation("roll").example)


def run(change: dict[str, Any]) -> Outcome:
    return catalogue.calculation("roll")({k: v for k, v in (ROLL | change).items() if v is not None})


def newtons(outcome: Outcome, name: str) -> float:
    return float(outcome.results[name].value_si)


def test_nylon_on_concrete_takes_the_larger_of_two_sources_and_shows_both() -> None:
    """3000 N on wheels of 100 mm: 300 N by the drive guide, a seventh of it on a test floor."""
    outcome = run({"mass": 3000 / 9.80665, "wheel_diameter": "100 mm", "tread": "nylon", "slope": 0})
    assert newtons(outcome, "rolling_force") == pytest.approx(300)
    assert newtons(outcome, "starting_force") == pytest.approx(750)
    assert newtons(outcome, "force_needed") == pytest.approx(750)
    rows = outcome.results["rolling_by_source"]
    assert [row["confirmed"] for row in rows] == ["yes", "memory"]
    assert rows[1]["rolling_force"].value_si == pytest.approx(41.16, abs=0.01)
    assert any("Sources differ 7.3 times" in text for text in outcome.warnings)


def test_slope_and_stopping() -> None:
    outcome = run({"slope": "1 in 12"})
    up = 250 * 9.80665 * sin(atan(1 / 12))
    assert newtons(outcome, "slope_force") == pytest.approx(up)
    assert newtons(outcome, "stopping_force") == pytest.approx(200 + up)  # 250 x 1.44 / 1.8
    assert newtons(outcome, "force_needed") == pytest.approx(newtons(outcome, "starting_force") + up)


def test_a_load_further_back_eases_the_step() -> None:
    ahead, behind = (newtons(run({"centre_of_mass": [x, 0, 1]}), "step_force") for x in (0.2, -0.2))
    assert ahead / behind == pytest.approx(0.75 / 0.35)


def test_a_short_cart_cannot_be_pushed_over_a_step_that_a_long_one_crosses() -> None:
    short = run({"wheelbase": "0.4 m", "step": "12 mm"})
    assert short.results["step_force"] is None
    (check,) = [check for check in short.checks if check.name == "step"]
    assert check.verdict == "fails"
    assert check.sentence == (
        "No push at hand height takes the front wheels over the step; larger wheels or a ramp do."
    )
    assert run({"wheelbase": "2 m", "step": "12 mm"}).results["step_force"] is not None


def test_a_gap_as_wide_as_the_wheel_swallows_it() -> None:
    outcome = run({"gap": "160 mm"})
    assert outcome.results["gap_force"] is None
    assert [check.verdict for check in outcome.checks if check.name == "gap"] == ["fails"]


def test_a_pair_that_no_table_has_is_unknown() -> None:
    outcome = run({"tread": "soft_rubber", "floor": "smooth"})
    assert outcome.results["rolling_force"] is None
    assert outcome.results["lever_arm_source"] == "no table has this tread on this floor"
    assert {check.verdict for check in outcome.checks if check.name in ("starting", "rolling")} == {"unknown"}


def test_a_measured_lever_arm_goes_before_the_tables() -> None:
    outcome = run({"lever_arm": "3 mm", "tread": None, "floor": None})
    assert newtons(outcome, "rolling_force") == pytest.approx(0.003 * 250 * 9.80665 / 0.075)


def test_turning_on_the_spot() -> None:
    """Two of four swivels: 2 x 2/3 x 0.85 x W/4 x 10/40."""
    outcome = run({"trail": "40 mm", "contact_radius": "10 mm"})
    assert newtons(outcome, "turning_force") == pytest.approx(2 * 2 / 3 * 0.85 * 250 * 9.80665 / 4 / 4)


def test_brakes_on_a_wheel_that_can_lift_hold_nothing() -> None:
    asked, available = brakes_hold((0.0, 0.0), 0.5, 2000, 0.05)
    assert asked > 0
    assert available == 0
    # mu n / N >= tan(theta): half of the weight on braked wheels.
    asked, available = brakes_hold((500, 500), 0.5, 2000, atan(0.25))
    assert available == pytest.approx(asked)


def test_every_row_of_the_table_belongs_to_a_tread_or_is_a_material_that_no_caster_has() -> None:
    used = {(a.wheel, a.floor) for t in TREADS for f in ("concrete", "steel", "smooth") for a in lever_arms(t, f)}  # type: ignore[arg-type]
    left = {(row.wheel, row.floor) for row in table()} - used
    assert left == {("wood", "steel"), ("iron", "wood")}


@pytest.mark.parametrize(
    ("change", "fields"),
    [
        ({"tread": None}, {"tread"}),
        ({"hand_height": None, "wheelbase": None}, {"hand_height", "wheelbase"}),
        ({"centre_of_mass": [0.6, 0, 1]}, {"centre_of_mass"}),
        ({"casters": {"swivel": 1, "rigid": 0}}, {"casters"}),
        ({"lever_arm": "80 mm", "slope": "90 deg"}, {"lever_arm", "slope"}),
        ({"speed": 0, "mass": "heavy"}, {"speed", "mass"}),
    ],
)
def test_what_cannot_roll_is_named(change: dict[str, Any], fields: set[str]) -> None:
    given = {k: v for k, v in (ROLL | change).items() if v is not None}
    assert set(complaints("roll", given)) == fields
