"""Checks of joints from their limits: one plain sentence each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from floorwright.basis.check import Check, judge
from floorwright.propose.aid.joints.loads import Limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Worst:
    """The limit that is used most; the ratio is None where it bears nothing of the load."""

    name: str
    ratio: float | None


def known_worst(limits: Sequence[Limit]) -> tuple[Worst, bool]:
    """The limit used most of those that are known, and whether all are."""
    known = [(float(limit.use), limit.name) for limit in limits if limit.use is not None]
    if not known:
        return Worst(name="unknown", ratio=None), False
    use, name = max(known)
    return Worst(name=name, ratio=use if np.isfinite(use) else None), len(known) == len(limits)


def check_of(limit: Limit, source: str, case: str) -> Check:
    """The check of one limit: use against 1."""
    called = limit.name[0].upper() + limit.name[1:]
    if limit.use is None:
        sentence = f"{called} is not known. {limit.missing}"
        return Check(
            name=limit.name,
            case=case,
            demand=None,
            capacity=None,
            ratio=None,
            verdict="unknown",
            sentence=sentence,
            source=source,
        )
    use = float(limit.use)
    if not np.isfinite(use):
        sentence = f"{called}: nothing is left to bear this load."
        return Check(
            name=limit.name,
            case=case,
            demand=None,
            capacity=0.0,
            ratio=None,
            verdict="fails",
            sentence=sentence,
            source=source,
        )
    ratio, verdict = judge(use, 1.0)
    sentence = (
        f"{called}: asked {use:.2f} times what it bears; make it stronger or load it less."
        if verdict == "fails"
        else f"{called}: used to {100 * use:.0f} % of what it bears."
    )
    return Check(
        name=limit.name,
        case=case,
        demand=use,
        capacity=1.0,
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source=source,
    )
