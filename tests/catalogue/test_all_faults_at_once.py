"""Bad input is told all at once, what is wrong between fields too, with every value as it was typed."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints
from floorwright import catalogue
from floorwright.basis.errors import InputError

NO_PER_CENT = {"confidence": 95}
PIECES = {"a": {"b": 10}}
CANDIDATE = {"name": "cart", "value": 5, "cost": 1}
SERIES = [61.0, 62.0, 60.0]


@pytest.mark.parametrize(
    ("name", "given", "fields"),
    [
        ("sample_size", NO_PER_CENT | {"relative_error": 0.05, "distribution": "t"}, {"confidence", "times"}),
        (
            "sample_size",
            NO_PER_CENT | {"relative_error": 0.05, "distribution": "t", "mean": 4},
            {"confidence", "sd", "pilot"},
        ),
        ("sample_size", {"times": [4, 5], "sd": 1, "distribution": "t"}, {"relative_error", "confidence", "sd"}),
        (
            "sample_size",
            {"times": [4, -5], "confidence": 0.95, "relative_error": 0.05, "distribution": "t"},
            {"times[1]"},
        ),
        (
            "from_to",
            {"distances": PIECES, "trips": [["a", "b", 1], ["a", "paint", 2]], "speed": 0},
            {"speed", "trips[1]"},
        ),
        ("from_to", {"distances": PIECES, "routes": [["a", "paint"]], "pace": 1}, {"pace", "routes"}),
        ("from_to", {"distances": PIECES, "speed": 0}, {"speed", "trips"}),
        ("from_to", {"distances": PIECES, "trips": [["a", "b", -1]], "speed": 0}, {"speed", "trips[0][2]"}),
        (
            "choose",
            {"improvements": [CANDIDATE, CANDIDATE | {"needs": ["labels"]}], "budget": -1},
            {"budget", "improvements[0].name", "improvements[1].name", "improvements[1].needs[0]"},
        ),
        (
            "queue",
            {"model": "M/M/1", "arrival_rate": "4 kg", "service_rate": "30/h", "servers": 2, "population": 5},
            {"arrival_rate", "servers", "population"},
        ),
        (
            "queue",
            {"model": "M/M/c", "arrival_rate": "70/h", "service_rate": "30/h", "servers": 2, "population": 0},
            {"population", "arrival_rate"},
        ),
        (
            "queue",
            {"model": "finite_source", "arrival_rate": "4/h", "service_rate": 0},
            {"service_rate", "population"},
        ),
        (
            "compare",
            NO_PER_CENT | {"kind": "counts", "before": SERIES, "after": SERIES},
            {"confidence", "before", "after"},
        ),
        ("compare", {"kind": "counts", "before": SERIES, "after": {"events": 1}}, {"before", "after.exposure"}),
        (
            "compare",
            {"kind": "counts", "before": {"events": 1, "exposure": 0}, "after": {"events": -1, "exposure": 2}},
            {"before.exposure", "after.events"},
        ),
        (
            "compare",
            NO_PER_CENT | {"kind": "times", "before": ["60 s", "-5 s"], "after": ["40 s", "41 s"]},
            {"confidence", "before[1]"},
        ),
        (
            "compare",
            {"kind": "times", "before": SERIES, "after": SERIES, "before_strata": [1], "after_strata": ["x"] * 3},
            {"before_strata[0]"},
        ),
        ("compare", {"kind": "seconds", "before": SERIES, "after": [1.0]}, {"kind"}),
        (
            "control_chart",
            {"kind": "p", "data": [1, 2, 1], "sizes": [10, 10], "baseline": 9, "rules": "all of them"},
            {"rules", "sizes", "baseline"},
        ),
    ],
)
def test_what_is_wrong_between_fields_is_told_with_the_rest(
    name: str, given: dict[str, Any], fields: set[str]
) -> None:
    assert set(complaints(name, given)) == fields


@pytest.mark.parametrize(
    ("name", "given", "typed"),
    [
        ("queue", {"model": "M/M/1", "arrival_rate": "40/h", "service_rate": "30/h"}, {"arrival_rate": "40/h"}),
        ("compare", {"kind": "times", "before": [41.5], "after": SERIES}, {"before": [41.5]}),
        ("compare", {"kind": "paired", "before": SERIES, "after": [1, 2]}, {"after": [1, 2]}),
        (
            "compare",
            {
                "kind": "counts",
                "before": {"events": 2, "exposure": "0 h"},
                "after": {"events": 1, "exposure": "2 h"},
            },
            {"before.exposure": "0 h"},
        ),
        ("control_chart", {"kind": "p", "data": [1, 2, 1], "sizes": [10, 11]}, {"sizes": [10, 11]}),
        ("from_to", {"distances": PIECES, "trips": [["a", "paint", 2]]}, {"trips[0]": ["a", "paint", 2]}),
        (
            "sample_size",
            {"times": [4, 5], "sd": "1 s", "relative_error": "5 %", "confidence": "95 %", "distribution": "t"},
            {"sd": "1 s"},
        ),
        (
            "sample_size",
            {"mean": "4 s", "relative_error": "5 %", "confidence": "95 %", "distribution": "normal"},
            {"sd": None},
        ),
    ],
)
def test_the_value_is_what_was_typed(name: str, given: dict[str, Any], typed: dict[str, Any]) -> None:
    with pytest.raises(InputError) as caught:
        catalogue.calculation(name)(given)
    assert {problem.field: problem.value for problem in caught.value.problems} == typed


def test_a_long_list_is_shown_by_its_first_entries() -> None:
    with pytest.raises(InputError) as caught:
        catalogue.calculation("compare")({"kind": "paired", "before": SERIES, "after": list(range(500))})
    assert caught.value.problems[0].value == list(range(20))
