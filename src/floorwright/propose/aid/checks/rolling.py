"""Rolling an aid: on the level, up and down, over a step or a gap, round a corner, to a stop, and holding it.

Derived statics beside published lever arms of rolling friction. The tables differ by up to ten times; whoever
shows a result shows its row too.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import cos, sin, sqrt
from typing import Final, Literal, get_args

Tread = Literal["steel", "cast_iron", "nylon", "phenolic", "polyurethane", "hard_rubber", "soft_rubber"]
Floor = Literal["concrete", "steel", "smooth"]
TREADS: Final[tuple[Tread, ...]] = get_args(Tread)
_TREAD_ROWS: Final[dict[Tread, tuple[str, ...]]] = {
    "steel": ("steel", "forged steel"),
    "cast_iron": ("cast iron", "iron"),
    "nylon": ("plastic (nylon class)", "cast nylon"),
    "phenolic": ("phenolic",),
    "polyurethane": ("polyurethane",),
    "hard_rubber": ("hard rubber",),
    "soft_rubber": ("medium-hard rubber",),
}
# A concrete floor is seldom as smooth as a test floor: rows for either are compared, and the larger counts.
_FLOOR_ROWS: Final[dict[Floor, tuple[str, ...]]] = {
    "concrete": ("concrete", "hard smooth floor"),
    "steel": ("steel", "iron"),
    "smooth": ("hard smooth floor",),
}
STARTING: Final = 2.5
"""Starting over rolling force: 2 to 2.5 (from memory); the high end."""
G: Final = 9.80665


@dataclass(frozen=True, slots=True, kw_only=True)
class LeverArm:
    """Lever arm of rolling friction of a tread on a floor, as one source prints it.

    Attributes:
        arm_m: the high end where a range is printed.
        low_m: the low end.
        wheel, floor: as printed.
        source: id in the register of sources.
        citation: as printed in the table.
        confirmed: "yes" or "memory".
    """

    arm_m: float
    low_m: float
    wheel: str
    floor: str
    source: str
    citation: str
    confirmed: str


def _source(citation: str) -> str:
    if "Spektor" in citation:
        return "lippert_spektor_2012"
    return "rolling_machine_shop" if "machine-shop" in citation else "rolling_drive"


@cache
def table() -> tuple[LeverArm, ...]:
    """Every row of the table."""
    text = (files("floorwright.propose.aid.checks") / "data" / "rolling_resistance.csv").read_text(encoding="utf-8")
    return tuple(
        LeverArm(
            arm_m=float(row["f_mm_high"]) * 1e-3,
            low_m=float(row["f_mm_low"]) * 1e-3,
            wheel=row["wheel"],
            floor=row["floor"],
            source=_source(row["source"]),
            citation=row["source"],
            confirmed=row["confirmed"],
        )
        for row in csv.DictReader(io.StringIO(text))
    )


def lever_arms(tread: Tread, floor: Floor) -> tuple[LeverArm, ...]:
    """The rows for a tread on a floor, the largest lever arm first; none where no table has the pair."""
    rows = [row for row in table() if row.wheel in _TREAD_ROWS[tread] and row.floor in _FLOOR_ROWS[floor]]
    return tuple(sorted(rows, key=lambda row: -row.arm_m))


def rolling_force_n(weight_n: float, wheel_m: float, arm_m: float) -> float:
    """Force that keeps it rolling on the level, F = f W / R; `wheel_m` is the diameter."""
    return arm_m * weight_n / (wheel_m / 2)


def slope_force_n(weight_n: float, slope_rad: float) -> float:
    """Force along a slope, W sin(theta)."""
    return weight_n * sin(slope_rad)


def step_at_axle_n(load_n: float, radius_m: float, step_m: float) -> float:
    """Force at axle height that draws wheels over a step: W sqrt(2 R h - h^2) / (R - h).

    Raises:
        ValueError: for a step as high as the axle or higher, which no level pull climbs.
    """
    if step_m >= radius_m:
        raise ValueError("a step as high as the axle cannot be climbed by pushing")
    return load_n * sqrt(step_m * (2 * radius_m - step_m)) / (radius_m - step_m)


def over_step_n(
    front_n: float, radius_m: float, step_m: float, *, hand_m: float, wheelbase_m: float
) -> float | None:
    """Push at hand height that takes the front wheels over a step; None where no push does.

    The push also loads the front wheels: F = F0 / (1 - c (H - R) / L), with c = F0 / load.

    Args:
        front_n: load on the front wheels together, standing still.
        radius_m: of the wheels.
        step_m: height of the step.
        hand_m: height of the hands.
        wheelbase_m: between the axles.
    """
    if step_m <= 0 or front_n <= 0:
        return 0.0
    if step_m >= radius_m:
        return None
    at_axle = step_at_axle_n(front_n, radius_m, step_m)
    left = 1 - at_axle / front_n * (hand_m - radius_m) / wheelbase_m
    return at_axle / left if left > 1e-9 else None


def drop_m(radius_m: float, gap_m: float) -> float | None:
    """How far a wheel sinks into a gap, R - sqrt(R^2 - g^2 / 4); None where it falls in."""
    if gap_m >= 2 * radius_m:
        return None
    return radius_m - sqrt(radius_m**2 - gap_m**2 / 4)


def pitch_over_n(weight_n: float, ahead_m: float, *, hand_m: float, radius_m: float) -> float | None:
    """Push at hand height that lifts the rear wheels while the front axle is held; None for hands below the axle.

    Args:
        weight_n: of the whole.
        ahead_m: from its centre of mass forward to the front axle.
        hand_m: height of the hands.
        radius_m: of the wheels.
    """
    arm = hand_m - radius_m
    return max(0.0, weight_n * ahead_m) / arm if arm > 0 else None


def turning_n(load_n: float, friction: float, contact_m: float, trail_m: float) -> float:
    """Force at the kingpin that turns one standing swivel: scrub torque 2/3 mu W a over the trail."""
    return 2 / 3 * friction * load_n * contact_m / trail_m


def stopping_n(mass_kg: float, speed_m_s: float, distance_m: float, slope_rad: float = 0.0) -> float:
    """Force that stops it within a distance, rolling friction not counted; `slope_rad` is downwards."""
    return mass_kg * speed_m_s**2 / (2 * distance_m) + mass_kg * G * sin(slope_rad)


def stopping_distance_m(mass_kg: float, speed_m_s: float, force_n: float, slope_rad: float = 0.0) -> float | None:
    """Distance in which a force stops it; None where the slope is stronger."""
    left = force_n - mass_kg * G * sin(slope_rad)
    return mass_kg * speed_m_s**2 / (2 * left) if left > 0 else None


def brakes_hold(
    least_braked_n: Sequence[float], friction: float, weight_n: float, slope_rad: float
) -> tuple[float, float]:
    """What braked wheels hold against a slope: (asked, available).

    Args:
        least_braked_n: the least load that each braked wheel can have; 0 where it can leave the floor.
        friction: of the tread on the floor.
        weight_n, slope_rad: of the aid and the floor.
    """
    return weight_n * sin(slope_rad), friction * cos(slope_rad) * sum(least_braked_n)
