"""Whatever stands in whatever place of an input, a calculation works it out or refuses it in a sentence."""

from __future__ import annotations

import contextlib
import copy
import json
from collections.abc import Iterator
from typing import Any

import pytest

from floorwright import catalogue
from floorwright.basis.errors import FloorwrightError

HUGE = 10**400  # a whole number that no floating point number can hold
STRANGE: list[Any] = [
    HUGE,
    -HUGE,
    2**63,
    float("nan"),
    float("inf"),
    -0.0,
    5e-324,
    1e-30,
    1e15,
    1e308,
    -1,
    0,
    "",
    "1e999",
    "9" * 400,
    "\x00",
    None,
    True,
    [],
    {},
    [[]],
    {"a": 1},
]


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every place of an input; of a long list its first three."""
    yield path
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from places(inner, (*path, name))
    elif isinstance(value, list):
        for i, inner in enumerate(value[:3]):
            yield from places(inner, (*path, i))


def with_value(raw: Any, path: tuple[Any, ...], value: Any) -> Any:
    """The input with another value in one place."""
    if not path:
        return value
    found = copy.deepcopy(raw)
    inner = found
    for part in path[:-1]:
        inner = inner[part]
    inner[path[-1]] = value
    return found


@pytest.mark.parametrize("name", catalogue.names())
def test_no_value_in_any_place_makes_a_fault(name: str) -> None:
    calculation = catalogue.calculation(name)
    example = json.loads(json.dumps(dict(calculation.example)))
    left_out = [(field,) for field in calculation.input.model_fields if field not in example]
    for path in [*places(example), *left_out]:
        for value in STRANGE:
            raw = with_value(example, path, value)
            with contextlib.suppress(FloorwrightError):
                record = calculation(raw).to_record(name)
                assert json.dumps(record, allow_nan=False), f"{path}: {value!r}"
