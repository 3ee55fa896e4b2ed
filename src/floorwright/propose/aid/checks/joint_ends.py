"""Which end of which bar is joined to what: at every node one part runs on, the others end on it.

A part that runs through a node is what the others are joined to (the largest, where several run through: a smaller
one that crosses it counts as cut there). Where none runs through, the parts meet at a corner, and the largest of
them is what the others stand on.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import sqrt
from typing import Final

import numpy as np

from floorwright.propose.aid.aid import Aid
from floorwright.propose.aid.frame.element import axes_of, cross
from floorwright.propose.aid.frame.stability import Floats
from floorwright.propose.aid.layout import End, Layout

LEAST_SINE: Final = 0.5
"""Between a bar and the face that it stands on: 30 degrees, as chapter K has it."""
_ALIGNED: Final = 0.966  # turned by less than 15 degrees it stands square on the chord


@dataclass(frozen=True, slots=True, kw_only=True)
class JointEnd:
    """An end of a bar that is joined to another part.

    Attributes:
        bar, end: name of the bar, and 0 for its start, 1 for its end.
        chord: name of a bar of the part that it is joined to.
        chord_bars: all bars of that part at the node, with the end that lies there.
        corner: whether that part ends there too, so that its face is not whole.
        crossed: whether another bar meets the chord from the opposite side.
        runs_on: whether the bar's own part goes on behind the chord.
    """

    bar: str
    end: int
    chord: str
    chord_bars: tuple[tuple[str, int], ...]
    corner: bool
    crossed: bool
    runs_on: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """How a bar stands on its chord.

    Attributes:
        up: on the side that the chord's z looks at, else y.
        along_m, across_m: its sizes along the chord and across it.
        wide_y: whether its own y lies across the chord.
        sine: of the angle between the bar and the face.
    """

    up: bool
    along_m: float
    across_m: float
    wide_y: bool
    sine: float


def how(aid: Aid, joint: JointEnd) -> End:
    """How an end is joined; a part that runs on behind the joint says nothing of it, the spec does."""
    bar = aid.layout.bars[joint.bar]
    if joint.runs_on:
        return aid.spec.joints.end()
    return bar.at_end if joint.end else bar.at_start


class Places:
    """Where the bars of a layout lie.

    Attributes:
        layout: the layout.
        number: name of a bar -> its place in `axes`.
        axes: unit vectors of local x, y, z, (bars, 3, 3).
    """

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.number = {name: i for i, name in enumerate(layout.bars)}
        bars = layout.bars.values()
        _, self.axes = axes_of(
            np.array([layout.nodes[bar.start] for bar in bars]),
            np.array([layout.nodes[bar.end] for bar in bars]),
            np.array([bar.roll_rad for bar in bars]),
        )

    def away(self, bar: str, end: int) -> Floats:
        """Unit vector from the node into the bar."""
        along: Floats = self.axes[self.number[bar], 0]
        return -along if end else along

    @cached_property
    def ends(self) -> tuple[JointEnd, ...]:
        """Every end that is joined, in the order of the bars."""
        met: dict[str, dict[str, list[tuple[str, int]]]] = {}
        for name, bar in self.layout.bars.items():
            for end, node in enumerate((bar.start, bar.end)):
                met.setdefault(node, {}).setdefault(bar.part, []).append((name, end))
        return tuple(each for parts in met.values() if len(parts) > 1 for each in self._at(parts))

    def _at(self, parts: dict[str, list[tuple[str, int]]]) -> Iterator[JointEnd]:
        through = {part: ends for part, ends in parts.items() if len(ends) > 1}
        main = max(through or parts, key=lambda part: self._size(parts[part][0][0]))
        chord = tuple(parts[main])
        others = [end for part, ends in parts.items() if part != main for end in ends]
        for bar, end in others:
            part = self.layout.bars[bar].part
            own = self.away(bar, end)
            yield JointEnd(
                bar=bar,
                end=end,
                chord=chord[0][0],
                chord_bars=chord,
                corner=not through,
                crossed=any(float(self.away(*each) @ own) < -0.5 for each in others),
                runs_on=part in through,
            )

    def _size(self, bar: str) -> float:
        section = self.layout.bars[bar].section
        return section.depth_m * section.width_m


def forces_out(aid: Aid, places: Places, joint: JointEnd) -> Floats:
    """Forces and moments that the bar pulls and turns the node with, in global axes, (ways, 2, 3)."""
    N, Vy, Vz, T, My, Mz = aid.bars[joint.bar].vectors[joint.end].T
    local = np.stack([np.stack([N, Vy, Vz], axis=-1), np.stack([T, My, Mz], axis=-1)], axis=1)
    # Inside forces are those on the side that looks along the bar: at its end the bar lies behind it.
    sign = -1.0 if joint.end else 1.0
    return np.asarray(sign * local @ places.axes[places.number[joint.bar]])


def seat(aid: Aid, places: Places, joint: JointEnd) -> tuple[Seat, Floats]:
    """How a bar stands on its chord, and the axes of the joint: along the chord, across it, out of its face."""
    d, chord = places.away(joint.bar, joint.end), places.axes[places.number[joint.chord]]
    y, z = float(d @ chord[1]), float(d @ chord[2])
    up = abs(z) >= abs(y)
    section = aid.layout.bars[joint.chord].section
    if section.outside_diameter_m is not None and np.hypot(y, z) > 1e-9:
        normal = (y * chord[1] + z * chord[2]) / np.hypot(y, z)
    else:
        normal = np.copysign(1.0, z) * chord[2] if up else np.copysign(1.0, y) * chord[1]
    across = cross(normal, chord[0])
    own = aid.layout.bars[joint.bar].section
    turned = np.abs(places.axes[places.number[joint.bar], 1:] @ across)
    wide_y = bool(turned[0] >= turned[1])
    sizes = (own.depth_m, own.width_m) if wide_y else (own.width_m, own.depth_m)
    if turned.max() < _ALIGNED and own.outside_diameter_m is None:
        sizes = (min(sizes) / sqrt(2),) * 2
    found = Seat(up=up, along_m=sizes[0], across_m=sizes[1], wide_y=wide_y, sine=round(float(d @ normal), 6))
    return found, np.stack([chord[0], across, normal])
