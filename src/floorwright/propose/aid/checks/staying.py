"""The load stays on: every piece is held in every way by a lip, strap, stop, divider or lean, or it fails.

A hold lower than the centre of the piece can be tipped over: the piece, stopped dead with the aid, must not have
the energy to rise over it (the statics of an aid at an obstacle, masses as points, so the speed comes out low).
Friction alone is no hold: at walking pace a piece slides v2 / (2 mu g) when the aid is stopped dead.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot, inf, sqrt
from typing import Final

from floorwright.basis.check import Check, Verdict, judge
from floorwright.basis.quantity import FORCE, LENGTH, SPEED, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.checks.tipping import G
from floorwright.propose.aid.layout import Hold, Piece, Way

PRACTICE: Final = "common practice, no source"
SIDES: Final[tuple[Way, ...]] = ("+x", "-x", "+y", "-y")
WORDS: Final = {"+x": "ahead", "-x": "back", "+y": "to the left", "-y": "to the right", "+z": "upwards"}
SOLID: Final = frozenset({"strap", "clamp", "pin", "pins", "bolt", "bolts"})
"""Holds that a piece cannot rise over, however low they are: they go round it or through it. A post, a stop or a
cradle holds as far up as it reaches."""


def findings(aid: Aid) -> Iterator[Finding]:
    """One finding for each way; none for an aid that does not roll with its load."""
    if not aid.layout.pieces or not aid.layout.wheels or any(wheel.sprung for wheel in aid.layout.wheels):
        return
    for way in SIDES:
        yield _way(aid, way)


def _way(aid: Aid, way: Way) -> Finding:
    need = aid.spec.limits.obstacle_speed
    worst: tuple[float, Piece, Hold | None] | None = None
    for piece in aid.layout.pieces:
        holds = [hold for hold in piece.holds if hold.way == way and _named(hold) != "friction"]
        best = max(holds, key=lambda hold: speed_over_m_s(piece, hold), default=None)
        speed = 0.0 if best is None else speed_over_m_s(piece, best)
        # Of pieces that nothing takes off the heaviest: it asks most of what holds it.
        if worst is None or (speed, -piece.strength_kg) < (worst[0], -worst[1].strength_kg):
            worst = (speed, piece, best)
    assert worst is not None  # noqa: S101  there are pieces
    speed, piece, hold = worst
    name = f"load stays on: {WORDS[way]}"
    if hold is None:
        slides = need**2 / (2 * max(piece.friction, 0.05) * G)
        check = Check(
            name=name,
            case=f"{piece.name}; stopped dead",
            demand=None,
            capacity=None,
            ratio=None,
            verdict="fails",
            sentence=f"Nothing holds {piece.name} {WORDS[way]}: stopped dead from walking pace it slides "
            f"{aid.text(slides, LENGTH)} and falls off. Give it a lip, stop or strap.",
            source=PRACTICE,
        )
        return Finding(check=check, about=piece.name)
    low = _named(hold) not in SOLID and hold.height_m < aid.spec.route.bump
    ratio, verdict = judge(need**2, speed**2 if speed < inf else 1e9)
    if low:
        verdict = "fails"
    if speed == inf:
        sentence = (
            f"Stopped dead, {piece.name} is kept from going {WORDS[way]} by its {hold.by}, "
            f"{_reaches(aid, piece, hold)}."
        )
    else:
        does = "stays behind" if verdict in ("ok", "close") else "tips over"
        sentence = (
            f"Stopped dead from walking pace {piece.name} {does} the {hold.by}, which reaches "
            f"{aid.text(hold.height_m, LENGTH)} up it; it would go over from {aid.text(speed, SPEED)} on."
        )
    if low:
        sentence = f"The {hold.by} that holds {piece.name} {WORDS[way]} is lower than the thresholds of the route."
    check = Check(
        name=name,
        case=f"{piece.name}; stopped dead",
        demand=Quantity(need, SPEED),
        capacity=None if speed == inf else Quantity(speed, SPEED),
        ratio=0.0 if speed == inf else ratio,
        verdict=_known(verdict, speed),
        sentence=sentence,
        source="definition",
    )
    return Finding(
        check=check, working=None if speed == inf else _working(aid, piece, hold, way, speed), about=piece.name
    )


def _named(hold: Hold) -> str:
    return hold.by.strip().lower()


def _reaches(aid: Aid, piece: Piece, hold: Hold) -> str:
    """Why it does not go over: held round or through, with the force that takes; or held high enough."""
    if _named(hold) not in SOLID:
        return "which reaches its middle or higher"
    limits = aid.spec.limits
    force = piece.strength_kg * limits.obstacle_speed**2 / (2 * limits.obstacle_stop)
    return f"which must bear {aid.text(force, FORCE)} when it is stopped dead (that is not checked here)"


def _known(verdict: Verdict, speed: float) -> Verdict:
    return "ok" if speed == inf and verdict != "fails" else verdict


def _sizes(piece: Piece, hold: Hold) -> tuple[float, float]:
    """How far its centre lies behind the edge that it would tip about, and how far above the top of the hold."""
    axis = 0 if hold.way.endswith("x") else 1
    above = piece.size[2] / 2 - hold.height_m
    return piece.size[axis] / 2, above


def speed_over_m_s(piece: Piece, hold: Hold) -> float:
    """Speed at which a piece stopped by a hold goes over it; infinite where the hold is above its centre."""
    if _named(hold) in SOLID:
        return inf
    b, h = _sizes(piece, hold)
    if h <= 0:
        return inf
    r = hypot(b, h)
    return sqrt(2 * G * (r - h)) * r / h


def _working(aid: Aid, piece: Piece, hold: Hold, way: Way, speed: float) -> Working:
    b, h = _sizes(piece, hold)
    return Working(
        title=f"{piece.name} {WORDS[way]}",
        given=(
            Given("b", b, "m", "from the face of the piece to its centre"),
            Given("h", h, "m", f"centre of the piece above the top of the {hold.by}"),
            Given("g", G, "m/s2", "gravity"),
        ),
        assumptions=("the piece is stopped dead where the hold meets it; its mass as a point",),
        steps=(
            Step("r", "sqrt(b**2 + h**2)", hypot(b, h), "m", "from the top of the hold to the centre"),
            Step("v", "sqrt(2 * g * (r - h)) * r / h", speed, "m/s", "speed at which it goes over"),
        ),
    )
