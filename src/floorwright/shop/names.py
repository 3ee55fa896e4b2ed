"""Names that people give to themselves, their phones and their programs."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from typing import Final

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.sentence import said

LONGEST: Final = 80


def name_of(typed: str, field: str = "name") -> str:
    """A name without blanks around it. Raises InputError when it does not do."""
    problems = list(problems_with_name(typed, field))
    if problems:
        raise InputError(problems)
    return typed.strip()


def problems_with_name(typed: str, field: str = "name") -> Iterator[Problem]:
    """What is wrong with a name."""
    name = typed.strip()
    if not name:
        yield Problem(field, typed, said("is missing"))
    elif len(name) > LONGEST:
        yield Problem(field, typed, said("is too long; at most {most} characters fit", most=LONGEST))
    elif any(unicodedata.category(character) in ("Cc", "Cs", "Zl", "Zp") for character in name):
        yield Problem(field, typed, said("holds a character that cannot be shown; type it again"))
