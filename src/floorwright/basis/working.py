"""The working of a calculation as data: what was given, what was assumed, each step, with its source.

The number of a step comes from ordinary typed code; the formula beside it is for the reader. A test
evaluates every formula text with the numbers put in and fails when text and number differ. In a formula
one may use + - * / **, brackets, numbers, the symbols given before, and these functions: sqrt, log, exp,
abs, min, max, ceil, floor, sum, mean, sd (n - 1), count, z(p) and t(p, df) (quantiles of the normal and
Student distributions).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from floorwright.basis.quantity import plain_number

Number = float | int
Value = Number | tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Given:
    """A number that was put in: its symbol, value in `unit`, and meaning in words."""

    symbol: str
    value: Value
    unit: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the working.

    Attributes:
        symbol: what the line works out.
        formula: how, in the symbols given before; "" for a step that no line of algebra can show
            (an exact test, a search), which `note` then describes.
        value: the result, in `unit`.
        unit: unit of the result, "" for a plain number.
        meaning: what it is, in words.
        source: id in the register of sources, or "" where it is plain arithmetic.
        note: what a reader needs beside the formula.
    """

    symbol: str
    formula: str
    value: Value
    unit: str
    meaning: str
    source: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """The whole working of one calculation."""

    title: str
    given: tuple[Given, ...] = ()
    assumptions: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()

    def to_record(self) -> list[dict[str, Any]]:
        """The working as the interfaces send it: one entry a line, in reading order."""
        lines: list[dict[str, Any]] = [
            {"kind": "given", "symbol": g.symbol, "value": g.value, "unit": g.unit, "meaning": g.meaning}
            for g in self.given
        ]
        lines += [{"kind": "assumption", "meaning": text} for text in self.assumptions]
        lines += [
            {
                "kind": "step",
                "symbol": step.symbol,
                "formula": step.formula,
                "value": step.value,
                "unit": step.unit,
                "meaning": step.meaning,
                "source": step.source,
                "note": step.note,
            }
            for step in self.steps
        ]
        return lines

    def put_in(self, step: Step) -> str:
        """The formula of a step with the numbers in place of the symbols."""
        known: dict[str, Value] = {g.symbol: g.value for g in self.given}
        for earlier in self.steps:
            if earlier is step:
                break
            known[earlier.symbol] = earlier.value

        def number(match: re.Match[str]) -> str:
            word = match.group(0)
            if word not in known:
                return word
            text = show_value(known[word])
            return f"({text})" if text.startswith("-") else text

        # The look-behind keeps the e of 1e-9 from being read as a symbol.
        return re.sub(r"(?<![\w.])[^\W\d]\w*(?!\w*\()", number, step.formula)


def show_value(value: Value, digits: int = 4) -> str:
    """A value of the working for people; a long list is shown by its ends."""
    if isinstance(value, tuple):
        shown = [plain_number(x, digits) for x in (value if len(value) <= 6 else (*value[:4], value[-1]))]
        if len(value) > 6:
            shown.insert(4, "...")
        return "[" + ", ".join(shown) + "]"
    if isinstance(value, int):
        return f"{value:,}"
    if value != 0 and abs(value) < 1e-4:
        return f"{value:.{digits - 1}e}"
    return plain_number(value, digits)


def working_text(working: Working, sources: Sequence[str] = ()) -> str:
    """The working as plain text: symbols, then numbers, then the result, so that a reader can check by hand."""
    lines = [working.title, "=" * len(working.title)]
    if working.given:
        lines += ["", "Given"]
        lines += [
            f"  {g.symbol} = {show_value(g.value)} {g.unit}".rstrip() + f"   {g.meaning}" for g in working.given
        ]
    if working.assumptions:
        lines += ["", "Taken for granted"]
        lines += [f"  - {text}" for text in working.assumptions]
    if working.steps:
        lines += ["", "Working"]
    for step in working.steps:
        lines.append(f"  {step.meaning}")
        result = f"{show_value(step.value)} {step.unit}".rstrip()
        if step.formula:
            lines.append(f"    {step.symbol} = {step.formula}")
            lines.append(f"      = {working.put_in(step)}")
            lines.append(f"      = {result}")
        else:
            lines.append(f"    {step.symbol} = {result}")
        if step.note:
            lines.append(f"      {step.note}")
        if step.source:
            lines.append(f"      [{step.source}]")
    if sources:
        lines += ["", "Sources"]
        lines += [f"  {text}" for text in sources]
    return "\n".join(lines)
