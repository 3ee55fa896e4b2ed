"""The frame solver: local axes, releases, mechanisms in words, results along members, faults, batches."""

from __future__ import annotations

import math

import numpy as np
import pytest

from floorwright.basis.errors import InputError, InternalFault, UnstableError
from floorwright.basis.metal.designation import designated
from floorwright.basis.metal.material import material
from floorwright.basis.metal.section import angle
from floorwright.propose.aid.frame import (
    HELD,
    PINNED,
    Bar,
    Frame,
    Joint,
    Member,
    NodeLoad,
    Settlement,
    analyse,
    solve_many,
)
from floorwright.propose.aid.frame import solve as solver
from floorwright.propose.aid.frame.batch import batch_of
from floorwright.propose.aid.frame.element import axes_of
from floorwright.propose.aid.frame.stability import c_functions, end_factors
from frames import FIXED, SHIFT, along, at_node, bar, beam, frame, point, portal

TUBE = bar(E=200e9, G=77e9, A=5e-4, Iy=2e-7, Iz=1e-7, J=2e-7)


def one(start: tuple[float, ...], end: tuple[float, ...], roll: float = 0.0) -> list[list[float]]:
    _, axes = axes_of(np.array([[start]]), np.array([[end]]), np.array([[roll]]))
    return [[round(float(x), 12) + 0.0 for x in row] for row in axes[0, 0]]


@pytest.mark.parametrize(
    ("end", "axes"),
    [
        ((1, 0, 0), [[1, 0, 0], [0, 1, 0], [0, 0, 1]]),
        ((0, 1, 0), [[0, 1, 0], [-1, 0, 0], [0, 0, 1]]),
        ((-1, 0, 0), [[-1, 0, 0], [0, -1, 0], [0, 0, 1]]),
        ((0, 0, 1), [[0, 0, 1], [0, 1, 0], [-1, 0, 0]]),
        ((0, 0, -1), [[0, 0, -1], [0, 1, 0], [1, 0, 0]]),
    ],
)
def test_local_axes(end: tuple[float, ...], axes: list[list[float]]) -> None:
    assert one((0, 0, 0), end) == axes


def test_roll_turns_y_towards_z() -> None:
    x, y, z = one((0, 0, 0), (1, 0, 0), math.radians(90))
    assert (x, y, z) == ([1, 0, 0], [0, 0, 1], [0, -1, 0])


def test_gravity_bends_a_level_member_about_y() -> None:
    """A deep tube carries its load about y with the larger second moment; rolled on its side about the smaller."""
    deep = bar(E=200e9, G=77e9, A=5e-4, Iy=4e-7, Iz=1e-7, J=2e-7)
    sags = []
    for roll in (0.0, math.pi / 2):
        made = frame(
            {"a": (0, 0, 0), "b": (0.6, 0.8, 0)},
            {"m": Member(start="a", end="b", bar=deep, roll_rad=roll)},
            {"a": FIXED},
            [at_node("b", 0, 0, -100)],
        )
        found = analyse(made)["L"]
        sags.append(-float(found.displacement("b")[2]))
        bends = found.of_member("m")[4 if roll == 0 else 5]
        assert abs(float(bends)) == pytest.approx(100, rel=1e-9)
    assert sags == pytest.approx([100 / (3 * 200e9 * 4e-7), 100 / (3 * 200e9 * 1e-7)], rel=1e-9)


def test_signs_of_end_forces() -> None:
    """A member in tension has N negative at its start, positive at its end."""
    found = analyse(
        frame(
            {"a": (0, 0, 0), "b": (1, 0, 0)},
            {"m": Member(start="a", end="b", bar=TUBE)},
            {"a": FIXED},
            [at_node("b", 500, 0, -100)],
        )
    )["L"].of_member("m")
    assert [round(float(x), 6) for x in found] == [-500, 0, 100, 0, -100, 0, 500, 0, -100, 0, 0, 0]


