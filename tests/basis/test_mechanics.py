"""Quantities of mechanics as people write them. Factors: NIST SP 811."""

from __future__ import annotations

import math

import pytest

from floorwright.basis.mechanics import (
    DENSITY,
    INERTIA,
    LINE_LOAD,
    MASS_PER_LENGTH,
    MOMENT,
    ROTATIONAL_STIFFNESS,
    SECTION_AREA,
    SECTION_MODULUS,
    STIFFNESS,
    STRESS,
)
from floorwright.basis.quantity import LENGTH, Dimension, parse, write


@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [
        ("29000 ksi", STRESS, 1.99947961e11),
        ("200 GPa", STRESS, 2e11),
        ("350 N/mm2", STRESS, 3.5e8),
        ("12 psi", STRESS, 82737.1),
        ("60 N*m", MOMENT, 60.0),
        ("60 N·m", MOMENT, 60.0),
        ("60 Nm", MOMENT, 60.0),
        ("10 ft-lb", MOMENT, 13.5581795),
        ("10 lb-ft", MOMENT, 13.5581795),
        ("235.2 kip-in", MOMENT, 26574.0),
        ("120 lb/in", STIFFNESS, 21015.2),
        ("5 N/mm", STIFFNESS, 5000.0),
        ("10 lb/ft", LINE_LOAD, 145.939),
        ("10 plf", LINE_LOAD, 145.939),
        ("230000 lb-in/rad", ROTATIONAL_STIFFNESS, 25986.3),
        ("100 N*m/deg", ROTATIONAL_STIFFNESS, 18000 / math.pi),
        ("0.2836 lb/in3", DENSITY, 7850.0),
        ("490 lb/ft^3", DENSITY, 7849.0),
        ("3.05 lb/ft", MASS_PER_LENGTH, 4.5389),
        ("0.84 in2", SECTION_AREA, 5.41934e-4),
        ("0.486 in3", SECTION_MODULUS, 7.96411e-6),
        ("0.486 in^4", INERTIA, 2.02288e-7),
        ("20.2 cm⁴", INERTIA, 2.02e-7),
        ("2 in 4", LENGTH, None),
        ("5ft3in", LENGTH, 1.6002),
        ("5ft2in", LENGTH, 1.5748),
        ("5 ft 3 in", LENGTH, 1.6002),
    ],
)
def test_reads_what_people_write(text: str, dimension: Dimension, si: float | None) -> None:
    if si is None:
        with pytest.raises(ValueError, match="is not a length"):
            parse(text, dimension)
    else:
        assert parse(text, dimension) == pytest.approx(si, rel=1e-4)


@pytest.mark.parametrize(
    "dimension",
    [
        STRESS,
        MOMENT,
        STIFFNESS,
        LINE_LOAD,
        ROTATIONAL_STIFFNESS,
        DENSITY,
        MASS_PER_LENGTH,
        SECTION_AREA,
        SECTION_MODULUS,
        INERTIA,
    ],
)
@pytest.mark.parametrize("system", ["si", "us"])
def test_what_is_written_is_read_back(dimension: Dimension, system: str) -> None:
    text = write(12.5, dimension, system, 9)  # type: ignore[arg-type]
    assert parse(text, dimension) == pytest.approx(12.5, rel=1e-6)
    assert parse(dimension.example, dimension) > 0


def test_a_unit_of_another_kind_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="'ksi' is not a unit of moment; write it like '60 N"):
        parse("3 ksi", MOMENT)
