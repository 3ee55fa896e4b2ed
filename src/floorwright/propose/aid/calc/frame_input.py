"""A frame as input, and how it becomes the solver's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Final

from pydantic import BeforeValidator, Field, model_validator

from floorwright.basis.errors import InputError, Problem
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
from floorwright.basis.metal.section import STEEL_KG_M3
from floorwright.basis.quantity import ANGLE, FORCE, G_STANDARD, LENGTH
from floorwright.propose.aid.calc.section_input import SectionInput, section_problems
from floorwright.propose.aid.frame import (
    DOFS,
    HELD,
    Bar,
    Frame,
    Joint,
    Member,
    NodeLoad,
    PointLoad,
    Settlement,
    UniformLoad,
)
from floorwright.propose.aid.frame.model import Dof, Load, Release, Vector, frame_problems

MOST_MEMBERS: Final = 5000
_FAR: Final = 1e4  # m; a shop aid is smaller

Place = Annotated[float, Measure(LENGTH, at_least=-_FAR, at_most=_FAR)]
Force = Annotated[float, Measure(FORCE, at_least=-1e12, at_most=1e12)]
Moment = Annotated[float, Measure(MOMENT, at_least=-1e12, at_most=1e12)]
LineLoad = Annotated[float, Measure(LINE_LOAD, at_least=-1e12, at_most=1e12)]
Modulus = Annotated[float, Measure(STRESS, above=0, at_least=1e3, at_most=1e13)]
Spring = Annotated[float, Measure(STIFFNESS, above=0, at_least=1e-3, at_most=1e13)]
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


class Held(Input):
    """Elastic support of a node: stiffness by direction."""

    dx: Spring | None = Field(None, description="along x")
    dy: Spring | None = Field(None, description="along y")
    dz: Spring | None = Field(None, description="along z")
    rx: TurningSpring | None = Field(None, description="about x")
    ry: TurningSpring | None = Field(None, description="about y")
    rz: TurningSpring | None = Field(None, description="about z")
    held: list[Dof] = Field([], description="directions that do not move at all")


def _held(value: Any) -> Any:
    return {"held": value} if isinstance(value, list) else value


class FrameInput(Input):
    """Input of `frame`."""

    nodes: dict[str, Three] = Field(description="name -> [x, y, z], z up")
    materials: dict[str, MaterialInput] = Field(description="name -> moduli and density")
    sections: dict[str, FrameSection] = Field(description="name -> as `section`, or A, I_y, I_z, J")
    members: Annotated[dict[str, MemberInput], Field(min_length=1, max_length=MOST_MEMBERS)] = Field(
        description="name -> from which node to which, of what"
    )
    supports: dict[str, Annotated[Held, BeforeValidator(_held)]] = Field(
        description="node -> directions that are held (dx dy dz rx ry rz), or direction -> stiffness"
    )
    loads: list[LoadInput] = Field([], description="loads on nodes and members, each in a case")
    settlements: list[SettlementInput] = Field([], description="movements of supports, each in a case")
    combinations: dict[str, dict[str, Number]] | None = Field(
        None, description="name -> {case: factor}; each case by itself unless told"
    )
    self_weight: str | None = Field(None, description="name of the case that the weight of the members goes into")
    second_order: bool = Field(False, description="whether axial forces count in the stiffness (P-delta)")


def to_frame(given: FrameInput) -> Frame:
    """The solver's frame.

    Raises:
        InputError: listing all that is wrong between the fields.
    """
    problems = list(_reference_problems(given))
    if problems:
        raise InputError(problems)
    bars: dict[tuple[str, str], Bar] = {}
    members = {}
    for name, member in given.members.items():
        key = (member.section, member.material)
        if key not in bars:
            bars[key] = _bar(given.sections[key[0]], given.materials[key[1]])
        members[name] = Member(
            start=member.from_,
            end=member.to,
            bar=bars[key],
            roll_rad=member.roll,
            at_start=_joint(member.releases.from_, member.joint_stiffness.from_),
            at_end=_joint(member.releases.to, member.joint_stiffness.to),
        )
    loads = [_load(each) for each in given.loads]
    loads += [_settlement(each) for each in given.settlements]
    cases = dict.fromkeys([load.case for load in loads] + ([given.self_weight] if given.self_weight else []))
    combinations = given.combinations if given.combinations is not None else {case: {case: 1.0} for case in cases}
    frame = Frame(
        nodes={name: (at[0], at[1], at[2]) for name, at in given.nodes.items()},
        members=members,
        supports={node: _support(held) for node, held in given.supports.items()},
        loads=tuple(loads),
        combinations=combinations,
        self_weight=given.self_weight,
    )
    if found := frame_problems(frame):
        raise InputError(_as_given(each, given) for each in found)
    return frame


def _as_given(problem: Problem, given: FrameInput) -> Problem:
    """Settlements stand in a list of their own, and combinations may not have been given at all."""
    if problem.field == "combinations" and given.combinations is None:
        return Problem(
            "loads", None, "is empty, and so is every other cause: give loads, settlements or self_weight"
        )
    return problem


def _reference_problems(given: FrameInput) -> Iterable[Problem]:
    for name, member in given.members.items():
        for field, table in (("material", given.materials), ("section", given.sections)):
            wanted = getattr(member, field)
            if wanted not in table:
                known = ", ".join(list(table)[:8]) or "none"
                yield Problem(
                    f"members.{name}.{field}", wanted, f"there is no {field} '{wanted}'; there are {known}"
                )
    for name, section in given.sections.items():
        for problem in _section_problems(section):
            yield Problem(f"sections.{name}.{problem.field}", problem.value, problem.message)
    if given.self_weight is not None:
        used = {member.material for member in given.members.values()}
        for name, material in given.materials.items():
            if name in used and material.density is None:
                yield Problem(f"materials.{name}.density", None, "is missing; self weight needs it")


def _section_problems(section: FrameSection) -> Iterable[Problem]:
    values = {name: getattr(section, name) for name in ("A", "I_y", "I_z", "J")}
    if not any(value is not None for value in (*values.values(), section.I_yz)):
        yield from section_problems({name: getattr(section, name) for name in SectionInput.model_fields})
        return
    if section.shape is not None or section.designation is not None:
        yield Problem("A", values["A"], "stands beside a shape or designation; give one or the other")
        return
    for name, value in values.items():
        if value is None:
            yield Problem(name, None, "is missing; a section by its values needs A, I_y, I_z and J")
    if None not in values.values() and (section.I_yz or 0.0) ** 2 >= values["I_y"] * values["I_z"]:
        yield Problem("I_yz", section.I_yz, "is too large: its square should be less than I_y times I_z")


def _bar(section: FrameSection, material: MaterialInput) -> Bar:
    density = material.density or 0.0
    if section.A is not None and section.I_y is not None and section.I_z is not None and section.J is not None:
        return Bar(
            A_m2=section.A,
            I_y_m4=section.I_y,
            I_z_m4=section.I_z,
            I_yz_m4=section.I_yz or 0.0,
            J_m4=section.J,
            E_pa=material.E,
            G_pa=material.G,
            weight_n_m=section.A * density * G_STANDARD,
        )
    made = section.section()
    return Bar(
        A_m2=made.A_m2,
        I_y_m4=made.I_y_m4,
        I_z_m4=made.I_z_m4,
        I_yz_m4=made.I_yz_m4,
        J_m4=made.J_m4,
        E_pa=material.E,
        G_pa=material.G,
        weight_n_m=made.mass_per_length_kg_m * density / STEEL_KG_M3 * G_STANDARD,
    )


def _joint(released: list[Release], stiffness: JointStiffness) -> Joint:
    found = {name: k for name, k in (("my", stiffness.my), ("mz", stiffness.mz)) if k is not None}
    return Joint(released=frozenset(released), stiffness_nm_rad=found)


def _support(held: Held) -> Mapping[Dof, float]:
    found: dict[Dof, float] = dict.fromkeys(held.held, HELD)
    for dof in DOFS:
        k = getattr(held, dof)
        if k is not None:
            found[dof] = k
    return found


def _vector(values: list[float] | None) -> Vector:
    return (values[0], values[1], values[2]) if values else (0.0, 0.0, 0.0)


def _load(given: LoadInput) -> Load:
    if given.node is not None:
        return NodeLoad(
            case=given.case, node=given.node, force_n=_vector(given.force), moment_nm=_vector(given.moment)
        )
    member = given.member or ""
    if given.uniform is not None:
        return UniformLoad(case=given.case, member=member, per_length_n_m=_vector(given.uniform))
    return PointLoad(case=given.case, member=member, force_n=_vector(given.point), at=given.at or 0.0)


def _settlement(given: SettlementInput) -> Settlement:
    by: dict[Dof, float] = {dof: getattr(given, dof) for dof in DOFS if getattr(given, dof)}
    return Settlement(case=given.case, node=given.node, by=by)
