"""The frame of a cart for long bars: a base, frames of posts with arms in tiers, end frames with stops, a hoop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from floorwright.basis.errors import InputError
from floorwright.propose.aid.layout import XYZ, Span, Wheel
from floorwright.propose.aid.patterns.bar_spec import BarCart, inches
from floorwright.propose.aid.patterns.draft import Draft, wheels_under

STOP_CLEAR_M: Final = 0.03  # from the end of a bar to the middle of its stop (common practice, no source)
STAND_OFF_M: Final = 0.1  # handle behind everything else, so that shins and feet stay clear (WorkSafe Victoria)
LOW_M: Final = 0.05  # least from the base to the lowest arms, so that both can be welded (common practice)


@dataclass(slots=True)
class BarFrame:
    """The cart as it is drawn.

    Attributes:
        posts: frame, side -> node -> height, for each post; a cantilever has the one side 0.
        arms: (frame, tier) -> side -> nodes of the arm: the two ends and the middle.
        lips: (frame, tier, side) -> node -> height of the lip at the tip of an arm.
        stops: end -> tier -> side -> nodes that take a push against the stop.
    """

    spec: BarCart
    draft: Draft
    posts: dict[tuple[int, int], dict[str, float]] = field(default_factory=dict)
    arms: dict[tuple[int, int, int], tuple[str, str, str]] = field(default_factory=dict)
    lips: dict[tuple[int, int, int], dict[str, float]] = field(default_factory=dict)
    stops: dict[tuple[float, int, int], str] = field(default_factory=dict)

    @property
    def ladder(self) -> bool:
        """Whether posts stand on both sides."""
        return self.spec.sides == "ladder"

    @property
    def sides(self) -> tuple[int, ...]:
        """Sides on which cradles are: 0 for the one between the posts, else right and left."""
        return (0,) if self.ladder else (-1, 1)

    @property
    def xs(self) -> tuple[float, ...]:
        """Where the frames stand."""
        return tuple(-self.spec.half_length + i * self.spec.span_m for i in range(self.spec.frames))

    @property
    def half_post(self) -> float:
        """Half the thickness of a post across."""
        return self.spec.post.made("post")[0].width_m / 2

    @property
    def post_y(self) -> float:
        """From the middle to the posts of a ladder."""
        return self.spec.cradle.width / 2 + self.half_post if self.ladder else 0.0

    @property
    def tip_y(self) -> float:
        """From the middle to the outermost steel above the base."""
        if self.ladder:
            return self.post_y
        return self.half_post + self.spec.cradle.width + self.spec.arm_depth_m / 2

    @property
    def half_base(self) -> float:
        """Half the base across."""
        return self.spec.base.width / 2

    @property
    def base_z(self) -> float:
        """Height of the centrelines of the base."""
        return self.spec.wheels.height_m

    def arm_z(self, tier: int) -> float:
        """Height of the centreline of an arm."""
        return self.lies_z(tier) - self.spec.arm_depth_m / 2

    def lies_z(self, tier: int) -> float:
        """Height at which the bars of a tier lie."""
        return self.spec.lowest_tier + tier * self.spec.spacing_m

    @property
    def top_z(self) -> float:
        """Height of the tops of the posts."""
        return self.lies_z(self.spec.tiers - 1) + self.spec.cradle.depth

    @property
    def stop_x(self) -> float:
        """Where the end stops are."""
        return self.spec.bar.length / 2 + STOP_CLEAR_M

    @property
    def stop_ends(self) -> tuple[float, ...]:
        """Ends that have a plate: -1 where the handle is."""
        return {"far": (-1.0,), "both": (-1.0, 1.0)}.get(self.spec.end_stops, ())

    @property
    def handle_x(self) -> float:
        """How far behind the middle the handle is."""
        return (self.stop_x if self.stop_ends else self.spec.bar.length / 2) + STAND_OFF_M

    def cradle_y(self, side: int) -> float:
        """Middle of a cradle."""
        return side * (self.half_post + self.spec.cradle.width / 2)

    def draw(self) -> None:
        """Draw the frame.

        Raises:
            InputError: for sizes that cannot be built.
        """
        self._check()
        self._base()
        for j, x in enumerate(self.xs):
            self._posts(j, x)
            self._arms(j, x)
        self._top_rails()
        for end in self.stop_ends:
            self._stop(end)
        self._handle()

    def _check(self) -> None:
        spec = self.spec
        if spec.loaded == "side" and self.ladder:
            raise InputError.of(
                "loaded",
                spec.loaded,
                "is side, but posts close the sides of a ladder; give sides = 'cantilever', or loaded = 'end'",
            )
        if spec.half_length <= 0.05:
            raise InputError.of(
                "overhang",
                spec.overhang,
                f"is {inches(spec.overhang)}; it leaves no cart under a bar of {inches(spec.bar.length)}: "
                "give well below half of its length",
            )
        if self.half_base < self.post_y - 1e-9:
            raise InputError.of(
                "base.width",
                spec.base.width,
                f"is {inches(spec.base.width)}; the posts are {inches(2 * self.post_y)} apart: give that or more",
            )
        least = self.base_z + LOW_M + spec.arm_depth_m / 2
        if spec.lowest_tier < least - 1e-9:
            raise InputError.of(
                "lowest_tier",
                spec.lowest_tier,
                f"is {inches(spec.lowest_tier)}; base and wheels reach up to it: give {inches(least)} or more",
            )
        if spec.handle_height <= self.base_z + 0.1:
            raise InputError.of(
                "handle_height",
                spec.handle_height,
                "is no higher than the base; give the height above the floor, about 40 in",
            )

    def _beam(self, part: str, x: float) -> None:
        ys = sorted({-self.half_base, *self.post_ys, 0.0, self.half_base})
        kept = [y for i, y in enumerate(ys) if i == 0 or y - ys[i - 1] > 1e-6]
        nodes = [self.draft.node(f"{part} at {i}", (x, y, self.base_z)) for i, y in enumerate(kept)]
        self.draft.run(part, "beam", nodes, self.spec.base.beams, "base.beams")

    @property
    def post_ys(self) -> tuple[float, ...]:
        """Where the posts stand across."""
        return (-self.post_y, self.post_y) if self.ladder else (0.0,)

    def _base(self) -> None:
        for j, x in enumerate(self.xs):
            self._beam(f"base beam {j + 1}", x)
        places = {*self.xs, 0.0, -self.handle_x, *(end * self.stop_x for end in self.stop_ends)}
        kept = sorted(places)
        kept = [x for i, x in enumerate(kept) if i == 0 or x - kept[i - 1] > 1e-6]
        for side, y in (("right", -self.half_base), ("left", self.half_base)):
            nodes = [self.draft.node(f"rail {side} at {i}", (x, y, self.base_z)) for i, x in enumerate(kept)]
            self.draft.run(f"side rail {side}", "rail", nodes, self.spec.base.rails, "base.rails")

    def _upright(self, part: str, x: float, y: float, zs: Sequence[float]) -> dict[str, float]:
        found = {self.draft.node(f"{part} at {i}", (x, y, z)): z for i, z in enumerate(zs)}
        self.draft.run(part, "post", list(found), self.spec.post, "post")
        return found

    def _posts(self, j: int, x: float) -> None:
        zs = [self.base_z, *(self.arm_z(t) for t in range(self.spec.tiers)), self.top_z]
        for side, y in zip((-1, 1) if self.ladder else (0,), self.post_ys, strict=True):
            name = {-1: "right", 0: "middle", 1: "left"}[side]
            self.posts[j, side] = self._upright(f"post {j + 1} {name}", x, y, zs)

    def _arms(self, j: int, x: float) -> None:
        for tier in range(self.spec.tiers):
            for side in self.sides:
                z = self.arm_z(tier)
                ys = (-self.post_y, 0.0, self.post_y)
                if not self.ladder:
                    ys = (0.0, self.cradle_y(side), side * self.tip_y)
                name = f"arm {j + 1} tier {tier + 1}" + {-1: " right", 0: "", 1: " left"}[side]
                root, middle, tip = (self.draft.node(f"{name} at {i}", (x, y, z)) for i, y in enumerate(ys))
                self.draft.run(name, "arm", [root, middle, tip], self.spec.cradle.arm, "cradle.arm")
                self.arms[j, tier, side] = (root, middle, tip)
                if not self.ladder:
                    lip_z = self.lies_z(tier) + self.spec.cradle.depth
                    lip = self.draft.node(f"{name} lip", (x, ys[2], lip_z))
                    self.draft.run(f"{name} lip", "arm", [tip, lip], self.spec.cradle.arm, "cradle.arm")
                    self.lips[j, tier, side] = {tip: z, lip: lip_z}

    def _top_rails(self) -> None:
        places = sorted({*self.xs, 0.0})
        kept = [x for i, x in enumerate(places) if i == 0 or x - places[i - 1] > 1e-6]
        for side, y in zip(("right", "left") if self.ladder else ("middle",), self.post_ys, strict=True):
            nodes = [self.draft.node(f"top {side} at {i}", (x, y, self.top_z)) for i, x in enumerate(kept)]
            self.draft.run(f"top rail {side}", "rail", nodes, self.spec.post, "post")

    def _stop(self, end: float) -> None:
        """Posts behind the ends of the bars, with a bar across each tier that a plate is welded to."""
        name, x = ("far" if end < 0 else "near"), end * self.stop_x
        ys = self.post_ys if self.ladder else tuple(self.cradle_y(side) for side in (-1, 1))
        places = sorted({-self.half_base, *ys, 0.0, self.half_base})
        kept = [y for i, y in enumerate(places) if i == 0 or y - places[i - 1] > 1e-6]
        foot = [self.draft.node(f"stop {name} foot {i}", (x, y, self.base_z)) for i, y in enumerate(kept)]
        self.draft.run(f"{name} stop beam", "beam", foot, self.spec.base.beams, "base.beams")
        middles = [self.lies_z(t) + self.spec.cradle.depth / 2 for t in range(self.spec.tiers)]
        posts = [
            list(self._upright(f"{name} stop post {i + 1}", x, y, [self.base_z, *middles]))
            for i, y in enumerate(ys)
        ]
        for tier, z in enumerate(middles):
            right, left = posts[0][tier + 1], posts[1][tier + 1]
            if not self.ladder:
                self.stops[end, tier, -1], self.stops[end, tier, 1] = right, left
                continue
            middle = self.draft.node(f"stop {name} tier {tier + 1}", (x, 0.0, z))
            part = f"{name} stop bar {tier + 1}"
            self.draft.run(part, "rail", [right, middle, left], self.spec.cradle.arm, "cradle.arm")
            self.stops[end, tier, 0] = middle

    def _handle(self) -> None:
        corners = []
        for side, y in (("right", -self.half_base), ("left", self.half_base)):
            foot = self.draft.at((-self.handle_x, y, self.base_z))
            top = self.draft.node(f"hoop {side}", (-self.handle_x, y, self.spec.handle_height))
            self.draft.run(f"hoop post {side}", "handle", [foot, top], self.spec.handle, "handle")
            corners.append(top)
        middle = self.draft.node("hoop middle", (-self.handle_x, 0.0, self.spec.handle_height))
        self.draft.run("hoop bar", "handle", [corners[0], middle, corners[1]], self.spec.handle, "handle")

    def wheels(self) -> tuple[Wheel, ...]:
        """The wheels under the ends of the end frames, and under the middle of the rails."""
        rows = {"back": self.xs[0], "front": self.xs[-1]} | ({"middle": 0.0} if self.spec.wheel_count == 6 else {})
        places = {
            f"{row} {side}": self.draft.at((x, y, self.base_z))
            for row, x in rows.items()
            for side, y in (("right", -self.half_base), ("left", self.half_base))
        }
        return wheels_under(self.spec.wheels, places, self.draft)

    def spans(self) -> tuple[Span, ...]:
        """Every arm between two posts, and the rails from end frame to end frame."""
        found = [
            Span(name=f"arm {j + 1} of tier {tier + 1}", start=nodes[0], middle=nodes[1], end=nodes[2])
            for (j, tier, side), nodes in self.arms.items()
            if side == 0
        ]
        for name, y in (("right", -self.half_base), ("left", self.half_base)):
            start, middle, end = (self.draft.at((x, y, self.base_z)) for x in (self.xs[0], 0.0, self.xs[-1]))
            found.append(Span(name=f"side rail {name}", start=start, middle=middle, end=end))
        return tuple(found)

    def size(self) -> XYZ:
        """Length, width and height with everything on it."""
        spec = self.spec
        half = self.half_post
        front = self.stop_x + half if 1.0 in self.stop_ends else spec.bar.length / 2
        rails = spec.base.rails.made("base.rails")[0].width_m / 2
        handle = spec.handle.made("handle")[0].width_m / 2
        wide = 2 * max(self.half_base + rails, self.tip_y + half)
        return (self.handle_x + handle + front, wide, max(self.top_z, spec.handle_height + handle))
