"""Make text fit its place: cleaned, shortened where it is too long, and breakable where one word is too wide.

Nothing that was shortened is lost: the whole of it is kept and printed on the sheets after the first.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Final

from floorwright.basis.sentence import Sentence
from floorwright.draw.text import clean, shorten

_MAY_BREAK: Final = "\u200b"
_SUPERSCRIPT: Final = str.maketrans("0123456789-−", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁻")


@dataclass(slots=True)
class Fitter:
    """Fits the texts of one page and remembers in full those it had to shorten."""

    in_full: list[tuple[str, str]] = field(default_factory=list)

    def __call__(self, text: str, most: int, where: str, *, widest: int = 22) -> str:
        """The text in at most `most` characters; no word runs on for more than `widest` without a break."""
        whole = clean(text)
        short = shorten(whole, most)
        if short != whole and (where, whole) not in self.in_full:
            self.in_full.append((where, whole))
        return breakable(short, widest)


def breakable(text: str, widest: int = 22) -> str:
    """The text with places to break inside words longer than `widest` characters."""
    return re.sub(rf"\S{{{widest + 1},}}", lambda word: _MAY_BREAK.join(word.group(0)), text)


def true_minus(text: str) -> str:
    """The text with a true minus sign before its numbers; hyphens in words and dates stay."""
    if isinstance(text, Sentence):
        return text.with_values(true_minus)
    return re.sub(r"(?<![\w.)])-(?=[\d.])", "−", text)


def figures(text: str) -> str:
    """Numbers in a text as people write them: `-1.8` with a true minus sign, `5.35e-11` as `5.35 × 10⁻¹¹`."""
    return re.sub(
        r"(?<=\d)e([+-]?)0*(\d+)\b",
        lambda power: f" × 10{f'{power[1]}{power[2]}'.lstrip('+').translate(_SUPERSCRIPT)}",
        true_minus(text),
    )


def formula_text(formula: str) -> str:
    """A formula of the working as people write it: `G*d**4/(8*D**3)` becomes `G·d⁴/(8·D³)`."""
    shown = figures(clean(formula))
    shown = re.sub(r"\*\*\s*([-−]?\d+)(?![\d.])", lambda power: power.group(1).translate(_SUPERSCRIPT), shown)
    shown = shown.replace("**", "^").replace("*", "·").replace("sqrt(", "√(").replace("-", "−")
    return re.sub(r"([·/+−,])(?=\S)", rf"\1{_MAY_BREAK}", shown)
