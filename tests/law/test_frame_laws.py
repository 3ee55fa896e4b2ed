"""What must hold for every frame: equilibrium, symmetry, superposition, reciprocity, from wherever it is seen."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from floorwright.propose.aid.frame import (
    HELD,
    Frame,
    Joint,
    Member,
    NodeLoad,
    PointLoad,
    Settlement,
    UniformLoad,
    analyse,
)
from floorwright.propose.aid.frame.batch import batch_of
from floorwright.propose.aid.frame.element import blocks, stiffness
from floorwright.propose.aid.frame.model import Load
from frames import SHIFT, at_node, bar, frame
from random_frames import random_frame

SEEDS = st.integers(0, 10**6)
SEARCH = settings(max_examples=30)


def semi_rigid(made: Frame, seed: int) -> Frame:
    """The same frame with joints that yield and skew sections: everything the solver knows at once."""
    rng = np.random.default_rng(seed)
    members = {}
    for i, (name, member) in enumerate(made.members.items()):
        skew = float(rng.uniform(-0.5, 0.5)) * math.sqrt(member.bar.I_y_m4 * member.bar.I_z_m4)
        joint = Joint(stiffness_nm_rad={"my": float(rng.uniform(1e3, 1e6)), "mz": float(rng.uniform(1e3, 1e6))})
        members[name] = replace(
            member,
            bar=replace(member.bar, I_yz_m4=skew),
            at_start=joint if i % 3 == 0 and not member.at_start.released else member.at_start,
        )
    return replace(made, members=members)


def loads_in_all(made: Frame, name: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Sum of forces and of moments about the origin of everything that acts, from the loads as they were given."""
    force, moment = np.zeros(3), np.zeros(3)
    for load in made.loads:
        factor = made.combinations[name].get(load.case, 0.0)
        match load:
            case NodeLoad():
                parts = [(np.array(made.nodes[load.node]), np.array(load.force_n))]
                moment += factor * np.array(load.moment_nm)
            case UniformLoad():
                member = made.members[load.member]
                a, b = (np.array(made.nodes[each]) for each in (member.start, member.end))
                parts = [((a + b) / 2, np.array(load.per_length_n_m) * np.linalg.norm(b - a))]
            case PointLoad():
                member = made.members[load.member]
                a, b = (np.array(made.nodes[each]) for each in (member.start, member.end))
                parts = [(a + (b - a) * load.at, np.array(load.force_n))]
            case _:
                parts = []
        for at, vector in parts:
            force += factor * vector
            moment += factor * np.cross(at, vector)
    return force, moment


@SEARCH
@given(SEEDS)
def test_equilibrium(seed: int) -> None:
    made = semi_rigid(random_frame(seed), seed)
    for name, found in analyse(made).combinations.items():
        force, moment = loads_in_all(made, name)
        scale = float(np.max(np.abs(found.end_forces)))
        places = np.array(list(made.nodes.values()))
        held = found.reactions
        assert force + held[:, :3].sum(axis=0) == pytest.approx(np.zeros(3), abs=1e-8 * scale)
        turning = (np.cross(places, held[:, :3]) + held[:, 3:]).sum(axis=0)
        assert moment + turning == pytest.approx(np.zeros(3), abs=1e-7 * scale)


@SEARCH
@given(SEEDS, st.floats(-3, 3), st.floats(-3, 3))
def test_superposition_and_linearity(seed: int, a: float, b: float) -> None:
    made = semi_rigid(random_frame(seed), seed)
    made = replace(
        made, combinations={"dead": {"dead": 1.0}, "live": {"live": 1.0}, "both": {"dead": a, "live": b}}
    )
    found = analyse(made)
    for what in ("displacements", "reactions", "end_forces"):
        parts = [getattr(found[name], what) for name in ("dead", "live")]
        scale = max(float(np.max(np.abs(part))) for part in parts)
        assert getattr(found["both"], what) == pytest.approx(
            a * parts[0] + b * parts[1], rel=1e-7, abs=1e-9 * scale
        )


@SEARCH
@given(SEEDS)
def test_the_stiffness_matrix_is_positive_semidefinite(seed: int) -> None:
    """Without supports there are at least the six ways in which a body moves; nothing has negative stiffness."""
    made = semi_rigid(random_frame(seed), seed)
    free = batch_of([replace(made, supports={"n0": {"dx": 1.0}})])
    top = free.topology
    band = top.bands(blocks(free.bars, stiffness(free.bars)), None)[0]
    full = np.zeros((top.unknowns, top.unknowns))
    for below in range(band.shape[1]):
        values = band[: top.unknowns - below, below]
        full += np.diag(values, -below) + (np.diag(values, below) if below else 0)
    scale = np.sqrt(np.diag(full))
    eigenvalues = np.linalg.eigvalsh(full / np.outer(scale, scale))
    assert eigenvalues[0] > -1e-12
    assert np.sum(np.abs(eigenvalues) < 1e-11) >= 6


