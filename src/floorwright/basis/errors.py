"""Every error that floorwright raises on purpose.

FloorwrightError
├── InputError          what was given cannot be used; lists every field that is wrong
├── NoFeasibleError     the question has no answer under the limits given
├── SourceMissingError  a source id that the register does not hold
├── NotFoundError       a record that the shop does not have
├── ConflictError       somebody else changed the record meanwhile
├── AccessError         who asks is not known, or may not do this
├── UnstableError       a frame moves without resistance; says which node and how
├── StoreError          the shop folder cannot be opened, read or written
│   └── BusyError       somebody else has been writing for a while; the same may be tried again
└── InternalFault       a result failed its own check; nothing was given out
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from floorwright.basis.sentence import Sentence, joined


class FloorwrightError(Exception):
    """Base of all errors that carry one plain sentence for the person who uses the tool."""


def json_safe(value: Any) -> Any:
    """The value as JSON can hold it, cut to 20 entries: an error shows what was given, whatever it was."""
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    if isinstance(value, (str, int, float, bool)) or value is None:
        return value
    if isinstance(value, (list, tuple)):
        return [json_safe(part) for part in value[:20]]
    if isinstance(value, dict):
        return {str(key): json_safe(part) for key, part in list(value.items())[:20]}
    return str(value)


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong with what was given.

    Attributes:
        field: where, as the user named it (`tasks[0].load`, `row 12, column "seconds"`).
        value: what stood there, as given; None when it is missing.
        message: what is wrong and what would be right, as the rest of a sentence after the field.
    """

    field: str
    value: Any
    message: str

    def sentence(self) -> str:
        """The field and its message as one sentence."""
        parts = {"field": self.field, "message": self.message}
        stop = "" if self.message.endswith((".", "?", "!")) else "."
        return Sentence(("{field}: {message}" if self.field else "{message}") + stop, parts)

    def to_record(self) -> dict[str, Any]:
        """The problem as the interfaces send it."""
        return {"field": self.field, "value": json_safe(self.value), "message": self.message}


class InputError(FloorwrightError):
    """Input that cannot be used. Holds all problems at once, so that a form can mark every field."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(joined(problem.sentence() for problem in self.problems))

    @classmethod
    def of(cls, field: str, value: Any, message: str) -> InputError:
        """An error about a single field."""
        return cls([Problem(field, value, message)])

    def to_record(self) -> dict[str, Any]:
        """The one shape of an error in JSON, on the command line and over HTTP."""
        return {"error": {"fields": [problem.to_record() for problem in self.problems]}}


class NoFeasibleError(FloorwrightError):
    """Nothing satisfies the limits given; the text says which limit stands in the way."""


class SourceMissingError(FloorwrightError):
    """A source id that the register of sources does not hold."""


class NotFoundError(FloorwrightError):
    """The shop has no such record."""


class ConflictError(FloorwrightError):
    """The record was changed by somebody else after it was read."""


class AccessError(FloorwrightError):
    """Who asks is not known to the shop, or has too small a role for what is asked.

    Attributes:
        known: whether the shop knows who asks; then it is the role that does not reach.
        wait_s: seconds after which another try makes sense; 0 where waiting does not help.
    """

    def __init__(self, message: str, *, known: bool = False, wait_s: int = 0) -> None:
        self.known = known
        self.wait_s = wait_s
        super().__init__(message)


class StoreError(FloorwrightError):
    """The shop folder cannot be opened, read or written; the text says why and what to do."""


class BusyError(StoreError):
    """Somebody else has been writing to the shop for longer than one waits; nothing was stored, try again.

    Attributes:
        wait_s: seconds after which another try makes sense.
    """

    def __init__(self, message: str, *, wait_s: int = 5) -> None:
        self.wait_s = wait_s
        super().__init__(message)


class UnstableError(FloorwrightError):
    """A frame that moves without resistance.

    Attributes:
        node: the node that moves most; None where the whole frame moves.
        direction: how: "moves along x", "turns about z".
    """

    def __init__(self, message: str, *, node: str | None, direction: str) -> None:
        self.node = node
        self.direction = direction
        super().__init__(message)


class InternalFault(FloorwrightError):  # noqa: N818  a fault of floorwright, not of what it was given
    """A result of floorwright failed the check that every result of its kind has to pass."""
