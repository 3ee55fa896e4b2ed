"""What the user says about a cart for flat parts."""

from __future__ import annotations

from dataclasses import replace
from math import cos
from typing import Annotated, Final, Literal

from pydantic import Field

from floorwright.basis.errors import InputError
from floorwright.basis.fields import Input, Length, Measure, Plain
from floorwright.basis.mechanics import DENSITY, PositiveLength
from floorwright.basis.quantity import ANGLE, LENGTH, write
from floorwright.propose.aid.patterns.density import Today
from floorwright.propose.aid.patterns.slots import Slot
from floorwright.propose.aid.spec import AidSpec, PositiveMass, Stock, Wheels, stock

MOST_SLOTS: Final = 24
STEEPEST_LEAN: Final = 0.5235987755982988  # 30 deg: beyond it parts lie rather than stand
INCH: Final = LENGTH.units["in"]


class FlatPart(Input):
    """The part that stands in the slots."""

    length: PositiveLength = Field(description="along the slot")
    height: PositiveLength = Field(description="of the part as it stands on edge")
    thickness: PositiveLength = Field(description="of one part, over everything that stands out of its face")
    mass: PositiveMass = Field(description="of one part")
    painted: Literal["none", "one", "both"] = Field(description="faces that must not be rubbed: none, one, both")


class Lining(Input):
    """What the dividers are lined with."""

    thickness: Length = Field(description="on each face of a divider; 0 for none")
    compressible: bool | None = Field(
        None, description="whether it gives way under a fingernail: felt, foam, carpet, soft rubber"
    )
    friction: Annotated[float, Plain(at_least=0, at_most=1.2)] = Field(
        0.2, description="of a part on it (plain); 0.2 unless measured"
    )
    density: Annotated[float, Measure(DENSITY, above=0)] = Field(1000.0, description="of the lining itself")


class Divider(Input):
    """The hoops between the slots."""

    height: Annotated[float, Plain(above=0, at_most=1.5)] = Field(
        0.6, description="share of the part's height that it reaches up (plain): 0.6"
    )
    stock: Stock = Field(description="what it is bent or welded from")


class Base(Input):
    """The frame that the slots stand on."""

    rails: Stock = Field(description="of the outer frame, along the slots")
    beams: Stock = Field(description="across under the slots")
    cross_beams: Annotated[int, Plain(at_least=2, at_most=4, whole=True)] = Field(
        2, description="beams under each part, the ends of the frame among them: 2 to 4"
    )
    overhang: Length = Field(0.0, description="how far parts stand out beyond the frame at each end")
    margin: Length = Field(0.0, description="how far the frame reaches beyond the outer dividers on each side")


class Deck(Input):
    """A sheet on the beams, under the parts."""

    thickness: PositiveLength
    density: Annotated[float, Measure(DENSITY, above=0)] = Field(
        600.0, description="600 kg/m3 for plywood, 7850 kg/m3 for steel sheet"
    )
    material: str = "plywood"


class PanelCart(AidSpec):
    """Fields of a cart for flat parts."""

    pattern: Literal["panel_cart"] = "panel_cart"
    part: FlatPart = Field(description="the part that stands in the slots")
    slots: Annotated[int, Plain(at_least=1, at_most=MOST_SLOTS, whole=True)] = Field(
        description=f"slots side by side, 1 to {MOST_SLOTS}"
    )
    per_slot: Literal[1, 2] = Field(1, description="parts in a slot: 1, or 2 back to back")
    separator: Length = Field(
        0.0, description="thickness of what is put between two parts of a slot; 0 for nothing"
    )
    lining: Lining = Field(description="what the dividers are lined with")
    finger_room: Length = Field(1.5 * INCH, description="left in each slot for fingers: 1-1/2 in with gloves")
    gloves: bool = Field(True, description="whether people handle the parts with gloves on")
    pitch: PositiveLength | None = Field(
        None, description="from divider to divider along the floor; worked out from the rest unless told"
    )
    lean: Annotated[float, Measure(ANGLE, at_least=0, at_most=STEEPEST_LEAN)] = Field(
        0.08726646259971647, description="of the dividers from upright, 0 to 30 deg: 5 deg"
    )
    lean_to: Literal["left", "right"] = Field(
        "left", description="side that the parts lean to, seen by whoever loads them"
    )
    divider: Divider = Field(description="the hoops between the slots")
    base: Base = Field(description="the frame that the slots stand on")
    deck: Deck | None = Field(None, description="a sheet under the parts; open without it")
    loaded: Literal["side", "end"] = Field(
        "end", description="end: slots run along the cart; side: slots run across it"
    )
    end_stops: Literal["none", "far", "both"] = Field(
        "far", description="what keeps parts from sliding out endways: none, a lip at the far end, lips at both"
    )
    stop_height: PositiveLength = Field(2 * INCH, description="of those lips above the floor of the slot")
    handle_height: PositiveLength = Field(1.0, description="of the bar that is pushed, above the floor")
    handle: Stock = Field(
        default_factory=lambda: Stock.model_validate(stock("HSS1.660X0.140")),
        description="what the hoop is bent from",
    )
    wheels: Wheels = Field(description="the wheels")
    wheel_count: Literal[4, 6] = Field(4, description="4, or 6 with a pair in the middle")
    today: Today | None = Field(None, description="how the parts lie today, to compare with")

    def slot(self) -> Slot:
        """The slot, with the room that the pitch leaves.

        Raises:
            InputError: where the part does not go into the slot, or the frame under it has no length.
        """
        section, _ = self.divider.stock.made("divider.stock")
        bare = Slot(
            part_m=self.part.thickness,
            count=self.per_slot,
            height_m=self.part.height,
            separator_m=self.separator,
            lining_m=self.lining.thickness,
            stock_m=max(section.width_m, section.depth_m),
            room_m=0.0,
            divider_m=self.divider.height * self.part.height,
            lean_rad=self.lean,
        )
        room = self.finger_room if self.pitch is None else (self.pitch - bare.pitch_m) * cos(self.lean)
        if room < -1e-9:
            raise InputError.of(
                "pitch",
                self.pitch,
                f"is {_inches(self.pitch)}, narrower than what has to go in: divider, two linings and "
                f"{self.per_slot} part{'s' if self.per_slot > 1 else ''} take {_inches(bare.pitch_m)}; "
                f"give {_inches(bare.pitch_m + self.finger_room / cos(self.lean))} or leave it out",
            )
        return replace(bare, room_m=max(room, 0.0))


def _inches(value_m: float | None) -> str:
    return write(value_m or 0.0, LENGTH, "us")