@SEARCH
@given(SEEDS)
def test_reciprocal_theorem(seed: int) -> None:
    """What a unit force at one place moves another is what a unit force there moves the first (Maxwell, Betti)."""
    made = semi_rigid(random_frame(seed), seed)
    rng = np.random.default_rng(seed)
    names = list(made.nodes)
    (one, i), (other, j) = [(names[int(rng.integers(len(names)))], int(rng.integers(6))) for _ in range(2)]

    def unit(node: str, dof: int, case: str) -> Load:
        six = [0.0] * 6
        six[dof] = 1.0
        return NodeLoad(case=case, node=node, force_n=tuple(six[:3]), moment_nm=tuple(six[3:]))

    made = replace(
        made,
        loads=(unit(one, i, "one"), unit(other, j, "other")),
        combinations={"one": {"one": 1.0}, "other": {"other": 1.0}},
    )
    found = analyse(made)
    there, here = found["one"].displacement(other)[j], found["other"].displacement(one)[i]
    size = float(np.max(np.abs(found["one"].displacements)))
    assert float(there) == pytest.approx(float(here), rel=1e-6, abs=1e-9 * size)


def carried(made: Frame, about: NDArray[np.float64], flips: bool, rolls: dict[str, float]) -> Frame:
    """The frame turned or mirrored by a matrix; moments of a mirrored frame turn the other way."""

    def vector(v: tuple[float, ...]) -> tuple[float, float, float]:
        x, y, z = (float(each) for each in about @ np.array(v))
        return x, y, z

    def twist(v: tuple[float, ...]) -> tuple[float, float, float]:
        x, y, z = vector(v)
        return (-x, -y, -z) if flips else (x, y, z)

    loads: list[Load] = []
    for load in made.loads:
        match load:
            case NodeLoad():
                loads.append(replace(load, force_n=vector(load.force_n), moment_nm=twist(load.moment_nm)))
            case UniformLoad():
                loads.append(replace(load, per_length_n_m=vector(load.per_length_n_m)))
            case PointLoad():
                loads.append(replace(load, force_n=vector(load.force_n)))
            case _:
                loads.append(load)
    members = {name: replace(each, roll_rad=rolls.get(name, each.roll_rad)) for name, each in made.members.items()}
    nodes = {name: vector(at) for name, at in made.nodes.items()}
    return replace(made, nodes=nodes, members=members, loads=tuple(loads))


def upright(made: Frame, name: str) -> bool:
    member = made.members[name]
    a, b = made.nodes[member.start], made.nodes[member.end]
    return math.hypot(a[0] - b[0], a[1] - b[1]) < 1e-9


@SEARCH
@given(SEEDS, st.floats(-3.1, 3.1), st.booleans())
def test_turned_about_the_vertical_nothing_changes(seed: int, angle: float, second: bool) -> None:
    made = semi_rigid(random_frame(seed), seed)
    # Supports in one global direction alone do not turn with the frame.
    made = replace(made, supports={name: SHIFT | {"rx": HELD, "ry": HELD, "rz": HELD} for name in made.supports})
    c, s = math.cos(angle), math.sin(angle)
    about = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1.0]])
    # An upright member keeps its local y along global y, so turning the frame is a roll of that member.
    rolls = {}
    for name, member in made.members.items():
        if upright(made, name):
            up = made.nodes[member.end][2] > made.nodes[member.start][2]
            rolls[name] = member.roll_rad + (angle if up else -angle)
    turned = carried(made, about, False, rolls)
    same(analyse(made)["all"], analyse(turned)["all"], about, flips=False)
    if second:
        light = replace(made, combinations={"all": {"dead": 0.2, "live": 0.2}})
        also = replace(turned, combinations=light.combinations)
        one, other = (analyse(each, second_order=True, buckling=True)["all"] for each in (light, also))
        assert one.buckled == other.buckled
        assert one.buckling_factor == pytest.approx(other.buckling_factor, rel=1e-6)
        if not one.buckled:
            same(one, other, about, flips=False)


def same(one: object, other: object, about: NDArray[np.float64], flips: bool) -> None:
    mirror = -1.0 if flips else 1.0
    for what in ("displacements", "reactions"):
        before, after = getattr(one, what), getattr(other, what)
        for part, sign in ((slice(0, 3), 1.0), (slice(3, 6), mirror)):
            scale = float(np.max(np.abs(before[:, part])))
            assert after[:, part] == pytest.approx(sign * before[:, part] @ about.T, rel=1e-6, abs=1e-7 * scale)
    before, after = one.end_forces, other.end_forces  # type: ignore[attr-defined]
    signs = np.array([1, mirror, 1, mirror, 1, mirror] * 2)
    scale = float(np.max(np.abs(before)))
    assert after == pytest.approx(before * signs, rel=1e-6, abs=1e-7 * scale)


