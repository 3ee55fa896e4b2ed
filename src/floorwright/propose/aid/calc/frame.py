"""`frame`: displacements, reactions, member forces and buckling factor of a space frame."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final

import numpy as np

from floorwright.basis.calculation import Calculation
from floorwright.basis.check import Check, judge
from floorwright.basis.errors import InputError, Problem, UnstableError
from floorwright.basis.outcome import Outcome
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.calc.frame_build import to_frame
from floorwright.propose.aid.calc.frame_input import FrameInput
from floorwright.propose.aid.frame import Analysis, Combination, Frame, NodeLoad, PointLoad, UniformLoad, analyse
from floorwright.propose.aid.frame.model import Vector

BUCKLING: Final = "timoshenko_gere"
Maxima = dict[str, float]


def run(given: FrameInput) -> Outcome:
    """Solve the frame; a mechanism is bad input, a frame that buckles a failing check."""
    frame = to_frame(given)
    try:
        found = analyse(frame, second_order=given.second_order, buckling=True)
    except UnstableError as error:
        raise InputError([_mechanism(error)]) from None
    maxima = {
        name: {member: _maxima(each, member) for member in frame.members}
        for name, each in found.combinations.items()
        if not each.buckled
    }
    governs = _governing(frame, found, maxima)
    return Outcome(
        results={
            "combinations": {
                name: _record(frame, each) | ({"member_maxima": maxima[name]} if name in maxima else {})
                for name, each in found.combinations.items()
            },
            "governs": governs,
        },
        working=_working(given, frame, found, governs),
        checks=tuple(_buckling_check(each) for each in found.combinations.values() if each.buckling_factor),
        warnings=tuple(_warnings(given, found)),
        sources=("mcguire", "timoshenko_gere", "wittrick_williams_1971", "monforton_wu_1963"),
    )


def _mechanism(error: UnstableError) -> Problem:
    field = "supports" if error.node is None else f"nodes.{error.node}"
    text = str(error)
    return Problem(field, error.node, text[0].lower() + text[1:])


def _listed(values: Any) -> list[float | None]:
    """Numbers, null where there is none, and no minus before a 0."""
    return [float(x) + 0.0 if np.isfinite(x) else None for x in values]


def _record(frame: Frame, found: Combination) -> dict[str, Any]:
    """One combination by the names of the contract."""
    return {
        "displacements": {node: _listed(found.displacement(node)) for node in frame.nodes},
        "reactions": {node: _listed(found.reaction(node)) for node in frame.supports},
        "member_forces": {
            name: {"from": _listed(ends[:6]), "to": _listed(ends[6:])}
            for name, ends in zip(frame.members, found.end_forces, strict=True)
        },
        "buckling_factor": found.buckling_factor,
        "buckles": found.buckled,
    }


def _maxima(found: Combination, member: str) -> Maxima:
    """The largest forces and moments anywhere in a member, their signs left off, and how far it sags."""
    shape = found.along(member)
    largest = np.max(np.abs(shape.forces), axis=0)
    names = ("N", "Vy", "Vz", "T", "My", "Mz")
    moment, at = shape.largest_moment()
    return {name: float(value) for name, value in zip(names, largest, strict=True)} | {
        "M": moment,
        "M_at": at,
        "sag": shape.sag_m,
    }


def _governing(frame: Frame, found: Analysis, maxima: Mapping[str, Mapping[str, Maxima]]) -> dict[str, Any]:
    """Where the largest bending moment and the largest displacement are, and the smallest buckling factor."""
    standing = [each for each in found.combinations.values() if not each.buckled]
    record: dict[str, Any] = {"moment": None, "displacement": None, "buckling": None}
    moments = [
        (each["M"], each["M_at"], combination, member)
        for combination, members in maxima.items()
        for member, each in members.items()
    ]
    if moments:
        value, at, combination, member = max(moments, key=lambda each: each[0])
        record["moment"] = {"value": value, "combination": combination, "member": member, "at": at}
        moved = [
            (float(np.linalg.norm(each.displacement(node)[:3])), each.name, node)
            for each in standing
            for node in frame.nodes
        ]
        shift, combination, node = max(moved, key=lambda each: each[0])
        record["displacement"] = {"value": shift, "combination": combination, "node": node}
    factors = [(each.buckling_factor, each.name) for each in found.combinations.values() if each.buckling_factor]
    if factors:
        factor, combination = min(factors)
        record["buckling"] = {"factor": factor, "combination": combination}
    return record


def _buckling_check(found: Combination) -> Check:
    """The loads against those at which the frame buckles, by elastic theory: a limit, not an allowable load."""
    factor = found.buckling_factor or 0.0
    ratio, verdict = judge(1.0, factor)
    sentence = f"Under '{found.name}' the frame would buckle at {factor:.3g} times these loads."
    if verdict == "fails" or found.buckled:
        verdict = "fails"
        sentence = (
            f"Under '{found.name}' the frame buckles at {factor:.3g} times these loads: it cannot carry them."
        )
    return Check(
        name="buckling of the frame",
        case=found.name,
        demand=1.0,
        capacity=factor,
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source=BUCKLING,
    )


def _warnings(given: FrameInput, found: Analysis) -> Iterable[str]:
    for each in found.combinations.values():
        if each.buckled:
            yield (
                f"Under '{each.name}' the second-order analysis finds no equilibrium: the frame buckles, and its "
                "results are left empty."
            )
        elif not given.second_order and each.buckling_factor is not None and each.buckling_factor < 10:
            yield (
                f"Under '{each.name}' the buckling factor is {each.buckling_factor:.3g}, below 10: ask for "
                "second_order, because forces and displacements grow."
            )


def _working(given: FrameInput, frame: Frame, found: Analysis, governs: Mapping[str, Any]) -> Working:
    """What was solved, the sums that balance, and what governs; not every matrix."""
    name, case = _shown(found)
    assumptions = [
        "straight elastic bars, slender: no shear deformation, no warping",
        "small displacements" if not given.second_order else "small turns; axial forces count in the stiffness",
        "supports hold both ways: nothing lifts off",
        f"the sums below are of the combination '{name}'",
    ]
    counts = (
        Given("n", float(len(frame.nodes)), "", "nodes"),
        Given("m", float(len(frame.members)), "", "members"),
        Given("s", float(sum(len(each) for each in frame.supports.values())), "", "directions supported"),
    )
    force = _applied(frame, name)
    loads = tuple(
        Given(f"P{axis}", float(force[i]), "N", f"sum of loads along {axis}") for i, axis in enumerate("xyz")
    )
    reached = [each for each in found.combinations.values() if not each.buckled]
    steps: list[Step] = [
        Step("u", "6 * n", 6.0 * len(frame.nodes), "", "directions in which nodes can move", "mcguire")
    ]
    if reached:
        steps += _sums(case, force)
        steps += _governing_steps(governs)
    steps += _buckling_steps(found)
    return Working(
        title="Space frame by the stiffness method",
        given=(*counts, *loads),
        assumptions=tuple(assumptions),
        steps=tuple(steps),
    )


def _shown(found: Analysis) -> tuple[str, Combination]:
    """The combination whose sums are shown: the one nearest to buckling, else the first."""
    standing = {name: each for name, each in found.combinations.items() if not each.buckled} or found.combinations
    name = min(standing, key=lambda each: standing[each].buckling_factor or np.inf)
    return name, standing[name]


def _applied(frame: Frame, combination: str) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Sum of the forces of a combination, from the loads as they were given."""
    factors: Mapping[str, float] = frame.combinations[combination]
    total = np.zeros(3)

    def length(member: str) -> float:
        ends = (frame.nodes[frame.members[member].start], frame.nodes[frame.members[member].end])
        return float(np.linalg.norm(np.subtract(*ends)))

    def add(case: str, force: Vector, times: float) -> None:
        total[:] += factors.get(case, 0.0) * times * np.array(force)

    for load in frame.loads:
        match load:
            case NodeLoad() | PointLoad():
                add(load.case, load.force_n, 1.0)
            case UniformLoad():
                add(load.case, load.per_length_n_m, length(load.member))
            case _:
                pass
    if frame.self_weight is not None:
        for name, member in frame.members.items():
            add(frame.self_weight, (0.0, 0.0, -member.bar.weight_n_m), length(name))
    return total


