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
# Places from the middle of the floor under it: x the way it is pushed, y to the left, z up.
pattern = "free_frame"
title = "Base on wheels for a bench grinder"

# Wheels: two that swivel at the end that is pushed; all four have brakes on wheel and swivel.
wheels_at = ["back left", "back right", "front left", "front right"]
step = ["left", "right"]                  # edges that somebody could put a foot on
top = ["top back", "top front"]           # edges that somebody leans on

[nodes]                                   # the middle of the bars, not their faces
"back left" = ["-13 in", "12 in", "7-1/2 in"]
"back right" = ["-13 in", "-12 in", "7-1/2 in"]
"front left" = ["13 in", "12 in", "7-1/2 in"]
"front right" = ["13 in", "-12 in", "7-1/2 in"]
"left" = ["-6 in", "12 in", "7-1/2 in"]
"right" = ["-6 in", "-12 in", "7-1/2 in"]
"left front" = ["6 in", "12 in", "7-1/2 in"]
"right front" = ["6 in", "-12 in", "7-1/2 in"]
"back post" = ["-6 in", 0, "7-1/2 in"]    # here the posts stand on the base
"front post" = ["6 in", 0, "7-1/2 in"]
"top back" = ["-6 in", 0, "33 in"]
"top front" = ["6 in", 0, "33 in"]
"handle" = ["-6 in", 0, "37 in"]
"handle left" = ["-6 in", "8 in", "37 in"]
"handle right" = ["-6 in", "-8 in", "37 in"]

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
"back cross 1" = { from = "left", to = "back post", stock = "tube", part = "back cross" }
"back cross 2" = { from = "back post", to = "right", stock = "tube", part = "back cross" }
"front cross 1" = { from = "left front", to = "front post", stock = "tube", part = "front cross" }
"front cross 2" = { from = "front post", to = "right front", stock = "tube", part = "front cross" }
"back post 1" = { from = "back post", to = "top back", stock = "tube", role = "post", part = "back post" }
"back post 2" = { from = "top back", to = "handle", stock = "tube", role = "post", part = "back post" }
"front post" = { from = "front post", to = "top front", stock = "tube", role = "post" }
"top" = { from = "top back", to = "top front", stock = "tube", role = "beam" }
"handle 1" = { from = "handle left", to = "handle", stock = "pipe", role = "handle", part = "handle" }
"handle 2" = { from = "handle", to = "handle right", stock = "pipe", role = "handle", part = "handle" }

[wheels]
diameter = "5 in"
width = "1-1/4 in"
rating = "300 lb"
swivel = "one_end"
brake = "total"
braked = "all"
height = "6-1/2 in"

[wheels.plate]              # between caster and frame, as printed in the maker's sheet
length = "3-3/4 in"
width = "2-5/8 in"
thickness = "1/4 in"
bolts_along = "3 in"
bolts_across = "1-3/4 in"
bolt = "5/16 in"
bolt_grade = "Grade 5"
material = "A36"

[joints]
kind = "welded"
weld_leg = "1/8 in"

[handle]
nodes = ["handle left", "handle right"]   # in equal shares; or { "handle left" = "50 %", ... }
width = "16 in"

[[pieces]]
name = "bench grinder"
mass = "45 lb"
at = [0, 0, "39 in"]                      # centre of its mass
size = ["9 in", "16 in", "10 in"]
bears = ["top back", "top front"]
lifted = false                            # it is bolted down and stays on
holds = [
    { way = "+x", by = "bolts", height = "5 in", bears = ["top back", "top front"] },
    { way = "-x", by = "bolts", height = "5 in", bears = ["top back", "top front"] },
    { way = "+y", by = "bolts", height = "5 in", bears = ["top back", "top front"] },
    { way = "-y", by = "bolts", height = "5 in", bears = ["top back", "top front"] },
    { way = "+z", by = "bolts", bears = ["top back", "top front"] },
]

[[pieces]]
name = "steel plate as ballast"
mass = "60 lb"
at = [0, 0, "9 in"]
size = ["12 in", "18 in", "1 in"]
bears = ["back post", "front post"]
lifted = false
holds = [
    { way = "+x", by = "bolts", height = "1 in", bears = ["back post", "front post"] },
    { way = "-x", by = "bolts", height = "1 in", bears = ["back post", "front post"] },
    { way = "+y", by = "bolts", height = "1 in", bears = ["back post", "front post"] },
    { way = "-y", by = "bolts", height = "1 in", bears = ["back post", "front post"] },
    { way = "+z", by = "bolts", bears = ["back post", "front post"] },
]

[[panels]]
name = "deck"
nodes = ["left", "left front", "right front", "right"]
mass = "11.8 lb"
thickness = "1/8 in"

[route]
gap = "3/8 in"              # the widest gap in the floor
bump = "1/8 in"
slope = "1 in 100"
grating = false
door_width = "36 in"
door_height = "80 in"
aisle = "48 in"
turn_radius = "4 ft"

[place]                                   # a question left out is answered `unknown`
booth = false
no_oven = true
wash = false
weld_cell = false
forked = false
towed = false
hoisted = false
keeps_exits_clear = true
vented = true
drains = true
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
