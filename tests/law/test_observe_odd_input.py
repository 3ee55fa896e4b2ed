"""Whatever stands in one field of an input, the answer is a result or a named field, and both are plain JSON."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from typing import Any

import pytest

from floorwright import catalogue
from floorwright.basis.errors import InputError
from formula import check_working

ODD: list[Any] = [
    None, True, 0, -1, 1e308, 1e-300, 10**400, float("nan"), float("inf"), "", "x", "5", "5 kg", "1/0 in",
    "9" * 400, "\u0000", [], [[]], ["a"], {}, {"a": 1},
]  # fmt: skip
MORE: dict[str, list[dict[str, Any]]] = {
    "queue": [{"model": "M/M/c", "arrival_rate": "3/h", "service_rate": "2/h", "servers": 3}],
    "work_sampling": [{"proportion": 0.3, "absolute_error": 0.05, "confidence": 0.9}],
    "from_to": [{"distances": {"names": ["a", "b"], "rows": [[0, 1], [2, 0]]}, "routes": [["a", "b"]]}],
    "control_chart": [
        {"kind": "p", "data": [3, 4, 5], "sizes": [50, 60, 50]},
        {"kind": "xbar_s", "data": [["1 s", "2 s"], ["3 s", "4 s"]], "specification": {"lower": "0 s"}},
    ],
}
NAMES = (
    "time_study", "sample_size", "work_sampling", "learning", "takt", "from_to", "lift", "lift_job", "queue",
    "reorder", "control_chart",
)  # fmt: skip


def places(value: Any, here: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    if here:
        yield here
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, part in parts:
        yield from places(part, (*here, key))


def spoiled(given: dict[str, Any], place: tuple[Any, ...], odd: Any) -> dict[str, Any]:
    result = copy.deepcopy(given)
    inner: Any = result
    for key in place[:-1]:
        inner = inner[key]
    inner[place[-1]] = odd
    return result


@pytest.mark.parametrize("name", NAMES)
def test_odd_input_is_answered_or_named(name: str) -> None:
    found = catalogue.calculation(name)
    answered = refused = 0
    unnamed = []
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
                    answered += 1
                    json.dumps(outcome.to_record(name), allow_nan=False)
                    check_working(outcome.working)
    assert not unnamed
    assert refused > answered