@SEARCH
@given(SEEDS)
def test_mirrored_nothing_changes(seed: int) -> None:
    """Mirrored left to right: local y of level members turns round with the frame, so roll and skew do too."""
    made = random_frame(seed)
    made = replace(made, supports={name: SHIFT | {"rx": HELD, "ry": HELD, "rz": HELD} for name in made.supports})
    about = np.diag([1.0, -1.0, 1.0])
    rolls = {name: -each.roll_rad for name, each in made.members.items()}
    same(analyse(made)["all"], analyse(carried(made, about, True, rolls))["all"], about, flips=True)


@SEARCH
@given(SEEDS)
def test_names_and_directions_of_members_do_not_matter(seed: int) -> None:
    """Members and nodes listed the other way round, each member from its end to its start: nothing changes."""
    made = random_frame(seed)
    loads = tuple(replace(each, at=1 - each.at) if isinstance(each, PointLoad) else each for each in made.loads)
    turned = {
        name: Member(
            start=each.end,
            end=each.start,
            bar=each.bar,
            # Turned round, an upright member keeps its local y and a level one turns it: the roll is the other way.
            roll_rad=-each.roll_rad,
            at_start=each.at_end,
            at_end=each.at_start,
        )
        for name, each in reversed(made.members.items())
    }
    other = replace(made, nodes=dict(reversed(made.nodes.items())), members=turned, loads=loads)
    one, again = analyse(made)["all"], analyse(other)["all"]
    for node in made.nodes:
        size = float(np.max(np.abs(one.displacements)))
        assert again.displacement(node) == pytest.approx(one.displacement(node), rel=1e-6, abs=1e-8 * size)


@SEARCH
@given(SEEDS, st.floats(1.05, 2.0))
def test_a_symmetric_frame_under_symmetric_load_moves_symmetrically(seed: int, height: float) -> None:
    rng = np.random.default_rng(seed)
    tube = bar(E=200e9, G=77e9, A=5e-4, Iy=float(rng.uniform(1e-7, 1e-6)), Iz=2e-7, J=2e-7)
    nodes = {"a": (-1, 0, 0), "b": (-1, 0, height), "c": (1, 0, height), "d": (1, 0, 0)}
    members = {
        "ab": Member(start="a", end="b", bar=tube),
        "bc": Member(start="b", end="c", bar=tube),
        "dc": Member(start="d", end="c", bar=tube),
    }
    pull, down = float(rng.uniform(0, 1e3)), float(rng.uniform(0, 1e3))
    loads = [at_node("b", -pull, 0, -down), at_node("c", pull, 0, -down)]
    supports = {name: SHIFT | {"rx": HELD, "ry": HELD, "rz": HELD} for name in "ad"}
    found = analyse(frame(nodes, members, supports, loads), second_order=True)["L"]
    left, right = found.displacement("b"), found.displacement("c")
    flip = np.array([-1, 1, 1, 1, -1, -1])
    assert right == pytest.approx(left * flip, rel=1e-9, abs=1e-12)


@SEARCH
@given(SEEDS, st.floats(0.05, 0.95))
def test_thrust_softens_and_tension_stiffens(seed: int, share: float) -> None:
    """Sideways, a cantilever moves more under thrust and less under tension than without either, without bound
    towards the buckling load: near enough 1/(1 - share) times as much."""
    rng = np.random.default_rng(seed)
    tube = bar(E=200e9, G=77e9, A=5e-4, Iy=float(rng.uniform(1e-7, 1e-6)), Iz=1e-7, J=2e-7)
    length = float(rng.uniform(0.3, 3))
    critical = math.pi**2 * 200e9 * 1e-7 / (4 * length**2)

    def sideways(axial: float) -> float:
        made = frame(
            {"a": (0, 0, 0), "b": (0, 0, length)},
            {"m": Member(start="a", end="b", bar=tube)},
            {"a": SHIFT | {"rx": HELD, "ry": HELD, "rz": HELD}},
            [at_node("b", 0, 10, axial)],
        )
        return float(analyse(made, second_order=True)["L"].displacement("b")[1])

    pushed, plain, pulled = (sideways(each * share * critical) for each in (-1, 0, 1))
    assert pulled < plain < pushed
    assert pushed / plain == pytest.approx(1 / (1 - share), rel=0.03)


@SEARCH
@given(SEEDS)
def test_a_settlement_of_the_whole_ground_strains_nothing(seed: int) -> None:
    made = random_frame(seed)
    ground = {name: SHIFT | {"rx": HELD, "ry": HELD, "rz": HELD} for name in made.supports}
    by = {"dx": 0.003, "dy": -0.002, "dz": -0.01}
    sinks = tuple(Settlement(case="S", node=name, by=by) for name in ground)
    found = analyse(replace(made, supports=ground, loads=sinks, combinations={"S": {"S": 1.0}}))["S"]
    assert found.displacements[:, :3] == pytest.approx(np.tile(list(by.values()), (len(made.nodes), 1)), rel=1e-6)
    stiff = float(np.max(batch_of([made]).bars.axial))
    assert float(np.max(np.abs(found.end_forces))) < 1e-11 * stiff
