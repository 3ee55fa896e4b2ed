"""Space frames, alone and thousands at once: the section "Space frames" of docs/benchmarks.md.

`python bench/frame.py` prints it; `bench/run.py` puts it on the page. `--small` is a quick pass. Held against
PyNite, an independent frame library, and against the bare LAPACK routine that factors and solves the very same
matrices. Processor time with one BLAS thread, in a process of its own, so that neighbours on the machine matter
less.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from floorwright.propose.aid.frame import DOFS, HELD, Bar, Frame, Member, NodeLoad, analyse, solve_many

ROOT = Path(__file__).resolve().parent.parent
BAR = Bar(A_m2=5.4e-4, I_y_m4=2.0e-7, I_z_m4=2.0e-7, J_m4=3.3e-7, E_pa=2e11, G_pa=7.7e10, weight_n_m=44.6)
SIZES = ((2, 1, 3), (3, 1, 4), (3, 2, 4), (5, 3, 5), (9, 5, 8))
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}


def rack(bays: tuple[int, int, int], width: float = 0.6) -> Frame:
    """A rack of welded tube: bays along, across and up; weights on every joint, a push, the weight of the tube."""
    nx, ny, nz = bays
    nodes = {
        (i, j, k): (i * width, j * 0.7, k * 0.5)
        for i in range(nx + 1)
        for j in range(ny + 1)
        for k in range(nz + 1)
    }
    members = {}
    for i, j, k in nodes:
        beyond = [(i, j, k + 1)] + ([(i + 1, j, k), (i, j + 1, k)] if k else [])
        for end in beyond:
            if end in nodes:
                members[f"{i}.{j}.{k}-{end}"] = Member(start=f"{i}.{j}.{k}", end="{}.{}.{}".format(*end), bar=BAR)
    names = {at: "{}.{}.{}".format(*at) for at in nodes}
    return Frame(
        nodes={names[at]: place for at, place in nodes.items()},
        members=members,
        supports={names[at]: dict.fromkeys(DOFS, HELD) for at in nodes if at[2] == 0},
        loads=tuple(
            NodeLoad(case="load", node=names[at], force_n=(12.0, 7.0, -150.0)) for at in nodes if at[2] > 0
        ),
        combinations={"all": {"load": 1.0, "own": 1.0}},
        self_weight="own",
    )


def theirs(frame: Frame) -> Any:
    """The same rack in PyNite, whose vertical is Y."""
    from Pynite import FEModel3D

    model = FEModel3D()
    model.add_material("steel", BAR.E_pa, BAR.G_pa, 0.3, 0.0)
    model.add_section("tube", BAR.A_m2, BAR.I_z_m4, BAR.I_y_m4, BAR.J_m4)
    for name, (x, y, z) in frame.nodes.items():
        model.add_node(name, x, z, -y)
    for name, member in frame.members.items():
        model.add_member(name, member.start, member.end, "steel", "tube")
        model.add_member_dist_load(name, "FY", -BAR.weight_n_m, -BAR.weight_n_m, case="own")
    for name in frame.supports:
        model.def_support(name, True, True, True, True, True, True)
    for load in frame.loads:
        assert isinstance(load, NodeLoad)
        x, y, z = load.force_n
        for kind, value in (("FX", x), ("FY", z), ("FZ", -y)):
            model.add_node_load(load.node, kind, value, "load")
    model.add_load_combo("all", {"load": 1.0, "own": 1.0})
    return model


def timed(work: Callable[[], object], repeats: int) -> float:
    """Median processor time, in milliseconds, after one run that does not count."""
    work()
    times = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return 1e3 * statistics.median(times)


@dataclass(frozen=True, slots=True)
class Measured:
    """Milliseconds of one size of rack."""

    members: int
    unknowns: int
    bandwidth: int
    alone: float
    linear: float
    second: float
    p_delta: float
    buckling: float
    each_of_many: float
    bare: float


def measure(bays: tuple[int, int, int], *, small: bool) -> Measured:
    """One size: alone, in a batch, PyNite, and LAPACK with the bands ready."""
    from scipy.linalg.lapack import dpbsv

    from floorwright.propose.aid.frame.batch import batch_of
    from floorwright.propose.aid.frame.element import blocks, stiffness
    from floorwright.propose.aid.frame.forces import clamped_forces, member_loads
    from floorwright.propose.aid.frame.solve import right_sides

    frame = rack(bays)
    many = [rack(bays, 0.6 + 1e-4 * i) for i in range(32 if small else max(64, 40_000 // len(frame.members)))]
    batch = batch_of(many[:32])
    stiff = stiffness(batch.bars)
    bands = batch.topology.bands(blocks(batch.bars, stiff), batch.springs)
    loads = member_loads(batch.bars, batch.uniform, batch.points)
    right = right_sides(batch, stiff, clamped_forces(batch.bars, stiff, loads))
    check_the_same(frame)
    few, more = (1, 3) if small else (3, 15)
    return Measured(
        members=len(frame.members),
        unknowns=batch.topology.unknowns,
        bandwidth=batch.topology.bandwidth,
        alone=timed(lambda: analyse(frame), more),
        linear=timed(lambda: theirs(frame).analyze_linear(check_stability=False), few),
        second=timed(lambda: analyse(frame, second_order=True), more),
        p_delta=timed(lambda: theirs(frame).analyze_PDelta(check_stability=False), few),
        buckling=timed(lambda: analyse(frame, buckling=True), few),
        each_of_many=timed(lambda: solve_many(many), few) / len(many),
        bare=timed(lambda: [dpbsv(band.T, side.T, lower=1) for band, side in zip(bands, right, strict=True)], more)
        / len(bands),
    )


def check_the_same(frame: Frame) -> None:
    """A benchmark of two different answers would say nothing."""
    model = theirs(frame)
    model.analyze_linear(check_stability=False)
    top = max(frame.nodes, key=lambda name: frame.nodes[name][2])
    ours, other = float(analyse(frame)["all"].displacement(top)[0]), float(model.nodes[top].DX["all"])
    assert abs(ours - other) <= 1e-6 * abs(other), (ours, other)


def page(found: list[Measured]) -> str:
    """The section as Markdown."""
    lines = [
        "\n## Space frames\n",
        "Racks of welded tube, one combination with the weight of the tube. *Alone*: from a frame with names to "
        "displacements, reactions and end forces, equilibrium checked. *Of many*: the same for each of many "
        "racks of different width, solved together. *Bare*: LAPACK `dpbsv` on the same bands and right sides, "
        "nothing else. PyNite builds its model and solves it, stability not checked. Processor time of one thread, "
        "in milliseconds, median; the first run does not count.\n",
        "| members | unknowns | band | alone | PyNite | over alone | of many | PyNite over it | a second | bare "
        "| of many over bare |",
        "|---:|---:|---:|---:|---:|---:|---:|---:|---:|---:|---:|",
    ]
    lines += [
        f"| {m.members:,} | {m.unknowns:,} | {m.bandwidth} | {m.alone:.2f} | {m.linear:.1f} "
        f"| {m.linear / m.alone:.0f} × | {m.each_of_many:.3f} | {m.linear / m.each_of_many:.0f} × "
        f"| {1e3 / m.each_of_many:,.0f} | {m.bare:.3f} | {m.each_of_many / m.bare:.1f} × |"
        for m in found
    ]
    lines += [
        "\n| members | second order, until it stays | PyNite P-delta, one pass | ratio | with buckling factor |",
        "|---:|---:|---:|---:|---:|",
    ]
    lines += [
        f"| {m.members:,} | {m.second:.2f} | {m.p_delta:.1f} | {m.p_delta / m.second:.0f} × | {m.buckling:.1f} |"
        for m in found
    ]
    return "\n".join(lines) + "\n"


def section(*, small: bool = False) -> str:
    """The section as Markdown, measured in a process of its own with one BLAS thread."""
    command = [sys.executable, str(Path(__file__).resolve()), *(["--small"] if small else [])]
    done = subprocess.run(
        command, check=True, capture_output=True, text=True, env=os.environ | ONE_THREAD, cwd=ROOT
    )
    return done.stdout


def main() -> None:
    """Measure and print."""
    small = "--small" in sys.argv
    print(page([measure(bays, small=small) for bays in (SIZES[:2] if small else SIZES)]), end="")


if __name__ == "__main__":
    main()
