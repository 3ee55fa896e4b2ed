"""Closed forms of statics and dynamics through the whole check of a shop aid.

A square frame on four wheels with a load in its middle, where the answers are known by hand: a table on three legs;
tan of the tilt is b / h; IEC 62368-1, clause 8.6 (10 degrees; 20 % of the weight up to 250 N);
Halliday, Resnick and Walker, chapter 12, a wheel drawn over a step (13.6 N); uniformly slowed motion, v2 = 2 a d.
A corner of two aisles is gone round step by step, and what is stopped dead is followed in time.
"""

from __future__ import annotations

from itertools import pairwise
from math import atan, cos, hypot, radians, sin, sqrt
from typing import Any

import numpy as np
import pytest

from floorwright import catalogue
from floorwright.basis.check import Check
from floorwright.basis.quantity import Quantity
from floorwright.propose.aid.design import Design, design

G = 9.80665
HALF, RAIL, TRAIL = 0.4, 0.2, 0.03
"""Half the distance of the wheels, height of the frame, trail of the swivels, m."""
CORNERS = {"lb": (-1, 1), "rb": (-1, -1), "lf": (1, 1), "rf": (1, -1)}


def tray(**changes: Any) -> Design:
    """A square frame on four swivels with a cross in the middle, and a load of 200 kg on it, 0.9 m up."""
    sides = {"b": (-1, 0), "f": (1, 0), "l": (0, 1), "r": (0, -1), "m": (0, 0)}
    at = {name: [f"{x * HALF} m", f"{y * HALF} m", f"{RAIL} m"] for name, (x, y) in (CORNERS | sides).items()}
    pairs = [("lb", "l"), ("l", "lf"), ("rb", "r"), ("r", "rf"), ("lb", "b"), ("b", "rb"), ("lf", "f"), ("f", "rf")]
    pairs += [("b", "m"), ("m", "f"), ("l", "m"), ("m", "r")]
    raw: dict[str, Any] = {
        "pattern": "free_frame",
        "title": "tray",
        "nodes": at,
        "stocks": {"tube": {"section": "HSS2X2X1/8", "material": "A500B_shaped"}},
        "members": {f"{a}-{b}": {"from": a, "to": b, "stock": "tube"} for a, b in pairs},
        "wheels_at": list(CORNERS),
        "wheels": {"diameter": "120 mm", "trail": f"{TRAIL} m", "swivel": "all", "rating": "400 kg"},
        "handle": {"nodes": ["b"], "height": "1 m"},
        "route": {"slope": "0 deg", "aisle": "3 m", "turn_radius": "3 m"},
        "pieces": [
            {
                "name": "box",
                "mass": "200 kg",
                "at": [0, 0, "0.9 m"],
                "size": ["0.4 m", "0.4 m", "1.4 m"],
                "bears": ["m"],
                "grip": "0.9 m",
                "reach": "0.3 m",
                "holds": [{"way": way, "by": "lip", "height": "0.1 m"} for way in ("+x", "-x", "+y", "-y")],
            }
        ],
    }
    for path, value in changes.items():
        table, _, field = path.partition("__")
        if field:
            into = raw["pieces"][0] if table == "piece" else raw.setdefault(table, {})
            into[field] = value
        else:
            raw[table] = value
    return design(raw, "si")


def check_of(found: Design, name: str) -> Check:
    """The check of this name."""
    return next(each.check for each in found.findings if each.check.name == name)


def si(side: Quantity | float | None) -> float:
    """Demand or capacity as a number."""
    assert side is not None
    return side.value_si if isinstance(side, Quantity) else side


def centre_m(found: Design, load_kg: float = 200.0, load_m: float = 0.9) -> tuple[float, float]:
    """Mass of frame and load and the height of its centre: the frame's bars all lie at one height."""
    own = found.layout.own_kg
    return own + load_kg, (own * RAIL + load_kg * load_m) / (own + load_kg)


def test_on_an_uneven_floor_two_diagonal_wheels_carry_everything() -> None:
    """A table on three legs, its centre on the line between two of them: half each; shock 1.5 on a smooth floor."""
    found = tray()
    mass, _ = centre_m(found)
    assert si(check_of(found, "casters: rating").demand) == pytest.approx(1.5 * mass / 2, rel=1e-6)


def test_a_frame_of_twelve_tubes_weighs_what_the_manual_says() -> None:
    """AISC manual: HSS2X2X1/8 weighs 3.05 lb/ft."""
    pounds = tray().layout.own_kg / 0.45359237
    assert pounds == pytest.approx(3.05 * 12 * HALF / 0.3048, rel=0.005)


