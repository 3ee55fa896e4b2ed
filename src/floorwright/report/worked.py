"""The working of a number as the template takes it: a line a step, steps that belong together on one line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from floorwright.draw.text import clean
from floorwright.report.fit import breakable, figures, formula_text
from floorwright.report.page import Source, StepLine, WorkedNumber
from floorwright.report.pictures import Pictures


def lines_of(worked: WorkedNumber, sources: Sequence[Source], pictures: Pictures) -> dict[str, Any]:
    """The working of one number; sources are cited by their place in the list at the end."""
    places = {source.key: str(i) for i, source in enumerate(sources, 1)}
    return {
        "title": _words(worked.title) or "Working",
        "given": [
            {
                "symbol": _words(g.symbol),
                "value": figures(_words(f"{g.value} {g.unit}")),
                "meaning": _words(g.meaning),
            }
            for g in worked.given
        ],
        "assumptions": [_words(text) for text in worked.assumptions],
        "warnings": [_words(text) for text in worked.warnings],
        "steps": [_line(group, places) for group in _together(worked.steps)],
        "checks": [
            {
                "name": _words(c.name),
                "demand": _words(c.demand),
                "capacity": _words(c.capacity),
                "ratio": _words(c.ratio),
                "verdict": _words(c.verdict),
                "sentence": _words(c.sentence),
                "source": _words(places.get(c.source, c.source)),
            }
            for c in worked.checks
        ],
        "pictures": [pictures.drawing(picture) for picture in worked.pictures],
        "picture_words": [_words(text) for text in worked.picture_words],
    }


def _words(text: str) -> str:
    return breakable(clean(text).replace(" - ", " − "))


def _together(steps: Sequence[StepLine]) -> list[list[StepLine]]:
    """Steps that follow one another, show no numbers put in and speak of the same thing share a line."""
    groups: list[list[StepLine]] = []
    for step in steps:
        if groups and _belongs(groups[-1][-1], step):
            groups[-1].append(step)
        else:
            groups.append([step])
    return groups


def _belongs(one: StepLine, other: StepLine) -> bool:
    thing = _thing(one)
    return (
        bool(thing)
        and thing == _thing(other)
        and not one.numbers
        and not other.numbers
        and (one.source, one.note) == (other.source, other.note)
    )


def _thing(step: StepLine) -> str:
    """What a step is of: "mean of readings before" is of "readings before"."""
    return step.meaning.partition(" of ")[2]


def _line(group: Sequence[StepLine], places: Mapping[str, str]) -> dict[str, Any]:
    first = group[0]
    meaning = first.meaning
    if len(group) > 1:
        meaning = f"{', '.join(step.meaning.partition(' of ')[0] for step in group)} of {_thing(first)}"
    return {
        "meaning": _words(meaning),
        "parts": [
            {
                "symbol": _words(step.symbol),
                "formula": formula_text(step.formula),
                "numbers": formula_text(step.numbers) if step.numbers != step.formula else "",
                "result": figures(_words(f"{step.result} {step.unit}")),
            }
            for step in group
        ],
        "source": _words(places.get(first.source, first.source)),
        "note": _words(first.note),
    }
