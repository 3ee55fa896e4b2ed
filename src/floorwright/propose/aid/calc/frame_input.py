"""A frame as input, and how it becomes the solver's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Final

from pydantic import BeforeValidator, Field, GetCoreSchemaHandler, GetJsonSchemaHandler, model_validator
from pydantic_core import CoreSchema, core_schema

from floorwright.basis.fields import Angle, Input, Measure, Number, Plain
from floorwright.basis.mechanics import (
    DENSITY,
    INERTIA,
    LINE_LOAD,
    MOMENT,
    ROTATIONAL_STIFFNESS,
    SECTION_AREA,
    STIFFNESS,
    STRESS,
)
from floorwright.basis.quantity import ANGLE, FORCE, LENGTH, Dimension
from floorwright.propose.aid.calc.section_input import SectionInput
from floorwright.propose.aid.frame import (
    DOFS,
    HELD,
)
from floorwright.propose.aid.frame.model import Dof, Release

MOST_MEMBERS: Final = 5000
_FAR: Final = 1e4  # m; a shop aid is smaller

Place = Annotated[float, Measure(LENGTH, at_least=-_FAR, at_most=_FAR)]
Force = Annotated[float, Measure(FORCE, at_least=-1e12, at_most=1e12)]
Moment = Annotated[float, Measure(MOMENT, at_least=-1e12, at_most=1e12)]
LineLoad = Annotated[float, Measure(LINE_LOAD, at_least=-1e12, at_most=1e12)]
Modulus = Annotated[float, Measure(STRESS, above=0, at_least=1e3, at_most=1e13)]
TurningSpring = Annotated[float, Measure(ROTATIONAL_STIFFNESS, above=0, at_least=1e-3, at_most=1e13)]
Shift = Annotated[float, Measure(LENGTH, at_least=-10, at_most=10)]
Three = Annotated[list[Place], Field(min_length=3, max_length=3)]
ThreeForces = Annotated[list[Force], Field(min_length=3, max_length=3)]
ThreeMoments = Annotated[list[Moment], Field(min_length=3, max_length=3)]
ThreeLineLoads = Annotated[list[LineLoad], Field(min_length=3, max_length=3)]


class MaterialInput(Input):
    """Moduli and density of a material."""

    E: Modulus = Field(description="modulus of elasticity")
    G: Modulus = Field(description="shear modulus")
    density: Annotated[float, Measure(DENSITY, at_least=0, at_most=1e5)] | None = Field(
        None, description="needed for self weight"
    )
    Fy: Modulus | None = Field(None, description="yield strength; not used here")


class FrameSection(SectionInput):
    """A section by shape or designation, or by its values alone."""

    A: Annotated[float, Measure(SECTION_AREA, above=0, at_least=1e-12, at_most=1e4)] | None = Field(
        None, description="area"
    )
    I_y: Annotated[float, Measure(INERTIA, above=0, at_least=1e-18, at_most=1e4)] | None = Field(
        None, description="second moment about local y, the one that gravity bends a level member about"
    )
    I_z: Annotated[float, Measure(INERTIA, above=0, at_least=1e-18, at_most=1e4)] | None = Field(
        None, description="second moment about local z"
    )
    I_yz: Annotated[float, Measure(INERTIA, at_least=-1e4, at_most=1e4)] | None = Field(
        None, description="product of y and z over the area; 0 unless told"
    )
    J: Annotated[float, Measure(INERTIA, above=0, at_least=1e-18, at_most=1e4)] | None = Field(
        None, description="torsion constant"
    )


class Releases(Input):
    """What the ends of a member do not pass on."""

    from_: list[Release] = Field([], alias="from", description="at the start: my, mz, t (torsion), n (axial)")
    to: list[Release] = Field([], description="at the end")


class JointStiffness(Input):
    """Rotational stiffness of one joint."""

    my: TurningSpring | None = Field(None, description="about local y")
    mz: TurningSpring | None = Field(None, description="about local z")


class Joints(Input):
    """Rotational stiffness of the joints of a member; rigid where left out."""

    from_: JointStiffness = Field(JointStiffness(my=None, mz=None), alias="from", description="at the start")
    to: JointStiffness = Field(JointStiffness(my=None, mz=None), description="at the end")


class MemberInput(Input):
    """A straight bar between two nodes."""

    from_: str = Field(alias="from", description="node at its start")
    to: str = Field(description="node at its end")
    material: str = Field(description="one of the materials")
    section: str = Field(description="one of the sections")
    roll: Angle = Field(0.0, description="turns local y and z about local x")
    releases: Releases = Field(Releases(**{"from": [], "to": []}), description="what its ends do not pass on")
    joint_stiffness: Joints = Field(Joints(), description="rotational stiffness of its joints, where they yield")


class LoadInput(Input):
    """One load, on a node or on a member."""

    case: str = Field(description="load case that it belongs to")
    node: str | None = Field(None, description="node that it acts on")
    force: ThreeForces | None = Field(None, description="force on the node, global x, y, z")
    moment: ThreeMoments | None = Field(None, description="moment on the node")
    member: str | None = Field(None, description="member that it acts on")
    uniform: ThreeLineLoads | None = Field(None, description="load per length of the member, in global axes")
    point: ThreeForces | None = Field(None, description="force on the member, global x, y, z")
    at: Annotated[float, Plain(at_least=0, at_most=1)] | None = Field(
        None, description="where the point load is, as a fraction of the length from the start (plain)"
    )

    @model_validator(mode="after")
    def _one_kind(self) -> LoadInput:
        on_node = self.node is not None
        if on_node == (self.member is not None):
            raise ValueError("should name either a node or a member")
        if on_node and (self.uniform or self.point or self.at is not None):
            raise ValueError("is on a node: give force or moment")
        if on_node and not (self.force or self.moment):
            raise ValueError("has neither force nor moment")
        if not on_node and (self.force or self.moment):
            raise ValueError("is on a member: give uniform, or point with at")
        if not on_node and (self.uniform is None) == (self.point is None):
            raise ValueError("should be either uniform or a point load")
        if (self.point is not None) != (self.at is not None):
            raise ValueError("a point load needs both point and at, a uniform load neither")
        return self


class SettlementInput(Input):
    """How far the ground of a support moves."""

    case: str = Field(description="load case that it belongs to")
    node: str = Field(description="supported node")
    dx: Shift = Field(0.0, description="along x")
    dy: Shift = Field(0.0, description="along y")
    dz: Shift = Field(0.0, description="along z; down is negative")
    rx: Annotated[float, Measure(ANGLE, at_least=-1, at_most=1)] = Field(0.0, description="about x")
    ry: Annotated[float, Measure(ANGLE, at_least=-1, at_most=1)] = Field(0.0, description="about y")
    rz: Annotated[float, Measure(ANGLE, at_least=-1, at_most=1)] = Field(0.0, description="about z")


@dataclass(frozen=True)
class Hold:
    """Marks a field as a support in one direction: `held`, or a stiffness."""

    dimension: Dimension

    def _spring(self) -> Measure:
        return Measure(self.dimension, above=0, at_least=1e-3, at_most=1e13)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        def read(value: Any, otherwise: core_schema.ValidatorFunctionWrapHandler) -> float:
            return HELD if value == "held" else float(otherwise(value))

        return core_schema.no_info_wrap_validator_function(
            read, self._spring().__get_pydantic_core_schema__(source, handler)
        )

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        spring = self._spring().__get_pydantic_json_schema__(schema, handler)
        return spring | {"anyOf": [{"const": "held"}, *spring["anyOf"]]}


class Held(Input):
    """Support of a node: `held` or a stiffness for every direction that it supports."""

    dx: Annotated[float, Hold(STIFFNESS)] | None = Field(None, description="along x: held, or a stiffness")
    dy: Annotated[float, Hold(STIFFNESS)] | None = Field(None, description="along y")
    dz: Annotated[float, Hold(STIFFNESS)] | None = Field(None, description="along z")
    rx: Annotated[float, Hold(ROTATIONAL_STIFFNESS)] | None = Field(None, description="about x")
    ry: Annotated[float, Hold(ROTATIONAL_STIFFNESS)] | None = Field(None, description="about y")
    rz: Annotated[float, Hold(ROTATIONAL_STIFFNESS)] | None = Field(None, description="about z")

    def directions(self) -> dict[Dof, float]:
        """Stiffness by direction, infinite where it does not move."""
        return {dof: k for dof in DOFS if (k := getattr(self, dof)) is not None}


def _held(value: Any) -> Any:
    """A list of directions holds each of them."""
    if isinstance(value, list) and all(isinstance(each, str) for each in value):
        return dict.fromkeys(value, "held")
    return value


class FrameInput(Input):
    """Input of `frame`."""

    nodes: dict[str, Three] = Field(description="name -> [x, y, z], z up")
    materials: dict[str, MaterialInput] = Field(description="name -> moduli and density")
    sections: dict[str, FrameSection] = Field(description="name -> as `section`, or A, I_y, I_z, J")
    members: Annotated[dict[str, MemberInput], Field(min_length=1, max_length=MOST_MEMBERS)] = Field(
        description="name -> from which node to which, of what"
    )
    supports: dict[str, Annotated[Held, BeforeValidator(_held)]] = Field(
        description="node -> directions that are held (dx dy dz rx ry rz), or direction -> held or a stiffness"
    )
    loads: list[LoadInput] = Field([], description="loads on nodes and members, each in a case")
    settlements: list[SettlementInput] = Field([], description="movements of supports, each in a case")
    combinations: dict[str, dict[str, Number]] | None = Field(
        None, description="name -> {case: factor}; each case by itself unless told"
    )
    self_weight: str | None = Field(None, description="name of the case that the weight of the members goes into")
    second_order: bool = Field(False, description="whether axial forces count in the stiffness (P-delta)")
