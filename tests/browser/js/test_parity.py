"""The twins of the formulas that are shown while timing agree with the Python ones, to 1e-9 of the value.

The published values are checked on the Python side (tests/published); here thousands of inputs go through both.
"""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Callable, Sequence
from typing import Any

import pytest

from floorwright.basis.people.lifting import HandPosition, rate
from floorwright.basis.people.lifting_tables import LIFTS_PER_MINUTE
from floorwright.basis.stat import anytime, sequence
from floorwright.basis.stat.intervals import mean_t, welch_difference
from floorwright.basis.stat.quantiles import two_sided_t, two_sided_z
from floorwright.basis.stat.sample import observations_for_mean
from floorwright.basis.stat.summary import moments
from floorwright.catalogue import calculation
from floorwright.exchange.shapes import Routes
from floorwright.shop.records import Settings

Run = Callable[..., Any]

CLOSE = 1e-9
DURATIONS = ("short", "moderate", "long")
CONFIDENCES = (0.5, 0.8, 0.9, 0.95, 0.99, 0.999)


def close(found: Sequence[float], wanted: Sequence[float], *, near: Sequence[float] | float = 0.0) -> None:
    """Each within 1e-9 of its value; `near` is what the value is a small difference of."""
    assert len(found) == len(wanted)
    scales = [near] * len(wanted) if isinstance(near, float) else near
    worst = max(
        (abs(a - b) / max(abs(b), scale, 1e-300), i, a, b)
        for i, (a, b, scale) in enumerate(zip(found, wanted, scales, strict=True))
    )
    assert worst[0] <= CLOSE, worst


def series(seed: int, *, skewed: bool = True) -> list[float]:
    """Readings as a stopwatch gives them: 2 to 60 of them, lognormal or of either sign."""
    chance = random.Random(seed)
    n = chance.choice([2, 3, 5, 10, 11, 14, 25, 60])
    level, spread = 10 ** chance.uniform(-1, 3.5), chance.uniform(0.02, 0.9)
    if skewed:
        return [round(level * math.exp(chance.gauss(0, spread)), 3) or 0.001 for _ in range(n)]
    return [round(chance.gauss(0, level), 3) for _ in range(n)]


SERIES = [series(seed) for seed in range(700)] + [series(seed, skewed=False) for seed in range(700, 1000)]


def test_quantiles(run: Run) -> None:
    degrees = [*range(1, 61), 75, 99, 120, 250, 999, 10_000, 1.3, 2.5, 3.7, 7.25, 12.125, 28.99, 61.4, 400.5]
    grid = [(c, df) for c in CONFIDENCES for df in degrees]
    found = run("stat.js", "return given.map(([c, df]) => m.twoSidedT(c, df));", grid)
    close(found, [two_sided_t(c, df) for c, df in grid])
    many = [0.5 + i / 2001 for i in range(1000)]
    found = run("stat.js", "return given.map((c) => m.twoSidedZ(c));", many)
    close(found, [two_sided_z(c) for c in many])


def test_student_far_out(run: Run) -> None:
    """The tail areas that the always-valid boundary asks for: normal tails from 1.5 to 6, 10 readings and more."""
    grid = [(b / 20, n) for b in range(30, 121) for n in (9, 10, 14, 29, 59, 199)]
    found = run("stat.js", "return given.map(([b, df]) => m.studentUpper(m.normalTail(b), df));", grid)
    close(found, [float(sequence._students(b, df)) for b, df in grid])


def test_moments_and_intervals(run: Run) -> None:
    found = run(
        "stat.js",
        """return given.map((x) => { const s = m.moments(x), i = m.meanInterval(x, 0.95);
        return [s.n, s.mean, s.sd, i.low, i.high]; });""",
        SERIES,
    )
    for values, row in zip(SERIES, found, strict=True):
        said, interval = moments(values), mean_t(values, 0.95)
        size = max(abs(x) for x in values)
        close(row, [said.n, said.mean, said.sd, interval.low, interval.high], near=size)
        assert row[2] == pytest.approx(said.sd, rel=CLOSE)


def test_how_many_more(run: Run) -> None:
    grid = [(x, k, c) for x in SERIES[:700] for k, c in ((0.05, 0.95), (0.1, 0.9))]
    found = run(
        "stat.js", "return given.map(([x, k, c]) => [m.readingsNeeded(x, k, c), m.readingsMore(x, k, c)]);", grid
    )
    for (values, error, confidence), (needed, more) in zip(grid, found, strict=True):
        said = moments(values)
        wanted = observations_for_mean(said.mean, said.sd, error, confidence, said.n).observations
        assert needed == wanted
        if len(values) < 3 or len(set(values)) < 2:
            assert more is None
        else:
            raw = {"times": values, "relative_error": error, "confidence": confidence, "distribution": "t"}
            assert more == calculation("sample_size")(raw).results["more_needed"]


