"""Springs that give two forces at two lengths: every wire of the tables, every number of coils, ranked.

Two forces at two lengths settle the rate and the free length. Wire and coils are chosen from what is sold and wound
(preferred sizes, quarter turns); the mean diameter then follows exactly from the rate, so that every spring found
has the forces that were asked for. The whole grid is tried, so nothing better on it is missed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from floorwright.basis.metal.tables import WireSystem, wires
from floorwright.propose.aid.springs.fatigue import STATIC_BELOW
from floorwright.propose.aid.springs.rating import CLASH, SOLID_SAFETY, Rating, Service, rated
from floorwright.propose.aid.springs.spring import Ends, Spring
from floorwright.propose.aid.springs.stability import Seat, buckles
from floorwright.propose.aid.springs.wire import (
    WireName,
    density_kg_m3,
    moduli,
    relative_cost,
    strength_laws,
)

COILS: Final = tuple(3 + quarter / 4 for quarter in range(49))
"""Active coils that are tried: 3 to 15 by quarter turns (Shigley, eq. 10-19)."""
INDEX: Final = (4.0, 12.0)
FATIGUE_SAFETY: Final = 1.2
RankBy = Literal["cost", "mass", "safety"]
Why = Literal["too wide", "too narrow", "index", "solid", "yield", "buckles", "fatigue"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a spring must do.

    Attributes:
        force_1_n, length_1_m: the smaller force and its length.
        force_2_n, length_2_m: the larger force and its shorter length.
        outside_most_m, inside_least_m: room for the coils.
        wires: materials allowed.
        systems: tables of wire sizes.
        ends: how the ends are made.
        seat: how they are held.
        cycles: movements in its life.
        set_removed, peened: as for one spring.
    """

    force_1_n: float
    length_1_m: float
    force_2_n: float
    length_2_m: float
    outside_most_m: float
    inside_least_m: float
    wires: Sequence[WireName]
    systems: Sequence[WireSystem] = ("preferred_us", "preferred_metric")
    ends: Ends = "squared_ground"
    seat: Seat = "fixed_fixed"
    cycles: float | None = None
    set_removed: bool = False
    peened: bool = False

    @property
    def rate_n_m(self) -> float:
        """Rate that both points ask for."""
        return (self.force_2_n - self.force_1_n) / (self.length_1_m - self.length_2_m)

    @property
    def free_m(self) -> float:
        """Free length that goes with it."""
        return self.length_1_m + self.force_1_n / self.rate_n_m

    def service(self, wire: WireName) -> Service:
        """How a spring of this wire is used."""
        return Service(
            wire=wire,
            loads_n=(self.force_1_n, self.force_2_n),
            seat=self.seat,
            cycles=self.cycles,
            set_removed=self.set_removed,
            peened=self.peened,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A spring that does what is wanted.

    Attributes:
        size: name of the wire size in its table.
        cost: mass of wire times the relative cost of its material (hard-drawn 1), a measure for ranking alone.
    """

    wire: WireName
    size: str
    spring: Spring
    rating: Rating
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """Every wire that does it, best first, and what kept the rest out."""

    found: tuple[Found, ...]
    tried: int
    refused: Counter[Why]


def sizes(systems: Iterable[WireSystem], wire: WireName) -> Iterator[tuple[str, float]]:
    """Wire sizes that the strength constants of a material cover; a diameter comes once."""
    seen: set[int] = set()
    for system in systems:
        for name, diameter_m in wires(system):
            micrometres = round(diameter_m * 1e6)
            covered = any(law.covers(diameter_m * 1e3) for law in strength_laws(wire))
            if covered and micrometres not in seen:
                seen.add(micrometres)
                yield name, diameter_m


def wound(wanted: Wanted, wire: WireName, wire_m: float, active: float) -> Spring:
    """The spring of a wire and a number of coils that has the rate and free length wanted."""
    table = moduli(wire, wire_m)
    mean_m = (table.G_pa * wire_m**4 / (8 * active * wanted.rate_n_m)) ** (1 / 3)
    return Spring(
        wire_m=wire_m,
        mean_m=mean_m,
        active=active,
        ends=wanted.ends,
        free_m=wanted.free_m,
        G_pa=table.G_pa,
        E_pa=table.E_pa,
        density_kg_m3=density_kg_m3(wire),
    )


def why_not_shape(wanted: Wanted, spring: Spring) -> Why | None:
    """What is wrong with its size; None where it fits."""
    if spring.outside_m > wanted.outside_most_m:
        return "too wide"
    if spring.inside_m < wanted.inside_least_m:
        return "too narrow"
    if not INDEX[0] <= spring.index <= INDEX[1]:
        return "index"
    if spring.free_m - spring.solid_m < (1 + CLASH) * (wanted.free_m - wanted.length_2_m):
        return "solid"
    return None


def why_not_strength(wanted: Wanted, spring: Spring, rating: Rating) -> Why | None:
    """What it does not bear; None where it bears all."""
    if rating.solid_yield_safety < SOLID_SAFETY:
        return "yield"
    if buckles(spring, wanted.seat, wanted.free_m - wanted.length_2_m):
        return "buckles"
    moves = wanted.cycles is None or wanted.cycles >= STATIC_BELOW
    if moves and rating.life is not None and rating.life.amplitude_pa > 0:
        safety = rating.life.goodman
        if safety is None or safety < FATIGUE_SAFETY:
            return "fatigue"
    return None


def order(found: Found, rank_by: RankBy) -> tuple[float, float, str, float, float]:
    """Key of the ranking; ties are settled so that the same question always has the same answer."""
    first = {"cost": found.cost, "mass": found.spring.mass_kg, "safety": -found.rating.solid_yield_safety}[rank_by]
    return (first, found.spring.mass_kg, found.wire, found.spring.wire_m, found.spring.active)


def search(wanted: Wanted, rank_by: RankBy = "cost") -> Searched:
    """Every wire that does what is wanted, each with its best number of coils, best first."""
    refused: Counter[Why] = Counter()
    found: list[Found] = []
    tried = 0
    for wire in dict.fromkeys(wanted.wires):
        service = wanted.service(wire)
        for size, wire_m in sizes(wanted.systems, wire):
            ways = []
            for active in COILS:
                tried += 1
                spring = wound(wanted, wire, wire_m, active)
                why = why_not_shape(wanted, spring)
                if why is None:
                    rating = rated(spring, service)
                    why = why_not_strength(wanted, spring, rating)
                if why is not None:
                    refused[why] += 1
                    continue
                cost = spring.mass_kg * relative_cost(wire)
                ways.append(Found(wire=wire, size=size, spring=spring, rating=rating, cost=cost))
            found += sorted(ways, key=lambda way: order(way, rank_by))[:1]
    found.sort(key=lambda way: order(way, rank_by))
    return Searched(found=tuple(found), tried=tried, refused=refused)
