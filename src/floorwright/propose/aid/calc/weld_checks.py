"""Checks of a weld, each with one plain sentence."""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf
from typing import Final

from floorwright.basis.check import Check, Verdict, judge
from floorwright.basis.quantity import LENGTH, Quantity
from floorwright.propose.aid.calc.weld_input import Weld, WeldInput
from floorwright.propose.aid.calc.weld_parts import SOURCE, Kind, PartUse
from floorwright.propose.aid.joints.fillet import largest_leg_m, least_leg_m

_REMEDY: Final[dict[Kind, str]] = {
    "throat": "make the weld larger or longer",
    "base_metal": "use a thicker wall or a longer weld",
    "hollow_face": "use a thicker wall or a wider branch, or put a plate on the face",
    "effective_weld": "make the weld larger, or use a thicker wall",
}


def checks_of(given: WeldInput, weld: Weld, parts: tuple[PartUse, ...]) -> tuple[Check, ...]:
    """Strength of each part, then the size of the weld."""
    return (*(_strength(given, weld, part) for part in parts), *_sizes(given, weld))


def _strength(given: WeldInput, weld: Weld, part: PartUse) -> Check:
    name = part.name if part.kind != "base_metal" else f"base metal: {part.name}" if weld.walls else "base metal"
    demand: float | None = part.use
    ratio, verdict = (None, "unknown") if demand is None else judge(demand, 1.0)
    if demand is not None and isinf(demand):
        ratio, demand, verdict = None, None, "fails"
    if not weld.loaded:
        demand, ratio, verdict = None, None, "unknown"
    return Check(
        name=name,
        case=given.method,
        demand=demand,
        capacity=None if part.use is None else 0.0 if isinf(part.use) else 1.0,
        ratio=ratio,
        verdict=verdict,
        sentence=_sentence(weld, part, ratio, verdict),
        source=SOURCE[part.kind],
    )


def _sentence(weld: Weld, part: PartUse, ratio: float | None, verdict: Verdict) -> str:
    called = _called(weld, part)
    if part.use is None:
        return f"{called} is not known. {part.missing}"
    if not weld.loaded:
        return f"{called} has no load to bear yet; enter the forces to see how far it is used."
    if ratio is None:
        return "The weld lies on the line that the moment turns about and bears none of it; weld both sides."
    if verdict == "fails":
        return f"{called} is asked {ratio:.2f} times what it bears; {_REMEDY[part.kind]}."
    return f"{called} is used to {100 * ratio:.0f} % of what it bears."


def _called(weld: Weld, part: PartUse) -> str:
    match part.kind:
        case "throat":
            return "The throat of the weld"
        case "base_metal":
            return f"The metal of {part.name} beside the weld" if weld.walls else "The metal beside the weld"
        case "hollow_face":
            return "The face of the hollow section"
        case _:
            return "The weld, where the face is stiff enough to load it,"


def _sizes(given: WeldInput, weld: Weld) -> Iterator[Check]:
    legs = [line.size for line in given.group] if given.group is not None else [given.size or 0.0]
    smallest, largest = min(legs), max(legs)
    if weld.walls:
        thinner = min(wall.thickness_m for wall in weld.walls)
        least = least_leg_m(thinner)
        yield _size("least leg", least, smallest, "aisc_360_j2" if thinner > least else "aws_d1_1", least=True)
    else:
        yield Check(
            name="least leg",
            case="size of the weld",
            demand=None,
            capacity=Quantity(smallest, LENGTH),
            ratio=None,
            verdict="unknown",
            sentence="The least leg depends on the thinner part; enter the walls.",
            source="aisc_360_j2",
        )
    for wall, edge in zip(weld.walls, weld.edges, strict=True):
        if edge:
            most = largest_leg_m(wall.thickness_m)
            yield _size(f"largest leg on the edge of {wall.name}", largest, most, "aisc_360_j2", least=False)


def _size(name: str, demand: float, capacity: float, source: str, *, least: bool) -> Check:
    """A leg against its limit: sizes are steps of a table, so at the limit is ok, not close."""
    fits = demand <= capacity * (1 + 1e-9)
    shown = f"{1e3 * (demand if least else capacity):.3g} mm ({(demand if least else capacity) / 0.0254:.3g} in)"
    if fits:
        sentence = f"The leg keeps the {name} of {shown}."
    elif least:
        sentence = f"The leg is below the least of {shown} for these walls; a small weld may crack as it cools."
    else:
        sentence = f"The leg is above {shown}, the most that this edge can carry."
    return Check(
        name=name,
        case="size of the weld",
        demand=Quantity(demand, LENGTH),
        capacity=Quantity(capacity, LENGTH),
        ratio=demand / capacity,
        verdict="ok" if fits else "fails",
        sentence=sentence,
        source=source,
    )
