"""`spring` and `spring_search`: what a person reads, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints
from floorwright import catalogue
from floorwright.propose.aid.springs.settling import SprungWheels
from floorwright.propose.aid.springs.spring import Spring

EXAMPLE: dict[str, Any] = dict(catalogue.calculation("spring").example)
WISH: dict[str, Any] = dict(catalogue.calculation("spring_search").example)


def checks(name: str, given: dict[str, Any]) -> dict[tuple[str, str], tuple[str, str]]:
    outcome = catalogue.calculation(name)(given)
    return {(check.name, check.case): (check.verdict, check.sentence) for check in outcome.checks}


@pytest.mark.parametrize(
    ("change", "fields"),
    [
        ({"outside_diameter": None}, {"mean_diameter"}),
        ({"mean_diameter": "28.5 mm"}, {"mean_diameter"}),
        ({"outside_diameter": "4 mm"}, {"outside_diameter"}),
        ({"active_coils": 12}, {"active_coils"}),
        ({"total_coils": 2}, {"total_coils"}),
        ({"free_length": "30 mm"}, {"free_length"}),
        ({"material": "stainless_302", "constants": "norton"}, {"constants"}),
        ({"loads": ["40 N", "-3 N"], "wire_diameter": 0}, {"loads[1]", "wire_diameter"}),
        ({"shear_modulus": "80 GPa", "elastic_modulus": "100 GPa"}, {"elastic_modulus"}),
        ({"material": "copper"}, {"material"}),
    ],
)
def test_what_cannot_be_a_spring_is_named(change: dict[str, Any], fields: set[str]) -> None:
    given = {name: value for name, value in (EXAMPLE | change).items() if value is not None}
    assert set(complaints("spring", given)) == fields


def test_a_load_beyond_solid_fails_and_ends_at_the_solid_length() -> None:
    outcome = catalogue.calculation("spring")(EXAMPLE | {"loads": ["400 N"]})
    assert outcome.results["lengths"] == [outcome.results["solid_length"]]
    verdict, sentence = checks("spring", EXAMPLE | {"loads": ["400 N"]})["reserve before solid", "largest load"]
    assert (verdict, sentence) == (
        "fails",
        "The coils are solid before the largest load: what comes then is a hard blow, not a spring.",
    )


def test_a_long_spring_asks_for_a_guide_and_a_guide_settles_it() -> None:
    slender = EXAMPLE | {"free_length": "250 mm", "loads": ["200 N"], "seat": "hinged_hinged"}
    assert checks("spring", slender)["buckling", "both ends on pivots"] == (
        "fails",
        "It buckles both ends on pivots: put it over a rod or in a tube.",
    )
    guided = slender | {"seat": "guided"}
    assert checks("spring", guided)["buckling", "over a rod or in a tube along its whole length"][0] == "ok"


def test_life_of_thick_wire_is_not_known() -> None:
    thick = EXAMPLE | {
        "wire_diameter": "11 mm", "outside_diameter": "80 mm", "total_coils": 8, "material": "oil_tempered",
        "free_length": "160 mm", "loads": ["1 kN", "2 kN"],
    }  # fmt: skip
    verdict, sentence = checks("spring", thick)["fatigue", "between the smallest and the largest load"]
    assert verdict == "unknown"
    assert "below 10 mm" in sentence
    few = checks("spring", thick | {"cycles": 200})
    assert ("fatigue", "between the smallest and the largest load") not in few


def test_values_from_memory_say_so() -> None:
    outcome = catalogue.calculation("spring")(EXAMPLE | {"material": "chrome_silicon"})
    assert any("from memory" in text for text in outcome.working.assumptions)


def test_seat_left_out_is_said() -> None:
    assert any("flat parallel plates" in text for text in catalogue.calculation("spring")(EXAMPLE).warnings)
    told = catalogue.calculation("spring")(EXAMPLE | {"seat": "fixed_fixed"})
    assert not any("flat parallel plates" in text for text in told.warnings)


@pytest.mark.parametrize(
    ("change", "fields"),
    [
        ({"force_2": "100 N"}, {"force_2"}),
        ({"length_2": "100 mm"}, {"length_2"}),
        ({"min_inside_diameter": "60 mm"}, {"min_inside_diameter"}),
        ({"materials": []}, {"materials"}),
        ({"count": 0, "force_1": "9 kN"}, {"count", "force_2"}),
    ],
)
def test_a_wish_that_no_spring_can_have_is_named(change: dict[str, Any], fields: set[str]) -> None:
    assert set(complaints("spring_search", WISH | change)) == fields


def test_no_spring_says_what_stands_in_the_way() -> None:
    outcome = catalogue.calculation("spring_search")(
        WISH | {"max_outside_diameter": "8 mm", "min_inside_diameter": 0}
    )
    assert outcome.results["springs"] == []
    assert outcome.warnings[0].startswith("No spring does it. Most often ")


def test_each_spring_found_is_as_spring_works_it_out() -> None:
    for found in catalogue.calculation("spring_search")(WISH).results["springs"]:
        alone = catalogue.calculation("spring")(
            {
                "wire_diameter": found["wire_diameter"].value_si,
                "mean_diameter": found["mean_diameter"].value_si,
                "active_coils": found["active_coils"],
                "ends": found["ends"],
                "material": found["material"],
                "free_length": found["free_length"].value_si,
                "loads": [WISH["force_1"], WISH["force_2"]],
                "cycles": WISH["cycles"],
            }
        ).results
        assert alone["lengths"][1].value_si == pytest.approx(0.075)
        assert alone["yield_safety_solid"] == pytest.approx(found["yield_safety_solid"])
        assert alone["buckles"] is False


def test_trestle_that_squats_and_one_on_its_stops() -> None:
    """Four wheels of 5 N/mm, feet 20 mm up at full droop, 200 N empty: worked by hand."""
    squats = SprungWheels(count=4, rate_n_m=5000, preload_n=20, rise_m=0.020, empty_n=200)
    assert squats.regime == "squats"
    assert squats.squat_m == pytest.approx(0.006)
    assert squats.gap_m == pytest.approx(0.014)
    assert squats.landing_n == pytest.approx(280)
    assert squats.feet_n(1000) == pytest.approx(720)
    stops = SprungWheels(count=4, rate_n_m=5000, preload_n=80, rise_m=0.020, empty_n=200)
    assert stops.regime == "on_stops"
    assert stops.gap_m == pytest.approx(0.020)
    assert stops.landing_n == pytest.approx(520)
    assert stops.gap_under_m(320) == pytest.approx(0.010)
    assert stops.hop_m(2000) == pytest.approx(0.020)
    assert not stops.rolls_over(0.020)


def test_reserve_before_solid_of_a_wheel_spring() -> None:
    spring = Spring(
        wire_m=3e-3, mean_m=24e-3, active=8, ends="squared_ground", free_m=0.07, G_pa=80e9, E_pa=193e9,
        density_kg_m3=7850,
    )  # fmt: skip
    wheels = SprungWheels(count=4, rate_n_m=spring.rate_n_m, preload_n=40, rise_m=0.020, empty_n=200)
    # 40 mm to solid, of which 1/1.15 may be used; 40 N of preload is 40 N over 7.32 N/mm.
    assert wheels.solid_reserve_m(spring) == pytest.approx(0.04 / 1.15 - 0.020 - 40 / 7324.2, abs=1e-6)
