"""Distances walked: from station sequences and a distance table to trips, metres and seconds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import fsum

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.people.walking import USUAL


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """All trips from one place to another.

    Attributes:
        start, end: the two places.
        count: trips.
        distance_m: of one trip.
        total_m: of all of them.
        share: of the whole distance; 0 where nothing is walked at all.
    """

    start: str
    end: str
    count: float
    distance_m: float
    total_m: float
    share: float


def trips_of(routes: Iterable[Sequence[str]]) -> tuple[tuple[str, str, int], ...]:
    """Count the trips in station sequences: saw, brake, saw gives saw to brake and brake to saw.

    The same station twice in a row is no trip. Trips come in the order in which they are first walked.
    """
    counts = Counter((a, b) for route in routes for a, b in pairwise(route) if a != b)
    return tuple((a, b, n) for (a, b), n in counts.items())


def walked_m(route: Sequence[str], distances: Mapping[tuple[str, str], float]) -> float:
    """Metres walked on one station sequence.

    Raises:
        InputError: naming every pair without a distance.
    """
    return fsum(leg.total_m for leg in legs(trips_of([route]), distances, field="route", numbered=False))


def walk_s(metres: float, speed_m_s: float = USUAL.speed_m_s) -> float:
    """Seconds for a distance, at the usual pace unless told."""
    return metres / speed_m_s


def legs(
    trips: Iterable[tuple[str, str, float]],
    distances: Mapping[tuple[str, str], float],
    *,
    field: str = "trips",
    numbered: bool = True,
) -> tuple[Leg, ...]:
    """Every trip with its distance, those that take the most walking first; the same pair twice is added up.

    Args:
        trips: from, to, how often.
        distances: metres by (from, to).
        field: what the trips came from, for messages.
        numbered: whether trip i is entry i of that field.

    Raises:
        InputError: naming every pair that has no distance.
    """
    counts: dict[tuple[str, str], float] = {}
    problems = []
    for i, (start, end, count) in enumerate(trips):
        if (start, end) not in distances:
            problems.append(
                Problem(
                    f"{field}[{i}]" if numbered else field,
                    f"{start} to {end}",
                    f"has no distance from '{start}' to '{end}'; add it to distances",
                )
            )
        counts[start, end] = counts.get((start, end), 0) + count
    if problems:
        raise InputError(problems)
    totals = {pair: count * distances[pair] for pair, count in counts.items()}
    whole = fsum(totals.values())
    found = [
        Leg(
            start=pair[0],
            end=pair[1],
            count=count,
            distance_m=distances[pair],
            total_m=totals[pair],
            share=totals[pair] / whole if whole > 0 else 0.0,
        )
        for pair, count in counts.items()
    ]
    return tuple(sorted(found, key=lambda leg: (-leg.total_m, leg.start, leg.end)))
