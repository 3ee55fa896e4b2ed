"""A cart for long bars and tubes: cradles in tiers above one another, on little floor."""

from __future__ import annotations

from typing import Final

from floorwright.propose.aid.layout import Handle, Layout
from floorwright.propose.aid.pattern import Pattern
from floorwright.propose.aid.patterns.bar_checks import own
from floorwright.propose.aid.patterns.bar_frame import BarFrame
from floorwright.propose.aid.patterns.bar_load import extras, panels, pieces
from floorwright.propose.aid.patterns.bar_spec import BarCart
from floorwright.propose.aid.patterns.draft import Draft
from floorwright.propose.aid.subsets import Piles


def lay_out(spec: BarCart) -> Layout:
    """The cart as a layout.

    Raises:
        InputError: for sizes that cannot be built.
    """
    spec.pile(spec.bars_per_tier)
    cart = BarFrame(spec=spec, draft=Draft(joints=spec.joints))
    cart.draw()
    carried, at, z = pieces(cart), cart.draft.at, cart.base_z
    step = [at((0.0, sign * cart.half_base, z)) for sign in (1, -1)] + [
        at((x, 0.0, z)) for x in cart.xs[:: len(cart.xs) - 1]
    ]
    tops = [at((0.0, y, cart.top_z)) for y in cart.post_ys]
    return Layout(
        pattern="bar_cart",
        title=spec.title,
        nodes=dict(cart.draft.nodes),
        bars=dict(cart.draft.bars),
        panels=panels(cart),
        wheels=cart.wheels(),
        pieces=carried,
        piles=Piles(rows=tuple((i,) for i in range(len(carried)))),
        extras=extras(cart),
        handle=Handle(height_m=spec.handle_height, at={"hoop middle": 1.0}, width_m=2 * cart.half_base),
        step=tuple(step),
        top=(*tops, "hoop middle"),
        spans=cart.spans(),
        size=cart.size(),
        view_over_m=cart.top_z,
        notes=_notes(spec),
    )


def _notes(spec: BarCart) -> tuple[str, ...]:
    found = [
        "Strength, casters, brakes and tipping count every cradle as filled to its brim with solid steel as well: "
        "nobody counts bars when in a hurry. Pushing and stopping count what is declared."
    ]
    if spec.wheel_count == 6 and spec.wheels.swivel == "one_end":
        found.append("With six wheels the middle pair is rigid and both ends swivel.")
    if spec.end_stops == "both" and spec.loaded == "end":
        found.append("The plate at the end that bars go in by has to come out: drop it into sockets.")
    if spec.end_stops in ("none", "far"):
        found.append("Where no plate or strap holds bars endways, only friction does.")
    return tuple(found)


EXAMPLE: Final = """\
# A cart for 8 ft tubes that lie in four cradles above one another; bars go in from its end.
pattern = "bar_cart"
title = "Cart for 8 ft tubes"
tiers = 4
bars_per_tier = 14          # in each cradle
frames = 2                  # of posts along the length
overhang = "20 in"          # bars stand out so far beyond the end frames
sides = "ladder"            # posts on both sides; "cantilever": arms out from a middle post, bars from the sides
loaded = "end"
lowest_tier = "33 in"       # from the floor to the top of the lowest arms
# tier_spacing = "6 in"     # from arm to arm; depth of a cradle with an arm when left out
end_stops = "strap"         # none, far (a plate at the handle's end), both, strap
handle_height = "40 in"
wheel_count = 4
lifted = true               # by hand, a bar at a time
aisle_length = "20 ft"      # free, where bars are drawn out

[bar]
stock = { section = { shape = "round_tube", outside_diameter = "1 in", wall = "0.065 in" } }
length = "8 ft"
# mass_per_length = "0.65 lb/ft"   # worked out when left out

[cradle]
width = "8 in"             # clear, between the posts
depth = "2 in"              # how high bars are stacked in it
arm = { section = "HSS2X2X3/16", material = "A500B_shaped" }

[post]
section = "HSS2X2X3/16"
material = "A500B_shaped"

[base]
width = "32 in"             # from rail to rail, the wheels stand under them
rails = { section = "HSS3X3X1/4", material = "A500B_shaped" }
beams = { section = "HSS3X3X1/4", material = "A500B_shaped" }

[wheels]
diameter = "8 in"
width = "2 in"
tread = "polyurethane"
rating = "1500 lb"          # as printed on the caster
swivel = "one_end"
brake = "total"

[wheels.plate]              # between caster and frame, as printed in the maker's sheet
length = "6-1/4 in"
width = "4-1/2 in"
thickness = "1/2 in"
bolts_along = "5 in"
bolts_across = "3-3/8 in"
bolt = "1/2 in"
bolt_grade = "Grade 5"
material = "A36"

[joints]
kind = "welded"
weld_leg = "5/16 in"

[route]
bump = "0 in"               # no threshold on its way
gap = "3/8 in"              # the widest gap in the floor
floor = "concrete"
slope = "1 in 50"
turn_radius = "6 ft"
door_width = "6 ft"
door_height = "80 in"
aisle = "7 ft"
grating = false             # crosses none

[place]
booth = false
no_oven = true
wash = false
weld_cell = false
forked = false
towed = false
hoisted = false
keeps_exits_clear = true

[today]
pieces = 20                 # in two rows on the floor, with dunnage
floor_area = "40 ft2"
within = "15 %"
aim = 3                     # times as many bars on the same floor
"""

PATTERN: Final = Pattern(
    name="bar_cart",
    title="Cart for long bars in tiers",
    question="How do long bars wait and travel within reach, on little floor?",
    spec=BarCart,
    lay_out=lay_out,
    own=own,
    example=EXAMPLE,
)