def test_unsymmetric_section_bends_sideways() -> None:
    """An angle as a cantilever: its principal axes lie at 45 degrees, half of the load bends it about each."""
    leg = angle(0.05, 0.05, 0.005)
    made = frame(
        {"a": (0, 0, 0), "b": (1, 0, 0)},
        {"m": Member(start="a", end="b", bar=Bar.of(leg, material("A36")))},
        {"a": FIXED},
        [at_node("b", 0, 0, -200)],
    )
    found = analyse(made)["L"]
    E = material("A36").E_pa
    unit = 200 / (3 * E)
    down = unit * (1 / leg.I_1_m4 + 1 / leg.I_2_m4) / 2
    aside = unit * (1 / leg.I_2_m4 - 1 / leg.I_1_m4) / 2
    assert -float(found.displacement("b")[2]) == pytest.approx(down, rel=1e-9)
    assert abs(float(found.displacement("b")[1])) == pytest.approx(aside, rel=1e-9)
    shape = found.along("m")
    assert shape.moved_m[-1, 1:] == pytest.approx(found.displacement("b")[1:3], rel=1e-9)
    assert float(shape.forces[0, 4]) == pytest.approx(200, rel=1e-9)


def test_unsymmetric_section_buckles_about_its_weak_axis() -> None:
    leg = angle(0.05, 0.05, 0.005)
    made = frame(
        {"a": (0, 0, 0), "b": (0, 0, 1.2)},
        {"m": Member(start="a", end="b", bar=Bar.of(leg, material("A36")))},
        {"a": SHIFT | {"rz": HELD}, "b": {"dx": HELD, "dy": HELD}},
        [at_node("b", 0, 0, -1)],
    )
    critical = math.pi**2 * material("A36").E_pa * leg.I_2_m4 / 1.2**2
    assert analyse(made, buckling=True)["L"].buckling_factor == pytest.approx(critical, rel=1e-8)


@pytest.mark.parametrize("side", ["at_start", "at_end"])
def test_released_ends_carry_nothing(side: str) -> None:
    for released, index in (("my", 4), ("mz", 5), ("t", 3), ("n", 0)):
        joint = Joint(released=frozenset({released}))
        made = frame(
            {"a": (0, 0, 0), "b": (1, 0, 0.3), "c": (1, 1, 0)},
            {
                "ab": Member(start="a", end="b", bar=TUBE, **{side: joint}),
                "bc": Member(start="b", end="c", bar=TUBE),
            },
            {"a": FIXED, "c": FIXED},
            [at_node("b", 30, 20, -100, 5, 7, 11), along("ab", 10, 20, -30), point("ab", 0.3, 5, 6, -70)],
        )
        ends = analyse(made)["L"].of_member("ab")
        assert float(ends[index + (6 if side == "at_end" else 0)]) == pytest.approx(0, abs=1e-9)
        assert np.max(np.abs(ends)) > 1


def test_a_stiff_joint_is_a_rigid_one_and_a_weak_joint_a_hinge() -> None:
    def sag(joint: Joint) -> float:
        held = [{"dz": HELD, "ry": HELD}, {"dz": HELD, "ry": HELD}]
        made = beam([2.0], held, [along("m0", 0, 0, -100)], section=TUBE, joints=(joint, joint))
        return analyse(made)["L"].along("m0").sag_m

    rigid, hinged = sag(Joint()), sag(PINNED)
    assert sag(Joint(stiffness_nm_rad={"my": 1e15})) == pytest.approx(rigid, rel=1e-8)
    assert sag(Joint(stiffness_nm_rad={"my": 1e-6})) == pytest.approx(hinged, rel=1e-8)
    assert rigid < sag(Joint(stiffness_nm_rad={"my": 4e4})) < hinged


def test_partly_released_unsymmetric_section() -> None:
    """Released about local y alone, an angle still carries moment about z there; 4 x 4 joints, not two planes."""
    leg = Bar.of(angle(0.06, 0.04, 0.005), material("A36"))
    made = frame(
        {"a": (0, 0, 0), "b": (1, 0, 0)},
        {"m": Member(start="a", end="b", bar=leg, at_end=Joint(released=frozenset({"my"})))},
        {"a": FIXED, "b": FIXED},
        [along("m", 0, 50, -100)],
    )
    ends = analyse(made)["L"].of_member("m")
    assert float(ends[10]) == pytest.approx(0, abs=1e-9)
    assert abs(float(ends[11])) > 1


