"""The states that an aid must bear: what each cause counts for, in words for the sheet.

Limits are those of the spec; each has its source in docs/methods/aids.md. In every state any pieces may be there
that the steel does not prevent, and the aid may stand on any three supports.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import sin
from typing import Final, Literal

from floorwright.basis.quantity import G_STANDARD
from floorwright.propose.aid.checks.casters import shock
from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.spec import AidSpec
from floorwright.propose.aid.stands import Causes, low_posts

Kind = Literal["rest", "drop", "shock", "obstacle", "slope", "push", "lean", "step", "bump", "turned", "extra"]
_WAYS: Final = (("x", 1, "ahead"), ("x", -1, "back"), ("y", 1, "to the left"), ("y", -1, "to the right"))


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """One state.

    Attributes:
        kind: what happens; words: in words.
        down: factor on all weights.
        level: acceleration of all masses along x and y, m/s2.
        blow: support that is struck and takes what stops the aid, and the axis; None where nothing is struck.
        extra: single causes with their factors.
        dropped: whether one piece, the worst, counts more than once (`limits.drop`).
    """

    kind: Kind
    words: str
    down: float = 1.0
    level: tuple[float, float] = (0.0, 0.0)
    blow: tuple[int, Literal["x", "y"]] | None = None
    extra: tuple[tuple[int, float], ...] = ()
    dropped: bool = False

    @property
    def group(self) -> tuple[object, ...]:
        """States of one group ask the same of the pieces."""
        return self.down, self.level, self.blow


def shock_factor(layout: Layout, spec: AidSpec) -> float:
    """Factor on weights over the bumps of the route (makers' guide); 1 for an aid without wheels."""
    least = min((wheel.diameter_m for wheel in layout.wheels), default=0.0)
    return shock(max(spec.route.bump, 0.0), least).high if least > 0 else 1.0


def states(causes: Causes, spec: AidSpec, loads_n: Sequence[float]) -> tuple[State, ...]:
    """Every state of an aid; `loads_n` is the most that each support gets at rest."""
    limits, layout = spec.limits, causes.layout
    rest = limits.racking * G_STANDARD
    found = [
        State(kind="rest", words=f"at rest, out of plumb {words}", level=_level(axis, sign * rest))
        for axis, sign, words in _WAYS
    ]
    found.append(State(kind="rest", words="at rest"))
    if layout.pieces:
        found.append(State(kind="drop", words="a piece set down hard", dropped=True))
    rolls = bool(layout.wheels) and not any(wheel.sprung for wheel in layout.wheels)
    if rolls:
        found.append(State(kind="shock", words="over a threshold", down=shock_factor(layout, spec)))
        found += _turned(causes, shock_factor(layout, spec), loads_n)
        found += _obstacles(causes, spec)
    slope = G_STANDARD * sin(spec.route.slope)
    turn = 0.0 if spec.route.turn_radius is None else spec.route.speed**2 / spec.route.turn_radius
    if rolls and (slope or turn):
        for axis, sign, words in _WAYS:
            level = slope + (turn if axis == "y" else 0.0)
            what = "in a turn on the steepest floor" if axis == "y" and turn else "on the steepest floor"
            found.append(State(kind="slope", words=f"{what}, {words}", level=_level(axis, sign * level)))
    found += _hands(causes, spec)
    found += [
        State(kind="extra", words=extra.name, extra=((causes.number[f"extra {extra.name}"], 1.0),))
        for extra in layout.extras
    ]
    return tuple(found)


def _level(axis: str, value: float) -> tuple[float, float]:
    return (value, 0.0) if axis == "x" else (0.0, value)


def _turned(causes: Causes, shock_: float, loads_n: Sequence[float]) -> Iterator[State]:
    """Swivels whose wheels stand beside their kingpins, each with the most that it gets.

    All turned alike as they roll over a threshold; inwards or outwards as they may stand after turning on the spot.
    """
    trails = [(k, support) for k, support in enumerate(causes.supports) if support.trail_m]
    if not trails:
        return
    rolling, resting = "over a threshold, swivels turned", "at rest, swivels turned"
    ways = [(f"{rolling} {words}", shock_, axis, (sign, sign)) for axis, sign, words in _WAYS]
    for axis, words in (("x", "along it"), ("y", "across it")):
        ways += [(f"{resting} {way} {words}", 1.0, axis, (s, -s)) for way, s in (("inwards", -1), ("outwards", 1))]
    for words, down, axis, (ahead, behind) in ways:
        moments = tuple(
            (
                causes.number[f"turned {support.name} {axis}"],
                (ahead if support.at["xy".index(axis)] >= 0 else behind) * down * support.trail_m * loads_n[k],
            )
            for k, support in trails
        )
        yield State(kind="turned", words=words, down=down, extra=moments)


def _obstacles(causes: Causes, spec: AidSpec) -> list[State]:
    """Stopped dead: speed squared over twice the way in which tyre and frame give; a leading wheel takes it."""
    stop = spec.limits.obstacle_speed**2 / (2 * spec.limits.obstacle_stop)
    found = []
    for axis, sign, words in _WAYS:
        i = 0 if axis == "x" else 1
        ahead = max(sign * support.at[i] for support in causes.supports)
        for k, support in enumerate(causes.supports):
            if sign * support.at[i] >= ahead - 0.05 and (axis == "x" or _swivels(causes, k)):
                found.append(
                    State(
                        kind="obstacle",
                        words=f"{support.name} stopped dead going {words}",
                        level=_level(axis, sign * stop),
                        blow=(k, "x" if axis == "x" else "y"),
                    )
                )
    return found


def _swivels(causes: Causes, number: int) -> bool:
    """Whether an aid can run sideways onto this support: only where every wheel swivels."""
    return all(wheel.swivel for wheel in causes.layout.wheels)


def _hands(causes: Causes, spec: AidSpec) -> list[State]:
    limits, layout, at = spec.limits, causes.layout, causes.number
    found = []
    for axis, sign, words in _WAYS:
        if layout.handle is not None:
            push = ((at[f"push {axis}"], sign * limits.push_most),)
            found.append(State(kind="push", words=f"pushed {words} at the handle", extra=push))
        for node in layout.top:
            lean = ((at[f"lean {node} {axis}"], sign * limits.lean),)
            found.append(State(kind="lean", words=f"a person leaning {words} on {node}", extra=lean))
        for node in low_posts(layout):
            bump = ((at[f"bump {node} {axis}"], sign * limits.truck_bump),)
            found.append(State(kind="bump", words=f"nudged {words} by a truck at {node}", extra=bump))
    found += [
        State(kind="lean", words=f"a person leaning down on {node}", extra=((at[f"lean {node} z"], limits.lean),))
        for node in layout.top
    ]
    for node in layout.step:
        step = ((at[f"step {node}"], limits.step),)
        found.append(State(kind="step", words=f"a foot on {node}", extra=step))
    return found
