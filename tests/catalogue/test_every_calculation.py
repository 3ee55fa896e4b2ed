"""What must hold for every calculation of the catalogue, whatever it works out."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from floorwright import catalogue
from floorwright.basis.errors import InputError
from floorwright.basis.outcome import Outcome
from floorwright.basis.sources import SOURCES
from floorwright.basis.working import working_text
from formula import check_working

NAMES = catalogue.names()


@pytest.fixture(params=NAMES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def example(name: str) -> Outcome:
    found = catalogue.calculation(name)
    return found(found.example)


def test_example_runs_and_is_plain_json(name: str) -> None:
    record = example(name).to_record(name)
    assert list(record) == ["calculation", "results", "checks", "working", "warnings", "sources"]
    assert json.loads(json.dumps(record, allow_nan=False)) == record
    assert record["results"]


def test_every_formula_gives_its_number(name: str) -> None:
    assert check_working(example(name).working) > 0


def test_every_source_is_in_the_register(name: str) -> None:
    outcome = example(name)
    named = {step.source for step in outcome.working.steps if step.source}
    named |= set(outcome.sources) | {check.source for check in outcome.checks}
    assert outcome.sources
    for id_ in named:
        assert id_ in SOURCES, f"{name} names the source '{id_}', which the register does not hold"


def test_explanation_reads_from_given_to_result(name: str) -> None:
    text = working_text(example(name).working, ["source"])
    assert text.index("Given") < text.index("Working") < text.index("Sources")


def test_schema_describes_every_field_and_refuses_others(name: str) -> None:
    schema = catalogue.calculation(name).schema()
    assert schema["title"] == name
    assert schema["$schema"].endswith("2020-12/schema")
    assert schema["additionalProperties"] is False
    for field, about in schema["properties"].items():
        assert about.get("description"), f"{name}.{field} has no description in its schema"
    assert schema["examples"]


def test_unknown_field_is_named(name: str) -> None:
    found = catalogue.calculation(name)
    with pytest.raises(InputError) as caught:
        found(dict(found.example) | {"colour": "green"})
    (problem,) = caught.value.problems
    assert problem.field == "colour"
    assert "is not a field here" in problem.message


def test_every_missing_field_is_named_at_once(name: str) -> None:
    with pytest.raises(InputError) as caught:
        catalogue.calculation(name)({})
    for problem in caught.value.problems:
        assert problem.value is None
        assert problem.message.strip()


def spoiled(value: Any) -> Any:
    return math.nan if not isinstance(value, (list, dict)) else "not this"


def test_a_value_of_the_wrong_kind_is_named(name: str) -> None:
    found = catalogue.calculation(name)
    for field, value in found.example.items():
        with pytest.raises(InputError) as caught:
            found(dict(found.example) | {field: spoiled(value)})
        assert any(problem.field.startswith(field) for problem in caught.value.problems), field


def test_same_input_same_answer(name: str) -> None:
    assert example(name).to_record(name) == example(name).to_record(name)


def test_us_units_say_the_same(name: str) -> None:
    outcome = example(name)
    assert set(outcome.to_record(name, "us")["results"]) == set(outcome.to_record(name, "si")["results"])
