"""Sentences that are English text and remember how they were put together, so that an interface can say them in
another language.

`said("Watch {what} every {days} days.", what=..., days=7)` is an ordinary str. A catalogue finds its text by the
template, as `gettext` finds any message; the tool that collects messages looks for calls of `said` and `said_n`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Any, Protocol, Self


class Catalogue(Protocol):
    """Messages of a language, as `gettext.NullTranslations` and its children hold them."""

    def gettext(self, message: str, /) -> str:
        """The message in the language; itself where the catalogue lacks it."""

    def ngettext(self, one: str, many: str, n: int, /) -> str:
        """The message in the form that goes with so many."""


class Sentence(str):
    """Text that remembers its template and the values put into it.

    Compares, hashes, formats and serialises as the English text it is; anything done to it (slicing, joining)
    gives a plain str. `str()` of it, and of an error that was raised with it, is the sentence itself.

    Attributes:
        template: the English text with `{names}`.
        values: what was put in, by name; may hold sentences.
        many: the template for any number but one; "" where nothing is counted.
        n: the number that is counted; None where nothing is.
    """

    template: str
    values: Mapping[str, object]
    many: str
    n: int | None

    def __new__(cls, template: str, values: Mapping[str, object], many: str = "", n: int | None = None) -> Self:
        made = super().__new__(cls, cls._shown((template if n is None or n == 1 else many).format(**values)))
        made.template, made.values, made.many, made.n = template, MappingProxyType(dict(values)), many, n
        return made

    @classmethod
    def _shown(cls, text: str) -> str:
        return text

    def __str__(self) -> str:
        return self

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.template, dict(self.values), self.many, self.n)

    def translated(self, catalogue: Catalogue) -> str:
        """The sentence in the language of a catalogue, and with it the sentences inside."""
        if not self.template:
            return ""  # gettext answers "" with the head of the catalogue
        template = (
            catalogue.gettext(self.template)
            if self.n is None
            else catalogue.ngettext(self.template, self.many, self.n)
        )
        values = {
            name: value.translated(catalogue) if isinstance(value, Sentence) else value
            for name, value in self.values.items()
        }
        return self._shown(template.format(**values))

    def with_values(self, change: Callable[[str], str]) -> Self:
        """The same sentence with every text that was put into it changed."""
        values = {name: change(value) if isinstance(value, str) else value for name, value in self.values.items()}
        return type(self)(self.template, values, self.many, self.n)


class _Capital(Sentence):
    """A sentence with a capital at its start, in whatever language it is said."""

    @classmethod
    def _shown(cls, text: str) -> str:
        return text[:1].upper() + text[1:]


def template(text: str) -> str:
    """Marks a template for the catalogue where `said` fills it in later."""
    return text


def said(template: str, /, **values: object) -> Sentence:
    """A sentence from a template with `{names}` and the values of these names."""
    return Sentence(template, values)


def said_n(one: str, many: str, n: int, /, **values: object) -> Sentence:
    """A sentence that counts: `said_n("{n} reading", "{n} readings", have)`."""
    return Sentence(one, values | {"n": n}, many, n)


def capital(text: str) -> str:
    """The text with a capital at its start, where it starts a sentence or a row."""
    if isinstance(text, Sentence):
        return _Capital(text.template, text.values, text.many, text.n)
    return text[:1].upper() + text[1:]


def joined(parts: Iterable[str], between: str = " ") -> Sentence:
    """Sentences one behind the other; each is translated by itself."""
    found = {f"part{i}": part for i, part in enumerate(parts)}
    return Sentence(between.join(f"{{{name}}}" for name in found), found)
