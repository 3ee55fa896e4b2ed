"""The patterns by name."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from types import MappingProxyType
from typing import Any, Final

from floorwright.basis.errors import InputError
from floorwright.propose.aid.pattern import Pattern
from floorwright.propose.aid.patterns import bar_cart, free_frame, panel_cart, settling_trestle

PATTERNS: Final[Mapping[str, Pattern[Any]]] = MappingProxyType(
    {
        each.name: each
        for each in (panel_cart.PATTERN, bar_cart.PATTERN, settling_trestle.PATTERN, free_frame.PATTERN)
    }
)


def pattern_of(raw: Mapping[str, Any]) -> Pattern[Any]:
    """The pattern that a spec names.

    Raises:
        InputError: when it names none, or one that there is not.
    """
    name = raw.get("pattern")
    if isinstance(name, str) and name in PATTERNS:
        return PATTERNS[name]
    known = ", ".join(PATTERNS)
    if name is None:
        raise InputError.of("pattern", None, f"is missing; it says what kind of aid this is: {known}")
    near = get_close_matches(str(name), list(PATTERNS), n=1, cutoff=0.5)
    hint = f"did you mean '{near[0]}'?" if near else f"there are {known}"
    raise InputError.of("pattern", name, f"there is no pattern '{name}'; {hint}")
