"""The checks of a calculation sheet and their working, every formula as mathematics; sources by number."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any, Final

from floorwright.basis.check import Check
from floorwright.basis.quantity import LENGTH, Quantity, UnitSystem, plain_number
from floorwright.basis.sources import source
from floorwright.basis.working import Given, Value, Working, show_value
from floorwright.draw.text import clean
from floorwright.propose.aid.design import Design
from floorwright.report.fit import breakable, figures, formula_text
from floorwright.report.formula import typeset_formula, typeset_symbol

_RAISED: Final = str.maketrans("234", "²³⁴")
NOTHING: Final = 1e-12
_SEEN: Final = {
    "yes": "values seen in a public copy",
    "memory": "values from memory, recomputed; not seen again",
    "practice": "no published source",
    "own": "arithmetic",
}


@dataclass(slots=True)
class Cited:
    """Numbers the sources in the order in which the sheet names them."""

    ids: list[str] = field(default_factory=list)

    def __call__(self, name: str) -> str:
        """How a source is named: its number in brackets, or in words where there is nothing to look up."""
        if not name or " " in name:
            return name
        found = source(name)
        if found.confirmed in ("practice", "own"):
            return found.citation
        if name not in self.ids:
            self.ids.append(name)
        return f"[{self.ids.index(name) + 1}]"

    def listed(self) -> list[dict[str, str]]:
        """The sources in their order, and how their values were seen."""
        return [
            {
                "key": f"[{i}]",
                "text": breakable(clean(", ".join(part for part in (each.citation, each.where) if part))),
                "seen": _SEEN[each.confirmed],
                "memory": "yes" if each.confirmed == "memory" else "",
            }
            for i, each in enumerate(map(source, self.ids), 1)
        ]


def checks_of(design: Design, cited: Cited) -> list[dict[str, Any]]:
    """Every check as a row."""
    return [_check(i, each.check, design.system, cited) for i, each in enumerate(design.findings, 1)]


def workings_of(design: Design, cited: Cited) -> list[dict[str, Any]]:
    """How the numbers came about: check by check, then what the pattern shows beside its checks."""
    found = [
        {"check": i, **_working(each.working, cited)}
        for i, each in enumerate(design.findings, 1)
        if each.working is not None
    ]
    return found + [{"check": 0, **_working(working, cited)} for working in design.more_workings]


def plain_words(text: str) -> str:
    """A text as it is set: cleaned, with true minus signs and powers, breakable where a word is very long."""
    return _units(figures(breakable(clean(text).replace(" - ", " − "), 30)))


def capital(text: str) -> str:
    """The text with a capital in front."""
    return text[:1].upper() + text[1:]


def _units(text: str) -> str:
    """Units as people write them: `lbf*in` with a dot, `mm2` with a square."""
    dotted = re.sub(r"(?<=[a-zA-Z])\*(?=[a-zA-Z])", "·", text)
    return re.sub(
        r"(?<![\w-])((?:[a-zA-Z]+[/·])?(?:mm|cm|m|in|ft|s))([234])(?![\w.])",
        lambda unit: unit[1] + unit[2].translate(_RAISED),
        dotted,
    )


def _check(number: int, check: Check, system: UnitSystem, cited: Cited) -> dict[str, Any]:
    def shown(side: Quantity | float | None) -> str:
        if side is None:
            return ""
        if not isinstance(side, Quantity):
            return plain_number(side, 3)
        if side.dimension is LENGTH and system == "si" and abs(side.value_si) < 1:
            return f"{plain_number(1000 * side.value_si)} mm"
        return side.text(system)

    return {
        "number": str(number),
        "name": capital(plain_words(check.name)),
        "verdict": check.verdict,
        "ratio": ""
        if check.ratio is None
        else plain_number(check.ratio, 3)
        if check.ratio >= 100
        else f"{check.ratio:.2f}",
        "sentence": plain_words(check.sentence),
        "case": plain_words(check.case),
        "demand": plain_words(shown(check.demand)),
        "capacity": plain_words(shown(check.capacity)),
        "source": cited(check.source),
    }


def _working(working: Working, cited: Cited) -> dict[str, Any]:
    known = {given.symbol: _shown(given.value) for given in working.given}
    steps = []
    for step in working.steps:
        result = plain_words(f"{_shown(step.value)} {step.unit}")
        line: dict[str, Any] = {
            "meaning": plain_words(step.meaning),
            "symbol": _symbol(step.symbol),
            "result": result,
            "note": plain_words(step.note),
            "source": cited(step.source),
            "formula": None,
            "numbers": None,
        }
        if step.formula:
            line["formula"] = {"math": typeset_formula(step.formula), "text": formula_text(step.formula)}
            numbers = typeset_formula(step.formula, known)
            if numbers != line["formula"]["math"]:
                line["numbers"] = {"math": numbers, "text": formula_text(working.put_in(step))}
        steps.append(line)
        known[step.symbol] = _shown(step.value)
    return {
        "title": capital(plain_words(working.title)),
        "given": [_given(given) for given in working.given],
        "assumptions": [plain_words(text) for text in working.assumptions],
        "steps": steps,
    }


def _given(given: Given) -> dict[str, Any]:
    return {
        "symbol": _symbol(given.symbol),
        "value": plain_words(f"{_shown(given.value)} {given.unit}"),
        "meaning": plain_words(given.meaning),
    }


def _shown(value: Value) -> str:
    """A value for people; what rounding has left of nothing is nothing."""
    return "0" if not isinstance(value, tuple) and abs(value) < NOTHING else show_value(value)


def _symbol(name: str) -> dict[str, str]:
    return {"math": typeset_symbol(name), "text": name}
