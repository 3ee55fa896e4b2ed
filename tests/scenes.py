"""Scenes of shop aids for the tests of drawings and CAD files."""

from __future__ import annotations

import tomllib
from dataclasses import replace

from floorwright.basis.proposal import Shape
from floorwright.propose.aid.design import scene_of
from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.registry import PATTERNS

NAMES = tuple(PATTERNS)


def layout_of(name: str) -> Layout:
    """The example of a pattern, laid out."""
    pattern = PATTERNS[name]
    return pattern.lay_out(pattern.read(tomllib.loads(pattern.example)))


def scene(name: str) -> tuple[Shape, ...]:
    """The scene of a pattern's example."""
    return scene_of(layout_of(name))


def mirrored(shapes: tuple[Shape, ...]) -> tuple[Shape, ...]:
    """The scene with left and right exchanged."""
    return tuple(replace(each, points_m=tuple((x, -y, z) for x, y, z in each.points_m)) for each in shapes)


def many_bars(count: int, label: str = "bar") -> tuple[Shape, ...]:
    """A lattice of so many bars, each a part of its own."""
    return tuple(
        Shape(
            kind="bar",
            points_m=((0.1 * (i % 15), 0.0, 0.1 * (i // 15)), (0.1 * (i % 15), 1.0, 0.1 * (i // 15))),
            size_m=(0.025, 0.025, 0.002),
            label=f"{label} {i}",
            part=f"{label} {i}",
            role="rail",
        )
        for i in range(count)
    )


ONE_TUBE = Shape(
    kind="bar",
    points_m=((0.0, 0.0, 0.5), (1.0, 0.0, 0.5)),
    size_m=(0.06, 0.04, 0.003),
    label="rail",
    part="rail",
    role="rail",
)
ONE_PIPE = replace(ONE_TUBE, size_m=(0.0422, 0.0422, 0.0036), round_=True, label="pipe", part="pipe")
ONE_ANGLE = replace(ONE_TUBE, size_m=(0.05, 0.04, 0.005), profile="angle", label="angle", part="angle")
