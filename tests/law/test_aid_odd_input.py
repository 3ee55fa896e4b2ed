"""Whatever stands in one field of an input of the shop aids, the answer is a result or a named field."""

from __future__ import annotations

import json
from typing import Any

import pytest

from floorwright import catalogue
from floorwright.basis.errors import InputError
from formula import check_working
from law.test_observe_odd_input import ODD, places, spoiled

MORE: dict[str, list[dict[str, Any]]] = {
    "casters": [
        {
            "mass": 300, "centre_of_mass": [0, 0, 1], "at": [[0.5, 0.3], [0.5, -0.3], [-0.5, -0.3], [-0.5, 0.3]],
            "frame": "yielding", "racking_stiffness": "20 N/mm", "unevenness": "5 mm", "bump": "8 mm",
            "wheel_diameter": "125 mm",
        }
    ],
    "tip": [
        {
            "supports": [[0, 0], [1, 0], [0, 1]], "masses": [{"mass": 10, "at": [0.2, 0.2, 0.5]}],
            "deceleration": "2 m/s2", "push": {"height": 1, "direction": "30 deg", "force": 50},
        }
    ],
    "member": [
        {
            "section": {"shape": "angle", "depth": "3 in", "width": "2 in", "wall": "1/4 in"}, "material": "A36",
            "length": "4 ft", "forces": {"N": 900, "My": 20, "Mz": -30, "Vy": 5, "T": 3}, "method": "LRFD",
        },
        {
            "section": {"shape": "round_tube", "outside_diameter": "2 in", "wall": "16 ga"},
            "material": "uncertified", "length": 1, "unbraced_length": 1, "Cb": 1.2, "K_y": 1,
            "forces": {"N": -900, "My": 20, "Mz": 9, "Vz": 5},
        },
    ],
}  # fmt: skip
NAMES = ("spring", "spring_search", "casters", "tip", "roll", "push", "reach", "member")


@pytest.mark.parametrize("name", NAMES)
def test_odd_input_is_answered_or_named(name: str) -> None:
    found = catalogue.calculation(name)
    unnamed = []
    refused = 0
    for example in [json.loads(json.dumps(dict(found.example))), *MORE.get(name, [])]:
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
