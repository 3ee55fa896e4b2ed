"""Short ways to run a calculation and to read what it says about bad input."""

from __future__ import annotations

from typing import Any

import pytest

from floorwright import catalogue
from floorwright.basis.errors import InputError
from floorwright.basis.outcome import Outcome


def outcome(name: str, given: dict[str, Any]) -> Outcome:
    return catalogue.calculation(name)(given)


def results(name: str, given: dict[str, Any], units: str = "si") -> dict[str, Any]:
    return outcome(name, given).to_record(name, units)["results"]  # type: ignore[arg-type]


def complaints(name: str, given: object) -> dict[str, str]:
    """Field -> message of everything that is wrong."""
    with pytest.raises(InputError) as caught:
        catalogue.calculation(name)(given)
    return {problem.field: problem.message for problem in caught.value.problems}