def test_tilt_with_swivels_turned_inwards() -> None:
    """The wheels stand their trail inside the kingpins on the worst side."""
    found = tray()
    _, h = centre_m(found)
    assert si(check_of(found, "stands on a tilted floor").capacity) == pytest.approx(
        atan((HALF - TRAIL) / h), rel=1e-9
    )
    assert si(check_of(found, "stands on a tilted floor").demand) == pytest.approx(radians(10), rel=1e-12)


@pytest.mark.parametrize(("load", "asked"), [(30.0, None), (200.0, 250.0)])
def test_push_of_a_fifth_of_the_weight_up_to_250_n(load: float, asked: float | None) -> None:
    """At 1.5 m, for the aid is 1.6 m high with its load; the heavier of full and empty governs here."""
    found = tray(piece__mass=f"{load} kg")
    mass, _ = centre_m(found, load)
    check = check_of(found, "pushed sideways")
    push = 0.2 * mass * G if asked is None else asked
    base = HALF - TRAIL
    full, empty = push / (mass * G * base / 1.5), 0.2 * 1.5 / base
    assert check.ratio == pytest.approx(max(full, empty), rel=1e-9)
    if full > empty:
        assert si(check.demand) == pytest.approx(push, rel=1e-9)


def test_stopping_from_walking_pace() -> None:
    """v2 = 2 a d: 1.2 m/s within 0.9 m is 0.8 m/s2."""
    found = tray()
    mass, _ = centre_m(found)
    assert si(check_of(found, "stopping by hand").demand) == pytest.approx(0.8 * mass, rel=1e-9)
    assert si(check_of(found, "stopped short").demand) == pytest.approx(0.8 / G, rel=1e-9)


def test_a_turn_at_walking_pace() -> None:
    """v2 / r = 1.44 / 3 m/s2, against b / h of the full aid."""
    found = tray()
    _, h = centre_m(found)
    check = check_of(found, "in a turn")
    assert si(check.demand) == pytest.approx(0.48 / G, rel=1e-9)
    assert si(check.capacity) == pytest.approx((HALF - TRAIL) / h, rel=1e-9)


def test_a_wheel_drawn_over_a_step() -> None:
    """Halliday: 0.8 kg on a wheel of 60 mm radius over 30 mm takes 13.6 N at the axle, with g = 9.8.

    Hands at axle height press nothing down; the front wheels carry half of all.
    """
    found = tray(route__bump="30 mm", handle__height="60 mm")
    mass, _ = centre_m(found)
    per_load = si(check_of(found, "threshold").demand) / (mass * G / 2)
    assert per_load * 0.8 * 9.8 == pytest.approx(13.6, rel=0.005)


def test_the_lift_is_that_of_the_lifting_equation() -> None:
    """The same hands in `lift`, whose examples are those of the manual."""
    found = tray(piece__mass="12 kg", people={"lifts": "30/h", "lift_duration": "long", "from_height": "0.5 m"})
    check = check_of(found, "lifting: heaviest lift")
    limits = []
    for height in ("0.9 m", "0.5 m"):
        told = catalogue.calculation("lift")(
            {
                "load": "12 kg",
                "origin": {"horizontal": "0.3 m", "vertical": height, "asymmetry": 0},
                "travel": "0.4 m",
                "frequency": 0.5,
                "duration": "long",
                "coupling": "fair",
            }
        )
        limits.append(told.results["origin"]["RWL"].value_si)
    assert si(check.capacity) == pytest.approx(min(limits), rel=1e-9)


@pytest.mark.parametrize(("name", "phase"), [("push: start", "initial"), ("push: keep rolling", "sustained")])
def test_the_push_is_that_of_the_push_calculation(name: str, phase: str) -> None:
    """The same hands in `push`."""
    found = tray(route__distance="20 m", route__pushes="6/h")
    check = check_of(found, name)
    told = catalogue.calculation("push")(
        {
            "action": "push",
            "phase": phase,
            "hand_height": "1 m",
            "distance": "20 m",
            "frequency": 0.1,
            "sex": "female",
            "percent": 75,
            "force": f"{si(check.demand)!r} N",
        }
    )
    assert si(check.capacity) == pytest.approx(told.results["acceptable_force"].value_si, rel=1e-9)
    assert f"{told.results['percent_acceptable']:.0f}%" in check.sentence


