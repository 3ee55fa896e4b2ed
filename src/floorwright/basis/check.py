"""A check: what is asked of a thing against what it can bear, as data that any page can show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Literal

from floorwright.basis.quantity import Quantity, UnitSystem

Verdict = Literal["ok", "close", "fails", "unknown"]
CLOSE_FROM: Final = 0.9  # common practice, no source: within 10 % of the limit is worth a second look


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One comparison of demand with capacity.

    Attributes:
        name: what is checked.
        case: the governing case ("origin", "full, pushed from the side").
        demand: what is asked, as a quantity or a plain number; None if it could not be worked out.
        capacity: what is available; None means that it is not known, and the verdict is `unknown`.
        ratio: demand over capacity; above 1 fails. None when unknown or when the capacity is 0.
        verdict: ok, close (above 0.9), fails or unknown.
        sentence: one sentence that a person understands.
        source: id in the register of sources, or "common practice, no source".
    """

    name: str
    case: str
    demand: Quantity | float | None
    capacity: Quantity | float | None
    ratio: float | None
    verdict: Verdict
    sentence: str
    source: str

    def to_record(self, system: UnitSystem = "si") -> dict[str, Any]:
        """The check as the interfaces send it."""

        def shown(side: Quantity | float | None) -> Any:
            return side.to_record(system) if isinstance(side, Quantity) else side

        return {
            "name": self.name,
            "case": self.case,
            "demand": shown(self.demand),
            "capacity": shown(self.capacity),
            "ratio": self.ratio,
            "verdict": self.verdict,
            "sentence": self.sentence,
            "source": self.source,
        }


def judge(demand: float | None, capacity: float | None) -> tuple[float | None, Verdict]:
    """Ratio and verdict of a demand against a capacity; a missing side is `unknown`, never a pass."""
    if demand is None or capacity is None:
        return None, "unknown"
    if capacity <= 0:
        return None, "fails"
    ratio = demand / capacity
    if ratio > 1:
        return ratio, "fails"
    return ratio, "close" if ratio > CLOSE_FROM else "ok"
