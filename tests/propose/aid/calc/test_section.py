"""`section`: every shape by its sizes, designations, gauges by what they measure, and what is said of bad input."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints, outcome, results
from formula import check_working

IN = 0.0254

SHAPES: dict[str, dict[str, Any]] = {
    "pipe": {"shape": "pipe", "outside_diameter": "1.9 in", "wall": "0.145 in"},
    "round_tube": {"shape": "round_tube", "outside_diameter": "1.5 in", "wall": "16 ga"},
    "rect_tube": {"shape": "rect_tube", "depth": "3 in", "width": "2 in", "wall": "1/8 in"},
    "sharp_tube": {"shape": "rect_tube", "depth": "60 mm", "width": "40 mm", "wall": "3 mm", "corner_radius": 0},
    "design": {"shape": "rect_tube", "depth": "2 in", "width": "2 in", "wall": "11 ga", "wall_basis": "design"},
    "angle": {"shape": "angle", "depth": "3 in", "width": "2 in", "wall": "1/4 in"},
    "flat": {"shape": "flat", "depth": "1/4 in", "width": "2 in"},
    "upright_flat": {"shape": "flat", "depth": "2 in", "wall": "11 ga"},
    "round_bar": {"shape": "round_bar", "outside_diameter": "20 mm"},
    "HSS": {"designation": "HSS2X2X1/8"},
    "XS": {"designation": "Pipe1-1/2XS"},
    "L": {"designation": "L2X2X1/8"},
    "unlisted_L": {"designation": "L3X2X1/4"},
}


@pytest.mark.parametrize("name", SHAPES)
def test_the_working_gives_the_results(name: str) -> None:
    found = outcome("section", SHAPES[name])
    assert check_working(found.working) > 0
    by_symbol = {step.symbol: step.value for step in found.working.steps}
    for symbol, scale in {
        "A": 1e6,
        "I_y": 1e12,
        "I_z": 1e12,
        "J": 1e12,
        "S_y": 1e9,
        "Z_y": 1e9,
        "r_y": 1e3,
    }.items():
        if symbol in by_symbol:
            assert by_symbol[symbol] == pytest.approx(scale * found.results[symbol].value_si, rel=1e-9)


def test_the_designations_of_the_contract() -> None:
    """AISC Shapes Database v15.0: HSS2X2X1/8 0.840 in2, 0.486 in4; Pipe1-1/2STD 0.749 in2, 0.293 in4."""
    tube, pipe = (results("section", {"designation": each}, "us") for each in ("HSS2X2X1/8", "Pipe1-1/2STD"))
    assert tube["A"] == {"value": pytest.approx(0.840, abs=6e-4), "unit": "in2"}
    assert tube["I_y"] == {"value": pytest.approx(0.486, abs=5e-4), "unit": "in4"}
    assert tube["mass_per_length"] == {"value": pytest.approx(3.05, abs=5e-3), "unit": "lb/ft"}
    assert pipe["A"]["value"] == pytest.approx(0.749, abs=5e-4)
    assert pipe["I_z"]["value"] == pytest.approx(0.293, abs=5e-4)
    assert pipe["design_wall"]["value"] == pytest.approx(0.135, abs=1e-9)


def test_a_gauge_is_of_tube_or_of_sheet() -> None:
    tube = outcome("section", SHAPES["round_tube"]).working.given
    assert next(each.value for each in tube if each.symbol == "tn") == pytest.approx(0.065 * 25.4)
    bent = {"shape": "angle", "depth": "2 in", "width": "2 in", "wall": "16 ga"}
    for metal, inches in (("steel", 0.0598), ("aluminium", 0.0508)):
        found = results("section", bent | {"metal": metal}, "us")
        assert found["A"]["value"] == pytest.approx(inches * (4 - inches), rel=1e-9)


def test_a_flat_lies_or_stands() -> None:
    lying = results("section", {"shape": "flat", "width": "2 in", "wall": "1/4 in"})
    standing = results("section", {"shape": "flat", "depth": "2 in", "wall": "1/4 in"})
    assert lying["I_y"] == standing["I_z"]
    assert lying["I_y"]["value"] == pytest.approx(2 * 0.25**3 / 12 * IN**4, rel=1e-9)


def test_wall_basis_is_told_to_whom_it_concerns() -> None:
    plain, design = SHAPES["rect_tube"], SHAPES["rect_tube"] | {"wall_basis": "design"}
    assert any("0.93" in each for each in outcome("section", plain).warnings)
    assert not outcome("section", design).warnings
    thinner = results("section", design)["A"]["value"] / results("section", plain)["A"]["value"]
    assert 0.93 < thinner < 0.94
    full = results("section", {"designation": "HSS3X2X1/8", "wall_basis": "nominal"})
    assert full["A"]["value"] == pytest.approx(results("section", plain)["A"]["value"], rel=1e-9)


@pytest.mark.parametrize(
    ("given", "field", "words"),
    [
        ({}, "shape", "give one of pipe"),
        ({"shape": "pipe", "outside_diameter": "2 in"}, "wall", "a pipe needs outside_diameter and wall"),
        ({"shape": "pipe", "outside_diameter": "2 in", "wall": "1.2 in"}, "wall", "half of the outside diameter"),
        ({"shape": "round_bar", "outside_diameter": "2 in", "wall": "1/8 in"}, "wall", "no size of a round bar"),
        ({"shape": "rect_tube", "depth": "2 in", "width": "2 in", "wall": "2 ga"}, "wall", "is 2 gauge"),
        ({"shape": "rect_tube", "depth": "-2 in", "width": "2 in", "wall": "11 ga"}, "depth", "more than 0"),
        (
            {"shape": "rect_tube", "depth": "2 in", "width": "2 in", "wall": "11 ga", "corner_radius": "2 in"},
            "corner_radius",
            "at most half",
        ),
        ({"designation": "HSS2X2X1/9"}, "designation", "did you mean HSS2X2X1/8"),
        ({"designation": "HSS2X2X1/8", "wall": "11 ga"}, "wall", "should be left out"),
        ({"designation": "HSS2X2X1/8", "shape": "rect_tube"}, "shape", "should be left out"),
        ({"shape": "flat", "depth": "1/4 in"}, "width", "is missing"),
        (
            {"shape": "flat", "depth": "1/4 in", "width": "2 in", "wall_basis": "design"},
            "wall_basis",
            "for tubes and pipes",
        ),
        ({"shape": "beam", "depth": "2 in"}, "shape", "it should be"),
        ({"shape": "angle", "depth": "2 in", "width": "2 in", "wall": "3 in"}, "wall", "the shorter leg"),
        ({"shape": "angle", "depth": "2 in", "width": "2 in", "wall": "40 ga"}, "wall", "is 40 gauge"),
    ],
)
def test_bad_input_is_named(given: dict[str, Any], field: str, words: str) -> None:
    assert words in complaints("section", given)[field]


def test_everything_wrong_is_told_at_once() -> None:
    found = complaints("section", {"shape": "pipe", "depth": "0 in", "corner_radius": "-1 mm", "colour": 1})
    assert set(found) == {"depth", "corner_radius", "colour", "outside_diameter", "wall"}