def _sums(found: Combination, force: Any) -> list[Step]:
    steps = []
    held = found.reactions[:, :3].sum(axis=0)
    for i, axis in enumerate("xyz"):
        note = "from the solution, over all supports"
        steps += [
            Step(f"R{axis}", "", float(held[i]), "N", f"sum of reactions along {axis}", "definition", note),
            Step(
                f"e{axis}",
                f"P{axis} + R{axis}",
                float(force[i] + held[i]),
                "N",
                f"left over along {axis}",
                "definition",
            ),
        ]
    return steps


def _governing_steps(governs: Mapping[str, Any]) -> list[Step]:
    moment, shift = governs["moment"], governs["displacement"]
    return [
        Step(
            "M",
            "",
            moment["value"],
            "N·m",
            "the largest bending moment",
            "mcguire",
            f"in member '{moment['member']}', {moment['at']:.3g} m from its start, under '{moment['combination']}'",
        ),
        Step(
            "f",
            "",
            shift["value"],
            "m",
            "the largest displacement of a node",
            "mcguire",
            f"of node '{shift['node']}' under '{shift['combination']}'",
        ),
    ]


def _buckling_steps(found: Analysis) -> list[Step]:
    factors = [(each.buckling_factor, each.name) for each in found.combinations.values() if each.buckling_factor]
    if not factors:
        return []
    factor, name = min(factors)
    note = (
        f"under '{name}': the largest factor below which the stiffness under axial forces is positive definite "
        "and no member buckles between nodes that stand still"
    )
    return [
        Step("factor", "", factor, "", "the smallest buckling factor", "wittrick_williams_1971", note),
        Step("ratio", "1 / factor", 1 / factor, "", "loads over those at which the frame buckles", BUCKLING),
    ]


