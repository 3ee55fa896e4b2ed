"""A frame as the user draws it: nodes, members, wheels or feet, and what lies on it."""

from __future__ import annotations

from itertools import combinations
from typing import Final

import numpy as np

from floorwright.basis.check import Check, judge
from floorwright.basis.quantity import LENGTH, Quantity
from floorwright.propose.aid.layout import XYZ, Bar, Layout
from floorwright.propose.aid.pattern import Findings, Pattern
from floorwright.propose.aid.patterns.free_layout import lay_out
from floorwright.propose.aid.patterns.free_refuse import said
from floorwright.propose.aid.patterns.free_spec import FreeFrameSpec

EXAMPLE: Final = """\
# A frame of your own: a base on wheels for a small bench grinder.
# Lengths from the middle of the floor under it: x the way it is pushed, y to the left, z up.
pattern = "free_frame"
title = "Base on wheels for a bench grinder"

# Wheels: two that swivel at the end that is pushed, all four with brakes on wheel and swivel.
wheels_at = ["back left", "back right", "front left", "front right"]
step = ["front left", "back left"]
top = ["top back middle", "top front"]

[nodes]                                   # the middle of the bars, not their faces
"back left" = ["-11 in", "10 in", "4-7/8 in"]
"back right" = ["-11 in", "-10 in", "4-7/8 in"]
"front left" = ["11 in", "10 in", "4-7/8 in"]
"front right" = ["11 in", "-10 in", "4-7/8 in"]
"back foot" = ["-6 in", 0, "4-7/8 in"]        # here the posts stand on the base
"front foot" = ["6 in", 0, "4-7/8 in"]
"left" = ["-6 in", "10 in", "4-7/8 in"]
"right" = ["-6 in", "-10 in", "4-7/8 in"]
"left front" = ["6 in", "10 in", "4-7/8 in"]
"right front" = ["6 in", "-10 in", "4-7/8 in"]
"top back middle" = ["-6 in", 0, "33 in"]
"top front" = ["6 in", 0, "33 in"]
"handle left" = ["-6 in", "7 in", "33 in"]
"handle right" = ["-6 in", "-7 in", "33 in"]

[stocks]
tube = { section = "HSS2X2X1/8", material = "A500B_shaped" }
pipe = { section = "Pipe3/4STD", material = "A53B" }

[members]                                 # members with the same part are cut as one
"left rail 1" = { from = "back left", to = "left", stock = "tube", part = "left rail" }
"left rail 2" = { from = "left", to = "left front", stock = "tube", part = "left rail" }
"left rail 3" = { from = "left front", to = "front left", stock = "tube", part = "left rail" }
"right rail 1" = { from = "back right", to = "right", stock = "tube", part = "right rail" }
"right rail 2" = { from = "right", to = "right front", stock = "tube", part = "right rail" }
"right rail 3" = { from = "right front", to = "front right", stock = "tube", part = "right rail" }
"back rail" = { from = "back left", to = "back right", stock = "tube" }
"front rail" = { from = "front left", to = "front right", stock = "tube" }
"back cross 1" = { from = "left", to = "back foot", stock = "tube", part = "back cross" }
"back cross 2" = { from = "back foot", to = "right", stock = "tube", part = "back cross" }
"front cross 1" = { from = "left front", to = "front foot", stock = "tube", part = "front cross" }
"front cross 2" = { from = "front foot", to = "right front", stock = "tube", part = "front cross" }
"back post" = { from = "back foot", to = "top back middle", stock = "tube", role = "post" }
"front post" = { from = "front foot", to = "top front", stock = "tube", role = "post" }
"top" = { from = "top back middle", to = "top front", stock = "tube", role = "beam" }
"handle 1" = { from = "handle left", to = "top back middle", stock = "pipe", role = "handle", part = "handle" }
"handle 2" = { from = "top back middle", to = "handle right", stock = "pipe", role = "handle", part = "handle" }

[wheels]
diameter = "3 in"
width = "1-1/4 in"
rating = "210 lb"
swivel = "one_end"
brake = "total"
braked = "all"
height = "3-7/8 in"

[joints]
kind = "welded"
weld_leg = "1/8 in"

[handle]
nodes = ["handle left", "handle right"]   # in equal shares; or { "handle left" = "50 %", ... }
width = "14 in"

[[pieces]]
name = "bench grinder"
mass = "45 lb"
lifted = false           # it stays on
at = [0, 0, "39 in"]
size = ["9 in", "16 in", "10 in"]
bears = ["top back middle", "top front"]
# Bolted down: it holds in every direction.
holds = [
    { way = "+x", by = "bolts", height = "2 in", bears = ["top back middle", "top front"] },
    { way = "-x", by = "bolts", height = "2 in", bears = ["top back middle", "top front"] },
    { way = "+y", by = "bolts", height = "2 in", bears = ["top back middle", "top front"] },
    { way = "-y", by = "bolts", height = "2 in", bears = ["top back middle", "top front"] },
    { way = "+z", by = "bolts", height = "2 in", bears = ["top back middle", "top front"] },
]

[[pieces]]
name = "box of wheels and dressers"
mass = "25 lb"
brim = "40 lb"
at = [0, 0, "8-3/4 in"]
size = ["10 in", "14 in", "6 in"]
bears = ["back foot", "front foot"]
holds = [
    { way = "+x", by = "post", height = "6 in", bears = "front foot" },
    { way = "-x", by = "post", height = "6 in", bears = "back foot" },
    { way = "+y", by = "friction", friction = 0.3, bears = ["back foot", "front foot"] },
    { way = "-y", by = "friction", friction = 0.3, bears = ["back foot", "front foot"] },
]
grip = "12 in"

[[panels]]
name = "deck"
nodes = ["left", "left front", "right front", "right"]
mass = "9.8 lb"
thickness = "1/8 in"

[route]
bump = "1/4 in"

[place]
no_oven = true
keeps_exits_clear = true
"""


