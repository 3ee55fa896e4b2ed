"""The states that an aid was checked in, gathered for a sheet, and the limits adopted with their sources."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from types import MappingProxyType
from typing import Final

from floorwright.basis.mechanics import MOMENT
from floorwright.basis.quantity import FORCE, G_STANDARD, Quantity, UnitSystem, plain_number
from floorwright.propose.aid.asked import dimension_of, value_text
from floorwright.propose.aid.spec import AidSpec, Limits
from floorwright.propose.aid.states import Kind, State

PRACTICE: Final = "common practice, no source"
LIMIT_SOURCES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "tilt": "iec_62368_1",
        "push_share": "iec_62368_1",
        "push_most": "iec_62368_1",
        "push_height": "iec_62368_1",
    }
    | dict.fromkeys(
        (
            *("lean", "step", "obstacle_speed", "obstacle_stop", "women", "women_close", "stop_distance"),
            *("stop_force", "sag", "truck_bump", "racking", "drop", "buckling", "sway"),
        ),
        PRACTICE,
    )
)
"""Where each limit comes from: id in the register of sources, or that there is none."""
_RESTS_ON: Final[Mapping[Kind, str]] = MappingProxyType(
    {
        "rest": "limit: racking",
        "drop": "limit: drop",
        "shock": "the highest bump of the route; factor by makers' guides",
        "obstacle": "limits: obstacle speed, obstacle stop",
        "slope": "slope, pace and tightest turn of the route",
        "push": "limit: push most",
        "lean": "limit: lean",
        "step": "limit: step",
        "bump": "limit: truck bump",
        "turned": "trail of the swivels; as over a threshold",
        "extra": "the pattern",
    }
)
_SOURCE_OF_KIND: Final[Mapping[Kind, str]] = MappingProxyType({"shock": "caster_guides"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Adopted:
    """A limit: its name in words, its value with unit, what it is, its source, and whether the shop set it."""

    name: str
    text: str
    meaning: str
    source: str
    set_by_shop: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCase:
    """States that ask the same of different places.

    Attributes:
        words: of each of them.
        down: factor on all weights, with that of a piece set down hard.
        level: level acceleration of all masses as a share of gravity, "" where there is none.
        force: force at the place, with its unit; "" where there is none.
        rests_on: limits or fields that it follows from.
        source: id of a source of its own, else "".
    """

    words: tuple[str, ...]
    down: str
    level: str
    force: str
    rests_on: str
    source: str = ""


def adopted(spec: AidSpec, system: UnitSystem) -> tuple[Adopted, ...]:
    """The limits of a spec, in their order."""
    found = []
    for name, info in Limits.model_fields.items():
        found.append(
            Adopted(
                name=name.replace("_", " "),
                text=value_text(getattr(spec.limits, name), dimension_of(info), system),
                meaning=info.description or "",
                source=LIMIT_SOURCES[name],
                set_by_shop=name in spec.limits.model_fields_set,
            )
        )
    return tuple(found)


def load_cases(states: Sequence[State], spec: AidSpec, system: UnitSystem) -> tuple[LoadCase, ...]:
    """The states of an aid, those together that differ only in place and direction."""
    together: dict[tuple[Kind, str, str, str], list[str]] = {}
    for state in states:
        level = hypot(*state.level) / G_STANDARD
        # Forces of a pattern's own loadings are spread over nodes; the others are one force at one place.
        force = "" if state.kind == "extra" else _force(state, system)
        down = f"{plain_number(state.down)}"
        if state.dropped:
            down = f"{plain_number(spec.limits.drop)} on one piece, the worst"
        key = (state.kind, down, f"{plain_number(level, 2)} g" if level else "", force)
        together.setdefault(key, []).append(state.words)
    return tuple(
        LoadCase(
            words=tuple(words),
            down=down,
            level=level,
            force=force,
            rests_on="weights as declared" if kind == "rest" and not level else _RESTS_ON[kind],
            source=_SOURCE_OF_KIND.get(kind, ""),
        )
        for (kind, down, level, force), words in together.items()
    )


def _force(state: State, system: UnitSystem) -> str:
    if state.kind == "turned":
        most = max(abs(factor) for _, factor in state.extra)
        return f"up to {Quantity(most, MOMENT).text(system)} on a mount"
    return ", ".join(Quantity(abs(factor), FORCE).text(system) for _, factor in state.extra)