def test_elastic_support_and_its_settlement() -> None:
    made = beam([1.0, 1.0], [{"dz": HELD}, {"dz": 5e4}, {"dz": HELD}], [at_node("1", 0, 0, -800)], section=TUBE)
    found = analyse(made)["L"]
    down = -float(found.displacement("1")[2])
    own = 48 * 200e9 * 2e-7 / 8
    assert down == pytest.approx(800 / (own + 5e4), rel=1e-9)
    assert float(found.reaction("1")[2]) == pytest.approx(5e4 * down, rel=1e-9)
    sunk = frame(made.nodes, made.members, made.supports, [Settlement(case="L", node="1", by={"dz": -0.01})])
    found = analyse(sunk)["L"]
    assert -float(found.displacement("1")[2]) == pytest.approx(5e4 * 0.01 / (own + 5e4), rel=1e-9)


def test_self_weight_is_in_the_reactions() -> None:
    section, steel = designated("HSS2X2X1/8"), material("A500B_shaped")
    made = frame(
        {"a": (0, 0, 0), "b": (0, 0, 1), "c": (1, 1, 1.5)},
        {
            "ab": Member(start="a", end="b", bar=Bar.of(section, steel)),
            "bc": Member(start="b", end="c", bar=Bar.of(section, steel)),
        },
        {"a": FIXED},
        combinations={"L": {"own": 1.0}},
        self_weight="own",
    )
    weight = section.mass_per_length_kg_m * 9.80665 * (1 + math.sqrt(2.25))
    assert float(analyse(made)["L"].reaction("a")[2]) == pytest.approx(weight, rel=1e-9)


def test_combinations_take_their_factors() -> None:
    made = Frame(
        nodes={"a": (0, 0, 0), "b": (1, 0, 0)},
        members={"m": Member(start="a", end="b", bar=TUBE)},
        supports={"a": FIXED},
        loads=(
            NodeLoad(case="up", node="b", force_n=(0, 0, 10)),
            NodeLoad(case="side", node="b", force_n=(0, 7, 0)),
        ),
        combinations={"both": {"up": 2.0, "side": -1.0}, "nothing": {}},
    )
    found = analyse(made)
    assert [float(x) for x in found["both"].reaction("a")[:3]] == pytest.approx([0, 7, -20])
    assert not np.any(found["nothing"].displacements)


class TestMechanisms:
    """What moves, which way, and what would hold it."""

    def told(self, made: Frame) -> UnstableError:
        with pytest.raises(UnstableError) as caught:
            analyse(made)
        return caught.value

    def test_no_support_against_sliding(self) -> None:
        supports = {"a": {"dz": HELD, "dy": HELD, "rx": HELD}, "b": {"dz": HELD, "dy": HELD}}
        found = self.told(
            frame({"a": (0, 0, 0), "b": (1, 0, 0)}, {"m": Member(start="a", end="b", bar=TUBE)}, supports)
        )
        assert str(found) == "The whole frame moves along x: no support holds it; hold a node in dx."
        assert found.node is None

    def test_no_support_against_turning(self) -> None:
        found = self.told(
            frame({"a": (0, 0, 0), "b": (1, 0, 0)}, {"m": Member(start="a", end="b", bar=TUBE)}, {"a": SHIFT})
        )
        assert found.node is None
        assert "turns about" in str(found)

    def test_a_node_that_turns(self) -> None:
        """Two members hinged about y at the node where they meet in line with a third one square to them."""
        hinge = Joint(released=frozenset({"my"}))
        found = self.told(
            frame(
                {"a": (0, 0, 0), "b": (1, 0, 0), "c": (2, 0, 0)},
                {
                    "ab": Member(start="a", end="b", bar=TUBE, at_end=hinge),
                    "bc": Member(start="b", end="c", bar=TUBE, at_start=hinge),
                },
                {"a": FIXED, "c": FIXED},
            )
        )
        assert (found.node, found.direction) == ("b", "turns about y")
        assert str(found) == (
            "Node 'b' turns about y: nothing holds it; keep a member there unreleased, or hold it in ry."
        )

    def test_a_frame_that_folds(self) -> None:
        """A portal on two hinged legs without a brace."""
        made = portal(h=1, L=1, column=TUBE, girder=TUBE, feet="pinned")
        hinged = {
            name: Member(start=m.start, end=m.end, bar=m.bar, at_end=PINNED if name != "bc" else Joint())
            for name, m in made.members.items()
        }
        found = self.told(frame(made.nodes, hinged, made.supports))
        assert found.node in ("b", "c")
        assert "moves along x" in str(found)
        assert "brace it" in str(found)

    def test_says_which_variant(self) -> None:
        def made(joint: Joint) -> Frame:
            members = {"m": Member(start="a", end="b", bar=TUBE, at_start=joint)}
            return frame({"a": (0, 0, 0), "b": (1, 0, 0)}, members, {"a": FIXED})

        with pytest.raises(UnstableError, match=r"\(variant 1\)"):
            solve_many([made(Joint()), made(Joint(released=frozenset({"my"})))])


