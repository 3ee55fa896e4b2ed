"""The frame of a cart for flat parts.

Built in the axes of a slot: u along the part, v across the slots. Slots that run along the cart have u = x; slots
that run across it have v = x.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import cos, sin, tan
from typing import Final

from floorwright.basis.errors import InputError
from floorwright.propose.aid.layout import XYZ, Span, Wheel
from floorwright.propose.aid.patterns.draft import Draft, wheels_under
from floorwright.propose.aid.patterns.panel_spec import PanelCart
from floorwright.propose.aid.patterns.slots import Slot

STOP_CLEAR_M: Final = 0.03  # from the end of a part to the middle of its stop (common practice, no source)
STAND_OFF_M: Final = 0.1  # handle behind everything else, so that shins and feet stay clear (WorkSafe Victoria)
Sign = float


@dataclass(slots=True)
class PanelFrame:
    """The cart as it is drawn.

    Attributes:
        beams: for each cross beam, node -> place along v.
        tops: top nodes of each divider, one a post; feet: the nodes that its posts stand on.
        stops: for each end that has one, node -> place along v.
    """

    spec: PanelCart
    slot: Slot
    draft: Draft
    beams: list[dict[str, float]] = field(default_factory=list)
    tops: list[list[str]] = field(default_factory=list)
    feet: list[list[str]] = field(default_factory=list)
    stops: dict[Sign, dict[str, float]] = field(default_factory=dict)

    @property
    def along(self) -> bool:
        """Whether slots run along the cart."""
        return self.spec.loaded == "end"

    @property
    def lean_sign(self) -> float:
        """Which way parts lean along v: whoever loads an end at +x has +y to the right, a side at +y has -x."""
        return 1.0 if (self.spec.lean_to == "right") == self.along else -1.0

    @property
    def half_u(self) -> float:
        """Half the base along the parts."""
        return self.spec.part.length / 2 - self.spec.base.overhang

    @property
    def half_v(self) -> float:
        """Half the base across the slots."""
        return self.spec.slots * self.slot.pitch_m / 2 + self.spec.base.margin

    @property
    def stop_u(self) -> float:
        """Where the end stops are."""
        return self.spec.part.length / 2 + STOP_CLEAR_M

    @property
    def base_z(self) -> float:
        """Height of the centrelines of the base."""
        return self.spec.wheels.height_m

    @property
    def floor_z(self) -> float:
        """Height of the floor of the slots."""
        section, _ = self.spec.base.beams.made("base.beams")
        deck = 0.0 if self.spec.deck is None else self.spec.deck.thickness
        return self.base_z + section.depth_m / 2 + deck + self.spec.lining.thickness

    @property
    def top_z(self) -> float:
        """Height of the tops of the dividers: square to them lies the point of the part that they reach."""
        lean = self.slot.lean_rad
        return self.floor_z + (self.slot.divider_m - self.slot.foot_m * sin(lean)) * cos(lean)

    @property
    def handle_x(self) -> float:
        """How far behind the middle the handle is."""
        behind = self.half_v if not self.along else self.stop_u if self._has_stop(-1.0) else self._longest_u
        return behind + STAND_OFF_M

    @property
    def _longest_u(self) -> float:
        return max(self.spec.part.length / 2, self.half_u)

    def _has_stop(self, sign: Sign) -> bool:
        """The far end is at -u, where the handle is or across from whoever loads."""
        return self.spec.end_stops == "both" or (self.spec.end_stops == "far" and sign < 0)

    def place(self, u: float, v: float, z: float) -> XYZ:
        """A point in the axes of the cart."""
        return (u, v, z) if self.along else (v, u, z)

    def divider_v(self, i: int) -> float:
        """Foot of the middle line of a divider."""
        return (i - self.spec.slots / 2) * self.slot.pitch_m

    def draw(self) -> None:
        """Draw the frame."""
        self._check()
        self._base()
        self._dividers()
        self._stops()
        self._handle()

    def _check(self) -> None:
        if self.half_u <= 0.05:
            raise InputError.of(
                "base.overhang",
                self.spec.base.overhang,
                "leaves no frame under the parts; it should be well below half of their length",
            )
        if self.spec.handle_height <= self.base_z + 0.1:
            raise InputError.of(
                "handle_height",
                self.spec.handle_height,
                "is no higher than the frame; give the height above the floor, about 40 in",
            )

    def _base(self) -> None:
        base, z, draft = self.spec.base, self.base_z, self.draft
        count = base.cross_beams
        us = [self.half_u * (2 * i / (count - 1) - 1) for i in range(count)]
        vs = sorted({*(self.divider_v(i) for i in range(self.spec.slots + 1)), -self.half_v, 0.0, self.half_v})
        vs = [v for i, v in enumerate(vs) if i == 0 or v - vs[i - 1] > 1e-6]
        for b, u in enumerate(us):
            line = {draft.node(f"beam {b + 1} at {i}", self.place(u, v, z)): v for i, v in enumerate(vs)}
            self.beams.append(line)
        behind = [-self.handle_x]
        for b, (u, line) in enumerate(zip(us, self.beams, strict=True)):
            through = list(line)
            if not self.along and b in (0, count - 1):
                through = [draft.node(f"behind {b + 1}", self.place(u, behind[0], z)), *through]
            draft.run(f"cross beam {b + 1}", "beam", through, base.beams, "base.beams")
        for side, v in (("right", -self.half_v), ("left", self.half_v)):
            places = {*us, 0.0}
            places |= {sign * self.stop_u for sign in (-1.0, 1.0) if self._has_stop(sign)}
            places |= {-self.handle_x} if self.along else set()
            named = [draft.node(f"rail {side} at {i}", self.place(u, v, z)) for i, u in enumerate(sorted(places))]
            draft.run(f"side rail {side}", "rail", named, base.rails, "base.rails")

    def _dividers(self) -> None:
        divider, draft = self.spec.divider, self.draft
        rise = self.top_z - self.base_z
        last = self.spec.slots
        for i in range(last + 1):
            v = self.divider_v(i)
            v_top = v + self.lean_sign * rise * tan(self.slot.lean_rad)
            feet, tops = [], []
            for end, u in (("far", -self.half_u), ("near", self.half_u)):
                foot = draft.node(f"foot {end} {i}", self.place(u, v, self.base_z))
                top = draft.node(f"divider {end} {i}", self.place(u, v_top, self.top_z))
                draft.run(f"divider {i + 1} post {end}", "divider", [foot, top], divider.stock, "divider.stock")
                feet.append(foot)
                tops.append(top)
            across = list(tops)
            if i in (0, last):
                across.insert(1, draft.node(f"divider middle {i}", self.place(0.0, v_top, self.top_z)))
            draft.run(f"divider {i + 1} top", "divider", across, divider.stock, "divider.stock")
            self.feet.append(feet)
            self.tops.append(tops)

    def _stops(self) -> None:
        z = self.floor_z + self.spec.stop_height
        for name, sign in (("far", -1.0), ("near", 1.0)):
            if not self._has_stop(sign):
                continue
            u, line = sign * self.stop_u, {}
            for i in range(5):
                v = self.half_v * (i / 2 - 1)
                line[self.draft.node(f"stop {name} {i}", self.place(u, v, z))] = v
            self.draft.run(f"{name} stop", "rail", list(line), self.spec.base.rails, "base.rails")
            nodes = list(line)
            for side, v, top in (("right", -self.half_v, nodes[0]), ("left", self.half_v, nodes[-1])):
                foot = self.draft.node(f"stop foot {name} {side}", self.place(u, v, self.base_z))
                part = f"{name} stop post {side}"
                self.draft.run(part, "post", [foot, top], self.spec.base.rails, "base.rails")
            self.stops[sign] = line

    def _handle(self) -> None:
        half = self.half_v if self.along else self.half_u
        corners = []
        for side, y in (("right", -half), ("left", half)):
            foot = self.draft.node(f"hoop foot {side}", (-self.handle_x, y, self.base_z))
            top = self.draft.node(f"hoop {side}", (-self.handle_x, y, self.spec.handle_height))
            self.draft.run(f"hoop post {side}", "handle", [foot, top], self.spec.handle, "handle")
            corners.append(top)
        middle = self.draft.node("hoop middle", (-self.handle_x, 0.0, self.spec.handle_height))
        self.draft.run("hoop bar", "handle", [corners[0], middle, corners[1]], self.spec.handle, "handle")

    def wheels(self) -> tuple[Wheel, ...]:
        """The wheels under the corners, and under the middle of the long rails."""
        hx, hy = (self.half_u, self.half_v) if self.along else (self.half_v, self.half_u)
        rows = {"back": -hx, "front": hx} | ({"middle": 0.0} if self.spec.wheel_count == 6 else {})
        places = {
            f"{row} {side}": self.draft.at((x, y, self.base_z))
            for row, x in rows.items()
            for side, y in (("right", -hy), ("left", hy))
        }
        return wheels_under(self.spec.wheels, places, self.draft)

    def spans(self) -> tuple[Span, ...]:
        """Every cross beam from rail to rail, and the rails from end to end."""
        found = []
        for b, line in enumerate(self.beams):
            nodes = list(line)
            middle = min(nodes, key=lambda node: abs(line[node]))
            found.append(Span(name=f"cross beam {b + 1}", start=nodes[0], middle=middle, end=nodes[-1]))
        for side, v in (("right", -self.half_v), ("left", self.half_v)):
            start, middle, end = (
                self.draft.at(self.place(u, v, self.base_z)) for u in (-self.half_u, 0.0, self.half_u)
            )
            found.append(Span(name=f"side rail {side}", start=start, middle=middle, end=end))
        return tuple(found)

    def size(self) -> XYZ:
        """Length, width and height with everything on it."""
        spec, lean = self.spec, self.slot.lean_rad
        high = max(self.top_z, self.floor_z + spec.part.height * cos(lean), spec.handle_height)
        rails, _ = spec.base.rails.made("base.rails")
        leaning = self.spec.slots * self.slot.pitch_m / 2 + max(
            self.slot.stock_m / 2, (max(spec.part.height, self.slot.divider_m)) * sin(lean)
        )
        half_v = max(self.half_v + rails.width_m / 2, leaning)
        ends = [self.stop_u + rails.width_m / 2 if self._has_stop(s) else self._longest_u for s in (-1.0, 1.0)]
        hoop = self.handle_x + self.slot.stock_m / 2
        if self.along:
            return (max(hoop, ends[0]) + ends[1], 2 * half_v, high)
        return (max(hoop, half_v) + half_v, ends[0] + ends[1], high)