def own(spec: FreeFrameSpec, layout: Layout) -> Findings:
    """Whether bars that no node joins have room to pass each other."""
    return Findings(checks=(_clear(layout),))


def _clear(layout: Layout) -> Check:
    """The pair of bars without a common node that comes closest to touching."""
    worst: tuple[float, float, float, str, str] | None = None
    for (a, bar), (b, other) in combinations(layout.bars.items(), 2):
        if {bar.start, bar.end} & {other.start, other.end}:
            continue
        needed = (_thick(bar) + _thick(other)) / 2
        apart = apart_m(
            layout.nodes[bar.start], layout.nodes[bar.end], layout.nodes[other.start], layout.nodes[other.end]
        )
        if worst is None or needed / max(apart, 1e-9) > worst[0]:
            worst = (needed / max(apart, 1e-9), needed, apart, a, b)
    name, source = "bars clear of each other", "definition"
    if worst is None:
        return Check(
            name=name, case="all bars", demand=None, capacity=None, ratio=None, verdict="ok", source=source,
            sentence="All bars meet in nodes; none has to pass another.",
        )  # fmt: skip
    _, needed, apart, a, b = worst
    ratio, verdict = judge(needed, max(apart, 1e-9))
    if verdict == "fails":
        sentence = (
            f"'{a}' and '{b}' pass {said(apart)} from each other and together need {said(needed)}: they meet "
            "without a joint; give both a node there, or move one."
        )
    else:
        sentence = f"Bars that no node joins stay clear of each other; '{a}' and '{b}' come closest."
    return Check(
        name=name,
        case=f"{a}, {b}",
        demand=Quantity(needed, LENGTH),
        capacity=Quantity(apart, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source=source,
    )


def _thick(bar: Bar) -> float:
    """The smaller side: bars that overlap by less than this may just lie side by side."""
    return min(bar.section.depth_m, bar.section.width_m)


def apart_m(a: XYZ, b: XYZ, c: XYZ, d: XYZ) -> float:
    """Least distance between two stretches of line (exact: the least of a convex function on a square)."""
    p, q = np.subtract(b, a), np.subtract(d, c)
    between = np.subtract(a, c)
    pp, qq, pq = float(p @ p), float(q @ q), float(p @ q)
    pr, qr = float(p @ between), float(q @ between)
    flat = pp * qq - pq**2
    s = min(1.0, max(0.0, (pq * qr - qq * pr) / flat)) if flat > 1e-12 * pp * qq else 0.0
    t = (pq * s + qr) / qq
    if not 0 <= t <= 1:
        t = min(1.0, max(0.0, t))
        s = min(1.0, max(0.0, (pq * t - pr) / pp))
    return float(np.linalg.norm(between + s * p - t * q))


PATTERN: Final = Pattern(
    name="free_frame",
    title="A frame of your own",
    question="Bars from node to node, on wheels or feet, for what no other pattern fits.",
    spec=FreeFrameSpec,
    lay_out=lay_out,
    example=EXAMPLE,
    own=own,
)
