"""Checks of a weld, each with one plain sentence."""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf

from floorwright.basis.check import Check, Verdict, judge
from floorwright.basis.quantity import LENGTH, Quantity
from floorwright.basis.sentence import Sentence, said
from floorwright.propose.aid.calc.weld_input import Weld, WeldInput
from floorwright.propose.aid.calc.weld_parts import SOURCE, PartUse
from floorwright.propose.aid.joints.fillet import largest_leg_m, least_leg_m


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
        sentence=_sentence(weld, part, name, ratio, verdict),
        source=SOURCE[part.kind],
    )


def _sentence(weld: Weld, part: PartUse, name: str, ratio: float | None, verdict: Verdict) -> Sentence:
    called = name[0].upper() + name[1:]
    if part.use is None:
        return said("{what} is not known. {missing}", what=called, missing=part.missing)
    if not weld.loaded:
        return said("No force is given; enter one to see how far it is used: {what}.", what=name)
    if ratio is None:
        return said("The weld lies on the line that the moment turns about and bears none of it; weld both sides.")
    percent = f"{100 * ratio:.0f}"
    if verdict == "fails":
        remedy = (
            "use a thicker wall or a longer joint" if part.kind != "throat" else "make the weld larger or longer"
        )
        return said(
            "{what} is used to {percent} % of its strength: {remedy}.", what=called, percent=percent, remedy=remedy
        )
    return said("{what} is used to {percent} % of its strength.", what=called, percent=percent)


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
            sentence=said("The least leg depends on the thinner part; enter the walls."),
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
        sentence = said("The leg keeps the {limit} of {size}.", limit=name, size=shown)
    elif least:
        sentence = said(
            "The leg is below the least of {size} for these walls; weld larger or it cools too fast.", size=shown
        )
    else:
        sentence = said("The leg is above {size}, which the edge can bear; it would be burnt away.", size=shown)
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