def test_a_stiff_and_slender_frame_is_no_mechanism() -> None:
    """A cantilever of 60 pieces: the last pivot keeps a small share of its stiffness, and yet all is well."""
    nodes = {str(i): (0.0, 0.0, 0.05 * i) for i in range(61)}
    members = {f"m{i}": Member(start=str(i), end=str(i + 1), bar=TUBE) for i in range(60)}
    found = analyse(frame(nodes, members, {"0": FIXED}, [at_node("60", 10, 0, 0)]))["L"]
    assert float(found.displacement("60")[0]) == pytest.approx(10 * 27 / (3 * 200e9 * 2e-7), rel=1e-6)


def test_a_result_out_of_balance_is_never_given_out(monkeypatch: pytest.MonkeyPatch) -> None:
    made = portal(h=1, L=1, column=TUBE, girder=TUBE, feet="fixed", loads=[at_node("b", 100, 0, 0)])
    right = solver.factored_solution

    def spoiled(band: object, sides: object) -> object:
        answer = right(band, sides)  # type: ignore[arg-type]
        assert answer is not None
        return answer[0] * (1 + 1e-4 * np.arange(answer[0].shape[1])), answer[1]

    monkeypatch.setattr(solver, "factored_solution", spoiled)
    with pytest.raises(InternalFault, match="out of balance at a node"):
        analyse(made)


def test_a_wrong_element_is_found_by_the_sums_of_the_whole_frame(monkeypatch: pytest.MonkeyPatch) -> None:
    """Shears that do not balance end moments: every node is in balance, the frame is not."""
    made = portal(h=1, L=1, column=TUBE, girder=TUBE, feet="fixed", loads=[at_node("b", 100, 0, 0)])
    batch = batch_of([made])
    solved = solver.solve_batch(batch)
    stiff = solver.stiffness(batch.bars)
    loads = solver.member_loads(batch.bars, batch.uniform, batch.points)
    reactions = solved.reactions.copy()
    reactions[0, 0, 0, 4] += 1.0
    with pytest.raises(InternalFault, match="out of balance of the whole frame"):
        solver.assert_equilibrium(
            batch, stiff, loads, solved.displacements, solved.end_forces, reactions, np.zeros_like(reactions)
        )
    bad = np.full_like(reactions, np.nan)
    with pytest.raises(InternalFault):
        solver.assert_equilibrium(batch, stiff, loads, solved.displacements, solved.end_forces, reactions, bad)


def test_beyond_the_buckling_load_there_is_no_answer() -> None:
    critical = math.pi**2 * 200e9 * 1e-7 / 4  # cantilever of 1 m about its weak axis
    nodes, members = {"a": (0, 0, 0), "b": (0, 0, 1)}, {"m": Member(start="a", end="b", bar=TUBE)}
    for share, buckles in ((0.99, False), (1.01, True)):
        made = frame(nodes, members, {"a": FIXED}, [at_node("b", 1, 1, -share * critical)])
        found = analyse(made, second_order=True, buckling=True)["L"]
        assert found.buckled is buckles
        assert found.buckling_factor == pytest.approx(1 / share, rel=1e-8)
        if buckles:
            assert np.all(np.isnan(found.displacements))
            with pytest.raises(UnstableError, match="Under 'L' the frame buckles"):
                found.along("m")
        else:
            assert found.rounds >= 1


def test_a_member_that_buckles_between_nodes_that_stand_still() -> None:
    made = frame(
        {"a": (0, 0, 0), "b": (0, 0, 1)},
        {"m": Member(start="a", end="b", bar=TUBE)},
        {"a": FIXED, "b": {dof: k for dof, k in FIXED.items() if dof != "dz"}},
        [at_node("b", 0, 0, -1)],
    )
    critical = 4 * math.pi**2 * 200e9 * 1e-7
    assert analyse(made, buckling=True)["L"].buckling_factor == pytest.approx(critical, rel=1e-8)
    hinged = frame(
        made.nodes,
        {"m": Member(start="a", end="b", bar=TUBE, at_start=PINNED, at_end=PINNED)},
        made.supports,
        [at_node("b", 0, 0, -1)],
    )
    assert analyse(hinged, buckling=True)["L"].buckling_factor == pytest.approx(critical / 4, rel=1e-6)


