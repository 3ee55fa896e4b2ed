"""Full checks of shop aids: the section "Shop aids" of docs/benchmarks.md.

`python bench/aids.py` prints it; `bench/run.py` puts it on the page. `--small` is a quick pass. Held against
PyNite, an independent frame library, that solves as many load cases of the same frame. Processor time with one BLAS
thread, in a process of its own, so that neighbours on the machine matter less.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from floorwright.propose.aid.aid import Aid
from floorwright.propose.aid.design import checked
from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.registry import PATTERNS, pattern_of
from floorwright.propose.aid.stands import solve

ROOT = Path(__file__).resolve().parent.parent
HEAD = "\n## Shop aids\n"
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
SLOTS = (3, 6, 10, 14)
TABLE = (
    "| pattern | bars | pieces | states | stands | whole check | lay out | solve | worst | rest |",
    "|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|",
)


def timed(work: Callable[[], object], repeats: int) -> float:
    """Median processor time, in milliseconds, after one run that does not count."""
    work()
    times = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return 1e3 * statistics.median(times)


def theirs(layout: Layout, cases: int) -> Any:
    """The frame in PyNite with its weight and its full load on all its supports, as so many combinations."""
    sys.path.insert(0, str(ROOT / "tests"))
    from aids_elsewhere import theirs as model_of

    model = model_of(layout)
    model.load_combos.clear()
    for i in range(cases):
        model.add_load_combo(f"case {i}", {"all": 1.0 + i})
    return model


@dataclass(frozen=True, slots=True)
class Measured:
    """Milliseconds of the check of one aid, and how large it is."""

    name: str
    bars: int
    pieces: int
    causes: int
    stands: int
    states: int
    whole: float
    lay_out: float
    solve: float
    worst: float
    pynite: float | None

    @property
    def rest(self) -> float:
        """What is neither laying out, solving nor searching: the pattern's own checks, all others, the rating."""
        return max(0.0, self.whole - self.lay_out - self.solve - self.worst)


def measure(raw: dict[str, Any], *, small: bool, elsewhere: bool) -> Measured:
    """One aid: all of it, then its parts, each by itself."""
    pattern = pattern_of(raw)
    spec = pattern.read(raw)
    layout = pattern.lay_out(spec)
    aid = Aid(spec, layout)
    causes, found = aid.causes, aid.search
    strengths = aid.strengths
    few = 3 if small else 15

    def searched() -> None:
        found.bars(strengths)
        found.support_loads()

    n = len(causes.stands[0].forces)

    return Measured(
        name=spec.pattern,
        bars=len(layout.bars),
        pieces=len(layout.pieces),
        causes=n,
        stands=len(causes.stands),
        states=len(aid.states),
        whole=timed(lambda: checked(spec, pattern.lay_out(spec)), few),
        lay_out=timed(lambda: pattern.lay_out(spec), few),
        solve=timed(lambda: solve(layout), few),
        worst=timed(searched, few),
        pynite=timed(lambda: theirs(layout, n).analyze_linear(check_stability=False), 1) if elsewhere else None,
    )


def example(name: str) -> dict[str, Any]:
    """The spec that `aid example` prints."""
    return tomllib.loads(PATTERNS[name].example)


def page(found: list[Measured], grown: list[Measured]) -> str:
    """The section as Markdown."""
    lines = [
        HEAD,
        "The example of each pattern, from a spec that was read to a rated design: laid out, solved for every "
        "cause on every set of supports (buckling included), searched for the worst of every state, stand and "
        "loading, every check with its working. *Rest*: the pattern's own checks (for the trestle its springs), "
        "all other checks, joints among them, and the rating. Processor time of one thread, in milliseconds, "
        "median; the first run does not count.\n",
        *TABLE,
    ]
    lines += [row(m) for m in found]
    lines += ["\nA cart for panels with more slots: bars and pieces grow together.\n", *TABLE]
    lines += [row(m) for m in grown]
    lines += [
        "\nAgainst PyNite. *Solve* gives every cause on every stand, and the buckling factor. PyNite builds its "
        "model of the same frame on all its supports and solves as many load cases, stability and buckling not "
        "looked at: one stand is measured and taken as often as there are stands. The forces of the full aid agree "
        "to 1e-6 (tests/published/pynite_reference).\n",
        "| pattern | causes | stands | solve | PyNite, one stand | PyNite, all stands, over solve |",
        "|---|---:|---:|---:|---:|---:|",
    ]
    lines += [
        f"| {m.name} | {m.causes} | {m.stands} | {m.solve:.1f} | {m.pynite:,.0f} "
        f"| {m.pynite * m.stands / m.solve:,.0f} × |"
        for m in found
        if m.pynite is not None
    ]
    return "\n".join(lines) + "\n"


def row(m: Measured) -> str:
    """One aid of the first two tables."""
    return (
        f"| {m.name} | {m.bars} | {m.pieces} | {m.states} | {m.stands} | {m.whole:.0f} | {m.lay_out:.1f} "
        f"| {m.solve:.1f} | {m.worst:.1f} | {m.rest:.1f} |"
    )


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
    # A trestle's feet stand on the floor itself, which the model of the other library does not know.
    found = [
        measure(example(name), small=small, elsewhere=name != "settling_trestle")
        for name in (list(PATTERNS)[-1:] if small else PATTERNS)
    ]
    grown = [
        measure(example("panel_cart") | {"slots": slots}, small=small, elsewhere=False)
        for slots in (SLOTS[:1] if small else SLOTS)
    ]
    print(page(found, grown), end="")


if __name__ == "__main__":
    main()