def aisle_swept_m(length: float, width: float) -> float:
    """The aisle that a rectangle takes round a right-angled corner, turned step by step.

    Its ends slide along the outer walls, its side turns towards the inner corner. At every angle it is pushed into
    the outer corner; of its points the one that is farthest from both outer walls must not pass the inner corner.
    """
    along = np.linspace(0.0, 1.0, 2001)
    box = np.array([[0, 0], [length, 0], [length, width], [0, width], [0, 0]], dtype=float)
    rim = np.concatenate([a + along[:, None] * (b - a) for a, b in pairwise(box)])
    worst = 0.0
    for angle in np.linspace(0.0, np.pi / 2, 361):
        turned = rim @ np.array([[cos(angle), -sin(angle)], [sin(angle), cos(angle)]])
        turned -= turned.min(axis=0)
        worst = max(worst, float(turned.min(axis=1).max()))
    return worst


@pytest.mark.parametrize("box", [(1.6, 0.85), (2.4, 0.8), (1.0, 1.0), (4.0, 0.8)])
def test_round_a_corner(box: tuple[float, float]) -> None:
    """Room of 50 mm on either side on top of it."""
    length, width = box
    found = tray(piece__size=[f"{length} m", f"{width} m", "1.4 m"])
    assert found.layout.size[:2] == pytest.approx(box)
    need = si(check_of(found, "corner of the route").demand)
    assert need - 2 * 0.05 == pytest.approx(aisle_swept_m(length, width), rel=2e-4)


def speed_followed_m_s(inertia: float, mass: float, b: float, h: float) -> float:
    """Speed at which a body stopped at an edge just gets over it, followed in time and closed in on by halves.

    Its momentum about the edge is kept: it starts turning with m v h / I, against gravity, b inside and h up.
    """
    r, start = hypot(b, h), np.arctan2(b, h)

    def over(speed: float) -> bool:
        lean, rate, step = start, mass * speed * h / inertia, 2e-3

        def pull(angle: float) -> float:
            return -mass * G * r * sin(angle) / inertia

        while lean > 0:
            if rate <= 0:
                return False
            # Midpoint rule: lean falls as it turns over the edge.
            middle_rate = rate + pull(lean) * step / 2
            rate += pull(lean - rate * step / 2) * step
            lean -= middle_rate * step
        return True

    low, high = 0.0, 20.0
    for _ in range(24):
        middle = (low + high) / 2
        low, high = (low, middle) if over(middle) else (middle, high)
    return high


def test_a_box_goes_over_the_lip_that_stops_it() -> None:
    """Box 0.4 m by 1.4 m, lip 0.1 m: its centre is 0.2 m behind the lip and 0.6 m above the lip's top."""
    speed = si(check_of(tray(), "load stays on: ahead").capacity)
    assert speed == pytest.approx(speed_followed_m_s(0.2**2 + 0.6**2, 1.0, 0.2, 0.6), rel=2e-3)
    assert speed < sqrt(2 * G * 0.6)  # never more than a fall from there


def test_the_aid_goes_over_the_obstacle_that_stops_it() -> None:
    """Frame and load as points, as the check takes them, full: followed in time."""
    found = tray()
    mass, h = centre_m(found)
    b = HALF - TRAIL
    inertia = found.layout.own_kg * (b**2 + RAIL**2) + 200.0 * (b**2 + 0.9**2)
    speed = sqrt(si(check_of(found, "stopped dead by an obstacle").capacity))
    assert speed == pytest.approx(speed_followed_m_s(inertia, mass, b, h), rel=2e-3)


def test_brakes_at_the_upper_end_of_a_slope() -> None:
    """Moments about the lower axle: the braked wheels carry W cos / 2 less W sin h / (2 a), on any three too."""
    ends: list[dict[str, Any]] = [
        {"node": each, "brake": "total" if each[1] == "f" else "none"} for each in CORNERS
    ]
    found = tray(wheels_at=ends, wheels__swivel="none", route__slope="12 deg", route__friction=0.5)
    check = check_of(found, "brakes")
    mass, h = centre_m(found)
    weight, slope = mass * G, radians(12)
    assert si(check.demand) == pytest.approx(weight * sin(slope), rel=1e-9)
    held = weight * cos(slope) / 2 - weight * sin(slope) * h / (2 * HALF)
    assert si(check.capacity) == pytest.approx(0.5 * held, rel=1e-6)
    assert check.verdict == "fails"
