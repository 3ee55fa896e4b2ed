"""Count how often the always-valid intervals hold, and write the table into docs/methods/anytime_interval.md.

Run `python tools/coverage.py` (about 6 minutes at 10,000 paths a case); `--paths 2000` is quicker and coarser.
Fixed seed: the same call writes the same table.
"""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests"))

from law import stat_anytime_paths as simulated  # noqa: E402

PAGE = ROOT / "docs" / "methods" / "anytime_interval.md"
START, END = "<!-- coverage: start -->", "<!-- coverage: end -->"
SEED = 1
MOST = 300
HEAD = """| | baseline | covered | shown too high | shown too low | width at 20 | at 40 | at 80 |
|---|---:|---:|---:|---:|---:|---:|---:|"""


def _row(what: str, baseline: str, counted: simulated.Coverage) -> str:
    shares = " | ".join(f"{share:.1%}" for share in (counted.covered, counted.too_high, counted.too_low))
    widths = " | ".join(f"{width:.2f}" for width in counted.width_ratios)
    return f"| {what} | {baseline} | {shares} | {widths} |"


def _times(paths: int) -> Iterator[str]:
    for before, after, n in (*simulated.MEANS, *simulated.STOPS):
        what = before.name if before.name == after.name else f"{before.name}, then {after.name}"
        yield _row(what, str(n), simulated.means(before, after, n, paths, MOST, SEED))


def _pairs(paths: int) -> Iterator[str]:
    for source in (*simulated.PAIRS, simulated.LOPSIDED_PAIRS):
        yield _row(source.name, "–", simulated.pairs(source, paths, MOST, SEED))


def _counts(paths: int) -> Iterator[str]:
    for expected, ratio in simulated.RATES:
        both = simulated.two_rates(expected, ratio, paths, MOST, SEED)
        for what, counted in zip(("difference", "ratio"), both, strict=True):
            yield _row(f"{what} of rates, true ratio {ratio:g}", f"{expected:g} events", counted)
    for p, q, n in simulated.PROPORTIONS:
        counted = simulated.two_proportions(p, q, n, paths, MOST, SEED)
        yield _row(f"proportion {p:g}, then {q:g}", f"{n} trials", counted)


def table(paths: int) -> str:
    """The three tables as Markdown."""
    error = math.sqrt(0.95 * 0.05 / paths)
    parts = [
        f"{paths:,} simulated improvements a case, seed {SEED}; standard error of a coverage of 95 %: {error:.1%}.",
        "### Times",
        "\n".join([HEAD, *_times(paths)]),
        "### Paired differences",
        "\n".join([HEAD, *_pairs(paths)]),
        "### Counts and proportions",
        "Rates: looks at 300 moments up to five times the baseline's exposure; widths at 0.5, 1 and 2 times it "
        "(for the ratio on the logarithmic scale).",
        "\n".join([HEAD, *_counts(paths)]),
    ]
    return "\n\n".join(parts)


def main() -> None:
    """Write the table between the two marks of the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--paths", type=int, default=10_000)
    text = PAGE.read_text(encoding="utf-8")
    head, _, rest = text.partition(START)
    _, _, tail = rest.partition(END)
    written = table(parser.parse_args().paths)
    PAGE.write_text(f"{head}{START}\n\n{written}\n\n{END}{tail}", encoding="utf-8")
    print(PAGE.relative_to(ROOT))


if __name__ == "__main__":
    main()
