"""From the input of `frame` to the solver's frame, with all that is wrong between its fields."""

from __future__ import annotations

from collections.abc import Iterable

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.metal.section import STEEL_KG_M3
from floorwright.basis.quantity import G_STANDARD
from floorwright.propose.aid.calc.frame_input import (
    FrameInput,
    FrameSection,
    JointStiffness,
    LoadInput,
    MaterialInput,
    SettlementInput,
)
from floorwright.propose.aid.calc.section_input import SectionInput, section_problems
from floorwright.propose.aid.frame import (
    DOFS,
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
        supports={node: held.directions() for node, held in given.supports.items()},
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