CALCULATION = Calculation(
    name="frame",
    title="Space frame",
    question="How far does this frame move, what do its members and supports carry, how near is it to buckling?",
    input=FrameInput,
    run=run,
    example={
        "nodes": {
            "a": [0, 0, 0],
            "b": [0, 0, "36 in"],
            "c": ["48 in", 0, "36 in"],
            "d": ["48 in", 0, 0],
        },
        "materials": {"steel": {"E": "29000 ksi", "G": "11200 ksi", "density": "0.2836 lb/in3"}},
        "sections": {
            "post": {"designation": "HSS2X2X1/8"},
            "rail": {"shape": "rect_tube", "depth": "2 in", "width": "1 in", "wall": "11 ga"},
        },
        "members": {
            "left": {"from": "a", "to": "b", "material": "steel", "section": "post"},
            "top": {"from": "b", "to": "c", "material": "steel", "section": "rail"},
            "right": {"from": "d", "to": "c", "material": "steel", "section": "post"},
        },
        "supports": {
            "a": ["dx", "dy", "dz", "rx", "rz"],
            "d": ["dx", "dy", "dz", "rx", "rz"],
        },
        "loads": [
            {"case": "load", "member": "top", "uniform": [0, 0, "-40 lb/ft"]},
            {"case": "push", "node": "b", "force": ["50 lbf", 0, 0]},
        ],
        "combinations": {"full": {"own": 1, "load": 1}, "full and pushed": {"own": 1, "load": 1, "push": 1}},
        "self_weight": "own",
    },
)
