"""Counts over exposure (defects, touches, searches), space used and density, as baselines with their interval."""

from __future__ import annotations

from collections.abc import Iterable
from math import fsum

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.estimate import Estimate
from floorwright.basis.quantity import DENSITY_ON_FLOOR, TIME
from floorwright.basis.stat.intervals import mean_t
from floorwright.basis.stat.rates import garwood, wilson
from floorwright.basis.stat.summary import mean


def rate(events: int, exposure: float, confidence: float = 0.95) -> Estimate:
    """Events per unit of exposure, with the exact Poisson interval (Garwood, 1936).

    Args:
        events: how often it was seen.
        exposure: what it was counted over, in the shop's own unit (pieces, shifts, metres of weld).
        confidence: of the interval.

    Raises:
        InputError: for a count below 0 or an exposure that is not positive.
    """
    problems = []
    if events < 0 or events != int(events):
        problems.append(Problem("events", events, f"is {events}; a count is a whole number, 0 or more"))
    if not exposure > 0:
        problems.append(Problem("exposure", exposure, f"is {exposure:g}; what is counted over must be more than 0"))
    if problems:
        raise InputError(problems)
    ends = garwood(int(events), exposure, confidence)
    return Estimate(
        central_si=events / exposure,
        low_si=ends.low,
        high_si=ends.high,
        confidence=confidence,
        origin="measured",
    )


def share(hits: int, looks: int, confidence: float = 0.95) -> Estimate:
    """Share of looks or pieces with a hit, with Wilson's interval.

    Raises:
        InputError: without looks, or with more hits than looks.
    """
    if looks < 1:
        raise InputError.of("looks", looks, f"is {looks}; a share needs one look or more")
    if not 0 <= hits <= looks:
        raise InputError.of("hits", hits, f"is {hits}; it should lie between 0 and the {looks} looks")
    ends = wilson(hits, looks, confidence)
    return Estimate(
        central_si=hits / looks, low_si=ends.low, high_si=ends.high, confidence=confidence, origin="measured"
    )


def mean_time(times_s: list[float], confidence: float = 0.95) -> Estimate:
    """Mean of two or more times in seconds, with Student's interval.

    Raises:
        InputError: with fewer than two times.
    """
    if len(times_s) < 2:
        raise InputError.of(
            "times", len(times_s), f"holds {len(times_s)}; a mean with its interval needs 2 or more"
        )
    ends = mean_t(times_s, confidence)
    return Estimate(
        central_si=mean(times_s),
        low_si=ends.low,
        high_si=ends.high,
        confidence=confidence,
        origin="measured",
        dimension=TIME,
    )


def space_m2(footprints_m: Iterable[tuple[float, float]]) -> float:
    """Floor taken up, in square metres, by things with a length and a width in metres.

    Raises:
        InputError: naming every footprint with a side that is not positive.
    """
    sides = list(footprints_m)
    problems = [
        Problem(f"footprints[{i}]", [a, b], f"is {a:g} m by {b:g} m; both sides should be more than 0 m")
        for i, (a, b) in enumerate(sides)
        if not (a > 0 and b > 0)
    ]
    if problems:
        raise InputError(problems)
    return fsum(a * b for a, b in sides)


def density(pieces: int, area_m2: float, confidence: float = 0.95) -> Estimate:
    """Pieces per square metre. What was counted and measured has no chance in it: the interval is the value itself.

    Raises:
        InputError: for a count below 0 or an area that is not positive.
    """
    if pieces < 0:
        raise InputError.of("pieces", pieces, f"is {pieces}; a count is 0 or more")
    if not area_m2 > 0:
        raise InputError.of("area", area_m2, f"is {area_m2:g} m2; it should be more than 0 m2")
    value = pieces / area_m2
    return Estimate(
        central_si=value,
        low_si=value,
        high_si=value,
        confidence=confidence,
        origin="measured",
        dimension=DENSITY_ON_FLOOR,
    )
