"""Numbers and sentences of the phone pages: the same as on the other pages, from the same values."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

import pytest

from floorwright.basis.quantity import LENGTH, MASS, parse, plain_number
from floorwright.basis.stat.intervals import mean_t
from floorwright.shop.showing import exact_text
from floorwright.web.phone_strings import strings

Run = Callable[..., Any]


def test_numbers_are_written_as_on_every_page(run: Run) -> None:
    chance = random.Random(3)
    values = [0.0, 1.0, 12345.678, 0.004567, *(10 ** chance.uniform(-4, 6) for _ in range(2000))]
    found = run("units.js", "return given.map((x) => [m.plainNumber(x), m.exactNumber(x)]);", values)
    wanted = [[plain_number(x), exact_text(x)] for x in values]
    # the last figure of a number that lies half-way between two may go either way
    differ = [(x, a, b) for x, a, b in zip(values, found, wanted, strict=True) if a != b]
    assert differ == []


@pytest.mark.parametrize(
    ("text", "dimension", "system"),
    [
        ("23", "length", "us"),
        ("58", "length", "si"),
        ("58 cm", "length", "us"),
        ("1-1/2 in", "length", "si"),
        ("1 1/2 in", "length", "us"),
        ("3/4 in", "length", "us"),
        ("2 ft 3 in", "length", "si"),
        ("2' 3\"", "length", "us"),
        ("0.5 m", "length", "us"),
        ("44", "mass", "us"),
        ("44 lb", "mass", "si"),
        ("20 kg", "mass", "us"),
        ("5 lb 3 oz", "mass", "si"),
        ("1,5 kg", "mass", "si"),
        ("9½ in", "length", "si"),
    ],
)
def test_what_is_typed_is_read_as_everywhere(run: Run, text: str, dimension: str, system: str) -> None:
    found = run("units.js", "return m.parseQuantity(given[0], given[1], given[2]);", [text, dimension, system])
    unit = {("length", "us"): "in", ("length", "si"): "cm", ("mass", "us"): "lb", ("mass", "si"): "kg"}
    bare = text.replace(".", "").isdigit()
    whole = f"{text} {unit[dimension, system]}" if bare else text
    assert found == pytest.approx(parse(whole, LENGTH if dimension == "length" else MASS), rel=1e-12)


@pytest.mark.parametrize("text", ["", "abc", "12 kg", "1 2", "1/0", "12 in 4", "--", "1e5 in"])
def test_what_cannot_be_read_is_no_number(run: Run, text: str) -> None:
    assert run("units.js", "return m.parseQuantity(given, 'length', 'us');", text) is None


LIVE = """
const t = (key, values = {}) => given.strings[key].replace(/\\{(\\w+)\\}/g, (_, name) => values[name]);
const settings = { confidence: 0.95, relative_error: 0.05 };
"""
BEFORE = [52.1, 49.8, 55.0, 51.2, 50.7, 53.3, 48.9, 54.1, 52.6, 50.2, 51.9, 53.0]
AFTER = [41.0, 38.2, 44.1, 39.5, 43.8, 40.2, 43.1, 37.9, 45.0, 41.3, 42.2, 40.8]


def live(run: Run, body: str, **more: Any) -> Any:
    return run("live_line.js", LIVE + body, {"strings": strings("watch"), **more})


def test_the_line_grows_with_the_readings(run: Run) -> None:
    said = live(
        run,
        "return [0, 1, 2, 12].map((n) => m.soFar(given.after.slice(0, n), settings, t));",
        after=AFTER,
    )
    twelve = mean_t(AFTER, 0.95)
    assert said == [
        "Nothing timed yet.",
        "1 timed: 41.0 s",
        "n 2 · mean 39.6 s (21.8 to 57.4)",
        f"n 12 · mean 41.4 s ({plain_number(twelve.low)} to {plain_number(twelve.high)}) · enough for the mean",
    ]


def test_with_a_plan_the_plan_counts(run: Run) -> None:
    said = live(run, "return [20, 12].map((planned) => m.soFar(given.after, settings, t, planned));", after=AFTER)
    assert said[0].endswith(" · 12 of 20 planned")
    assert said[1].endswith(" · all 12 planned are in")


def test_the_comparison_starts_with_ten_on_either_side(run: Run) -> None:
    said = live(
        run,
        """return [[[], given.after], [given.before.slice(0, 4), given.after],
        [given.before, given.after.slice(0, 7)], [given.before, given.after],
        [given.after, given.before], [given.before, given.before]]
        .map(([b, a]) => m.againstBefore(b, a, settings, t));""",
        before=BEFORE,
        after=AFTER,
    )
    assert said[:3] == [
        "",
        "The study before has 4 readings; it takes 10 to compare.",
        "Compared with before from 10 on: 3 more.",
    ]
    assert said[3].startswith("10.5 s less than before so far (")
    assert said[4].startswith("10.5 s more than before so far (")
    assert said[5].endswith("): not shown yet")
