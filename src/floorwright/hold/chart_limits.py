"""Centre line and limits of control charts.

Charts of single readings use the printed three-figure constants, 3/1.128 and 3.267, as the handbooks print their
examples; charts of subgroups use constants computed to ten figures, whose rounded values the tables print.
Limits lie three standard deviations from the centre; a lower limit of a count or a share is 0 at least.

Sources: Western Electric, Statistical Quality Control Handbook (1956); NIST/SEMATECH e-Handbook, chapter 6.3.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import fsum
from typing import Final

from floorwright.basis.stat.constants import ChartConstants, chart_constants
from floorwright.basis.stat.summary import mean, sd

D2_PAIR: Final = 1.128
D4_PAIR: Final = 3.267


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondChart:
    """The chart of the spread beside the main one: moving ranges, ranges or standard deviations.

    `first` is the number of the point that its first value belongs to.
    """

    points: tuple[float, ...]
    centre: float
    lower: float
    upper: float
    first: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """The main chart, point by point.

    Attributes:
        points: what is plotted.
        centre, lower, upper, point_sigma: for each point; all alike unless `varies`.
        varies: whether the sizes, and with them the limits, differ from point to point.
        sigma: standard deviation of single readings for measured data, else of a point.
        second: the chart of the spread; None for counts.
        constants: of the subgroup size, where it has subgroups.
    """

    points: tuple[float, ...]
    centre: tuple[float, ...]
    lower: tuple[float, ...]
    upper: tuple[float, ...]
    point_sigma: tuple[float, ...]
    varies: bool
    sigma: float | None
    second: SecondChart | None = None
    constants: ChartConstants | None = None


def _level(points: Sequence[float], centre: float, reach: float, sigma: float, **more: object) -> Chart:
    n = len(points)
    return Chart(
        points=tuple(points),
        centre=(centre,) * n,
        lower=(centre - reach,) * n,
        upper=(centre + reach,) * n,
        point_sigma=(reach / 3,) * n,
        varies=False,
        sigma=sigma,
        **more,  # type: ignore[arg-type]  # second and constants, handed through
    )


def individuals(data: Sequence[float], baseline: int) -> Chart:
    """Single readings and their moving ranges: mean +/- 3 MR/1.128, ranges up to 3.267 MR."""
    ranges = tuple(abs(b - a) for a, b in pairwise(data))
    middle = mean(ranges[: baseline - 1])
    sigma = middle / D2_PAIR
    second = SecondChart(points=ranges, centre=middle, lower=0.0, upper=D4_PAIR * middle, first=2)
    return _level(data, mean(data[:baseline]), 3 * sigma, sigma, second=second)


def subgroup_means(groups: Sequence[Sequence[float]], baseline: int, *, by_range: bool) -> Chart:
    """Means of subgroups of one size from 2 to 25, with their ranges or their standard deviations."""
    constants = chart_constants(len(groups[0]))
    points = tuple(mean(group) for group in groups)
    spreads = tuple(max(group) - min(group) if by_range else sd(group) for group in groups)
    middle = mean(spreads[:baseline])
    A, low, high, unbias = (
        (constants.A2, constants.D3, constants.D4, constants.d2)
        if by_range
        else (constants.A3, constants.B3, constants.B4, constants.c4)
    )
    second = SecondChart(points=spreads, centre=middle, lower=low * middle, upper=high * middle)
    return _level(points, mean(points[:baseline]), A * middle, middle / unbias, second=second, constants=constants)


def shares(counts: Sequence[float], sizes: Sequence[float], baseline: int) -> Chart:
    """Shares of pieces with a fault (p): p +/- 3 sqrt(p (1 - p) / n)."""
    share = fsum(counts[:baseline]) / fsum(sizes[:baseline])
    sigma = [math.sqrt(share * (1 - share) / n) for n in sizes]
    return _by_size([c / n for c, n in zip(counts, sizes, strict=True)], [share] * len(sizes), sigma, sizes)


def numbers(counts: Sequence[float], sizes: Sequence[float], baseline: int) -> Chart:
    """Numbers of pieces with a fault (np): n p +/- 3 sqrt(n p (1 - p))."""
    share = fsum(counts[:baseline]) / fsum(sizes[:baseline])
    sigma = [math.sqrt(n * share * (1 - share)) for n in sizes]
    return _by_size(counts, [n * share for n in sizes], sigma, sizes)


def events(counts: Sequence[float], baseline: int) -> Chart:
    """Faults counted over always the same (c): c +/- 3 sqrt(c)."""
    middle = mean(counts[:baseline])
    n = len(counts)
    return _by_size(counts, [middle] * n, [math.sqrt(middle)] * n, [1.0] * n)


def rates(counts: Sequence[float], sizes: Sequence[float], baseline: int) -> Chart:
    """Faults a unit, counted over so many units (u): u +/- 3 sqrt(u / n)."""
    middle = fsum(counts[:baseline]) / fsum(sizes[:baseline])
    sigma = [math.sqrt(middle / n) for n in sizes]
    return _by_size([c / n for c, n in zip(counts, sizes, strict=True)], [middle] * len(sizes), sigma, sizes)


def _by_size(
    points: Sequence[float], centre: Sequence[float], sigma: Sequence[float], sizes: Sequence[float]
) -> Chart:
    varies = len(set(sizes)) > 1
    return Chart(
        points=tuple(points),
        centre=tuple(centre),
        lower=tuple(max(0.0, c - 3 * s) for c, s in zip(centre, sigma, strict=True)),
        upper=tuple(c + 3 * s for c, s in zip(centre, sigma, strict=True)),
        point_sigma=tuple(sigma),
        varies=varies,
        sigma=None if varies else sigma[0],
    )