def test_nothing_in_compression_never_buckles() -> None:
    made = frame(
        {"a": (0, 0, 0), "b": (0, 0, 1)},
        {"m": Member(start="a", end="b", bar=TUBE)},
        {"a": FIXED},
        [at_node("b", 0, 0, 100)],
    )
    assert analyse(made, buckling=True)["L"].buckling_factor is None


def test_semi_rigid_foot_between_hinged_and_fixed() -> None:
    """Column on a spring, its top sways without turning: u tan u = R L/(E I) (Timoshenko and Gere)."""
    R, L, EI = 3e4, 1.0, 200e9 * 1e-7
    made = frame(
        {"a": (0, 0, 0), "b": (0, 0, L)},
        {"m": Member(start="a", end="b", bar=TUBE, at_start=Joint(stiffness_nm_rad={"mz": R}))},
        {"a": FIXED, "b": {"dx": HELD, "ry": HELD}},
        [at_node("b", 0, 0, -1)],
    )
    factor = analyse(made, buckling=True)["L"].buckling_factor
    assert factor is not None
    u = L * math.sqrt(factor / EI)
    assert u * math.tan(u) == pytest.approx(R * L / EI, rel=1e-6)


def test_solve_many_is_the_same_as_one_by_one() -> None:
    def made(scale: float) -> Frame:
        return portal(
            h=1.0 + scale,
            L=2.0,
            column=bar(E=200e9, G=77e9, A=5e-4, Iy=(2 + scale) * 1e-7, Iz=1e-7, J=2e-7),
            girder=TUBE,
            feet="fixed",
            loads=[
                at_node("b", 100 + scale, 0, -3e3),
                along("bc", 0, 0, -200 - scale),
                point("bc", 0.4, 0, 0, -50),
            ],
        )

    variants = [made(0.01 * i) for i in range(70)]
    for second in (False, True):
        together = solve_many(variants, second_order=second)
        for i in (0, 13, 64, 69):
            alone = analyse(variants[i], second_order=second)["L"]
            found = together[i]["L"]
            assert found.displacements == pytest.approx(alone.displacements, rel=1e-9, abs=1e-15)
            assert found.end_forces == pytest.approx(alone.end_forces, rel=1e-7, abs=1e-7)
            assert found.along("bc").sag_m == pytest.approx(alone.along("bc").sag_m, rel=1e-9)


