"""Rules that say which points of a control chart want looking at.

Zones are counted from the centre line in standard deviations of the plotted point. "Beyond" is strict: a point on
a limit is no signal. A rule over several points marks the point that completes it.

Sources: Western Electric, Statistical Quality Control Handbook (1956); L. S. Nelson, Journal of Quality Technology
16 (1984) 237-239 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

RuleName = Literal[
    "beyond_limit",
    "two_of_three",
    "four_of_five",
    "eight_same_side",
    "nine_same_side",
    "six_trending",
    "fourteen_alternating",
    "fifteen_within_one_sigma",
    "eight_outside_one_sigma",
]
MEANING: Final[dict[RuleName, str]] = {
    "beyond_limit": "a point beyond a control limit (three sigma)",
    "two_of_three": "two of three successive points beyond two sigma on the same side",
    "four_of_five": "four of five successive points beyond one sigma on the same side",
    "eight_same_side": "eight successive points on the same side of the centre line",
    "nine_same_side": "nine successive points on the same side of the centre line",
    "six_trending": "six successive points all rising or all falling",
    "fourteen_alternating": "fourteen successive points going up and down in turn",
    "fifteen_within_one_sigma": "fifteen successive points within one sigma, on either side",
    "eight_outside_one_sigma": "eight successive points beyond one sigma, on either side, none within",
}
SOURCE: Final[dict[RuleName, str]] = {
    "beyond_limit": "western_electric_1956",
    "two_of_three": "western_electric_1956",
    "four_of_five": "western_electric_1956",
    "eight_same_side": "western_electric_1956",
    "nine_same_side": "nelson_1984",
    "six_trending": "nelson_1984",
    "fourteen_alternating": "nelson_1984",
    "fifteen_within_one_sigma": "nelson_1984",
    "eight_outside_one_sigma": "nelson_1984",
}
_NOISE: Final = 1e-9  # what counts as lying on a limit, in standard deviations


@dataclass(frozen=True, slots=True)
class Signal:
    """A point, from 1, and the rule that marks it."""

    point: int
    rule: RuleName


def beyond(points: Sequence[float], lower: Sequence[float], upper: Sequence[float]) -> tuple[int, ...]:
    """Points, from 1, strictly outside their limits; what differs by rounding alone lies on the limit."""
    found = []
    for i, (x, low, high) in enumerate(zip(points, lower, upper, strict=True), start=1):
        slack = _NOISE * max(high - low, abs(high) * 1e-3)
        if x > high + slack or x < low - slack:
            found.append(i)
    return tuple(found)


def zones(points: Sequence[float], centre: Sequence[float], sigma: Sequence[float]) -> tuple[float, ...]:
    """Each point as its distance from the centre line in standard deviations; 0 where there is no spread."""
    return tuple((x - c) / s if s > 0 else 0.0 for x, c, s in zip(points, centre, sigma, strict=True))


def zone_signals(zone: Sequence[float], rules: Sequence[RuleName]) -> tuple[Signal, ...]:
    """Points marked by rules other than `beyond_limit`, in order of the points."""
    found = [Signal(i + 1, rule) for i in range(len(zone)) for rule in rules if rule in _AT and _AT[rule](zone, i)]
    return tuple(found)


def _several_of(k: int, n: int, limit: float) -> Callable[[Sequence[float], int], bool]:
    def holds(zone: Sequence[float], i: int) -> bool:
        window = zone[max(0, i - n + 1) : i + 1]
        return any(
            side * zone[i] > limit + _NOISE and sum(side * x > limit + _NOISE for x in window) >= k
            for side in (1, -1)
        )

    return holds


def _same_side(n: int) -> Callable[[Sequence[float], int], bool]:
    def holds(zone: Sequence[float], i: int) -> bool:
        window = zone[max(0, i - n + 1) : i + 1]
        return len(window) == n and any(all(side * x > _NOISE for x in window) for side in (1, -1))

    return holds


def _steps_of(n: int, *, alternating: bool) -> Callable[[Sequence[float], int], bool]:
    def holds(zone: Sequence[float], i: int) -> bool:
        window = zone[max(0, i - n + 1) : i + 1]
        if len(window) < n:
            return False
        steps = [b - a for a, b in pairwise(window)]
        if alternating:
            return all(a * b < 0 for a, b in pairwise(steps))
        return any(all(side * step > _NOISE for step in steps) for side in (1, -1))

    return holds


def _all_of(n: int, *, within: bool) -> Callable[[Sequence[float], int], bool]:
    def holds(zone: Sequence[float], i: int) -> bool:
        window = zone[max(0, i - n + 1) : i + 1]
        limit = 1 - _NOISE if within else 1 + _NOISE
        return len(window) == n and all((abs(x) < limit) if within else (abs(x) > limit) for x in window)

    return holds


_AT: Final[dict[RuleName, Callable[[Sequence[float], int], bool]]] = {
    "two_of_three": _several_of(2, 3, 2.0),
    "four_of_five": _several_of(4, 5, 1.0),
    "eight_same_side": _same_side(8),
    "nine_same_side": _same_side(9),
    "six_trending": _steps_of(6, alternating=False),
    "fourteen_alternating": _steps_of(14, alternating=True),
    "fifteen_within_one_sigma": _all_of(15, within=True),
    "eight_outside_one_sigma": _all_of(8, within=False),
}
