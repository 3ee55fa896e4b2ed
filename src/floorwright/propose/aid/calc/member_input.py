"""Input of `member`, and how it becomes what the clauses need."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Final

from pydantic import BeforeValidator, Field

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, Measure, Plain
from floorwright.basis.mechanics import MOMENT, STRESS
from floorwright.basis.metal.material import FORM_OF_SHAPE, Family, Material, material, uncertified
from floorwright.basis.metal.section import Section
from floorwright.basis.quantity import FORCE, LENGTH
from floorwright.propose.aid.calc.section_input import SectionInput, section_problems
from floorwright.propose.aid.steel.basis import Bracing, Method, Steel

UNCERTIFIED: Final = "uncertified"
Modulus = Annotated[float, Measure(STRESS, at_least=1e9, at_most=1e12)]
Strength = Annotated[float, Measure(STRESS, at_least=1e6, at_most=5e9)]
Reach = Annotated[float, Measure(LENGTH, at_least=1e-3, at_most=1e3)]
EffectiveLength = Annotated[float, Plain(at_least=0.1, at_most=20)]
Force = Annotated[float, Measure(FORCE, at_least=-1e12, at_most=1e12)]
Moment = Annotated[float, Measure(MOMENT, at_least=-1e12, at_most=1e12)]


class MemberMaterial(Input):
    """A material by its numbers, or by its grade alone."""

    grade: str | None = Field(
        None, description="of the table, such as A500B_shaped, alone; uncertified for steel of unknown grade"
    )
    E: Modulus | None = Field(None, description="modulus of elasticity")
    Fy: Strength | None = Field(None, description="yield strength")
    Fu: Strength | None = Field(None, description="tensile strength")
    family: Family | None = Field(None, description="which metal it is; told by E unless given")


def _by_grade(value: Any) -> Any:
    """The name of a grade alone stands for the material of that grade."""
    return {"grade": value} if isinstance(value, str) else value


class MemberForces(Input):
    """Forces in the member where they are worst."""

    N: Force = Field(0.0, description="along it, tension positive")
    My: Moment = Field(0.0, description="moment about y")
    Mz: Moment = Field(0.0, description="moment about z")
    Vy: Force = Field(0.0, description="shear along y")
    Vz: Force = Field(0.0, description="shear along z")
    T: Moment = Field(0.0, description="torsion")


class MemberInput(Input):
    """Input of `member`."""

    section: SectionInput = Field(description="as in `section`: a designation, or a shape with its sizes")
    material: Annotated[MemberMaterial, BeforeValidator(_by_grade)] = Field(
        description="E, Fy and Fu, or the name of a grade alone (also as plain text); uncertified for unknown steel"
    )
    length: Reach = Field(description="length between its supports")
    K_y: EffectiveLength = Field(1.0, description="effective length factor for buckling about y (plain)")
    K_z: EffectiveLength = Field(1.0, description="effective length factor for buckling about z (plain)")
    unbraced_length: Reach | None = Field(
        None, description="between points held against turning over sideways; the length unless told"
    )
    Cb: Annotated[float, Plain(at_least=1, at_most=3)] = Field(
        1.0, description="factor for the shape of the moment (plain); 1, an even moment, is on the safe side"
    )
    forces: MemberForces | None = Field(
        None, description="where they are worst, from a second-order analysis or amplified; with LRFD factored"
    )
    method: Method = Field("ASD", description="ASD: forces as they are; LRFD: factored forces")
    connected_leg: bool = Field(
        False,
        description="of an angle: loaded through one leg (the longer) at both ends, by weld or two bolts (E5); "
        "else through its centroid",
    )
    net_share: Annotated[float, Plain(above=0, at_least=0.05, at_most=1)] = Field(
        1.0, description="effective net area over gross area (plain); 1: no holes, all of it connected"
    )

    def steel(self, section: Section) -> tuple[Steel, Material | None]:
        """The numbers of the steel, and the row of the table that they come from."""
        given = self.material
        if given.grade is not None:
            found = _of_grade(given.grade, section)
            return Steel.of(found), found
        assert given.E is not None and given.Fy is not None and given.Fu is not None  # noqa: S101, PT018
        return Steel(E_pa=given.E, Fy_pa=given.Fy, Fu_pa=given.Fu, family=given.family), None

    def bracing(self) -> Bracing:
        """How it is held."""
        return Bracing(
            length_m=self.length,
            K_y=self.K_y,
            K_z=self.K_z,
            unbraced_m=self.unbraced_length,
            Cb=self.Cb,
            one_leg=self.connected_leg,
            net_share=self.net_share,
        )


def _of_grade(grade: str, section: Section) -> Material:
    if grade == UNCERTIFIED:
        return uncertified(FORM_OF_SHAPE[section.shape])
    return material(grade)


def between_fields(given: Mapping[str, Any]) -> Iterable[Problem]:
    """What does not fit together, as far as it can be read."""
    section: SectionInput | None = given.get("section")
    if section is not None:
        fields = {name: getattr(section, name) for name in SectionInput.model_fields}
        for problem in section_problems(fields):
            yield Problem(f"section.{problem.field}", problem.value, problem.message)
        if given.get("connected_leg") and section.designation is None and section.shape not in (None, "angle"):
            yield Problem("connected_leg", True, "is for angles; leave it out here")
    if "material" in given:
        yield from _material_problems(given["material"])


def _material_problems(given: MemberMaterial) -> Iterable[Problem]:
    numbers = {name: getattr(given, name) for name in ("E", "Fy", "Fu")}
    if given.grade is not None:
        for name, value in (numbers | {"family": given.family}).items():
            if value is not None:
                yield Problem(f"material.{name}", value, "should be left out: the grade says it all")
        if given.grade != UNCERTIFIED:
            try:
                material(given.grade)
            except InputError as error:
                yield from (Problem("material", each.value, each.message) for each in error.problems)
        return
    for name, value in numbers.items():
        if value is None:
            yield Problem(f"material.{name}", None, "is missing; give E, Fy and Fu, or the name of a grade alone")
    Fy, Fu = given.Fy, given.Fu
    if Fy is not None and Fu is not None and Fu < Fy:
        yield Problem("material.Fu", Fu, "is less than the yield strength; it should be Fy or more")
