"""What inputs of joints have in common: forces on a joint, parts with a strength."""

from __future__ import annotations

from math import cos, sin
from typing import Annotated, Final, Literal

from pydantic import Field

from floorwright.basis.errors import InputError
from floorwright.basis.fields import Input, Measure
from floorwright.basis.mechanics import MOMENT, STRESS
from floorwright.basis.metal.gauge_field import Thickness
from floorwright.basis.metal.material import material
from floorwright.basis.quantity import FORCE, LENGTH
from floorwright.propose.aid.joints.loads import XY, Forces

_MOST_N: Final = 1e9
JointSize = Annotated[float, Measure(LENGTH, above=0, at_least=1e-5, at_most=100.0)]
Clearance = Annotated[float, Measure(LENGTH, at_least=0, at_most=100.0)]
Place = Annotated[float, Measure(LENGTH, at_least=-100.0, at_most=100.0)]
Point = Annotated[list[Place], Field(min_length=2, max_length=2)]
Strong = Annotated[float, Measure(STRESS, above=0, at_least=1e5, at_most=1e11)]
JointForce = Annotated[float, Measure(FORCE, at_least=-_MOST_N, at_most=_MOST_N)]
JointMoment = Annotated[float, Measure(MOMENT, at_least=-_MOST_N, at_most=_MOST_N)]
Wall = Annotated[float, Thickness("tube")]
Method = Literal["ASD", "LRFD"]


class JointForces(Input):
    """Forces on a joint, at its centre; x and y lie in its plane."""

    N: JointForce = Field(0.0, description="out of the plane, tension positive")
    V: JointForce = Field(0.0, description="in the plane, at `angle` from x")
    M: JointMoment = Field(0.0, description="that such a force makes by its distance from the plane")
    T: JointMoment = Field(0.0, description="about the line out of the plane")
    Vx: JointForce = Field(0.0, description="along x, besides V")
    Vy: JointForce = Field(0.0, description="along y, besides V")
    Mx: JointMoment = Field(0.0, description="about x, besides M; it pulls where y is positive")
    My: JointMoment = Field(0.0, description="about y, besides M; it pulls where x is negative")

    def at(self, angle: float) -> Forces:
        """The forces with V and M turned to the angle from x."""
        return Forces.of(
            N=self.N,
            Vx=self.Vx + self.V * cos(angle),
            Vy=self.Vy + self.V * sin(angle),
            Mx=self.Mx - self.M * sin(angle),
            My=self.My + self.M * cos(angle),
            T=self.T,
        )


class Part(Input):
    """A joined part: thickness, and its strength by numbers or by material."""

    name: str | None = Field(None, description="what it is called in the answer", max_length=80)
    thickness: Wall = Field(description="of its wall; a gauge is tube gauge")
    Fy: Strong | None = Field(None, description="yield strength; or give material")
    Fu: Strong | None = Field(None, description="tensile strength; or give material")
    material: str | None = Field(None, description="a steel of the table of materials, in place of Fy and Fu")

    def strengths(self, path: str) -> tuple[float | None, float | None]:
        """Fy and Fu as far as they are known; None for a metal that these formulas are not made for.

        Raises:
            InputError: for a material that the table does not hold; the field is under `path`.
        """
        return known_strengths(self.Fy, self.Fu, self.material, path)


def known_strengths(
    Fy: float | None, Fu: float | None, name: str | None, path: str
) -> tuple[float | None, float | None]:
    """Fy and Fu in numbers before those of the material; none of aluminium or stainless steel."""
    if name is None:
        return Fy, Fu
    try:
        found = material(name)
    except InputError as error:
        raise InputError.of(path, name, error.problems[0].message) from None
    if found.family != "carbon_steel":
        return None, None
    return found.Fy_pa if Fy is None else Fy, found.Fu_pa if Fu is None else Fu


def point(at: list[float]) -> XY:
    """A point of the plane as a pair."""
    return at[0], at[1]
