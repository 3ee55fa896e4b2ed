"""What a person sent with a form: checked to be the app's own, and read field by field."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Annotated, Final

from fastapi import Depends, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.sentence import said
from floorwright.web import words
from floorwright.web.desk import desk
from floorwright.web.guard.csrf import FIELD, check_form, check_own_page
from floorwright.web.guard.limits import MB
from floorwright.web.guard.visitors import visitor
from floorwright.web.record_words import problem_words

OPEN_DOORS: Final = frozenset({"/pair", "/sign-in", "/sign-out", "/language"})
"""Forms that somebody sends whom the shop does not know yet, or no more."""


@dataclass(frozen=True, slots=True)
class Posted:
    """A form that is the app's own."""

    data: FormData

    def text(self, name: str) -> str:
        """A field without surrounding space; "" where it is missing."""
        value = self.data.get(name)
        return value.strip() if isinstance(value, str) else ""

    def texts(self, name: str) -> list[str]:
        """Every value of a field that may come several times."""
        return [value.strip() for value in self.data.getlist(name) if isinstance(value, str)]

    def number(self, name: str) -> int:
        """A whole number. Raises InputError."""
        text = self.text(name)
        try:
            return int(text)
        except ValueError:
            raise InputError.of(name, text, said("'{text}' should be a whole number", text=text)) from None

    def file(self, name: str) -> UploadFile | None:
        """A file that was chosen; None where none was."""
        value = self.data.get(name)
        return value if isinstance(value, UploadFile) and value.filename else None

    def files(self, name: str) -> list[UploadFile]:
        """All files that were chosen."""
        return [each for each in self.data.getlist(name) if isinstance(each, UploadFile) and each.filename]

    def values(self) -> dict[str, str]:
        """Every field of text, to show again what was typed."""
        return {key: value for key, value in self.data.items() if isinstance(value, str) and key != FIELD}


async def posted(request: Request) -> AsyncIterator[Posted]:
    """The form of a request; its files are closed when it is answered. Raises AccessError for a foreign form."""
    # Before anything of the body is read: another site's page, or a stranger, must not fill this computer's disk.
    check_own_page(request.headers)
    if request.url.path not in OPEN_DOORS:
        await run_in_threadpool(visitor, request)
    data = await request.form(max_files=40, max_fields=2000, max_part_size=2 * MB)
    try:
        given = data.get(FIELD)
        check_form(request, desk(request).key, given if isinstance(given, str) else "")
        yield Posted(data)
    finally:
        await data.close()


Form = Annotated[Posted, Depends(posted)]


@dataclass(frozen=True, slots=True)
class Filled:
    """What a form shows: values, and beside each field what is wrong with it."""

    values: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()

    def value(self, name: str, otherwise: str = "") -> str:
        """What stands in a field."""
        return self.values.get(name, otherwise)

    def wrong(self, name: str) -> str:
        """What is wrong with a field; "" where nothing is."""
        return " ".join(words.said(each.message) for each in self.problems if belongs(each, name))

    def elsewhere(self, names: Iterable[str]) -> list[str]:
        """Sentences about what none of these fields shows."""
        known = list(names)
        return [problem_words(each) for each in self.problems if not any(belongs(each, name) for name in known)]


def belongs(problem: Problem, name: str) -> bool:
    """Whether a problem is about a field: `cost.material` is about `cost.material`, `rates[0]` about `rates`."""
    return problem.field == name or problem.field.startswith((f"{name}.", f"{name}["))
