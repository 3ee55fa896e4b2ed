"""An aid while it is checked: its spec, its layout, the solved frame and the worst of every bar and support."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import dist

from floorwright.basis.check import Check
from floorwright.basis.quantity import G_STANDARD, Dimension, Quantity, UnitSystem
from floorwright.basis.working import Working
from floorwright.propose.aid.checks.tipping import Mass
from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.spec import AidSpec
from floorwright.propose.aid.stands import Causes, solve
from floorwright.propose.aid.states import State, states
from floorwright.propose.aid.steel import Bracing, MemberStrengths, Steel, strengths
from floorwright.propose.aid.swivels import turned
from floorwright.propose.aid.worst import BarWorst, Extreme, Search, Where


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A check with its working, and what it is a check of.

    Attributes:
        check: the comparison.
        safety: whether a person can be hurt where it fails: the rating is withheld then, and while it is unknown.
        working: how its numbers came about; None for a yes or no.
        about: name of the bar, wheel or piece that it is about, for the views; "" for the whole.
    """

    check: Check
    safety: bool = True
    working: Working | None = None
    about: str = ""


class Aid:
    """One aid, worked out as far as it is asked for.

    Args:
        spec: what the user said.
        layout: what the pattern made of it.
        system: the shop's units, in which sentences and workings are written.
    """

    def __init__(self, spec: AidSpec, layout: Layout, system: UnitSystem = "us") -> None:
        self.spec, self.layout, self.system = spec, layout, system

    @cached_property
    def causes(self) -> Causes:
        """The frame, solved for every single cause."""
        return solve(self.layout)

    @cached_property
    def states(self) -> tuple[State, ...]:
        """Every state that it must bear."""
        return states(self.causes, self.spec, [each.value for each in self.turned_loads])

    @cached_property
    def search(self) -> Search:
        """Looks for the worst."""
        return Search(self.causes, self.states, self.spec.limits.drop)

    @cached_property
    def strengths(self) -> tuple[MemberStrengths, ...]:
        """Of every bar, in the order of the layout."""
        lengths = buckling_lengths_m(self.layout)
        return tuple(
            strengths(bar.section, Steel.of(bar.material), Bracing(length_m=lengths[name]))
            for name, bar in self.layout.bars.items()
        )

    @cached_property
    def bars(self) -> dict[str, BarWorst]:
        """The worst of every bar."""
        return dict(zip(self.layout.bars, self.search.bars(self.strengths), strict=True))

    @cached_property
    def support_loads(self) -> tuple[Extreme, ...]:
        """The most that each support gets at rest, N, in the order of `causes.supports`."""
        return self.search.support_loads()

    @cached_property
    def turned_loads(self) -> tuple[Extreme, ...]:
        """The same with the swivels turned where they are worst, if that is more."""
        return Search(self.causes, (), self.spec.limits.drop).support_loads(turned(self.causes))

    @cached_property
    def fixed(self) -> Mass:
        """The empty aid as one mass."""
        return Mass(mass_kg=self.layout.own_kg, at=self.layout.own_centre())

    @cached_property
    def removable(self) -> tuple[Mass, ...]:
        """The pieces as masses, as declared."""
        return tuple(Mass(mass_kg=p.mass_kg, at=p.centre, removable=True) for p in self.layout.pieces)

    @cached_property
    def brimful(self) -> tuple[Mass, ...]:
        """The pieces as masses, as much as can lie there whatever is declared."""
        return tuple(Mass(mass_kg=p.strength_kg, at=p.centre, removable=True) for p in self.layout.pieces)

    @property
    def weight_n(self) -> float:
        """Weight with every piece as declared."""
        return G_STANDARD * (self.layout.own_kg + self.layout.load_kg)

    def text(self, value_si: float, dimension: Dimension) -> str:
        """A value for a sentence, in the shop's units."""
        return Quantity(value_si, dimension).text(self.system)

    def shown(self, value_si: float, dimension: Dimension) -> float:
        """A value for a working, in the shop's units."""
        return dimension.to_shown(value_si, self.system)

    def case(self, where: Where) -> str:
        """A state, stand and loading in words for the sheet."""
        parts = [where.state.words]
        if any(where.there) and not all(where.there):
            parts.append(f"{sum(where.there)} of {len(where.there)} pieces on it ({self.named(where.there)})")
        elif where.there:
            parts.append("full" if all(where.there) else "empty")
        if where.on and len(where.on) < len(self.causes.supports):
            off = [s.name for i, s in enumerate(self.causes.supports) if i not in where.on]
            parts.append(f"{', '.join(off)} off the floor")
        return "; ".join(parts)

    def named(self, there: tuple[bool, ...]) -> str:
        """The pieces that are there, a few of them by name."""
        names = [piece.name for piece, is_there in zip(self.layout.pieces, there, strict=True) if is_there]
        return ", ".join(names[:4]) + (" ..." if len(names) > 4 else "")


def buckling_lengths_m(layout: Layout) -> dict[str, float]:
    """Length of every bar between the nodes at which bars of other parts hold it.

    A part that passes several nodes is held only where another part joins it. Sway of the frame is looked at by its
    buckling factor and by the second-order amplifier, so that K = 1 within it (AISC 360 C3, direct analysis).
    """
    parts_at: dict[str, set[str]] = {}
    for bar in layout.bars.values():
        for node in (bar.start, bar.end):
            parts_at.setdefault(node, set()).add(bar.part)
    runs: dict[str, float] = {}
    by_part: dict[str, list[str]] = {}
    for name, bar in layout.bars.items():
        by_part.setdefault(bar.part, []).append(name)
    for names in by_part.values():
        for run in _runs(layout, names, parts_at):
            total = sum(dist(layout.nodes[layout.bars[n].start], layout.nodes[layout.bars[n].end]) for n in run)
            runs |= dict.fromkeys(run, total)
    return runs


def _runs(layout: Layout, names: list[str], parts_at: dict[str, set[str]]) -> list[list[str]]:
    """Bars of one part that follow one another with nothing joining in between."""
    found: list[list[str]] = []
    left = list(names)
    while left:
        run = [left.pop(0)]
        ends = [layout.bars[run[0]].start, layout.bars[run[0]].end]
        grown = True
        while grown:
            grown = False
            for name in left:
                bar = layout.bars[name]
                meeting = next((e for e in ends if e in (bar.start, bar.end) and len(parts_at[e]) == 1), None)
                if meeting is not None:
                    run.append(name)
                    left.remove(name)
                    ends[ends.index(meeting)] = bar.end if bar.start == meeting else bar.start
                    grown = True
                    break
        found.append(run)
    return found
