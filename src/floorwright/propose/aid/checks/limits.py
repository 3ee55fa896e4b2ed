"""Limits that are set looser than those adopted here: what is checked with them says less than it seems."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from floorwright.basis.check import Check
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.spec import Limits

STRICTER_BELOW: Final = frozenset({"obstacle_stop", "stop_distance", "stop_force", "sway"})
"""Limits that are tightened by a smaller value; the others by a larger one."""
COMFORT: Final = frozenset({"sag", "sway", "women", "women_close"})
"""Limits on which nobody's safety rests."""


def loosened(limits: Limits) -> tuple[str, ...]:
    """Names of the limits that are looser than they stand in the spec when nobody sets them."""
    usual, found = Limits(), []
    for name in Limits.model_fields:
        given, adopted = getattr(limits, name), getattr(usual, name)
        looser = given > adopted if name in STRICTER_BELOW else given < adopted
        if looser and abs(given - adopted) > 1e-9 * abs(adopted):
            found.append(name)
    return tuple(found)


def findings(aid: Aid) -> Iterator[Finding]:
    """One check where a limit is looser; none where they stand or are tightened."""
    names = loosened(aid.spec.limits)
    if not names:
        return
    told = ", ".join(f"limits.{name}" for name in names)
    yield Finding(
        check=Check(
            name="limits adopted",
            case="limits of the spec",
            demand=None,
            capacity=None,
            ratio=None,
            verdict="fails",
            sentence=f"Looser than what is adopted here: {told}. Whatever is checked with them is easier to pass "
            "than its name says; a shop may tighten a limit, not loosen it.",
            source="common practice, no source",
        ),
        safety=not COMFORT.issuperset(names),
    )
