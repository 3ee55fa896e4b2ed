"""`weld`, `bolt`, `clamp` and `caster_plate`: what a person reads, what is not known, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints
from floorwright import catalogue
from floorwright.basis.outcome import Outcome
from floorwright.propose.aid.joints.clamps import stiffness_bracket

PLATE = {"thickness": "1/4 in", "Fy": "36 ksi", "Fu": "58 ksi"}
STRAIGHT: dict[str, Any] = {"size": "3/16 in", "length": "4 in", "walls": [PLATE], "forces": {"V": "2 kip"}}
FACE: dict[str, Any] = {
    "chord": {"shape": "rectangular", "width": "2 in", "wall": "0.065 in", "Fy": "36 ksi", "Fu": "48 ksi"},
    "branch": {"shape": "rectangular", "along": "1 in", "wall": "0.065 in", "Fy": "36 ksi"},
    "chord_stress_ratio": 0,
}
TUBE: dict[str, Any] = {
    "around": {"along": "1 in", "across": "1 in"},
    "size": "1/8 in",
    "walls": [{"thickness": "0.065 in", "Fy": "36 ksi", "Fu": "48 ksi"}],
    "forces": {"M": "60 ft-lb"},
}
CLAMP: dict[str, Any] = dict(catalogue.calculation("clamp").example)
BOLT: dict[str, Any] = dict(catalogue.calculation("bolt").example)
CASTER: dict[str, Any] = dict(catalogue.calculation("caster_plate").example)


def run(name: str, given: dict[str, Any]) -> Outcome:
    return catalogue.calculation(name)({key: value for key, value in given.items() if value is not None})


def verdicts(outcome: Outcome) -> dict[str, str]:
    return {check.name: check.verdict for check in outcome.checks}


def test_without_walls_the_weld_is_unknown() -> None:
    outcome = run("weld", STRAIGHT | {"walls": None})
    assert verdicts(outcome)["base metal"] == "unknown"
    assert outcome.results["available"] is None
    assert outcome.results["ratio"] is None
    assert outcome.results["governs"] == "unknown"
    assert outcome.results["throat"].value_si > 0
    assert outcome.checks[1].sentence.startswith("The metal beside the weld is not known. The joined walls are not")


def test_a_wall_without_strength_is_unknown() -> None:
    outcome = run("weld", STRAIGHT | {"walls": [{"name": "bracket", "thickness": "1/4 in", "Fy": "36 ksi"}]})
    assert verdicts(outcome)["base metal: bracket"] == "unknown"
    assert outcome.results["governs"] == "unknown"
    assert outcome.checks[1].sentence.endswith("The tensile strength of bracket is not given.")


def test_a_wall_that_yields_fails_whatever_else_is_not_known() -> None:
    outcome = run("weld", STRAIGHT | {"walls": [{"thickness": "0.02 in", "Fy": "36 ksi"}]})
    assert verdicts(outcome)["base metal: wall 1"] == "fails"


@pytest.mark.parametrize("material", ["6061_T6_ext", "304_annealed"])
def test_aluminium_and_stainless_are_unknown(material: str) -> None:
    outcome = run("weld", STRAIGHT | {"walls": [{"thickness": "1/4 in", "material": material}]})
    assert outcome.results["available"] is None
    assert any("code of their own" in each for each in outcome.warnings)


def test_a_thin_face_gives_long_before_the_throat() -> None:
    """16 gauge tube on 16 gauge tube: the face bears less than a third of what the weld bears."""
    results = run("weld", TUBE | {"hollow_face": FACE}).results
    assert results["hollow_face"].value_si < results["throat"].value_si / 3
    assert results["governs"] == "hollow_face"


def test_a_tube_as_wide_as_the_face_bears_far_more() -> None:
    wide = FACE | {"branch": FACE["branch"] | {"along": "2 in"}}
    narrow_use, wide_use = (
        run("weld", TUBE | {"hollow_face": face}).results["hollow_face"].value_si for face in (FACE, wide)
    )
    assert wide_use > 3 * narrow_use


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"chord_stress_ratio": None}, "enter chord_stress_ratio"),
        ({"chord": FACE["chord"] | {"wall": "0.05 in"}}, "width over wall of the chord 40, above 35"),
        ({"chord": FACE["chord"] | {"Fy": "60 ksi", "Fu": "80 ksi"}}, "above 359 MPa"),
        ({"chord": FACE["chord"] | {"Fy": None}}, "strength of the hollow section are not given"),
        ({"branch": FACE["branch"] | {"along": "0.4 in"}}, "below 0.25"),
        ({"branch": FACE["branch"] | {"wall": None}}, "the wall of the branch, which is not given"),
        ({"branch_angle": "20 deg"}, "branch at less than 30 degrees"),
        ({"branch_angle": "60 deg"}, "no formula for a moment on this face"),
    ],
)
def test_outside_the_range_a_face_is_unknown(change: dict[str, Any], words: str) -> None:
    face = {key: value for key, value in (FACE | change).items() if value is not None}
    face = {key: _known(value) for key, value in face.items()}
    outcome = run("weld", TUBE | {"hollow_face": face})
    (check,) = (each for each in outcome.checks if each.name == "face of the hollow section")
    assert check.verdict == "unknown"
    assert words in check.sentence
    assert outcome.results["available"] is None
    assert outcome.results["governs"] == "unknown"


def _known(value: Any) -> Any:
    return {name: each for name, each in value.items() if each is not None} if isinstance(value, dict) else value


def test_a_straight_weld_bears_no_moment_about_its_line() -> None:
    outcome = run("weld", STRAIGHT | {"angle": "90 deg", "forces": {"M": "100 ft-lb"}})
    assert verdicts(outcome)["throat of the weld"] == "fails"
    assert outcome.results["available"].value_si == 0
    assert "weld both sides" in outcome.checks[0].sentence


def test_direction_counts_only_where_it_is_told_and_allowed() -> None:
    factors = [
        run("weld", STRAIGHT | more).results["direction_factor"]
        for more in ({}, {"angle": "90 deg"}, {"angle": "90 deg", "hollow_end": True})
    ]
    assert factors == [1.0, pytest.approx(1.5), 1.0]
    assert run("weld", TUBE | {"angle": "90 deg"}).results["direction_factor"] == 1.0


def test_welds_on_both_sides_share_a_wall() -> None:
    one, two = (
        run("weld", STRAIGHT | {"walls": [PLATE | {"sides": sides}]}).results["base_metal"].value_si
        for sides in (1, 2)
    )
    assert two == pytest.approx(one / 2)


def test_sizes_are_checked() -> None:
    small = run("weld", STRAIGHT | {"size": "1/16 in"})
    assert verdicts(small)["least leg"] == "fails"
    lap = run("weld", STRAIGHT | {"size": "1/4 in", "walls": [PLATE | {"edge": True}]})
    assert verdicts(lap)["largest leg on the edge of wall 1"] == "fails"
    thin = run("weld", STRAIGHT | {"size": "0.065 in", "walls": [PLATE | {"thickness": "16 ga"}]})
    assert verdicts(thin)["least leg"] == "ok"


def test_short_and_long_welds_say_so() -> None:
    short = run("weld", STRAIGHT | {"length": "1/2 in"})
    assert any("four legs" in each for each in short.warnings)
    long = run("weld", STRAIGHT | {"length": "30 in"})
    assert any("100 legs" in each for each in long.warnings)
    all_of_it = run("weld", STRAIGHT | {"length": "30 in", "whole_length": True})
    assert all_of_it.results["throat"].value_si > long.results["throat"].value_si


def test_without_forces_it_says_what_it_would_bear() -> None:
    outcome = run("weld", STRAIGHT | {"forces": None})
    assert outcome.results["available"].value_si == pytest.approx(
        run("weld", STRAIGHT).results["available"].value_si
    )
    assert verdicts(outcome)["throat of the weld"] == "unknown"


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ({"length": None}, "length"),
        ({"size": None}, "size"),
        ({"around": {"outside_diameter": "1 in"}}, "around"),
        (
            {"size": None, "length": None, "group": [{"from": [0, 0], "to": [0, 0], "size": "1/8 in"}]},
            "group[0].to",
        ),
        ({"length": None, "around": {"along": "1 in"}}, "around.across"),
        ({"forces": {"V": [1, 2]}}, "forces.V"),
        ({"walls": [PLATE | {"material": "A992_x"}]}, "walls[0].material"),
        ({"electrode": "E99"}, "electrode"),
        ({"walls": [PLATE | {"Fu": "30 ksi"}]}, "walls[0].Fu"),
        ({"hollow_face": FACE | {"chord": FACE["chord"] | {"wall": "1.5 in"}}}, "hollow_face.chord.wall"),
    ],
)
def test_what_does_not_fit_is_named(change: dict[str, Any], complaint: str) -> None:
    given = {key: value for key, value in (STRAIGHT | change).items() if value is not None}
    assert complaint in complaints("weld", given)


def test_four_pull_tests_are_not_enough() -> None:
    few = run("clamp", CLAMP | {"axial_tests": CLAMP["axial_tests"][:4]})
    assert verdicts(few)["slip along the pipe"] == "unknown"
    assert few.results["ratio"] is None
    assert "pull-test five and enter the lowest" in few.checks[0].sentence
    assert run("clamp", CLAMP).results["available_axial"].value_si == pytest.approx(240 * 4.4482216152605)


def test_a_clamp_without_tests_is_unknown_in_every_way_that_acts() -> None:
    outcome = run("clamp", {"forces": {"N": "10 lb", "V": "10 lb", "M": "1 ft-lb", "T": "1 ft-lb"}})
    assert set(verdicts(outcome).values()) == {"unknown"}
    assert outcome.results["governs"] == "unknown"


def test_stiffness_goes_from_hinge_to_rigid_until_it_is_measured() -> None:
    assert stiffness_bracket([]) == (0.0, float("inf"))
    assert stiffness_bracket([800.0, 1000.0]) == (400.0, 2000.0)


def test_slip_is_unknown_without_a_measured_friction() -> None:
    outcome = run("bolt", BOLT | {"friction_joint": True})
    assert verdicts(outcome)["slip"] == "unknown"
    assert outcome.results["governs"] == "unknown"
    measured = run("bolt", BOLT | {"friction_joint": True, "friction": 0.2})
    assert verdicts(measured)["slip"] == "ok"


def test_bolts_without_their_parts_are_unknown() -> None:
    outcome = run("bolt", BOLT | {"plies": None})
    assert verdicts(outcome)["bearing and tear-out"] == "unknown"


def test_one_bolt_bears_no_moment() -> None:
    assert "at" in complaints("bolt", {key: value for key, value in BOLT.items() if key != "at"})


def test_bolts_in_a_row_bear_no_moment_about_the_row() -> None:
    row = BOLT | {"at": [[0, 0], ["2 in", 0]], "forces": {"Mx": "10 ft-lb"}}
    assert "at" in complaints("bolt", row)


def test_a_stem_is_unknown() -> None:
    outcome = run("caster_plate", CASTER | {"mount": "stem"})
    assert [check.verdict for check in outcome.checks] == ["unknown"]


def test_a_blow_without_its_height_is_unknown() -> None:
    outcome = run("caster_plate", CASTER | {"blow_height": None})
    assert [check.verdict for check in outcome.checks] == ["unknown"]


def test_a_struck_wheel_is_worse_than_a_standing_one() -> None:
    standing, struck = (run("caster_plate", CASTER | {"side": side}).results["ratio"] for side in (0, "150 lb"))
    assert struck > 1.3 * standing
