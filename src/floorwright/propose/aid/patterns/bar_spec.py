"""What the user says about a cart for long bars."""

from __future__ import annotations

from math import pi, sqrt
from typing import Annotated, Final, Literal

from pydantic import Field

from floorwright.basis.errors import InputError
from floorwright.basis.fields import Input, Length, Measure, Plain, PositiveWhole
from floorwright.basis.mechanics import MASS_PER_LENGTH, PositiveLength
from floorwright.basis.metal.section import STEEL_KG_M3, Section
from floorwright.basis.quantity import LENGTH, write
from floorwright.propose.aid.patterns.density import Today
from floorwright.propose.aid.patterns.packing import Pile, boxes, most_boxes, most_rounds, rounds
from floorwright.propose.aid.spec import AidSpec, Stock, Wheels, stock

MOST_TIERS: Final = 6
MOST_FRAMES: Final = 4
DENSEST_ROUNDS: Final = pi / sqrt(12)  # no rounds fill more of a cradle than this (hexagonal rows)
_ROUND: Final = ("pipe", "round_tube", "round_bar")


class Bars(Input):
    """The bars that lie on it, all alike."""

    stock: Stock = Field(description="their section and material: round or square, solid or tube")
    length: PositiveLength = Field(description="of a bar")
    mass_per_length: Annotated[float, Measure(MASS_PER_LENGTH, above=0)] | None = Field(
        None, description="of a bar; worked out from section and material unless told"
    )


class Cradle(Input):
    """Where a tier of bars lies: clear sizes between posts (or post and lip)."""

    width: PositiveLength = Field(description="clear, from post to post, or from post to lip")
    depth: PositiveLength = Field(description="how high bars are stacked in it at most")
    arm: Stock = Field(description="of the arms that the bars lie on")


class BarBase(Input):
    """The frame at the bottom."""

    rails: Stock = Field(description="along the cart")
    beams: Stock = Field(description="across, under each frame of posts")
    width: PositiveLength = Field(description="from rail to rail, middle to middle; the wheels stand under them")


