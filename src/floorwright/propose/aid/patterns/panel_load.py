"""What stands in a cart for flat parts, and what holds it; linings and deck."""

from __future__ import annotations

from math import cos, sin, tan

from floorwright.propose.aid.layout import XYZ, Hold, Panel, Piece, Way
from floorwright.propose.aid.patterns.draft import mixed, shares_along
from floorwright.propose.aid.patterns.panel_frame import PanelFrame


def pieces(cart: PanelFrame) -> tuple[Piece, ...]:
    """What stands in the slots, one piece a slot."""
    return tuple(_piece(cart, i) for i in range(cart.spec.slots))


def _piece(cart: PanelFrame, i: int) -> Piece:
    spec, slot, sign = cart.spec, cart.slot, cart.lean_sign
    lean, height = slot.lean_rad, slot.height_m
    leant = i + 1 if sign > 0 else i
    v = cart.divider_v(leant) + sign * ((cart.floor_z - cart.base_z) * tan(lean) - slot.foot_m)
    bears = mixed([(shares_along(line, v), 1 / len(cart.beams)) for line in cart.beams])
    side, down = slot.thrust()
    thrust: dict[str, XYZ] = {node: cart.place(0.0, -sign * side * s, down * s) for node, s in bears.items()}
    for node in cart.tops[leant]:
        thrust[node] = cart.place(0.0, sign * side / 2, -down / 2)
    size = cart.place(
        spec.part.length,
        height * sin(lean) + slot.stack_m * cos(lean),
        height * cos(lean) + slot.stack_m * sin(lean),
    )
    return Piece(
        name=f"slot {i + 1}",
        mass_kg=spec.per_slot * spec.part.mass,
        brim_kg=slot.most_parts * spec.part.mass,
        centre=cart.place(0.0, v + sign * height / 2 * sin(lean), cart.floor_z + height / 2 * cos(lean)),
        size=size,
        bears=bears,
        thrust=thrust,
        holds=_holds(cart, i, v),
        grip_m=cart.floor_z + height * cos(lean),
        lift_kg=spec.part.mass,
        friction=spec.lining.friction,
    )


def _holds(cart: PanelFrame, i: int, v: float) -> tuple[Hold, ...]:
    ways: tuple[tuple[Way, Way], ...] = (("+x", "-x"), ("+y", "-y"))
    along, across = ways if cart.along else ways[::-1]
    slot = cart.slot
    # A push at the middle of the part goes into the divider's top and its foot by the lever.
    at_top = min(1.0, slot.height_m / 2 / slot.held_at_m)
    found = [
        Hold(
            way=way,
            by="divider",
            height_m=slot.held_at_m,
            bears=mixed(
                [
                    (dict.fromkeys(cart.tops[d], 0.5), at_top),
                    (dict.fromkeys(cart.feet[d], 0.5), 1 - at_top),
                ]
            ),
        )
        for way, d in zip(across, (i + 1, i), strict=True)
    ]
    for way, sign in zip(along, (1.0, -1.0), strict=True):
        if sign in cart.stops:
            found.append(
                Hold(
                    way=way,
                    by="lip",
                    height_m=min(cart.spec.stop_height, slot.height_m),
                    bears=shares_along(cart.stops[sign], v),
                )
            )
    return tuple(found)


def panels(cart: PanelFrame) -> tuple[Panel, ...]:
    """Linings of the dividers, and the deck."""
    spec, slot = cart.spec, cart.slot
    found = []
    if spec.lining.thickness > 0:
        strip = 2 * (2 * cart.half_u + 2 * slot.divider_m) * slot.stock_m
        for i, (feet, tops) in enumerate(zip(cart.feet, cart.tops, strict=True)):
            around = [feet[0], feet[1], tops[1], tops[0]]
            found.append(
                Panel(
                    part=f"lining of divider {i + 1}",
                    corners=tuple(cart.draft.nodes[node] for node in around),
                    thickness_m=spec.lining.thickness,
                    mass_kg=strip * spec.lining.thickness * spec.lining.density,
                    material="lining",
                    at=dict.fromkeys(around, 0.25),
                )
            )
    if spec.deck is not None:
        found.append(_deck(cart, spec.deck.thickness, spec.deck.density, spec.deck.material))
    return tuple(found)


def _deck(cart: PanelFrame, thickness: float, density: float, material: str) -> Panel:
    u, v, z = cart.half_u, cart.half_v, cart.floor_z - cart.spec.lining.thickness - thickness / 2
    lines = [dict.fromkeys(line, 1.0) for line in cart.beams]
    return Panel(
        part="deck",
        corners=tuple(cart.place(a, b, z) for a, b in ((-u, -v), (u, -v), (u, v), (-u, v))),
        thickness_m=thickness,
        mass_kg=4 * u * v * thickness * density,
        material=material,
        at=mixed([(line, 1 / len(lines) / len(line)) for line in lines]),
    )
