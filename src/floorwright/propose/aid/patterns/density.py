"""How many pieces stand on a square metre of floor, against how they lie today."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from floorwright.basis.check import Check, judge
from floorwright.basis.estimate import Estimate
from floorwright.basis.fields import Input, Measure, Plain, PositiveWhole
from floorwright.basis.proposal import Effect
from floorwright.basis.quantity import AREA, DENSITY_ON_FLOOR, FRACTION
from floorwright.propose.aid.layout import Layout


class Today(Input):
    """How the same pieces lie today."""

    pieces: PositiveWhole = Field(description="pieces that lie there")
    floor_area: Annotated[float, Measure(AREA, above=0)] = Field(
        description="floor that they take, with the gaps that nobody can use"
    )
    within: Annotated[float, Measure(FRACTION, at_least=0, at_most=0.9)] = Field(
        0.1, description="how far their number for each square metre may be off: 10 %"
    )
    aim: Annotated[float, Plain(above=0)] | None = Field(
        None, description="how many times as many pieces the same floor should hold (plain)"
    )

    @property
    def per_m2(self) -> float:
        """Pieces on a square metre."""
        return self.pieces / self.floor_area


def on_floor(pieces: int, layout: Layout) -> float:
    """Pieces on a square metre of the floor that the aid covers with its load."""
    return pieces / (layout.size[0] * layout.size[1])


def density_check(pieces: int, layout: Layout, today: Today | None) -> Check:
    """Whether the same floor holds as many times as many pieces as is aimed for; unknown without today's floor."""
    name, case = "floor", "full, parked"
    if today is None:
        return Check(
            name=name,
            case=case,
            demand=None,
            capacity=None,
            ratio=None,
            verdict="unknown",
            sentence="Not told how the pieces lie today (today.pieces, today.floor_area): nothing to compare with.",
            source="definition",
        )
    times = on_floor(pieces, layout) / today.per_m2
    aim = 1.0 if today.aim is None else today.aim
    ratio, verdict = judge(aim, times)
    return Check(
        name=name,
        case=case,
        demand=aim,
        capacity=times,
        ratio=ratio,
        verdict=verdict,
        sentence=f"The same floor holds {times:.1f} times as many pieces as today; the aim is {aim:g} times.",
        source="definition",
    )


def density_effects(pieces: int, layout: Layout, today: Today | None) -> tuple[Effect, ...]:
    """Pieces on a square metre, and how many times as many as today with the range that today's numbers leave."""
    here = on_floor(pieces, layout)
    found = [
        Effect(
            measure="pieces on each area of floor",
            per_event=Estimate(
                central_si=here,
                low_si=here,
                high_si=here,
                confidence=None,
                origin="derived",
                dimension=DENSITY_ON_FLOOR,
            ),
        )
    ]
    if today is not None:
        times = here / today.per_m2
        found.append(
            Effect(
                measure="times as many pieces on the same floor as today",
                per_event=Estimate(
                    central_si=times,
                    low_si=times / (1 + today.within),
                    high_si=times / (1 - today.within),
                    confidence=None,
                    origin="derived",
                ),
            )
        )
    return tuple(found)