def test_difference_of_two_series(run: Run) -> None:
    pairs = [(SERIES[i], SERIES[i + 1], c) for i in range(998) for c in (0.9, 0.95)]
    found = run(
        "stat.js",
        "return given.map(([b, a, c]) => { const d = m.welchDifference(b, a, c); return [d.low, d.high]; });",
        pairs,
    )
    for (before, after, confidence), row in zip(pairs, found, strict=True):
        wanted = welch_difference(before, after, confidence)
        close(row, [wanted.low, wanted.high], near=max(abs(x) for x in (*before, *after)))


def test_the_interval_that_stays_valid(run: Run) -> None:
    pairs = [(SERIES[i], SERIES[i + 3], c) for i in range(997) for c in (0.5, 0.8, 0.95, 0.99)]
    found = run(
        "stat.js",
        """return given.map(([b, a, c]) => { const d = m.anytimeDifference(b, a, c);
        return d && [d.low, d.high]; });""",
        pairs,
    )
    shown = 0
    for (before, after, confidence), row in zip(pairs, found, strict=True):
        wanted = anytime.difference_of_means(before, after, confidence)
        assert (row is None) == (wanted is None)
        if row is not None and wanted is not None:
            shown += 1
            close(row, [wanted.low, wanted.high], near=max(abs(x) for x in (*before, *after)))
    assert shown > 1000


@pytest.mark.parametrize("form", ["us", "metric"])
def test_lifting(run: Run, form: Any) -> None:
    unit = 0.0254 if form == "us" else 0.01
    reach, height = ((8, 10, 14.5, 25, 25.1), (0, 15, 29.99, 30, 52, 70, 71)) if form == "us" else (
        (20, 25, 40.5, 63, 63.1), (0, 40, 74.9, 75, 130, 175, 176))  # fmt: skip
    frequencies = (0.1, *LIFTS_PER_MINUTE[::3], 0.7, 5.5, 12.25, 15.1)
    grid = [
        {"hands": {"horizontal_m": h * unit, "vertical_m": v * unit, "asymmetry_deg": a},
         "lift": {"travel_m": d * unit, "frequency": f, "duration": t, "coupling": c, "form": form}}
        for h, v, a, d, f, t, c in itertools.product(
            reach, height, (0, 45, 136), (0, 30), frequencies, DURATIONS, ("good", "fair", "poor"))
    ]  # fmt: skip
    grid = random.Random(form).sample(grid, 4000)
    found = run("lifting.js", "return given.map((x) => m.rateEnd(x.hands, x.lift));", grid)
    for each, row in zip(grid, found, strict=True):
        hands = each["hands"]
        wanted = rate(
            HandPosition(
                horizontal_m=hands["horizontal_m"],
                vertical_m=hands["vertical_m"],
                asymmetry_rad=math.radians(hands["asymmetry_deg"]),
            ),
            **each["lift"],
        )
        names = ("HM", "VM", "DM", "AM", "FM", "CM", "RWL_kg")
        close([row[name] for name in names], [getattr(wanted, name) for name in names])


def test_the_lift_of_both_ends(run: Run) -> None:
    """Example 1 of the manual, loading punch press stock: LI 1.1 at the origin, 1.4 at the destination, US form."""
    lift = {
        "load": "44 lb",
        "origin": {"horizontal": "23 in", "vertical": "15 in", "asymmetry": 0},
        "destination": {"horizontal": "23 in", "vertical": "64 in", "asymmetry": 0},
        "frequency": 0.2,
        "duration": "short",
        "coupling": "fair",
    }
    wanted = calculation("lift")(lift).results
    found = run(
        "lifting.js",
        """const hands = (h, v) => ({ horizontal_m: h * 0.0254, vertical_m: v * 0.0254, asymmetry_deg: 0 });
        return m.liftingIndex({ load_kg: 44 * 0.45359237, origin: hands(23, 15), destination: hands(23, 64),
          frequency: 0.2, duration: "short", coupling: "fair", form: "us" });""",
    )
    assert found["LI"] == pytest.approx(wanted["LI"], rel=CLOSE)
    assert found["worst"] == "HM"


def test_distances(run: Run) -> None:
    chance = random.Random(7)
    names = ["Saw", "Brake 1", "Weld bay", "Paint", "Rack"]
    table = [(a, b, round(chance.uniform(1, 90), 2)) for a, b in itertools.combinations(names, 2)][:-1]
    table += [("Brake 1", "Saw", 12.5)]
    book = Routes(Settings(name="shop", distances_m=tuple(table)))
    routes = [[chance.choice(names) for _ in range(chance.randint(2, 7))] for _ in range(1000)]
    found = run(
        "distances.js",
        "const t = m.distanceTable(given[0]); return given[1].map((r) => t.walked(r));",
        [table, routes],
    )
    missing = 0
    for route, metres in zip(routes, found, strict=True):
        wanted, detail = book.walk(" > ".join(route))
        if detail is None:
            assert metres is None
            missing += 1
        else:
            assert metres == pytest.approx(wanted, rel=CLOSE)
    assert 0 < missing < 500
