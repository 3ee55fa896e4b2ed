"""How long the main steps take and how they grow: `python bench/run.py` writes docs/benchmarks.md.

Every figure stands beside a reference taken in the same run on the same machine: a fast CSV reader with a bulk
insert, scipy, plain numpy, the typesetter alone. The ratios are what counts; seconds depend on the machine.
`python bench/run.py --small` is a quick pass that writes nothing; `--web` does the part about the app alone and
puts it in place of the one on the page, `--aids` the part about shop aids.
"""

from __future__ import annotations

import csv
import datetime as dt
import itertools
import os
import platform
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from scipy import stats

import aids
import frame
import web
from floorwright import bootstrap, catalogue
from floorwright.cli.demo import build
from floorwright.report.assemble import improvement_page
from floorwright.report.improvement import _prepare
from floorwright.report.typeset import typeset_pdf
from floorwright.shop.improvements import add_improvement
from floorwright.shop.ports import Author
from floorwright.shop.records import Settings
from floorwright.shop.story import stories
from floorwright.shop.studies import plan_study

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "benchmarks.md"
ME = Author(who="bench")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the page: what, how much of it, seconds ours, what it is held against, seconds of that."""

    what: str
    size: str
    ours_s: float
    reference: str
    reference_s: float

    @property
    def ratio(self) -> str:
        """Ours over the reference."""
        return f"{self.ours_s / self.reference_s:.1f} ×" if self.reference_s else ""


def timed(work: Callable[[], object], repeats: int = 3) -> float:
    """Median wall time of a few runs, in seconds."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def write_csv(path: Path, rows: int) -> None:
    """A snapback study as a user's spreadsheet would hold it."""
    rng = np.random.default_rng(7)
    seconds = rng.lognormal(3.7, 0.3, rows)
    start = dt.datetime(2026, 1, 5, 6)
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(["taken at", "cycle", "element", "time (s)", "operator", "part"])
        for i in range(rows):
            at = start + dt.timedelta(seconds=20 * i)
            writer.writerow([at.isoformat(sep=" "), i + 1, "", f"{seconds[i]:.2f}", f"W{i % 9}", f"P-{i % 50}"])


def floor_of_import(path: Path, folder: Path) -> None:
    """The least that an import can do: the standard CSV reader and one bulk insert, nothing checked."""
    with sqlite3.connect(folder / "floor.sqlite3") as connection, path.open(encoding="utf-8", newline="") as file:
        connection.execute("pragma journal_mode = wal")
        connection.execute("drop table if exists o")
        connection.execute(
            "create table o (at text, cycle integer, element text, s real, operator text, part text)"
        )
        rows = csv.reader(file)
        next(rows)
        connection.executemany("insert into o values (?, ?, ?, ?, ?, ?)", rows)