def test_variants_must_share_their_joints() -> None:
    first = portal(h=1, L=1, column=TUBE, girder=TUBE, feet="fixed")
    with pytest.raises(InputError, match=r"variants\[1\]: differs from the first"):
        solve_many([first, portal(h=1, L=1, column=TUBE, girder=TUBE, feet="pinned")])
    flat = portal(h=1, L=0.0, column=TUBE, girder=TUBE, feet="fixed")
    with pytest.raises(InputError, match=r"variants\[1\].members.bc: has no length"):
        solve_many([first, flat])
    lost = frame(first.nodes, first.members, first.supports, [along("bd", 0, 0, 1)])
    with pytest.raises(InputError, match=r"variants\[1\].loads\[0\].member: there is no member 'bd'"):
        solve_many([first, lost])


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"members": {"m": Member(start="a", end="x", bar=TUBE)}}, "members.m.to", "there is no node 'x'"),
        ({"nodes": {"a": (0, 0, 0), "b": (0, 0, 0)}}, "members.m", "has no length"),
        ({"nodes": {"a": (0, 0, 0), "b": (1, 0, 0), "c": (2, 0, 0)}}, "nodes.c", "no member ends here"),
        ({"supports": {"aa": FIXED}}, "supports.aa", "did you mean 'a'?"),
        ({"supports": {"a": {"dz": -1.0}}}, "supports.a.dz", "more than 0"),
        ({"supports": {}}, "supports", "is empty"),
        ({"loads": (at_node("c", 1),)}, "loads[0].node", "there are a, b"),
        ({"loads": (point("m", 1.2, 0, 0, 1),)}, "loads[0].at", "from 0 to 1"),
        (
            {"loads": (Settlement(case="L", node="b", by={"dz": 0.1}),)},
            "settlements.b.dz",
            "is not supported in dz",
        ),
        ({"combinations": {"L": {"dead": 1.0}}}, "combinations.L.dead", "there is no load case 'dead'"),
        ({"combinations": {"L": {"L": math.nan}}}, "combinations.L.L", "ordinary number"),
        ({"combinations": {}}, "combinations", "is empty"),
        ({"members": {}}, "members", "is empty"),
        (
            {
                "members": {
                    "m": Member(
                        start="a",
                        end="b",
                        bar=TUBE,
                        at_start=Joint(released=frozenset({"t"})),
                        at_end=Joint(released=frozenset({"t"})),
                    )
                }
            },
            "members.m.releases",
            "it would spin",
        ),
    ],
)
def test_a_wrong_frame_is_told_in_one_sentence(change: dict[str, object], field: str, words: str) -> None:
    whole = {
        "nodes": {"a": (0, 0, 0), "b": (1, 0, 0)},
        "members": {"m": Member(start="a", end="b", bar=TUBE)},
        "supports": {"a": FIXED},
        "loads": (at_node("b", 1),),
        "combinations": {"L": {"L": 1.0}},
    } | change
    with pytest.raises(InputError) as caught:
        analyse(Frame(**whole))  # type: ignore[arg-type]
    messages = {problem.field: problem.message for problem in caught.value.problems}
    assert words in messages[field]


def test_along_a_member_every_load_leaves_its_mark() -> None:
    made = frame(
        {"a": (0, 0, 0), "b": (2, 0, 0)},
        {"m": Member(start="a", end="b", bar=TUBE)},
        {"a": FIXED, "b": {"dz": HELD, "dy": HELD}},
        [along("m", 30, 10, -100), point("m", 0.25, 40, 20, -60), point("m", 0.75, 0, -20, 90)],
    )
    found = analyse(made)["L"]
    shape, ends = found.along("m", 41), found.of_member("m")
    assert shape.forces[0] == pytest.approx(-ends[:6], abs=1e-9)
    assert shape.forces[-1] == pytest.approx(ends[6:], abs=1e-9)
    jump = np.flatnonzero(np.diff(shape.x_m) == 0)
    assert shape.x_m[jump] == pytest.approx([0.5, 1.5])
    assert shape.forces[jump[0] + 1, 2] - shape.forces[jump[0], 2] == pytest.approx(60)
    # Shear is the slope of the moment: dMy/dx = Vz, dMz/dx = -Vy between loads.
    x, f = shape.x_m[:10], shape.forces[:10]
    assert np.gradient(f[:, 4], x)[1:-1] == pytest.approx(f[1:-1, 2], rel=1e-6)
    assert np.gradient(f[:, 5], x)[1:-1] == pytest.approx(-f[1:-1, 1], rel=1e-6)


@pytest.mark.parametrize("z", [-30.0, -9.5, -1.0 - 1e-9, -1.0 + 1e-9, -1e-8, 0.0, 1e-8, 1 - 1e-9, 1 + 1e-9, 40.0])
def test_stability_functions(z: float) -> None:
    """Against the circular and hyperbolic forms, taken where they do not cancel, and each other across z = 1."""
    c0, c1, c2, c3, c4 = (float(each) for each in c_functions(np.array(z)))
    k = math.sqrt(abs(z))
    if k > 0.1:
        assert c0 == pytest.approx(math.cosh(k) if z > 0 else math.cos(k), rel=1e-12)
        assert c1 == pytest.approx(math.sinh(k) / k if z > 0 else math.sin(k) / k, rel=1e-12, abs=1e-13)
    assert c0 == pytest.approx(1 + z * c2, rel=1e-12, abs=1e-12)
    assert c1 == pytest.approx(1 + z * c3, rel=1e-12, abs=1e-12)
    assert c2 == pytest.approx(0.5 + z * c4, rel=1e-12, abs=1e-12)
    near, far = (float(each) for each in end_factors(np.array(z)))
    if abs(z) < 1e-6:
        assert (near, far) == pytest.approx((4, 2), rel=1e-6)
