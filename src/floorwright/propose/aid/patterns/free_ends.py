"""Ends of bars at which nothing else arrives: there is no joint there, whatever kind the others are."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace

from floorwright.propose.aid.layout import Bar, End


def free_ends(bars: Mapping[str, Bar]) -> dict[str, Bar]:
    """The bars, their loose ends without a joint: a pin at a loose end would let it spin."""
    met = Counter(node for bar in bars.values() for node in (bar.start, bar.end))
    return {
        name: replace(
            bar,
            at_start=bar.at_start if met[bar.start] > 1 else End(),
            at_end=bar.at_end if met[bar.end] > 1 else End(),
        )
        for name, bar in bars.items()
    }
