"""A cart for flat parts that stand on edge in lined slots, singly or in pairs back to back."""

from __future__ import annotations

from typing import Final

from floorwright.propose.aid.layout import Handle, Layout
from floorwright.propose.aid.pattern import Pattern
from floorwright.propose.aid.patterns.draft import Draft
from floorwright.propose.aid.patterns.panel_checks import own
from floorwright.propose.aid.patterns.panel_frame import PanelFrame
from floorwright.propose.aid.patterns.panel_load import panels, pieces
from floorwright.propose.aid.patterns.panel_spec import PanelCart
from floorwright.propose.aid.subsets import Piles


def lay_out(spec: PanelCart) -> Layout:
    """The cart as a layout.

    Raises:
        InputError: for sizes that cannot be built.
    """
    cart = PanelFrame(spec=spec, slot=spec.slot(), draft=Draft(joints=spec.joints))
    cart.draw()
    wheels, carried, spans, size = cart.wheels(), pieces(cart), cart.spans(), cart.size()
    z, node_at = cart.base_z, cart.draft.at
    middles = [node_at(cart.place(u, v, z)) for u, v in ((0.0, cart.half_v), (0.0, -cart.half_v))]
    middles += [node_at(cart.place(sign * cart.half_u, 0.0, z)) for sign in (1.0, -1.0)]
    outer = [f"divider middle {i}" for i in (0, spec.slots)]
    return Layout(
        pattern="panel_cart",
        title=spec.title,
        nodes=dict(cart.draft.nodes),
        bars=dict(cart.draft.bars),
        panels=panels(cart),
        wheels=wheels,
        pieces=carried,
        piles=Piles(rows=tuple((i,) for i in range(len(carried)))),
        handle=Handle(
            height_m=spec.handle_height,
            at={"hoop middle": 1.0},
            width_m=2 * (cart.half_v if cart.along else cart.half_u),
        ),
        step=tuple(middles),
        top=("hoop middle", *outer),
        spans=spans,
        size=size,
        view_over_m=size[2],
        notes=_notes(spec),
    )


def _notes(spec: PanelCart) -> tuple[str, ...]:
    found = []
    if spec.wheel_count == 6 and spec.wheels.swivel == "one_end":
        found.append("With six wheels the middle pair is rigid and both ends swivel.")
    if spec.end_stops != "both":
        found.append("Where no lip holds a part endways, only friction does.")
    return tuple(found)


EXAMPLE: Final = """\
# A cart for painted shelter panels that stand on edge, two back to back in each slot.
pattern = "panel_cart"
title = "Cart for painted panels"
slots = 10
per_slot = 2                # two parts back to back: only where one face is unpainted, or with a separator
finger_room = "3/4 in"      # left in each slot; above the dividers there is more
gloves = true
lean = "5 deg"              # dividers lean so that parts cannot fall the other way
lean_to = "left"            # seen by whoever loads them
loaded = "end"              # slots run along the cart; "side": across it
end_stops = "both"          # lips that keep the parts from sliding out endways
stop_height = "2 in"
handle_height = "40 in"
wheel_count = 4
# pitch = "5 in"            # from divider to divider; worked out from the rest when left out

[part]
length = "48 in"
height = "24 in"
thickness = "1-1/4 in"      # over everything that stands out of the face
mass = "22 lb"              # of one part
painted = "one"             # faces that must not be rubbed: none, one, both

[lining]
thickness = "1/4 in"
compressible = true         # felt, foam, soft rubber

[divider]
height = 0.6                # share of the part's height
stock = { section = "HSS1X1X1/8" }

[base]
rails = { section = "HSS2X2X1/8", material = "A500B_shaped" }
beams = { section = "HSS2X2X1/8", material = "A500B_shaped" }
cross_beams = 2             # under each part, the ends of the frame among them
overhang = "3 in"           # parts stand out so far beyond the frame at each end
margin = "0 in"             # frame beyond the outer dividers on each side

[handle]
section = "HSS1.660X0.140"

[wheels]
diameter = "6 in"
width = "2 in"
tread = "polyurethane"
rating = "600 lb"           # as printed on the caster
swivel = "one_end"
brake = "total"

[wheels.plate]              # between caster and frame, as printed in the maker's sheet
length = "4-1/2 in"
width = "4 in"
thickness = "1/4 in"
bolts_along = "3-3/8 in"
bolts_across = "2-5/8 in"
bolt = "3/8 in"
bolt_grade = "Grade 5"
material = "A36"

[joints]
kind = "welded"
weld_leg = "3/16 in"
capped = true               # plates close the ends of the rails that the handle stands on

[route]
bump = "0 in"               # no threshold on its way
gap = "3/8 in"              # the widest gap in the floor
floor = "concrete"
slope = "1 in 50"
turn_radius = "5 ft"
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
pieces = 12                 # lying flat side by side, paint up
floor_area = "120 ft2"
within = "10 %"
aim = 3                     # times as many parts on the same floor
"""

PATTERN: Final = Pattern(
    name="panel_cart",
    title="Cart for flat parts on edge",
    question="How do painted flat parts travel and wait without touching, on little floor?",
    spec=PanelCart,
    lay_out=lay_out,
    own=own,
    example=EXAMPLE,
)