def bench_import(rows: int) -> Line:
    """Import of a CSV into a study, from file to durable rows."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_csv(folder / "times.csv", rows)
        shop = bootstrap.new_shop(folder / "shop", Settings(name="Bench"), ME)
        raw = {
            "title": "t",
            "waste": "waiting",
            "area": "a",
            "noticed_by": "b",
            "noticed_on": "2026-01-01",
            "measures": [{"name": "m", "kind": "times"}],
        }
        id_ = add_improvement(shop, raw, ME).id

        def ours() -> None:
            plan = {"improvement": id_, "measure": "m", "moment": "before", "people_asked_on": "2026-01-02"}
            study = plan_study(shop, plan, ME)
            found = bootstrap.look_at_file(shop, study, folder / "times.csv")
            assert bootstrap.store_plan(shop, study, found, ME) == rows

        repeats = 3 if rows <= 100_000 else 1
        line = Line(
            "import CSV: read, check every cell, store",
            f"{rows:,} rows",
            timed(ours, repeats),
            "csv.reader and executemany, nothing checked",
            timed(lambda: floor_of_import(folder / "times.csv", folder), repeats),
        )
        shop.close()
        return line


def bench_compare(n: int) -> Line:
    """`compare` of two long series with all its intervals and tests."""
    rng = np.random.default_rng(3)
    before, after = rng.lognormal(3.8, 0.4, n), rng.lognormal(3.7, 0.4, n)
    raw = {
        "kind": "times",
        "before": before.tolist(),
        "after": after.tolist(),
        "better": "lower",
        "smallest_that_matters": 0.5,
    }
    found = catalogue.calculation("compare")

    def reference() -> None:
        stats.ttest_ind(before, after, equal_var=False)
        stats.mannwhitneyu(before, after)

    return Line(
        "compare: intervals, both tests, always-valid interval, checks",
        f"{n:,} + {n:,}",
        timed(lambda: found(raw)),
        "scipy ttest_ind and mannwhitneyu",
        timed(reference),
    )


def bench_gain(draws: int) -> Line:
    """`gain` against the same draws in plain numpy."""
    raw = {
        "per_event_saving": {"low": 10, "likely": 14, "high": 22},
        "events_per_year": {"low": 8000, "likely": 9800, "high": 12000},
        "labour_rate": 38.2,
        "cost": {"mean": 600, "sd": 80},
        "upkeep": 40,
        "life_years": {"low": 3, "likely": 5, "high": 8},
        "rate": 0.08,
        "draws": draws,
        "seed": 1,
    }
    found = catalogue.calculation("gain")

    def reference() -> None:
        rng = np.random.default_rng(1)
        saving = rng.triangular(10, 14, 22, draws)
        events = rng.triangular(8000, 9800, 12000, draws)
        cost = rng.normal(600, 80, draws)
        life = rng.triangular(3, 5, 8, draws)
        annual = saving * events / 3600 * 38.2 - 40
        npv = annual * (1 - 1.08**-life) / 0.08 - cost
        for values in (annual, npv, cost / annual):
            values.mean()
            np.percentile(values, [5, 50, 95])

    return Line(
        "gain: Monte Carlo with percentiles",
        f"{draws:,} draws",
        timed(lambda: found(raw)),
        "plain numpy",
        timed(reference),
    )


def bench_pages() -> list[Line]:
    """A printed page with its charts and working, against the typesetter on prepared data."""
    with tempfile.TemporaryDirectory() as name:
        shop = build(Path(name) / "demo", say=lambda line: None)
        told = next(each for each in stories(shop) if each.proofs and each.proofs[0].outcome)
        bootstrap.improvement_pdf(shop, told)  # the first page of a process loads fonts
        ready = improvement_page(told, shop.photos.read)
        fresh = itertools.count()

        def ours() -> bytes:
            # Another title each time: the typesetter remembers a page it has set before.
            record = told.record.model_copy(update={"title": f"Improvement {next(fresh)}"})
            return bootstrap.improvement_pdf(shop, replace(told, filed=replace(told.filed, record=record)))

        prepared = [_prepare(replace(ready, title=f"Prepared {i}")) for i in range(5)]
        waiting = iter(prepared)

        def reference() -> bytes:
            data, pictures = next(waiting)
            return typeset_pdf("improvement.typ", data, pictures.files)

        page = Line(
            "PDF of an improvement: charts, photos, working",
            "1 page and appendix",
            timed(ours, 5),
            "the typesetter alone, data and pictures ready",
            timed(reference, 5),
        )
        shop.close()
        return [page]


def bench_start() -> Line:
    """Start of the command against a bare interpreter."""
    command = [sys.executable, "-m", "floorwright", "--version"]
    return Line(
        "start of the command line",
        "floorwright --version",
        timed(lambda: subprocess.run(command, check=True, capture_output=True), 5),
        "python -c pass",
        timed(lambda: subprocess.run([sys.executable, "-c", "pass"], check=True, capture_output=True), 5),
    )


def page(lines: list[Line]) -> str:
    """The page as Markdown."""
    head = (
        "# Benchmarks\n\nWritten by `python bench/run.py`, not by hand: "
        f"{dt.date.today().isoformat()}, {platform.system()}, {os.cpu_count()} cores, "
        f"Python {platform.python_version()}. Median of a few runs; the reference ran in the same run. "
        "The ratio is what counts: seconds depend on the machine.\n\n"
        "| step | size | ours | reference | reference takes | ratio |\n|---|---|---:|---|---:|---:|\n"
    )
    rows = [
        f"| {line.what} | {line.size} | {line.ours_s:.3f} s | {line.reference} | {line.reference_s:.3f} s "
        f"| {line.ratio} |"
        for line in lines
    ]
    pages = [
        f"\n{1 / line.ours_s:.1f} PDFs a second in one process.\n" for line in lines if line.what.startswith("PDF")
    ]
    return head + "\n".join(rows) + "\n" + "".join(pages)


def main() -> None:
    """Run everything and write the page."""
    small = "--small" in sys.argv
    if "--aids" in sys.argv:
        before, _, after = PAGE.read_text(encoding="utf-8").partition(web.HEAD)
        PAGE.write_text(before.partition(aids.HEAD)[0] + aids.section() + web.HEAD + after, encoding="utf-8")
        return
    if "--web" in sys.argv:
        before = PAGE.read_text(encoding="utf-8").partition(web.HEAD)[0]
        PAGE.write_text(before + web.section(), encoding="utf-8")
        return
    lines = [bench_import(rows) for rows in ((1_000,) if small else (10_000, 100_000, 1_000_000))]
    lines += [bench_compare(n) for n in ((1_000,) if small else (1_000, 10_000, 100_000))]
    lines += [bench_gain(draws) for draws in ((10_000,) if small else (10_000, 100_000, 1_000_000))]
    lines += bench_pages()
    lines.append(bench_start())
    text = page(lines) + frame.section(small=small) + aids.section(small=small) + web.section(small=small)
    print(text)
    if not small:
        PAGE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
