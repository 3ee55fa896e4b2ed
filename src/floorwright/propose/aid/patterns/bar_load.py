"""What lies on a cart for long bars: a pile in each cradle, what holds it, how else it loads the arms."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from floorwright.basis.metal.section import STEEL_KG_M3
from floorwright.basis.quantity import G_STANDARD
from floorwright.propose.aid.layout import XYZ, Extra, Hold, Panel, Piece, Way
from floorwright.propose.aid.patterns.bar_frame import BarFrame
from floorwright.propose.aid.patterns.continuous import lying
from floorwright.propose.aid.patterns.draft import mixed, shares_along

ARM_SHARES: Final = (0.25, 0.5, 0.25)
"""A load spread evenly along an arm, put into its ends and middle: moments in ends and middle stay the same."""
PLATE_M: Final = 0.003  # end plate: 3 mm sheet (common practice, no source)
_SIDE: Final = {-1: " right", 0: "", 1: " left"}
_ACROSS: Final[tuple[tuple[Way, int], ...]] = (("-y", -1), ("+y", 1))
_ALONG: Final[tuple[tuple[Way, float], ...]] = (("-x", -1.0), ("+x", 1.0))


def frame_shares(cart: BarFrame) -> tuple[float, ...]:
    """How the weight of a bar goes into the frames."""
    spec = cart.spec
    return lying(spec.frames, spec.span_m, spec.overhang).shares


def pieces(cart: BarFrame) -> tuple[Piece, ...]:
    """The pile in every cradle."""
    return tuple(_piece(cart, tier, side) for tier in range(cart.spec.tiers) for side in cart.sides)


def _piece(cart: BarFrame, tier: int, side: int) -> Piece:
    spec = cart.spec
    pile = spec.pile(spec.bars_per_tier)
    arms = [dict(zip(cart.arms[j, tier, side], ARM_SHARES, strict=True)) for j in range(spec.frames)]
    middle_z = cart.lies_z(tier) + pile.height_m / 2
    push = spec.thrust(tier)
    thrust: dict[str, XYZ] = {}
    if push > 0:
        for _, sign in _ACROSS:
            thrust |= {n: (0.0, sign * push * s, 0.0) for n, s in _wall(cart, tier, side, sign, middle_z).items()}
    return Piece(
        name=f"tier {tier + 1}{_SIDE[side]}",
        mass_kg=spec.bars_per_tier * spec.bar_kg,
        brim_kg=spec.brim_kg(tier),
        centre=(0.0, cart.cradle_y(side), middle_z),
        size=(spec.bar.length, spec.cradle.width, pile.height_m),
        bears=mixed(list(zip(arms, frame_shares(cart), strict=True))),
        thrust=thrust,
        holds=(*_across(cart, tier, side, middle_z), *_along(cart, tier, side)),
        grip_m=middle_z,
        lifted=spec.lifted,
        lift_kg=spec.bar_kg,
        tier=f"tier {tier + 1}",
    )


def _wall(cart: BarFrame, tier: int, side: int, sign: int, z: float) -> dict[str, float]:
    """Nodes of the posts or lips on one side of a cradle that take a push at a height."""
    walls = []
    for j, share in enumerate(frame_shares(cart)):
        if cart.ladder:
            line = cart.posts[j, sign]
        else:
            line = cart.lips[j, tier, side] if sign == side else cart.posts[j, 0]
        walls.append((shares_along(line, z), share))
    return mixed(walls)


def _across(cart: BarFrame, tier: int, side: int, z: float) -> Iterator[Hold]:
    for way, sign in _ACROSS:
        by = "post" if cart.ladder or sign != side else "lip"
        yield Hold(way=way, by=by, height_m=cart.spec.brim_m(tier), bears=_wall(cart, tier, side, sign, z))


def _along(cart: BarFrame, tier: int, side: int) -> Iterator[Hold]:
    spec = cart.spec
    if spec.end_stops == "strap":
        ends = ((0, -1.0), (spec.frames - 1, 1.0))
        for (way, _), (j, _) in zip(_ALONG, ends, strict=True):
            bears = dict(zip(cart.arms[j, tier, side], ARM_SHARES, strict=True))
            yield Hold(way=way, by="strap", height_m=spec.cradle.depth, bears=bears)
        return
    for way, end in _ALONG:
        if end in cart.stop_ends:
            yield Hold(
                way=way, by="end plate", height_m=spec.cradle.depth, bears={cart.stops[end, tier, side]: 1.0}
            )


def panels(cart: BarFrame) -> tuple[Panel, ...]:
    """The plates that the ends of the bars meet."""
    spec = cart.spec
    half, found = spec.cradle.width / 2, []
    for (end, tier, side), node in cart.stops.items():
        x, y, low = end * cart.stop_x, cart.cradle_y(side), cart.lies_z(tier)
        high = low + spec.cradle.depth
        found.append(
            Panel(
                part=f"{'far' if end < 0 else 'near'} end plate, tier {tier + 1}{_SIDE[side]}",
                corners=((x, y - half, low), (x, y + half, low), (x, y + half, high), (x, y - half, high)),
                thickness_m=PLATE_M,
                mass_kg=spec.cradle.width * spec.cradle.depth * PLATE_M * STEEL_KG_M3,
                material="steel",
                at={node: 1.0},
            )
        )
    return tuple(found)


def solid_bar_n(cart: BarFrame) -> float:
    """Weight of a solid bar of the same outline."""
    section = cart.spec.bar_section()
    area = section.width_m * section.depth_m
    filled = 0.7853981633974483 if cart.spec.is_round else 1.0
    return max(cart.spec.bar_kg, STEEL_KG_M3 * area * filled * cart.spec.bar.length) * G_STANDARD


def drawn_lever(length_m: float, half_m: float) -> float:
    """What the end frame bears of a bar drawn out by half its length, in weights of the bar.

    The middle of the bar is half its length ahead of the middle of the cart; the far frame, or a hand on the inner
    end, holds it down: moments about the far frame.
    """
    return (length_m / 2 + half_m) / (2 * half_m)


def extras(cart: BarFrame) -> tuple[Extra, ...]:
    """A bar drawn out by half, a bundle set down on one frame or on the tips of the arms; each tier in turn."""
    spec, found = cart.spec, []
    last = spec.frames - 1
    bundle = spec.bars_per_tier * spec.bar_kg * G_STANDARD
    for tier in range(spec.tiers):
        for side in cart.sides:
            where = f"tier {tier + 1}{_SIDE[side]}"
            if spec.loaded == "end":
                arm = cart.arms[last, tier, side]
                weight = solid_bar_n(cart) * drawn_lever(spec.bar.length, spec.half_length)
                at = arm[1] if cart.ladder else arm[2]
                found.append(Extra(name=f"{where}: solid bar drawn out by half", forces={at: (0.0, 0.0, -weight)}))
                found.append(
                    Extra(name=f"{where}: bundle set down on the end frame", forces={at: (0.0, 0.0, -bundle)})
                )
            else:
                tips = {
                    cart.arms[j, tier, side][2]: (0.0, 0.0, -bundle * share)
                    for j, share in enumerate(frame_shares(cart))
                }
                found.append(Extra(name=f"{where}: bundle set down on the tips of the arms", forces=tips))
    return tuple(found)
