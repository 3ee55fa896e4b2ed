"""Gauges and materials of the shop: Manufacturers' Standard Gauge, Birmingham Wire Gauge, ASTM minimum strengths.

Gauges: three independent reproductions agree. Strengths: ASTM A500 and A36 tensile tables, seen in public copies.
ASTM A53 grade A is from memory.
"""

from __future__ import annotations

import pytest

from floorwright.basis.metal.material import KSI, material, uncertified
from floorwright.basis.metal.tables import INCH, bolt, gauge_m, wires


@pytest.mark.parametrize(
    ("number", "of", "inches"),
    [
        (16, "steel", 0.0598),
        (16, "tube", 0.065),
        (16, "galvanized", 0.0635),
        (16, "stainless", 0.0625),
        (16, "aluminium", 0.0508),
        (11, "steel", 0.1196),
        (11, "tube", 0.120),
        (14, "tube", 0.083),
    ],
)
def test_gauge(number: int, of: str, inches: float) -> None:
    assert gauge_m(number, of) / INCH == pytest.approx(inches, abs=5e-5)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("id_", "yield_ksi", "tensile_ksi"),
    [
        ("A36", 36, 58),
        ("A500B_round", 42, 58),
        ("A500B_shaped", 46, 58),
        ("A500C_shaped", 50, 62),
        ("A53B", 35, 60),
        ("A53A", 30, 48),
        ("6061_T6_ext", 35, 38),
    ],
)
def test_strength(id_: str, yield_ksi: float, tensile_ksi: float) -> None:
    found = material(id_)
    assert found.Fy_pa / KSI == pytest.approx(yield_ksi, abs=1e-9)
    assert found.Fu_pa / KSI == pytest.approx(tensile_ksi, abs=1e-9)


def test_steel_of_unknown_grade_takes_the_lowest_of_its_form() -> None:
    """ASTM A513 tensile table: 1008 as welded 30/42 ksi, the lowest of tube."""
    found = uncertified("rect_tube")
    assert found.Fy_pa / KSI == pytest.approx(30, abs=1e-9)
    assert found.Fu_pa / KSI == pytest.approx(42, abs=1e-9)
    assert not found.certified


def test_bolts_and_wire() -> None:
    """SAE J429 grade 5, 3/8-16: proof 85 ksi, stress area 0.0775 in2. ISO 898-1 M8 8.8: 36.6 mm2, 800 MPa."""
    inch, metric = bolt("3/8-16", "Grade 5"), bolt("M8", "8.8")
    assert inch.tensile_area_m2 / INCH**2 == pytest.approx(0.0775, abs=5e-5)
    assert inch.proof_pa / KSI == pytest.approx(85, abs=1e-6)
    assert metric.tensile_area_m2 == pytest.approx(36.6e-6, abs=5e-8)
    assert metric.tensile_pa == pytest.approx(800e6, abs=1)
    assert dict(wires("music"))["16"] / INCH == pytest.approx(0.037, abs=5e-4)
