"""How a pattern is declared: once, with its spec; list, form, example and checks follow."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from pydantic import ValidationError

from floorwright.basis.check import Check
from floorwright.basis.errors import InputError
from floorwright.basis.fields import as_typed, problems_of
from floorwright.basis.proposal import Caution, Effect
from floorwright.basis.working import Working
from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.spec import AidSpec

Spec = TypeVar("Spec", bound=AidSpec)


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """What a pattern adds to the checks of every aid."""

    checks: tuple[Check, ...] = ()
    workings: tuple[Working, ...] = ()
    effects: tuple[Effect, ...] = ()
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern(Generic[Spec]):
    """A kind of shop aid.

    Attributes:
        name: as in the spec ("panel_cart").
        title: a few words; question: what it is for, one line.
        spec: the pydantic model of its spec.
        lay_out: spec -> layout; raises InputError for sizes that cannot be built.
        own: what only this pattern checks (slots, cradles, springs), from spec and layout.
        example: a spec with comments, TOML, that works; what `aid example` prints.
    """

    name: str
    title: str
    question: str
    spec: type[Spec]
    lay_out: Callable[[Spec], Layout]
    example: str
    own: Callable[[Spec, Layout], Findings] = field(default=lambda spec, layout: Findings())

    def read(self, raw: Mapping[str, Any]) -> Spec:
        """A spec from plain data.

        Raises:
            InputError: listing every field that is wrong.
        """
        try:
            return self.spec.model_validate(dict(raw))
        except ValidationError as error:
            found = problems_of(error, self.spec)
            raise InputError(as_typed(problem, raw) for problem in found) from None
