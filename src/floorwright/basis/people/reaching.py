"""How high and far people reach, how high they see, and in which zone a height lies.

Body sizes: ANSUR II (Gordon et al. 2014), percentiles computed from the public data; heights barefoot, 25 mm added
for shoes. A body size is taken as normal within a sex, and arm and height as going together, so that one number
places a person among others; for the overhead reach this gives the spread of the data within a few per cent.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import inf, sqrt
from statistics import NormalDist
from types import MappingProxyType
from typing import Final, Literal

from floorwright.basis.people.pushing import Sex
from floorwright.basis.people.tables import row, rows

SHOE_M: Final = 0.025
_INCH: Final = 0.0254
Zone = Literal["best", "golden", "low", "high", "overhead"]
DepthZone = Literal["frequent", "occasional", "stretched"]
ZONE_MEANING: Final[Mapping[Zone, str]] = MappingProxyType(
    {
        "best": "between a tall man's knuckles and a small woman's elbows: heavy and frequent items",
        "golden": "up to a small woman's shoulders: nearly everyone reaches without stooping or lifting the arms",
        "low": "below a tall man's knuckles: he stoops",
        "high": "above a small woman's shoulders: light items alone",
        "overhead": "above what a small woman can grip",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BodySize:
    """A body size of a sex: mean, standard deviation, and percentiles as the table has them, in metres."""

    mean_m: float
    sd_m: float
    percentiles_m: Mapping[int, float]

    def at(self, z: float) -> float:
        """The size of a person so many standard deviations from the mean."""
        return self.mean_m + z * self.sd_m


@cache
def body_size(measure: str, sex: Sex) -> BodySize:
    """A row of the table, such as `shoulder_height_acromion`; lengths alone."""
    found = next(
        r for r in rows("anthropometry") if r["measure"] == measure and r["sex"] == sex and r["unit"] == "mm"
    )
    return BodySize(
        mean_m=float(found["mean"]) * 1e-3,
        sd_m=float(found["sd"]) * 1e-3,
        percentiles_m=MappingProxyType({p: float(found[f"p{p:02d}"]) * 1e-3 for p in (1, 5, 25, 50, 75, 95, 99)}),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """Who reaches a point without bending, stretching up or leaning.

    Attributes:
        share: of the sex.
        from_z, to_z: those between so many standard deviations from the mean size reach it; None where nobody does.
        a, b, c: the condition a z^2 + b z + c >= 0, arm squared less the distance from the shoulder squared.
    """

    share: float
    from_z: float | None
    to_z: float | None
    a: float
    b: float
    c: float

    def by(self, percentile: float) -> bool:
        """Whether a person of this percentile of body size reaches it."""
        z = NormalDist().inv_cdf(percentile / 100)
        return self.from_z is not None and self.to_z is not None and self.from_z <= z <= self.to_z


def reach(height_m: float, depth_m: float, sex: Sex) -> Reach:
    """Share of a sex whose hand reaches a point.

    The hand's grip moves on an arc about the shoulder: depth^2 + (height - shoulder)^2 <= arm^2, with the depth
    counted from the shoulder. With shoulder and arm growing with the person this is a quadratic in z.

    Args:
        height_m: of the point above the floor.
        depth_m: from the shoulders forward.
        sex: whose.
    """
    shoulder, arm = body_size("shoulder_height_acromion", sex), body_size("forward_grip_from_shoulder_joint", sex)
    off = height_m - SHOE_M - shoulder.mean_m
    a = arm.sd_m**2 - shoulder.sd_m**2
    b = 2 * (arm.mean_m * arm.sd_m + off * shoulder.sd_m)
    c = arm.mean_m**2 - depth_m**2 - off**2
    root = b * b - 4 * a * c
    if root < 0:
        # a < 0: shoulders vary more than arms, so that the condition never holds then.
        return Reach(share=0.0, from_z=None, to_z=None, a=a, b=b, c=c)
    ends = sorted((-b + sign * sqrt(root)) / (2 * a) for sign in (1.0, -1.0))
    # Shorter than this an arm would have no length.
    low = max(ends[0], -arm.mean_m / arm.sd_m)
    normal = NormalDist()
    share = max(0.0, normal.cdf(ends[1]) - normal.cdf(low))
    return Reach(share=share, from_z=low, to_z=ends[1], a=a, b=b, c=c)


@cache
def zones_m() -> Mapping[str, float]:
    """Edges of the height zones, from the table."""
    best, high = row("reach_zones", "Z02"), row("reach_zones", "Z04")
    golden = row("reach_zones", "Z01")
    return MappingProxyType(
        {
            "knuckle": float(golden["low"]) * 1e-3,
            "elbow": float(best["high"]) * 1e-3,
            "shoulder": float(golden["high"]) * 1e-3,
            "grip": float(high["high"]) * 1e-3,
            "eye": float(row("reach_zones", "Z06")["high"]) * 1e-3,
        }
    )


def zone(height_m: float) -> Zone:
    """In which zone a height lies."""
    edges = zones_m()
    if height_m < edges["knuckle"]:
        return "low"
    if height_m <= edges["elbow"]:
        return "best"
    if height_m <= edges["shoulder"]:
        return "golden"
    return "high" if height_m <= edges["grip"] else "overhead"


def depth_zone(depth_m: float) -> DepthZone:
    """How far in: frequent use up to 17 in, occasional up to 20 in, beyond it people stretch."""
    frequent, occasional = (float(row("reach_zones", id_)["high"]) * _INCH for id_ in ("Z16", "Z17"))
    if depth_m <= frequent:
        return "frequent"
    return "occasional" if depth_m <= occasional else "stretched"


def sees_over_share(top_m: float, sex: Sex) -> float:
    """Share of a sex whose eyes are above the top of a load that they push."""
    eye = body_size("eye_height_standing", sex)
    return 1 - NormalDist(eye.mean_m + SHOE_M, eye.sd_m).cdf(top_m) if top_m < inf else 0.0
