"""How a calculation is declared: once, with its input model; list, schema, explanation, route and docs follow."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import as_typed, problems_of, readable_fields, top_level
from floorwright.basis.outcome import Outcome

Model = TypeVar("Model", bound=BaseModel)


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculation(Generic[Model]):
    """One calculation of the catalogue.

    Attributes:
        name: as in the contract.
        title: a few words.
        question: what it answers, one line, for the list.
        input: the pydantic model of its input (see `fields`).
        run: validated input -> Outcome; pure. It refuses whatever `cross_checks` finds.
        example: an input that works, shown in the docs and tested.
        cross_checks: what is wrong between fields, from those that can be read (see `readable_fields`), so that
            it is told together with the fields that are wrong by themselves.
    """

    name: str
    title: str
    question: str
    input: type[Model]
    run: Callable[[Model], Outcome]
    example: Mapping[str, Any]
    cross_checks: Callable[[Mapping[str, Any]], Iterable[Problem]] | None = None

    def schema(self) -> dict[str, Any]:
        """JSON Schema (draft 2020-12) of the input."""
        schema = self.input.model_json_schema(mode="validation")
        return (
            {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": self.name}
            | schema
            | {
                "title": self.name,
                "description": self.question,
                "examples": [dict(self.example)],
            }
        )

    def __call__(self, raw: object) -> Outcome:
        """Validate raw input and run.

        Raises:
            InputError: listing every field that is wrong.
        """
        if not isinstance(raw, Mapping):
            raise InputError.of("", raw, f"{self.name} needs a JSON object with its fields")
        try:
            return self.run(self._parsed(raw))
        except InputError as error:
            raise InputError(as_typed(problem, raw) for problem in error.problems) from None

    def _parsed(self, raw: Mapping[str, Any]) -> Model:
        try:
            return self.input.model_validate(dict(raw))
        except ValidationError as error:
            found = problems_of(error, self.input)
            if self.cross_checks is not None:
                wrong = {top_level(problem.field) for problem in found}
                between = self.cross_checks(readable_fields(error, self.input, raw))
                found += [problem for problem in between if top_level(problem.field) not in wrong]
            raise InputError(found) from None
