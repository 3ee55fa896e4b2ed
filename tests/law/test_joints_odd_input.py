"""Whatever stands in one field of an input of a joint, the answer is a result or a named field."""

from __future__ import annotations

import json
from typing import Any

import pytest

from floorwright import catalogue
from floorwright.basis.errors import InputError
from formula import check_working
from law.test_observe_odd_input import ODD, places, spoiled

WALL = {"name": "plate", "thickness": "6 mm", "Fy": "250 MPa", "Fu": "400 MPa", "sides": 2, "edge": True}
MORE: dict[str, list[dict[str, Any]]] = {
    "weld": [
        {
            "group": [
                {"from": [0, 0], "to": [0, 0.1], "size": "5 mm"}, {"from": [0, 0], "to": [0.03, 0], "size": "8 mm"},
                {"from": [0.05, 0], "to": [0.05, 1], "size": "4 mm"},
            ],
            "walls": [WALL], "method": "LRFD", "forces": {"N": 100, "Vx": 200, "Vy": 300, "Mx": 4, "My": 5, "T": 6},
        },
        {
            "around": {"outside_diameter": "30 mm"}, "size": "3 mm", "walls": [WALL], "electrode": "E49",
            "hollow_face": {
                "chord": {"shape": "round", "width": "60 mm", "wall": "3 mm", "material": "A53B"},
                "branch": {"shape": "round", "along": "30 mm", "wall": "2 mm", "Fy": "240 MPa"},
                "joint": "cross", "branch_angle": "60 deg", "chord_stress_ratio": 0.5,
            },
            "forces": {"N": -100, "V": 200, "Mx": 4, "My": 5, "T": -6},
        },
        {
            "size": "5 mm", "length": "50 mm", "angle": "45 deg", "walls": [WALL], "whole_length": True,
            "hollow_face": {
                "chord": {"shape": "rectangular", "width": "60 mm", "wall": "3 mm", "material": "A500B_shaped"},
                "branch": {"shape": "plate", "along": "50 mm", "across": "6 mm", "Fy": "250 MPa"},
                "chord_stress_ratio": 0.5,
            },
            "forces": {"N": 100, "V": 20},
        },
    ],
    "bolt": [
        {
            "size": "M8", "grade": "8.8", "forces": {"N": 10, "Vx": 20, "Vy": 30}, "friction_joint": True,
            "friction": 0.2,
            "plies": [{"thickness": "3 mm", "material": "A36", "edge_clear": 0}], "method": "LRFD",
        },
        {"size": "M8", "grade": "8.8", "at": [[0, 0], [0.1, 0.1]], "forces": {"Mx": 10, "My": -10, "T": 3}},
    ],
    "clamp": [{"forces": {"V": 10, "M": 5}, "bending_tests": [9, 8, 8, 9, 10], "crush_tests": [900] * 5}],
    "caster_plate": [
        {key: value for key, value in catalogue.calculation("caster_plate").example.items() if "bolt_" not in key}
        | {"method": "LRFD"},
    ],
}  # fmt: skip


@pytest.mark.parametrize("name", ["weld", "bolt", "clamp", "caster_plate"])
def test_odd_input_is_answered_or_named(name: str) -> None:
    found = catalogue.calculation(name)
    refused, unnamed = 0, []
    for example in [json.loads(json.dumps(dict(found.example))), *MORE[name]]:
        check_working(found(example).working)
        for place in places(example):
            for odd in ODD:
                try:
                    outcome = found(spoiled(example, place, odd))
                except InputError as error:
                    refused += 1
                    unnamed += [(place, odd) for problem in error.problems if not problem.field]
                    json.dumps(error.to_record(), allow_nan=False)
                else:
                    json.dumps(outcome.to_record(name), allow_nan=False)
                    check_working(outcome.working)
    assert not unnamed
    assert refused > 50
