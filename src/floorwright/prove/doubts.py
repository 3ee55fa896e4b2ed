"""What stands against a comparison of readings: odd ones, drift, dependence, an unlike mix, tests that disagree."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from floorwright.basis.quantity import plain_number
from floorwright.basis.sentence import said
from floorwright.basis.stat.series import effective_size, lag1_autocorrelation, trend
from floorwright.basis.stat.summary import outliers
from floorwright.prove.effect import RankEffect, Test
from floorwright.prove.strata import Levelled
from floorwright.prove.verdict import Cap

FEWEST: Final = 10
FEW: Final = 30
TREND_LEVEL: Final = 0.05
_ROUNDING: Final = 1e-9

MIX_CAP: Final = Cap(
    why=said("before and after were not taken on the same mix of parts, drivers or operators"),
    remedy=said("Time the same parts, drivers and operators after the change as before it."),
)

NO_SPREAD_CAP: Final = Cap(
    why=said("all readings of a series are alike, so the interval tells nothing about chance"),
    remedy=said("Time some cycles more with a watch that reads to the tenth."),
)
NO_SPREAD_WARNING: Final = said(
    "All readings of a series are alike; read the watch to finer steps, or the interval means little."
)


def ranks_are_safer(*series: list[float]) -> bool:
    """Fewer than 30 readings in a series, and one beyond 3 quartile ranges: it would carry the mean away."""

    def extreme(values: list[float]) -> bool:
        found = outliers(values)
        return bool(found.beyond_outer) and found.outer_low < found.outer_high

    return min(len(values) for values in series) < FEW and any(extreme(values) for values in series)


def _lag1(values: list[float]) -> float | None:
    """Lag-1 autocorrelation where it is above what chance explains, 2/sqrt(n)."""
    if len(values) < FEWEST:
        return None
    found = lag1_autocorrelation(values)
    return found if found > 2 / math.sqrt(len(values)) else None


def order_caps(*series: tuple[str, list[float]]) -> Iterator[Cap]:
    """Drift in any series but the one `before`, and dependence in any."""
    for name, values in series:
        if name != "before" and len(values) >= FEWEST and trend(values).p_value < TREND_LEVEL:
            yield Cap(
                why=said("the readings still change within the series after the change, by learning or by drift"),
                remedy=said("Keep timing until the readings after the change have settled."),
            )
        if _lag1(values) is not None:
            yield Cap(
                why=said("readings {name} depend on the ones just before them", name=said(name)),
                remedy=said(
                    "Spread the readings over more days and orders, so that they do not depend on one another."
                ),
            )


def order_warnings(*series: tuple[str, list[float]]) -> Iterator[str]:
    """What dependent readings are worth."""
    for name, values in series:
        r = _lag1(values)
        if r is not None:
            worth = max(1, math.floor(effective_size(len(values), r)))
            yield said(
                "The readings {name} are not independent in time (lag-1 correlation {r}): {n} of them tell about "
                "as much as {worth} independent ones, and every interval here is too narrow.",
                name=said(name),
                r=f"{r:.2f}",
                n=len(values),
                worth=worth,
            )


def mix_warnings(strata: tuple[list[str], list[str]] | None, levelled: Levelled | None) -> Iterator[str]:
    """Readings that have nothing like them on the other side."""
    if strata is None:
        return
    if levelled is None:
        yield said(
            "No part, driver or operator has 2 or more readings on both sides, so unlike work is compared here; "
            "the difference may come from the mix."
        )
    elif levelled.left_out:
        yield said(
            "{n} readings have nothing like them on the other side and are left out of the comparison; {strata} "
            "strata are compared.",
            n=levelled.left_out,
            strata=len(levelled.names),
        )


def disagreement(test: Test, rank: RankEffect, confidence: float) -> Iterator[str]:
    """Means and ranks on different sides of the chance of a false alarm."""
    level = 1 - confidence
    if (test.p_value < level) != (rank.test.p_value < level):
        yield said(
            "The two tests disagree: p is {means} for the means and {ranks} by ranks. A few odd readings may "
            "decide; look at the chart.",
            means=_p(test.p_value),
            ranks=_p(rank.test.p_value),
        )


def _p(value: float) -> str:
    return said("below 0.001") if value < 0.001 else plain_number(value, 2)


def no_spread(*series: list[float]) -> bool:
    """Whether the readings of a series are all alike, but for rounding."""
    return any(max(x) - min(x) <= _ROUNDING * max(map(abs, x)) for x in series)
