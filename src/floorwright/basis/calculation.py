"""How a calculation is declared: once, with its input model; list, schema, explanation, route and docs follow."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from floorwright.basis.errors import InputError
from floorwright.basis.fields import problems_of
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
        run: validated input -> Outcome; pure.
        example: an input that works, shown in the docs and tested.
    """

    name: str
    title: str
    question: str
    input: type[Model]
    run: Callable[[Model], Outcome]
    example: Mapping[str, Any]

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
            parsed = self.input.model_validate(dict(raw))
        except ValidationError as error:
            raise InputError(problems_of(error, self.input)) from None
        return self.run(parsed)
