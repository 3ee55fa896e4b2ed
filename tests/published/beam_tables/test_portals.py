"""Rectangular portals: Kleinlogel, Rahmenformeln; Roark, frames chapter; Timoshenko and Gere, Theory of Elastic
Stability.

From memory, each line recomputed. Portal of 40 by 60 in (FRM-12), axial shortening suppressed; buckling of a
square portal of equal bars (FRM-13), per column P h²/(EI). Textbooks print 7.34 or 7.38 for fixed feet; the
exact root is 7.379.
"""

from __future__ import annotations

from math import pi, sqrt

import pytest

from floorwright.propose.aid.frame import HELD, Member, analyse
from floorwright.propose.aid.frame.results import Combination
from frames import along, at_node, bar, frame, point, portal

COLUMN = bar(E=29e6, A=1e6, Iy=0.5, Iz=0.5)
GIRDER = bar(E=29e6, A=1e6, Iy=0.8, Iz=0.8)


def solved(feet: str, *loads: object) -> Combination:
    return analyse(portal(h=40, L=60, column=COLUMN, girder=GIRDER, feet=feet, loads=loads))["L"]


def moment(found: Combination, member: str, end: int) -> float:
    return abs(float(found.of_member(member)[4 + 6 * end]))


def test_uniform_load_on_fixed_feet() -> None:
    found = solved("fixed", along("bc", 0, 0, -10))
    assert moment(found, "ab", 0) == pytest.approx(978.2608695652175, rel=1e-4)
    assert moment(found, "bc", 0) == pytest.approx(1956.521739130435, rel=1e-4)
    assert abs(float(found.reaction("a")[0])) == pytest.approx(73.36956521739131, rel=1e-4)


def test_uniform_load_on_pinned_feet() -> None:
    found = solved("pinned", along("bc", 0, 0, -10))
    assert moment(found, "bc", 0) == pytest.approx(1753.2467532467533, rel=1e-4)
    assert abs(float(found.reaction("a")[0])) == pytest.approx(43.83116883116883, rel=1e-4)


def test_load_sideways_on_fixed_feet() -> None:
    found = solved("fixed", at_node("b", 50, 0, 0), at_node("c", 50, 0, 0))
    assert moment(found, "ab", 0) == pytest.approx(1135.135135135135, rel=1e-4)
    assert moment(found, "ab", 1) == pytest.approx(864.8648648648648, rel=1e-4)
    assert abs(float(found.reaction("a")[2])) == pytest.approx(28.82882882882883, rel=1e-4)
    assert float(found.displacement("b")[0]) == pytest.approx(0.02584653619136378, rel=1e-4)


def test_load_sideways_on_pinned_feet() -> None:
    found = solved("pinned", at_node("b", 50, 0, 0), at_node("c", 50, 0, 0))
    assert moment(found, "ab", 1) == pytest.approx(2000, rel=1e-4)
    assert abs(float(found.reaction("a")[2])) == pytest.approx(66.66666666666667, rel=1e-4)
    assert float(found.displacement("b")[0]) == pytest.approx(0.10804597701149425, rel=1e-4)


def test_point_load_on_fixed_feet() -> None:
    found = solved("fixed", point("bc", 20 / 60, 0, 0, -100))
    assert moment(found, "ab", 0) == pytest.approx(187.36127431779607, rel=1e-4)
    assert moment(found, "dc", 0) == pytest.approx(247.42133437785608, rel=1e-4)
    assert moment(found, "bc", 0) == pytest.approx(464.8126387256822, rel=1e-4)
    assert moment(found, "bc", 1) == pytest.approx(404.75257866562214, rel=1e-4)


def test_point_load_on_pinned_feet() -> None:
    found = solved("pinned", point("bc", 20 / 60, 0, 0, -100))
    assert moment(found, "bc", 0) == pytest.approx(389.61038961038963, rel=1e-4)
    assert abs(float(found.reaction("a")[0])) == pytest.approx(9.74025974025974, rel=1e-4)


@pytest.mark.parametrize(
    ("feet", "braced", "printed", "within"),
    [
        ("fixed", False, 7.379, 5e-4),
        ("pinned", False, 1.821, 5e-4),
        ("fixed", True, 25.19, 1e-2),
        ("pinned", True, 12.9, 6e-3),
    ],
)
def test_portal_buckling(feet: str, braced: bool, printed: float, within: float) -> None:
    """Braced on fixed feet: the root of s(u) = -2, u² = 25.182, s the stiffness of a clamped column's top."""
    same = bar(A=1e8)
    made = portal(
        h=1,
        L=1,
        column=same,
        girder=same,
        feet=feet,
        braced=braced,
        loads=[at_node("b", 0, 0, -1), at_node("c", 0, 0, -1)],
    )
    assert analyse(made, buckling=True)["L"].buckling_factor == pytest.approx(printed, abs=within)


@pytest.mark.parametrize(("feet", "limit"), [("fixed", 9.8696), ("pinned", 2.4674)])
def test_a_rigid_girder_gives_the_limits(feet: str, limit: float) -> None:
    """pi² with fixed feet (K = 1), pi²/4 with pinned ones (K = 2)."""
    made = portal(
        h=1,
        L=1,
        column=bar(A=1e8),
        girder=bar(A=1e8, Iy=1e6),
        feet=feet,
        loads=[at_node("b", 0, 0, -1), at_node("c", 0, 0, -1)],
    )
    assert analyse(made, buckling=True)["L"].buckling_factor == pytest.approx(limit, rel=1e-4)


@pytest.mark.parametrize(
    ("bottom", "top", "effective"),
    [
        ({"ry": 1}, {"dx": 1, "ry": 1}, 0.5),
        ({"ry": 1}, {"dx": 1}, 0.699),
        ({}, {"dx": 1}, 1.0),
        ({"ry": 1}, {"ry": 1}, 1.0),
        ({"ry": 1}, {}, 2.0),
        ({}, {"ry": 1}, 2.0),
    ],
)
def test_effective_lengths_of_columns(bottom: dict[str, int], top: dict[str, int], effective: float) -> None:
    """AISC 360 Table C-A-7.1, theoretical values (0.7 is 0.699)."""
    others = {"dy": HELD, "rx": HELD, "rz": HELD}
    supports = {
        "a": others | {"dx": HELD, "dz": HELD} | dict.fromkeys(bottom, HELD),
        "b": others | dict.fromkeys(top, HELD),
    }
    made = frame(
        {"a": (0, 0, 0), "b": (0, 0, 1)},
        {"ab": Member(start="a", end="b", bar=bar(A=1e8))},
        supports,
        [at_node("b", 0, 0, -1)],
    )
    factor = analyse(made, buckling=True)["L"].buckling_factor
    assert factor is not None
    assert pi / sqrt(factor) == pytest.approx(effective, abs=5e-4)
