"""Seeded chance: times with a spread as a watch shows them, working days, and who did which cycle."""

from __future__ import annotations

import datetime as dt
import math
import random
from collections.abc import Iterator, Sequence


class Chance(random.Random):
    """A seeded stream with the draws that the studies need."""

    def time(self, mean: float, variation: float, digits: int = 1) -> float:
        """A time around a mean, skewed to the long side; `variation` is its standard deviation over the mean."""
        sigma2 = math.log1p(variation * variation)
        return round(mean * math.exp(self.gauss(-sigma2 / 2, math.sqrt(sigma2))), digits)

    def near(self, mean: float, sd: float, step: float = 0.1) -> float:
        """A symmetric value around a mean, to the nearest step."""
        return round(round(self.gauss(mean, sd) / step) * step, 6)

    def count(self, mean: float) -> int:
        """A number of rare events (Poisson), by multiplying uniform numbers."""
        limit, events, product = math.exp(-mean), 0, self.random()
        while product > limit:
            events += 1
            product *= self.random()
        return events

    def dealt(self, choices: Sequence[str], size: int) -> list[str]:
        """`size` choices in random order, each equally often as far as it goes."""
        deck = [choices[place % len(choices)] for place in range(size)]
        self.shuffle(deck)
        return deck


def working_days(first: dt.date, count: int) -> list[dt.date]:
    """Working days from the first on, weekends left out."""
    days = (first + dt.timedelta(days=step) for step in range(3 * count + 7))
    return [day for day in days if day.weekday() < 5][:count]


def spread_over(items: int, days: Sequence[dt.date]) -> Iterator[tuple[dt.date, int]]:
    """(day, number within the day from 1) for each item, days filled as evenly as they go."""
    for place, day in enumerate(days):
        share = items // len(days) + (place < items % len(days))
        for number in range(1, share + 1):
            yield day, number


def number_text(value: float, digits: int = 1) -> str:
    """A number without needless zeros: 12.0 becomes 12."""
    return f"{value:.{digits}f}".rstrip("0").rstrip(".") if digits else f"{value:.0f}"
