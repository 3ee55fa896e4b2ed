"""Text for pictures and paper: what people typed, made safe to draw, and numbers as people read them."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Callable
from typing import Final

Say = Callable[[str], str]
"""Gives a sentence in the language of the picture."""

# Characters that turn the reading direction of everything after them; a name never needs one.
_DIRECTION_OVERRIDES: Final = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
# Control characters, halves of a surrogate pair and code points that no standard has given a meaning.
_UNDRAWABLE: Final = frozenset({"Cc", "Cs", "Cn"})


def clean(text: str) -> str:
    """The text on one line, composed (NFC), without control characters, which neither SVG nor PDF may hold."""
    kept = (
        " " if char.isspace() else char
        for char in unicodedata.normalize("NFC", text)
        if char.isspace()
        or (
            unicodedata.category(char) not in _UNDRAWABLE
            and char not in _DIRECTION_OVERRIDES
            and char not in "\ufeff\ufffc"
        )
    )
    return " ".join("".join(kept).split())


def shorten(text: str, most: int) -> str:
    """At most `most` characters, cut after a word where one ends near the limit, with an ellipsis."""
    if len(text) <= most:
        return text
    cut = text[: most - 1]
    space = cut.rfind(" ")
    return (cut[:space] if space > most * 0.6 else cut).rstrip(" ,;:.-") + "…"


def decimals_for(*values: float, digits: int = 3) -> int:
    """How many decimals numbers that stand together share: `digits` figures of the largest, none if all whole."""
    if all(value == round(value) for value in values):
        return 0
    largest = max(abs(value) for value in values)
    return min(max(0, digits - 1 - math.floor(math.log10(largest))), 9)


def number_text(value: float, decimals: int | None = None) -> str:
    """A number with thousands parted and a true minus sign; three significant figures unless told."""
    shown = f"{value:,.{decimals_for(value) if decimals is None else decimals}f}"
    if not shown.strip("-0.,"):
        shown = shown.lstrip("-")
    return shown.replace("-", "−")


def money_text(value: float, currency: str) -> str:
    """An amount in whole units of a currency: `$1,840`, `1,840 zł`, `−$300`."""
    amount = f"{abs(round(value)):,}"
    sign = "−" if round(value) < 0 else ""
    if len(currency) == 1:
        return f"{sign}{currency}{amount}"
    return f"{sign}{amount} {currency}".strip()


def count_text(count: int, one: str, many: str) -> str:
    """`1 outlier`, `3 outliers`."""
    return f"{count} {one if count == 1 else many}"
