"""`section`: areas, second moments, moduli and principal axes of a section, by shape or designation."""

from __future__ import annotations

from typing import Any

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError
from floorwright.basis.mechanics import INERTIA, MASS_PER_LENGTH, SECTION_AREA, SECTION_MODULUS
from floorwright.basis.metal.designation import confirmed
from floorwright.basis.metal.section import Section
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import ANGLE, LENGTH, Quantity
from floorwright.propose.aid.calc.section_input import SectionInput, section_problems
from floorwright.propose.aid.calc.section_working import section_working


def run(given: SectionInput) -> Outcome:
    """Everything about the section, in its own axes."""
    problems = list(section_problems({name: getattr(given, name) for name in SectionInput.model_fields}))
    if problems:
        raise InputError(problems)
    section = given.section()
    return Outcome(
        results=section_results(section),
        working=section_working(given, section),
        warnings=tuple(section_warnings(given, section)),
        sources=_sources(given, section),
    )


def section_results(section: Section) -> dict[str, Any]:
    """The section by the names of the contract, and more."""
    found: dict[str, Any] = {
        "A": Quantity(section.A_m2, SECTION_AREA),
        "I_y": Quantity(section.I_y_m4, INERTIA),
        "I_z": Quantity(section.I_z_m4, INERTIA),
        "I_yz": Quantity(section.I_yz_m4, INERTIA),
        "S_y": Quantity(section.S_y_m3, SECTION_MODULUS),
        "S_z": Quantity(section.S_z_m3, SECTION_MODULUS),
        "Z_y": Quantity(section.Z_y_m3, SECTION_MODULUS),
        "Z_z": Quantity(section.Z_z_m3, SECTION_MODULUS),
        "J": Quantity(section.J_m4, INERTIA),
        "C": None if section.C_m3 is None else Quantity(section.C_m3, SECTION_MODULUS),
        "r_y": Quantity(section.r_y_m, LENGTH),
        "r_z": Quantity(section.r_z_m, LENGTH),
        "mass_per_length": Quantity(section.mass_per_length_kg_m, MASS_PER_LENGTH),
        "I_1": Quantity(section.I_1_m4, INERTIA),
        "I_2": Quantity(section.I_2_m4, INERTIA),
        "r_min": Quantity(section.r_min_m, LENGTH),
        "principal_angle": Quantity(section.angle_rad, ANGLE),
        "centroid_y": Quantity(section.centroid_y_m, LENGTH),
        "centroid_z": Quantity(section.centroid_z_m, LENGTH),
        "design_wall": Quantity(section.wall_m, LENGTH),
        "label": section.label,
    }
    return found


def _sources(given: SectionInput, section: Section) -> tuple[str, ...]:
    found = ["definition"]
    if given.designation is not None:
        found.append("aisc_shapes")
        if section.shape == "pipe":
            found.append("asme_b36_10")
    if section.wall_m != section.wall_nominal_m:
        found.append("aisc_360")
    if section.shape == "flat":
        found.append("roark")
    return tuple(found)


def section_warnings(given: SectionInput, section: Section) -> list[str]:
    """What a reader should know of a section before relying on it."""
    found = []
    if given.designation is not None and confirmed(section.label) == "memory":
        found.append(f"That {section.label} is a size of the manual is from memory; its values are computed.")
    if section.shape == "angle" and given.designation is None:
        found.append("The corners are taken square: handbooks, with fillets, give 1 to 2 % more area.")
    if section.closed and given.designation is None and given.wall_basis is None:
        found.append(
            "The nominal wall counts in full; for electric-resistance-welded tube (A500, A53) AISC 360 takes 0.93 "
            "of it: write wall_basis design."
        )
    return found


CALCULATION = Calculation(
    name="section",
    title="Section values",
    question="How stiff and strong is the shape of this bar or tube?",
    input=SectionInput,
    run=run,
    example={"shape": "rect_tube", "depth": "2 in", "width": "2 in", "wall": "11 ga", "wall_basis": "design"},
    cross_checks=section_problems,
)
