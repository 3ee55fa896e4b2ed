"""`member`: what it answers, when it does not know, what it says of bad input, and that its working holds."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints, outcome, results
from formula import check_working

STEEL = {"E": "29000 ksi", "Fy": "46 ksi", "Fu": "58 ksi"}
ALL = {"N": -2000, "My": 100, "Mz": -50, "Vy": 300, "Vz": 200, "T": 40}
SECTIONS: dict[str, dict[str, Any]] = {
    "compact": {"designation": "HSS2X2X1/8"},
    "rectangle": {"designation": "HSS4X2X1/8"},
    "thin": {"shape": "rect_tube", "depth": "200 mm", "width": "120 mm", "wall": "2.5 mm"},
    "thinner": {"shape": "rect_tube", "depth": "250 mm", "width": "250 mm", "wall": "2 mm"},
    "thin_web": {"shape": "rect_tube", "depth": "240 mm", "width": "60 mm", "wall": "2.5 mm"},
    "pipe": {"designation": "Pipe1-1/2STD"},
    "thin_ring": {"shape": "round_tube", "outside_diameter": "200 mm", "wall": "1.5 mm"},
    "thinner_ring": {"shape": "round_tube", "outside_diameter": "400 mm", "wall": "1.6 mm"},
    "angle": {"designation": "L2X2X1/8"},
    "unequal": {"shape": "angle", "depth": "3 in", "width": "2 in", "wall": "1/4 in"},
    "flat": {"shape": "flat", "depth": "4 in", "width": "1/4 in"},
    "lying": {"shape": "flat", "depth": "3/8 in", "width": "2 in"},
    "bar": {"shape": "round_bar", "outside_diameter": "1 in"},
}


def asked(name: str, /, **more: Any) -> dict[str, Any]:
    return {"section": SECTIONS[name], "material": STEEL, "length": "1.5 m"} | more


def verdicts(given: dict[str, Any]) -> dict[str, str]:
    return {each.name: each.verdict for each in outcome("member", given).checks}


@pytest.mark.parametrize("method", ["ASD", "LRFD"])
@pytest.mark.parametrize("length", ["0.3 m", "1.5 m", "6 m"])
@pytest.mark.parametrize("name", SECTIONS)
def test_the_working_gives_the_results(name: str, length: str, method: str) -> None:
    found = outcome("member", asked(name, length=length, method=method, forces=ALL))
    assert check_working(found.working) > 15
    last = found.working.steps[-1]
    assert (last.symbol, last.value) == ("ratio", found.results["ratio"])
    by_symbol = {step.symbol: step.value for step in found.working.steps}
    for symbol, strength, unit in (("Pt", "tension", 1), ("Pc", "compression", 1), ("Tc", "torsion", 1e3)):
        if symbol in by_symbol:
            quantity = found.results["available"][strength]
            assert by_symbol[symbol] == pytest.approx(unit * quantity.value_si, rel=1e-12)


def test_clauses_by_shape() -> None:
    """Each wall of these sections is on the other side of a limit of tables B4.1a and b, by hand."""
    clauses = {name: results("member", asked(name, length="0.3 m", forces=ALL))["clauses"] for name in SECTIONS}
    assert clauses["compact"]["flexure_y"] == "F7-1"
    assert clauses["thin"]["compression"] == "E7"
    assert clauses["thin"]["flexure_z"] == "F7-3"  # (200 - 7.5) / 2.5 = 77 > 1.40 x 25.1
    assert clauses["thin_web"]["flexure_y"] == "F7-6"  # (240 - 7.5) / 2.5 = 93 > 2.42 x 25.1; 21 < 1.12 x 25.1
    assert clauses["thin_ring"]["flexure_y"] == "F8-2"  # 133 > 0.07 x 630
    assert clauses["thin_ring"]["compression"] == "E7"  # 133 > 0.11 x 630
    assert clauses["thinner_ring"]["flexure_y"] == "F8-3"  # 250 > 0.31 x 630
    assert clauses["flat"]["flexure_y"] == "F11-3"  # 12 x 4 / (1/4)^2 = 756, between 0.08 and 1.9 of 630
    assert clauses["lying"]["flexure_y"] == "F11-1"


def test_governing_clause_and_ratio() -> None:
    """Half of the thrust and a quarter of the moment: 1/2 + 8/9/4; a tenth and a half: 1/20 + 1/2 (H1-1)."""
    available = results("member", asked("compact"))["available"]
    thrust, moment = available["compression"]["value"], available["flexure_y"]["value"]
    found = results("member", asked("compact", forces={"N": -thrust / 2, "My": moment / 4}))
    assert (found["ratio"], found["governs"]) == (pytest.approx(0.5 + 2 / 9), "H1-1a")
    found = results("member", asked("compact", forces={"N": -thrust / 10, "My": moment / 2}))
    assert (found["ratio"], found["governs"]) == (pytest.approx(0.55), "H1-1b")
    found = results("member", asked("compact", forces={"N": -thrust / 10}))
    assert (found["ratio"], found["governs"]) == (pytest.approx(0.1), "E3 compression")
    found = results("member", asked("compact", forces={"Vz": available["shear_z"]["value"] / 2, "My": moment / 4}))
    assert (found["ratio"], found["governs"]) == (pytest.approx(0.5), "G4 shear")
    twist = {"T": 0.3 * available["torsion"]["value"], "My": moment / 2}
    found = results("member", asked("compact", forces=twist))
    assert (found["ratio"], found["governs"]) == (pytest.approx(0.5 + 0.09), "H3-6")


def test_round_sections_bend_by_the_resultant_and_square_ones_by_the_sum() -> None:
    both = {"My": "30 N*m", "Mz": "40 N*m"}
    one = {"My": "50 N*m"}
    assert results("member", asked("pipe", forces=both))["ratio"] == pytest.approx(
        results("member", asked("pipe", forces=one))["ratio"]
    )
    square = [results("member", asked("compact", forces=each))["ratio"] for each in (both, one)]
    assert square[0] == pytest.approx(square[1] * 70 / 50)


def test_class_is_of_what_acts() -> None:
    """The narrow flange is compact or not by itself; the wide one counts when it is the flange."""
    thin = SECTIONS["thin"] | {"depth": "200 mm", "width": "80 mm"}
    given = {"section": thin, "material": STEEL, "length": 1}
    assert results("member", given | {"forces": {"My": 1}})["class"] == "noncompact"
    assert results("member", given | {"forces": {"Mz": 1}})["class"] == "slender"
    assert results("member", given | {"forces": {"N": -1}})["class"] == "slender"
    assert results("member", asked("compact", forces={"N": -1}))["class"] == "nonslender"
    assert results("member", given)["class"] == "slender"


@pytest.mark.parametrize(
    ("material", "words"),
    [
        ("6061_T6_ext", "heat-affected"),
        ("304_annealed", "own code"),
        ({"E": "10100 ksi", "Fy": "35 ksi", "Fu": "38 ksi"}, "heat-affected"),
        ({"E": "28000 ksi", "Fy": "30 ksi", "Fu": "75 ksi"}, "own code"),
        (STEEL | {"family": "stainless"}, "own code"),
    ],
)
def test_other_metals_are_unknown(material: Any, words: str) -> None:
    found = outcome("member", asked("compact", material=material, forces=ALL))
    assert [each.verdict for each in found.checks] == ["unknown"]
    assert words in found.checks[0].sentence
    assert found.results["ratio"] is None
    assert found.results["class"] is None
    assert all(each is None for each in found.results["available"].values())
    check_working(found.working)


def test_what_is_not_covered_is_unknown() -> None:
    ring = {"shape": "round_tube", "outside_diameter": "400 mm", "wall": "1 mm"}
    given = {"section": ring, "material": STEEL, "length": 1}
    assert verdicts(given | {"forces": {"N": -10}}) == {"compression": "unknown", "all together": "unknown"}
    assert verdicts(given | {"forces": {"N": 10}}) == {"tension": "ok", "all together": "ok"}
    legs = {"shape": "angle", "depth": "4 in", "width": "4 in", "wall": "1/8 in"}
    given = {"section": legs, "material": STEEL, "length": 1}
    assert verdicts(given | {"forces": {"N": -10}})["compression"] == "unknown"
    # What is known to fail fails, whatever else is not known.
    assert verdicts(given | {"forces": {"N": -10, "Vz": 1e6}})["all together"] == "fails"


def test_without_forces_nothing_passes() -> None:
    found = outcome("member", asked("compact"))
    assert [each.verdict for each in found.checks] == ["unknown"]
    assert found.results["ratio"] is None
    assert found.results["available"]["tension"].value_si > 0
    resting = outcome("member", asked("compact", forces={}))
    assert resting.results["ratio"] == 0
    assert resting.results["governs"] is None


def test_unknown_grade_takes_the_lowest_yield_of_its_form() -> None:
    """A53 grade A for pipe (30 ksi), A513 1008 for tube (30 ksi), A36 for bar (36 ksi)."""
    for name, Fy_ksi in (("pipe", 30), ("compact", 30), ("flat", 36)):
        found = outcome("member", asked(name, material="uncertified"))
        known = outcome("member", asked(name, material=STEEL | {"Fy": f"{Fy_ksi} ksi"}))
        assert found.results["available"]["compression"] == known.results["available"]["compression"]
        assert any("unknown grade" in each for each in found.warnings)


def test_warnings() -> None:
    def said(**more: Any) -> str:
        return " ".join(outcome("member", asked("compact", **more)).warnings)

    assert "above 200" in said(length="4 m", forces={"N": -1})
    assert "above 300" not in said(length="4 m", forces={"N": 1})
    assert "above 300" in said(length="6 m", forces={"N": 1})
    assert said(length="1 m", forces={"N": -1}) == ""
    assert "typical" in said(material="A513_1020_DOM_typ", length="1 m")
    assert "sold as bar" in said(material="A36", length="1 m")


@pytest.mark.parametrize(
    ("given", "fields"),
    [
        ({}, {"section", "material", "length"}),
        (asked("compact", material="A999"), {"material"}),
        (asked("compact", material={"E": "29000 ksi"}), {"material.Fy", "material.Fu"}),
        (asked("compact", material={"grade": "A36", "Fy": "36 ksi"}), {"material.Fy"}),
        (asked("compact", material=STEEL | {"Fu": "40 ksi"}), {"material.Fu"}),
        (asked("compact", section={"designation": "HSS9"}), {"section.designation"}),
        (
            asked("compact", section={"shape": "pipe", "wall": "1 mm"}, length=-1),
            {"section.outside_diameter", "length"},
        ),
        (asked("compact", section={"shape": "pipe", "wall": "1 mm"}), {"section.outside_diameter"}),
        (asked("compact", connected_leg=True), {"connected_leg"}),
        (asked("bar", connected_leg=True), {"connected_leg"}),
        (asked("compact", method="WSD", K_y=0, Cb=0.5), {"method", "K_y", "Cb"}),
        (asked("compact", forces={"M": 5, "N": "5 kg"}), {"forces.M", "forces.N"}),
    ],
)
def test_bad_input_is_named(given: dict[str, Any], fields: set[str]) -> None:
    assert set(complaints("member", given)) == fields


def test_held_by_one_leg() -> None:
    """Eccentric thrust by E5 bears less than thrust through the centroid of a short angle."""
    through = results("member", asked("angle", length="0.5 m"))["available"]["compression"]["value"]
    one_leg = results("member", asked("angle", length="0.5 m", connected_leg=True))["available"]["compression"][
        "value"
    ]
    assert one_leg < through
    wide = {"shape": "angle", "depth": "4 in", "width": "2 in", "wall": "1/4 in"}
    assert results("member", asked("angle", section=wide, connected_leg=True))["available"]["compression"] is None
