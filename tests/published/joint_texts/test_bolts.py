"""Bolts: proof and tensile loads of SAE J429 and ISO 898-1, AISC Manual tables, a shop's torque chart.

Proof and tensile loads: bolt tables, seen. AISC Steel Construction Manual tables 7-1, 7-2, 7-4 (3/4 in A325, whose
strength is that of Grade 5) and the torque chart (dry, 75 % of proof, rounded to a foot-pound): from memory.
"""

from __future__ import annotations

import pytest

from floorwright.basis.metal.material import KSI
from floorwright.basis.metal.tables import Bolt, bolt
from floorwright.propose.aid.joints.bolts import (
    BoltUse,
    Ply,
    bearing_n,
    preload_n,
    proof_load_n,
    tensile_load_n,
    torque_n_m,
)

LBF, INCH, FOOT_POUND = 4.4482216152605, 0.0254, 1.3558179483
KIP = 1000 * LBF


@pytest.mark.parametrize(
    ("size", "grade", "proof", "tensile"),
    [
        ("1/4-20", "Grade 2", 1750, 2350),
        ("3/8-16", "Grade 2", 4260, 5730),
        ("1/4-20", "Grade 5", 2700, 3820),
        ("5/16-18", "Grade 5", 4460, 6290),
        ("3/8-16", "Grade 5", 6590, 9300),
        ("1/2-13", "Grade 5", 12060, 17030),
        ("3/8-16", "Grade 8", 9300, 11620),
        ("1/2-13", "Grade 8", 17030, 21280),
    ],
)
def test_loads_of_inch_bolts(size: str, grade: str, proof: float, tensile: float) -> None:
    own = bolt(size, grade)
    assert proof_load_n(own) / LBF == pytest.approx(proof, rel=0.003)
    assert tensile_load_n(own) / LBF == pytest.approx(tensile, rel=0.003)


@pytest.mark.parametrize(
    ("size", "proof", "tensile"),
    [("M6", 11600, 16100), ("M8", 21200, 29200), ("M10", 33700, 46400), ("M12", 48900, 67400)],
)
def test_loads_of_metric_bolts(size: str, proof: float, tensile: float) -> None:
    own = bolt(size, "8.8")
    assert proof_load_n(own) == pytest.approx(proof, rel=0.006)
    assert tensile_load_n(own) == pytest.approx(tensile, rel=0.006)


def three_quarter() -> Bolt:
    return Bolt(
        size="3/4",
        grade="A325",
        diameter_m=0.75 * INCH,
        tensile_area_m2=0.334 * INCH**2,
        proof_pa=85 * KSI,
        tensile_pa=120 * KSI,
        source="AISC",
        confirmed="memory",
    )


@pytest.mark.parametrize(
    ("method", "threads_in", "shear", "tension"),
    [
        ("ASD", True, 11.9, 19.9),
        ("ASD", False, 15.0, 19.9),
        ("LRFD", True, 17.9, 29.8),
        ("LRFD", False, 22.5, 29.8),
    ],
)
def test_three_quarter_inch_bolt(method: str, threads_in: bool, shear: float, tension: float) -> None:
    """The manual rounds Fnv of threads out of the plane from 67.6 to 68 ksi."""
    use = BoltUse(bolt=three_quarter(), threads_in_plane=threads_in)
    assert use.shear_n(method) / KIP == pytest.approx(shear, rel=0.008)  # type: ignore[arg-type]
    assert use.tension_n(method) / KIP == pytest.approx(tension, rel=0.004)  # type: ignore[arg-type]


@pytest.mark.parametrize(("method", "printed"), [("ASD", 52.2), ("LRFD", 78.3)])
def test_bearing_for_an_inch_of_thickness(method: str, printed: float) -> None:
    ply = Ply(name="plate", thickness_m=INCH, Fu_pa=58 * KSI, clear_m=1.0)
    found = bearing_n(ply, 0.75 * INCH, method)  # type: ignore[arg-type]
    assert found is not None
    assert found / KIP == pytest.approx(printed, abs=0.05)


@pytest.mark.parametrize(
    ("size", "grade", "torque"),
    [("1/4-20", "Grade 5", 8), ("5/16-18", "Grade 5", 17), ("3/8-16", "Grade 5", 31), ("1/2-13", "Grade 5", 75)],
)
def test_torque_chart(size: str, grade: str, torque: float) -> None:
    own = bolt(size, grade)
    assert torque_n_m(own, preload_n(own)) / FOOT_POUND == pytest.approx(torque, abs=0.6)