class BarCart(AidSpec):
    """Fields of a cart for long bars."""

    pattern: Literal["bar_cart"] = "bar_cart"
    bar: Bars = Field(description="the bars that lie on it")
    tiers: Annotated[int, Plain(at_least=1, at_most=MOST_TIERS, whole=True)] = Field(
        description=f"cradles above one another, 1 to {MOST_TIERS}"
    )
    bars_per_tier: PositiveWhole = Field(description="bars in a cradle; cantilever: on each side")
    cradle: Cradle = Field(description="where a tier of bars lies")
    sides: Literal["ladder", "cantilever"] = Field(
        "ladder",
        description="ladder: posts on both sides with arms between; cantilever: arms out from a middle post",
    )
    loaded: Literal["side", "end"] = Field(
        "end", description="where bars go in: a ladder from its end, a cantilever from its sides"
    )
    frames: Annotated[int, Plain(at_least=2, at_most=MOST_FRAMES, whole=True)] = Field(
        2, description=f"frames of posts along the length, 2 to {MOST_FRAMES}"
    )
    overhang: Length = Field(0.0, description="how far bars stand out beyond the end frames")
    post: Stock = Field(description="of the posts")
    base: BarBase = Field(description="the frame at the bottom")
    lowest_tier: PositiveLength = Field(description="from the floor to the top of the lowest arms")
    tier_spacing: PositiveLength | None = Field(
        None, description="from arm to arm; depth of a cradle with an arm unless told"
    )
    end_stops: Literal["none", "far", "both", "strap"] = Field(
        "far",
        description="what keeps bars from sliding out endways: none, a plate at the handle's end, at both, straps",
    )
    handle_height: PositiveLength = Field(1.0, description="of the bar that is pushed, above the floor")
    handle: Stock = Field(
        default_factory=lambda: Stock.model_validate(stock("HSS1.660X0.140")),
        description="what the hoop is bent from",
    )
    wheels: Wheels = Field(description="the wheels")
    wheel_count: Literal[4, 6] = Field(4, description="4, or 6 with a pair in the middle")
    lifted: bool = Field(True, description="whether people lift bars by hand")
    aisle_length: PositiveLength | None = Field(
        None, description="free length where bars are drawn out, the cart standing in it"
    )
    today: Today | None = Field(None, description="how the bars lie today, to compare with")

    @property
    def half_length(self) -> float:
        """From the middle to the end frames."""
        return self.bar.length / 2 - self.overhang

    @property
    def span_m(self) -> float:
        """From frame to frame."""
        return 2 * self.half_length / (self.frames - 1)

    def bar_section(self) -> Section:
        """Section of a bar, of its own density."""
        section, material = self.bar.stock.made("bar.stock")
        return section.of_density(material.density_kg_m3)

    @property
    def bar_kg(self) -> float:
        """Mass of a bar."""
        per_m = self.bar.mass_per_length
        return self.bar.length * (self.bar_section().mass_per_length_kg_m if per_m is None else per_m)

    @property
    def is_round(self) -> bool:
        """Whether the bars roll."""
        return self.bar_section().shape in _ROUND

    @property
    def cradles(self) -> int:
        """Cradles on the whole cart."""
        return self.tiers * (2 if self.sides == "cantilever" else 1)

    @property
    def arm_depth_m(self) -> float:
        """Height of an arm."""
        return self.cradle.arm.made("cradle.arm")[0].depth_m

    @property
    def spacing_m(self) -> float:
        """From arm to arm."""
        least = self.cradle.depth + self.arm_depth_m
        if self.tier_spacing is not None and self.tier_spacing < least - 1e-9:
            raise InputError.of(
                "tier_spacing",
                self.tier_spacing,
                f"is {inches(self.tier_spacing)}; a cradle with its arm is {inches(least)} high: give that or more",
            )
        return least if self.tier_spacing is None else self.tier_spacing

    def brim_m(self, tier: int) -> float:
        """How high somebody can fill a cradle: up to the next arm, the top of the posts, or the lip."""
        if self.sides == "cantilever" or tier == self.tiers - 1:
            return self.cradle.depth
        return self.spacing_m - self.arm_depth_m

    def brim_kg(self, tier: int) -> float:
        """Mass of a cradle that is filled to its brim with solid steel."""
        filled = DENSEST_ROUNDS if self.is_round else 1.0
        return STEEL_KG_M3 * filled * self.cradle.width * self.brim_m(tier) * self.bar.length

    def most_bars(self, depth_m: float) -> int:
        """Bars that fit into a cradle up to a depth."""
        section = self.bar_section()
        if self.is_round:
            return most_rounds(section.depth_m, self.cradle.width, depth_m)
        return most_boxes(section.width_m, section.depth_m, self.cradle.width, depth_m)

    def pile(self, count: int) -> Pile:
        """So many bars in a cradle.

        Raises:
            InputError: where not a single bar goes in.
        """
        section = self.bar_section()
        if section.width_m > self.cradle.width * (1 + 1e-9):
            raise InputError.of(
                "cradle.width",
                self.cradle.width,
                f"is {inches(self.cradle.width)}, narrower than a bar of {inches(section.width_m)}; "
                "give the clear width for the bars that are to lie side by side",
            )
        if self.is_round:
            return rounds(section.depth_m, self.cradle.width, count)
        return boxes(section.width_m, section.depth_m, self.cradle.width, count)

    def thrust(self, tier: int) -> float:
        """Thrust on each side per newton, of the pile as declared or filled to the brim, whichever is more."""
        full = max(self.most_bars(self.brim_m(tier)), self.bars_per_tier)
        return max(self.pile(count).thrust for count in (self.bars_per_tier, full))


def inches(value_m: float) -> str:
    """A length in inches, for messages."""
    return write(value_m, LENGTH, "us")
