"""Every formula in a working gives its number, in the cases that the examples of the catalogue do not reach."""

from __future__ import annotations

import random
from typing import Any

import pytest

from floorwright import catalogue
from formula import check_working

DICE = random.Random(9)
B, A = ([DICE.gauss(mean, 5) for _ in range(14)] for mean in (60, 48))
LABELS = ["rack", "bench"] * 7
FIXED: dict[str, Any] = {
    "per_event_saving": "41 s",
    "events_per_year": 5000,
    "labour_rate": 38.5,
    "cost": 1200,
    "upkeep": 60,
    "life_years": 5,
    "rate": 0.08,
    "draws": 500,
}
SPREAD = {"low": 0.9, "likely": 1.0, "high": 1.4}

CASES: list[tuple[str, dict[str, Any]]] = [
    ("compare", {"kind": "times", "before": B, "after": A, "before_strata": LABELS, "after_strata": LABELS}),
    ("compare", {"kind": "times", "before": [f"{x} s" for x in B], "after": [f"{x} s" for x in A]}),
    ("compare", {"kind": "times", "before": B * 30, "after": A * 30}),
    ("compare", {"kind": "times", "before": [5.0] * 10, "after": [4.0] * 10}),
    ("compare", {"kind": "paired", "before": B, "after": A}),
    ("compare", {"kind": "paired", "before": B * 20, "after": A * 20}),
    (
        "compare",
        {
            "kind": "counts",
            "before": {"events": 48, "exposure": "40 h"},
            "after": {"events": 0, "exposure": "38 h"},
        },
    ),
    ("compare", {"kind": "counts", "before": {"events": 0, "exposure": 4}, "after": {"events": 9, "exposure": 3}}),
    (
        "compare",
        {
            "kind": "proportions",
            "before": {"successes": 0, "trials": 34},
            "after": {"successes": 34, "trials": 34},
        },
    ),
    (
        "compare",
        {
            "kind": "proportions",
            "before": {"successes": 9, "trials": 34},
            "after": {"successes": 3, "trials": 31},
        },
    ),
    ("power", {"kind": "paired", "before": {"sd": "9 s"}, "change": "-6 s"}),
    ("power", {"kind": "counts", "before": {"events": 60, "exposure": "100 h"}, "change": "-0.2/h"}),
    ("power", {"kind": "proportions", "before": {"successes": 30, "trials": 100}, "change": -0.1}),
    ("worth", {"cash_flows": [-1000, 300, 300, 300, 300, 300], "rate": 0}),
    ("worth", {"cash_flows": [-1000, 600, -100, 900, 300], "rate": -0.05}),
    ("worth", {"cash_flows": [100, -50], "rate": 0.1}),
    ("gain", FIXED),
    ("gain", FIXED | {"rate": 0}),
    ("gain", FIXED | {"life_years": {"low": 2, "likely": 5, "high": 9}}),
    ("gain", FIXED | {"per_event_saving": {"mean": 41, "sd": 9}, "labour_rate": SPREAD, "upkeep": SPREAD}),
    ("choose", {"improvements": [{"name": "dear", "value": 3, "cost": 9}], "budget": 5}),
]


@pytest.mark.parametrize(("name", "raw"), CASES)
def test_every_formula_gives_its_number(name: str, raw: dict[str, Any]) -> None:
    outcome = catalogue.calculation(name)(raw)
    assert check_working(outcome.working) > 0
    assert outcome.to_record(name)["results"]
