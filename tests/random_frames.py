"""Random stable space frames, the same for the same seed."""

from __future__ import annotations

import numpy as np

from floorwright.propose.aid.frame import (
    DOFS,
    HELD,
    Bar,
    Frame,
    Joint,
    Member,
    NodeLoad,
    PointLoad,
    UniformLoad,
)


def random_frame(seed: int) -> Frame:
    """6 to 14 nodes, a tree of members that reaches all of them and some more; all joints but a few rigid."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(6, 15))
    nodes = {f"n{i}": tuple(float(x) for x in rng.uniform(0, 2, 3)) for i in range(count)}
    # Some members upright and some level, where local axes have rules of their own.
    nodes["n1"] = (nodes["n0"][0], nodes["n0"][1], nodes["n0"][2] + 1.0)
    nodes["n2"] = (nodes["n1"][0] + 0.8, nodes["n1"][1] - 0.5, nodes["n1"][2])
    pairs = [(int(rng.integers(0, i)), i) for i in range(3, count)] + [(0, 1), (1, 2)]
    more = {tuple(sorted(int(x) for x in rng.choice(count, 2, replace=False))) for _ in range(count)}
    pairs += [pair for pair in sorted(more) if pair not in pairs]
    members = {}
    for k, (a, b) in enumerate(pairs):
        bar = Bar(
            A_m2=float(rng.uniform(1e-4, 2e-3)),
            I_y_m4=float(rng.uniform(2e-8, 2e-6)),
            I_z_m4=float(rng.uniform(2e-8, 2e-6)),
            J_m4=float(rng.uniform(2e-8, 2e-6)),
            E_pa=200e9,
            G_pa=77e9,
        )
        extra = k >= count and k % 3 == 0
        ends = rng.choice([frozenset(), frozenset({"my"}), frozenset({"my", "mz"}), frozenset({"t"})], 2)
        at_start = Joint(released=ends[0]) if extra else Joint()
        at_end = Joint(released=ends[1] - {"t"}) if extra else Joint()
        roll = float(rng.uniform(-3, 3)) if k % 2 else 0.0
        members[f"m{k}"] = Member(
            start=f"n{a}", end=f"n{b}", bar=bar, roll_rad=roll, at_start=at_start, at_end=at_end
        )
    supports = {f"n{i}": dict.fromkeys(DOFS, HELD) for i in rng.choice(count, 2, replace=False)}
    supports[f"n{count - 1}"] = {"dz": 2e5, "dx": HELD} | supports.get(f"n{count - 1}", {})
    loads = [
        NodeLoad(
            case="live",
            node=f"n{i}",
            force_n=tuple(float(x) for x in rng.uniform(-1e3, 1e3, 3)),
            moment_nm=tuple(float(x) for x in rng.uniform(-100, 100, 3)),
        )
        for i in rng.choice(count, 3, replace=False)
    ]
    names = list(members)
    loads += [
        UniformLoad(case="dead", member=names[i], per_length_n_m=tuple(float(x) for x in rng.uniform(-500, 500, 3)))
        for i in rng.choice(len(names), 3, replace=False)
    ]
    loads += [
        PointLoad(
            case="dead",
            member=names[i],
            force_n=tuple(float(x) for x in rng.uniform(-800, 800, 3)),
            at=float(rng.uniform(0.05, 0.95)),
        )
        for i in rng.choice(len(names), 3, replace=False)
    ]
    return Frame(
        nodes=nodes,
        members=members,
        supports=supports,
        loads=tuple(loads),
        combinations={"all": {"dead": 1.3, "live": 0.7}, "live": {"live": 1.0}},
    )
