"""What an improvement measures, as a form: one measure at a time, quantities in either system of units."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.quantity import UnitSystem
from floorwright.exchange.improvement_file import DIMENSION_OF, smallest_in_si
from floorwright.shop.records import MeasureKind
from floorwright.shop.showing import exact_text
from floorwright.web.forms import Posted
from floorwright.web.words import N_

NEW: Final = "new"
TICKS: Final = ("include_setup", "paired", "saves_time")
_LINES: Final = ("name", "kind", "better", "smallest", "per", "element", "planned_after")
KINDS: Final = (
    (MeasureKind.TIMES.value, N_("times: how long it takes")),
    (MeasureKind.DISTANCE.value, N_("distance: how far somebody walks")),
    (MeasureKind.COUNTS.value, N_("counts: scratches, touches, searches over so many")),
    (MeasureKind.SHARES.value, N_("shares: looks in which it was seen, pieces with a fault")),
    (MeasureKind.LIFT.value, N_("lift: the NIOSH lifting index")),
    (MeasureKind.SPACE.value, N_("space: floor that is taken up")),
    (MeasureKind.DENSITY.value, N_("density: pieces on the floor space")),
    (MeasureKind.FORCE.value, N_("force: push or pull")),
    (MeasureKind.WEIGHT.value, N_("weight: material used or wasted")),
)


def cell(place: str, name: str) -> str:
    """The name of a field of a measure in its form."""
    return f"m{place}-{name}"


def smallest_text(kind: MeasureKind, value: float, system: UnitSystem) -> str:
    """The smallest change that matters as a person types it: "5 s", "30 ft", "5 %"; "" where none was said."""
    if not value:
        return ""
    dimension = DIMENSION_OF[kind]
    if kind is MeasureKind.SHARES:
        return f"{exact_text(value * 100)} %"
    if dimension is None:
        return exact_text(value)
    return f"{exact_text(dimension.to_shown(value, system))} {dimension.shown_unit(system)}"


def shown(place: str, measure: Mapping[str, Any] | None, system: UnitSystem) -> dict[str, str]:
    """What stands in the form of a measure; of a new one when there is none yet."""
    held = dict(measure or {"kind": MeasureKind.TIMES.value, "better": "lower"})
    kind = MeasureKind(held["kind"])
    texts = {
        "name": held.get("name", ""),
        "kind": kind.value,
        "better": held["better"],
        "smallest": smallest_text(kind, held.get("smallest_that_matters", 0.0), system),
        "per": held.get("per", ""),
        "element": held.get("element", ""),
        "planned_after": str(held.get("planned_after") or ""),
    }
    texts |= {name: "yes" if held.get(name) else "" for name in TICKS}
    return {cell(place, name): text for name, text in texts.items()}


def with_measure(
    form: Posted, place: str, measures: list[dict[str, Any]], system: UnitSystem
) -> list[dict[str, Any]]:
    """The measures of the version that was seen with this one changed, added, or (when asked) taken away.

    Raises:
        InputError: a quantity that cannot be read, under the name that the form has for it.
    """
    index = len(measures) if place == NEW else int(place)
    if form.text("remove"):
        return [each for i, each in enumerate(measures) if i != index]
    typed = {name: form.text(cell(place, name)) for name in _LINES}
    old = measures[index] if index < len(measures) else None
    fields: dict[str, Any] = {
        "name": typed["name"],
        "kind": typed["kind"],
        "better": typed["better"] or "lower",
        "per": typed["per"],
        "element": typed["element"],
        "planned_after": typed["planned_after"] or None,
        "smallest_that_matters": _smallest(typed, place, old, system),
    }
    fields |= {name: form.text(cell(place, name)) == "yes" for name in TICKS}
    return [*measures[:index], (old or {}) | fields, *measures[index + 1 :]]


def _smallest(typed: Mapping[str, str], place: str, old: Mapping[str, Any] | None, system: UnitSystem) -> float:
    """In SI; what nobody touched stays to the last digit."""
    try:
        kind = MeasureKind(typed["kind"])
    except ValueError:
        return 0.0  # the record's own check names the wrong kind
    if old is not None and old["kind"] == kind.value:
        held = float(old["smallest_that_matters"])
        if smallest_text(kind, held, system) == typed["smallest"]:
            return held
    return smallest_in_si(kind, typed["smallest"], cell(place, "smallest")) if typed["smallest"] else 0.0


def beside(error: InputError, place: str, index: int) -> tuple[Problem, ...]:
    """Problems under the names that the form has for them."""
    head = f"measures[{index}]"
    found = []
    for each in error.problems:
        name = each.field
        if name.startswith(f"{head}."):
            name = cell(place, name.removeprefix(f"{head}.").replace("smallest_that_matters", "smallest"))
        elif name in (head, "measures"):
            name = cell(place, "name")
        found.append(Problem(name, each.value, each.message))
    return tuple(found)
