"""Clamped pipe: fittings with set screws, split clamps. What they hold comes from pull tests, or is not known.

Half of the lowest of at least five tests on the shop's own pipe and fitting (common practice, no source): there is
no default, because coating, wall and torque of the screws change the grip several times over.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from types import MappingProxyType
from typing import Final, Literal

import numpy as np

from floorwright.propose.aid.joints.loads import Array, Forces, Limit

Way = Literal["axial", "torsion", "bending", "crush"]
TOGETHER: Final = "slip along and round together"
WAYS: Final[Mapping[Way, str]] = MappingProxyType(
    {
        "axial": "slip along the pipe",
        "torsion": "slip round the pipe",
        "bending": "turning in the fitting",
        "crush": "crushing of the pipe wall",
    }
)
LEAST_TESTS: Final = 5
SHARE: Final = 0.5
"""Part of the lowest test that counts (common practice, no source)."""
BRACKET: Final = (0.5, 2.0)
"""How far the stiffness of a joint may lie from what was measured (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClampTests:
    """Results of pull tests on the fitting and pipe in question, in N (axial, crush) or N·m (torsion, bending)."""

    axial: tuple[float, ...] = ()
    torsion: tuple[float, ...] = ()
    bending: tuple[float, ...] = ()
    crush: tuple[float, ...] = ()

    def allowed(self, way: Way) -> float | None:
        """Half of the lowest test; None with fewer than five."""
        return allowed(getattr(self, way))


def allowed(tests: Sequence[float]) -> float | None:
    """Half of the lowest of at least five tests; None with fewer."""
    return SHARE * min(tests) if len(tests) >= LEAST_TESTS else None


def missing_tests(way: Way, tests: Sequence[float]) -> str:
    """What is missing, one sentence."""
    have = f"{len(tests)} of {LEAST_TESTS} tests" if tests else "no test"
    return f"For {WAYS[way]} there is {have}: pull-test five and enter the lowest, or all five."


def clamp_limits(tests: ClampTests, forces: Forces) -> tuple[Limit, ...]:
    """Use of a clamp under forces along the pipe (N, T) and across it (V, M), z along the pipe.

    Slip along and round the pipe share one grip, so their uses go together as one resultant; forces across press
    the pipe's wall. A way in which nothing acts needs no test.
    """
    asked: dict[Way, Array] = {
        "axial": np.abs(forces.N),
        "torsion": np.abs(forces.T),
        "bending": np.hypot(forces.Mx, forces.My),
        "crush": np.hypot(forces.Vx, forces.Vy),
    }
    limits: list[Limit] = []
    grip: list[Array] = []
    for way, demand in asked.items():
        capacity = tests.allowed(way)
        if capacity is None and np.any(demand > 0):
            found = Limit(name=WAYS[way], clause="", use=None, missing=missing_tests(way, getattr(tests, way)))
        else:
            use = np.zeros_like(demand) if capacity is None else demand / capacity
            found = Limit(name=WAYS[way], clause="", use=use)
            if capacity is not None and way in ("axial", "torsion"):
                grip.append(use)
        limits.append(found)
    if len(grip) == 2:
        limits.append(Limit(name=TOGETHER, clause="", use=np.hypot(*grip)))
    return tuple(limits)


def stiffness_bracket(measured_n_m_rad: Sequence[float]) -> tuple[float, float]:
    """Rotational stiffness to run a frame with, low and high: half the least and twice the most that was measured.

    Without a measurement from a hinge (0) to rigid (infinite): the frame must hold at both ends.
    """
    if not measured_n_m_rad:
        return 0.0, inf
    return BRACKET[0] * min(measured_n_m_rad), BRACKET[1] * max(measured_n_m_rad)
