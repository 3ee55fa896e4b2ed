"""Putting a layout together: nodes by name, cut parts through several nodes, wheels, shares along a line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import dist
from typing import Final

from floorwright.propose.aid.layout import XYZ, Bar, Role, Wheel
from floorwright.propose.aid.spec import Joints, Stock, Wheels

SAME_M: Final = 1e-6


@dataclass(slots=True)
class Draft:
    """A frame that grows: its nodes and bars in the order in which they were drawn.

    Attributes:
        joints: how every bar is joined.
        nodes, bars: as a layout takes them.
    """

    joints: Joints
    nodes: dict[str, XYZ] = field(default_factory=dict)
    bars: dict[str, Bar] = field(default_factory=dict)

    def node(self, name: str, at: XYZ) -> str:
        """A node by its name; where one stands already at this place, that one."""
        known = self._known(at)
        if known is None:
            self.nodes[name] = at
        return known or name

    def at(self, at: XYZ) -> str:
        """The node that stands at this place.

        Raises:
            KeyError: where none does.
        """
        known = self._known(at)
        if known is None:
            raise KeyError(f"no node stands at {at}")
        return known

    def _known(self, at: XYZ) -> str | None:
        return next((name for name, place in self.nodes.items() if dist(place, at) < SAME_M), None)

    def run(self, part: str, role: Role, through: Sequence[str], stock: Stock, where: str) -> None:
        """A part cut as one, through nodes in a row.

        Args:
            part: its name.
            role: what it does.
            through: its nodes from end to end.
            stock: what it is cut from.
            where: the field of the spec that the stock comes from, for messages.

        Raises:
            InputError: where the stock cannot be made.
        """
        section, material = stock.made(where)
        end = self.joints.end()
        for i, (start, stop) in enumerate(pairwise(through)):
            self.bars[f"{part} {i + 1}" if len(through) > 2 else part] = Bar(
                start=start,
                end=stop,
                role=role,
                section=section,
                material=material,
                part=part,
                at_start=end,
                at_end=end,
                reclaimed=stock.reclaimed,
            )


def shares_along(places: Mapping[str, float], at: float) -> dict[str, float]:
    """How a force at `at` on a line of nodes goes into its two neighbours, by the lever; beyond the ends, the end.

    Args:
        places: node -> place along the line.
        at: where the force is.

    Returns:
        Node -> share; they add up to 1.
    """
    ordered = sorted(places, key=places.__getitem__)
    if at <= places[ordered[0]]:
        return {ordered[0]: 1.0}
    for a, b in pairwise(ordered):
        if at <= places[b]:
            along = (at - places[a]) / (places[b] - places[a])
            return {node: share for node, share in ((a, 1 - along), (b, along)) if share > 0}
    return {ordered[-1]: 1.0}


def mixed(parts: Sequence[tuple[Mapping[str, float], float]]) -> dict[str, float]:
    """Shares put together: each set with its weight; the weights add up to 1."""
    found: dict[str, float] = {}
    for shares, weight in parts:
        for node, share in shares.items():
            found[node] = found.get(node, 0.0) + share * weight
    return {node: share for node, share in found.items() if share != 0}


def wheels_under(spec: Wheels, corners: Mapping[str, str], draft: Draft) -> tuple[Wheel, ...]:
    """Wheels under the nodes named, by what they are called.

    The end that is pushed is the one at -x. With six wheels the middle pair is rigid and both ends swivel (common
    practice, no source): swivels at one end alone would drag the others sideways through every turn.

    Args:
        spec: the wheels.
        corners: name of the wheel ("back left") -> node; names begin with back, middle or front.
        draft: where the nodes are.
    """
    six = any(name.startswith("middle") for name in corners)

    def swivels(name: str) -> bool:
        if spec.swivel != "one_end":
            return spec.swivel == "all"
        return not name.startswith("middle") if six else name.startswith("back")

    found = []
    for name, node in corners.items():
        swivel = swivels(name)
        x, y, _ = draft.nodes[node]
        found.append(
            Wheel(
                name=name,
                node=node,
                at=(x, y),
                diameter_m=spec.diameter,
                width_m=spec.width,
                swivel=swivel,
                trail_m=spec.trail_m if swivel else 0.0,
                brake=spec.brake if swivel or spec.braked == "all" else "none",
                tread=spec.tread,
                rating_kg=spec.rating,
                plate=None if spec.plate is None else spec.plate.plate(),
                temperature_c=spec.temperature,
                conducts=spec.conducts,
            )
        )
    return tuple(found)
