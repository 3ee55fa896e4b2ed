"""Working and checks of `tip`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import degrees, inf
from typing import Any, Final, Protocol

from floorwright.basis.check import Check, judge
from floorwright.basis.quantity import ANGLE, FORCE, G_STANDARD, SPEED, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.checks.tipping import MOST_TRIED, Edge, Mass, holding_nm, loadings

PUSH_SHARE: Final = 0.20
PUSH_MOST_N: Final = 250.0
"""Sideways push that it must bear: 20 % of its weight, at most 250 N (IEC 62368-1, clause 8.6)."""


class Asked(Protocol):
    """What was asked, as far as it is needed here."""

    @property
    def slope(self) -> float:
        """Slope of the floor."""

    @property
    def speed(self) -> float | None:
        """Speed at an obstacle."""

    @property
    def deceleration(self) -> float | None:
        """Deceleration to bear."""

    @property
    def tilt_limit(self) -> float:
        """Tilt to bear."""

    @property
    def push(self) -> Any:
        """Push: height, direction, force."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tipped:
    """What it takes to tip over one edge, with the loading that is worst for tilt.

    Attributes:
        inside_m, height_m: the centre's distance from the edge and its height, so loaded.
        level_rad: tilt angle on the level; tilt_rad: what is left of it on the slope.
        push_n, speed_m_s, deceleration_m_s2: None where not asked or not worked out.
        there: which masses are there.
    """

    edge: Edge
    inside_m: float
    height_m: float
    level_rad: float
    tilt_rad: float
    push_n: float | None
    speed_m_s: float | None
    deceleration_m_s2: float | None
    there: tuple[bool, ...]


def _edge_words(each: Tipped) -> str:
    a, b = each.edge.supports
    return f"over the edge from support {a} to support {b}"


def working_of(given: Asked, tipped: Sequence[Tipped], first: Tipped, masses: Sequence[Mass]) -> Working:
    """The working for the edge over which it tips first."""
    here = [mass for mass, there in zip(masses, first.there, strict=True) if there]
    b = [first.edge.inside_m(mass.at[0], mass.at[1]) for mass in here]
    weights = [mass.mass_kg for mass in here]
    steps = [
        Step("m", _sum([f"m{i}" for i in range(len(here))]), sum(weights), "kg", "mass that is there then"),
        Step(
            "b",
            f"({_sum([f'm{i} * b{i}' for i in range(len(here))])}) / m",
            first.inside_m,
            "m",
            "its centre inside the edge",
        ),
        Step(
            "h",
            f"({_sum([f'm{i} * z{i}' for i in range(len(here))])}) / m",
            first.height_m,
            "m",
            "height of its centre",
        ),
        Step("t", "b / h", first.inside_m / first.height_m, "", "tangent of the tilt angle", "definition"),
        Step(
            "theta",
            "",
            degrees(first.level_rad),
            "deg",
            "tilt angle on the level",
            "definition",
            "arc tangent of t",
        ),
        Step("left", "theta - s", degrees(first.tilt_rad), "deg", "left of it on the slope"),
    ]
    if first.push_n is not None:
        note = "level push over the edge, the worst loading for the push, wheels blocked"
        steps.append(Step("F", "", first.push_n, "N", "push that tips it over this edge", "definition", note))
    if first.speed_m_s is not None and first.speed_m_s < inf:
        note = "momentum about the edge is kept; the energy left must lift the centre over it; the worst loading"
        steps.append(Step("v", "", first.speed_m_s, "m/s", "speed that tips it at an obstacle", "definition", note))
    if first.deceleration_m_s2 is not None and first.deceleration_m_s2 < inf:
        note = "g b / h on the level; the worst loading"
        steps.append(
            Step("a", "", first.deceleration_m_s2, "m/s2", "deceleration that tips it", "definition", note)
        )
    return Working(
        title=f"Tipping {_edge_words(first)}",
        given=(
            *(Given(f"m{i}", mass.mass_kg, "kg", f"mass {i}") for i, mass in enumerate(here)),
            *(Given(f"b{i}", inside, "m", f"mass {i} inside the edge") for i, inside in enumerate(b)),
            *(Given(f"z{i}", mass.at[2], "m", f"height of mass {i}") for i, mass in enumerate(here)),
            Given("s", degrees(given.slope), "deg", "slope of the floor"),
        ),
        assumptions=tuple(_assumptions(tipped, masses)),
        steps=tuple(steps),
    )


def _sum(parts: Sequence[str]) -> str:
    return " + ".join(parts)


def _assumptions(tipped: Sequence[Tipped], masses: Sequence[Mass]) -> Iterator[str]:
    yield f"{len(tipped)} edges, every swivel turned to where its wheel narrows the base most"
    yield "the floor falls towards each edge in turn; a rigid frame; masses as points"
    if any(each.removable for each in masses):
        yield "the removable masses that make it worst are there; exact over every way of loading (Dinkelbach)"


def checks_of(given: Asked, tipped: Sequence[Tipped], masses: Sequence[Mass]) -> tuple[Check, ...]:
    """Tilt, slope, push, obstacle, braking."""
    found = [_tilt(given, tipped)]
    if given.slope > 0:
        found.append(_slope(given, tipped))
    if given.push is not None:
        found.append(_push(given, tipped, masses))
    if given.speed is not None:
        found.append(_obstacle(given.speed, tipped))
    if given.deceleration is not None:
        found.append(_braking(given.deceleration, tipped))
    return tuple(found)


