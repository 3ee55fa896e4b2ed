"""How sure is an order of what to do first, when worth and effort are only known within ranges?

Worth and effort of each candidate are drawn from their triangles again and again. In every case the worth counts
with its chance of working out, the candidates are put in order of worth for an hour of effort, and the list is
worked down: each one is done that still fits the money and the hours left. How often a place in the order holds,
and how often a candidate is reached, says how much the order leans on the guesses. Common practice (a simulation
over stated ranges), no source. What is best together is for the calculation `choose` to say.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

DRAWS: Final = 2000
LEAST_HOURS: Final = 0.25  # below a quarter of an hour, worth for an hour would say nothing
Cases: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """A number as people guess it: low, likely, high."""

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.likely <= self.high:
            raise ValueError(
                f"a range rises from low to likely to high, not {self.low}, {self.likely}, {self.high}"
            )

    @property
    def mean(self) -> float:
        """Mean of its triangle."""
        return (self.low + self.likely + self.high) / 3

    def draw(self, dice: np.random.Generator, count: int) -> Cases:
        """So many draws from its triangle."""
        if self.low == self.high:
            return np.full(count, float(self.likely))
        return dice.triangular(self.low, self.likely, self.high, count)


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """Something that could be done.

    Attributes:
        name: its name, each one once.
        worth: what it is worth if it works, in the same measure for all.
        chance: that it works, from 0 to 1.
        cost: money it takes.
        hours: hours it takes.
    """

    name: str
    worth: Range
    chance: float
    cost: float
    hours: Range


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Where an option stands.

    Attributes:
        name: the option.
        expected: its mean worth times its chance.
        an_hour: that for an hour of mean effort, by which the order goes.
        ahead: share of the cases in which it came before the next one of the order; None for the last.
        reached: share of the cases in which there was money and time left for it.
    """

    name: str
    expected: float
    an_hour: float
    ahead: float | None
    reached: float


def order(
    options: Sequence[Option], *, budget: float, hours: float | None = None, draws: int = DRAWS, seed: int = 1
) -> tuple[Placed, ...]:
    """Put options in order of expected worth for an hour of effort, and say how sure each place is.

    Args:
        options: what could be done.
        budget: money there is.
        hours: hours there are; None for no limit.
        draws: cases to try.
        seed: the same seed gives the same answer.
    """
    if not options:
        return ()
    dice = np.random.default_rng(seed)
    worth = np.array([each.worth.draw(dice, draws) * each.chance for each in options])
    effort = np.array([each.hours.draw(dice, draws) for each in options])
    ratio = worth / np.maximum(effort, LEAST_HOURS)
    reached = _reached(ratio, effort, np.array([each.cost for each in options]), budget, hours)
    expected = [each.worth.mean * each.chance for each in options]
    an_hour = [value / max(each.hours.mean, LEAST_HOURS) for value, each in zip(expected, options, strict=True)]
    ranked = sorted(range(len(options)), key=lambda i: -an_hour[i])
    ahead = {i: float(np.mean(ratio[i] >= ratio[after])) for i, after in pairwise(ranked)}
    return tuple(
        Placed(
            name=options[i].name,
            expected=expected[i],
            an_hour=an_hour[i],
            ahead=ahead.get(i),
            reached=float(np.mean(reached[i])),
        )
        for i in ranked
    )


def _reached(ratio: Cases, effort: Cases, cost: Cases, budget: float, hours: float | None) -> NDArray[np.bool_]:
    """Which options are done in each case when the list of that case is worked down."""
    count, draws = ratio.shape
    down = np.argsort(-ratio, axis=0, kind="stable")
    case = np.arange(draws)
    done = np.zeros((count, draws), dtype=np.bool_)
    money = np.full(draws, float(budget))
    time = np.full(draws, np.inf if hours is None else float(hours))
    for place in range(count):
        at = down[place]
        fits = (cost[at] <= money) & (effort[at, case] <= time) & (ratio[at, case] > 0)
        done[at, case] = fits
        money -= np.where(fits, cost[at], 0.0)
        time -= np.where(fits, effort[at, case], 0.0)
    return done