def _tilt(given: Asked, tipped: Sequence[Tipped]) -> Check:
    first = min(tipped, key=lambda each: each.level_rad)
    ratio, verdict = judge(given.tilt_limit, first.level_rad)
    angle, limit = degrees(first.level_rad), degrees(given.tilt_limit)
    end = f"it must bear {limit:.3g}°" if verdict == "fails" else f"{limit:.3g}° is asked"
    return Check(
        name="tilt",
        case=_edge_words(first),
        demand=Quantity(given.tilt_limit, ANGLE),
        capacity=Quantity(first.level_rad, ANGLE),
        ratio=ratio,
        verdict=verdict,
        sentence=(
            f"It tips {_edge_words(first)} at a tilt of {angle:.1f}°; {end}."
            if angle > 0
            else f"It does not stand: it tips {_edge_words(first)} by itself."
        ),
        source="iec_62368_1",
    )


def _slope(given: Asked, tipped: Sequence[Tipped]) -> Check:
    first = min(tipped, key=lambda each: each.level_rad)
    ratio, verdict = judge(given.slope, first.level_rad)
    words = "It tips" if verdict == "fails" else "It stands"
    return Check(
        name="slope",
        case=_edge_words(first),
        demand=Quantity(given.slope, ANGLE),
        capacity=Quantity(first.level_rad, ANGLE),
        ratio=ratio,
        verdict=verdict,
        sentence=f"{words} on a slope of {degrees(given.slope):.1f}°, whichever way it faces.",
        source="definition",
    )


def _push(given: Asked, tipped: Sequence[Tipped], masses: Sequence[Mass]) -> Check:
    reached = [each for each in tipped if each.push_n is not None]
    first = min(reached, key=lambda each: each.push_n or 0.0) if reached else None
    force, capacity = given.push.force, None if first is None else first.push_n
    if force is None and first is not None:
        force, capacity = _worst_share(first, given, masses)
    ratio, verdict = judge(force, capacity)
    tips = "tips" if verdict == "fails" else "does not tip"
    return Check(
        name="push",
        case="wheels blocked" if first is None else f"{_edge_words(first)}, wheels blocked",
        demand=None if force is None else Quantity(force, FORCE),
        capacity=None if capacity is None else Quantity(capacity, FORCE),
        ratio=ratio,
        verdict=verdict,
        sentence=(
            "The push goes away from every edge; give its direction as any."
            if force is None
            else f"A push of {force:.0f} N at {given.push.height:.2f} m {tips} it."
        ),
        source="iec_62368_1" if given.push.force is None else "definition",
    )


def _worst_share(first: Tipped, given: Asked, masses: Sequence[Mass]) -> tuple[float, float]:
    """The share of its own weight that is asked, and what it bears, in the loading where that is worst."""
    capacity_of = first.push_n or 0.0
    whole = holding_nm(first.edge, [mass for mass in masses if not mass.removable], given.slope) + sum(
        min(0.0, holding_nm(first.edge, [mass], given.slope)) for mass in masses if mass.removable
    )
    arm = whole / capacity_of if capacity_of > 0 else 0.0
    if arm <= 0 or sum(mass.removable for mass in masses) > MOST_TRIED:
        # Nothing left to hold it, or too many ways to try: full weight against the least hold is the safe side.
        return min(PUSH_SHARE * G_STANDARD * sum(mass.mass_kg for mass in masses), PUSH_MOST_N), capacity_of
    pairs = [
        (
            min(PUSH_SHARE * G_STANDARD * sum(mass.mass_kg for mass in way), PUSH_MOST_N),
            max(0.0, holding_nm(first.edge, way, given.slope)) / arm,
        )
        for way in loadings(masses)
        if way
    ]
    return max(pairs, key=lambda pair: pair[0] / pair[1] if pair[1] > 0 else inf)


def _obstacle(speed: float, tipped: Sequence[Tipped]) -> Check:
    known = [each for each in tipped if each.speed_m_s is not None]
    first = min(known, key=lambda each: each.speed_m_s or 0.0) if known else None
    capacity = None if first is None else first.speed_m_s
    ratio, verdict = judge(speed, capacity)
    if first is None:
        sentence = "There are too many ways of loading to try each; name fewer removable masses."
    elif verdict == "fails":
        sentence = f"Stopped dead at {speed:.2f} m/s it tips; it bears {capacity:.2f} m/s."
    else:
        sentence = f"Stopped dead at {speed:.2f} m/s it stays on its wheels."
    return Check(
        name="obstacle",
        case="any direction" if first is None else _edge_words(first),
        demand=Quantity(speed, SPEED),
        capacity=None if capacity is None or capacity == inf else Quantity(capacity, SPEED),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source="definition",
    )


def _braking(deceleration: float, tipped: Sequence[Tipped]) -> Check:
    known = [each for each in tipped if each.deceleration_m_s2 is not None]
    first = min(known, key=lambda each: each.deceleration_m_s2 or 0.0) if known else None
    capacity = None if first is None else first.deceleration_m_s2
    ratio, verdict = judge(deceleration, capacity)
    words = {"fails": "it tips", "unknown": "whether it tips is not known"}.get(verdict, "it stays on its wheels")
    return Check(
        name="braking",
        case="any direction" if first is None else _edge_words(first),
        demand=deceleration,
        capacity=None if capacity == inf else capacity,
        ratio=ratio,
        verdict=verdict,
        sentence=f"Slowed by {deceleration:.2f} m/s² {words}.",
        source="definition",
    )
