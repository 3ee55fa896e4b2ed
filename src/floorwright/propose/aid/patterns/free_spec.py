"""What the user says about a frame of his own: nodes, members, what it stands on, what lies on it."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

from pydantic import BeforeValidator, Field

from floorwright.basis.fields import Angle, Input, Length, Plain, Share
from floorwright.basis.mechanics import Coordinate, PositiveLength
from floorwright.propose.aid.layout import Brake, Role, Way
from floorwright.propose.aid.spec import AidSpec, Joints, PositiveMass, Stock, Wheels

MOST_BARS: Final = 150
MOST_PIECES: Final = 40
Place3 = Annotated[list[Coordinate], Field(min_length=3, max_length=3)]
Place2 = Annotated[list[Coordinate], Field(min_length=2, max_length=2)]
Size3 = Annotated[list[PositiveLength], Field(min_length=3, max_length=3)]
Friction = Annotated[float, Plain(above=0, at_most=1.2)]


def _shares(value: Any) -> Any:
    """A node alone, or a list of nodes, bears in equal shares."""
    if isinstance(value, str):
        return {value: 1.0}
    if isinstance(value, list) and value and all(isinstance(each, str) for each in value):
        return {node: value.count(node) / len(value) for node in value}
    return value


Shares = Annotated[dict[str, Share], BeforeValidator(_shares)]


def _at_node(value: Any) -> Any:
    """A node alone is a place too."""
    return {"node": value} if isinstance(value, str) else value


class MemberSpec(Input):
    """A straight bar from node to node."""

    from_: str = Field(alias="from", description="node at its start")
    to: str = Field(description="node at its end")
    stock: str = Field(description="one of `stocks`")
    role: Role = Field("rail", description="what it does: leg, post, rail, beam, arm, brace, handle, axle ...")
    part: str | None = Field(
        None,
        description="name of the piece it is cut from: members cut as one have the same; its own name unless told",
    )
    roll: Angle = Field(0.0, description="turned about its own length")
    joint_from: Joints | None = Field(None, description="how its start is joined; as `joints` unless told")
    joint_to: Joints | None = Field(None, description="how its end is joined; as `joints` unless told")


class WheelAt(Input):
    """A wheel under a node."""

    node: str = Field(description="node of the frame that it is mounted under")
    at: Place2 | None = Field(None, description="[x, y] of its kingpin; under the node unless told")
    swivel: bool | None = Field(None, description="whether it swivels; as `wheels` unless told")
    brake: Brake | None = Field(None, description="as `wheels` unless told")


class FootAt(Input):
    """A foot under a node."""

    node: str = Field(description="node of the frame that it is under")
    friction: Friction | None = Field(None, description="of its sole on this floor (plain), measured")


class HoldSpec(Input):
    """What keeps a piece from leaving in one direction."""

    way: Way = Field(description="direction in which it would leave: +x, -x, +y, -y or +z")
    by: str = Field(description="what holds it: lip, strap, post, divider, lean, cradle, friction, bolts ...")
    height: Length = Field(0.0, description="how far up the piece it reaches from its underside")
    friction: Annotated[float, Plain(at_least=0, at_most=1.2)] = Field(
        0.0, description="where friction holds it (plain)"
    )
    bears: Shares = Field(
        default_factory=dict, description="nodes that a push this way goes into, with shares that add up to 1"
    )


class PieceSpec(Input):
    """Something that lies or stands on the frame."""

    name: str = Field(description="what it is")
    mass: PositiveMass = Field(description="of the piece")
    brim: PositiveMass | None = Field(None, description="the most that somebody could put there")
    at: Place3 = Field(description="[x, y, z] of the centre of its mass")
    size: Size3 = Field(description="along x, y and z")
    bears: Shares = Field(description="nodes that its weight goes into, with shares that add up to 1")
    holds: list[HoldSpec] = Field(default_factory=list, description="what keeps it on, for each direction")
    on: str | None = Field(None, description="name of the piece that it lies on; it comes off first then")
    friction: Friction = Field(0.2, description="between it and what it lies on (plain)")
    lifted: bool = Field(True, description="whether people lift it on and off by hand")
    grip: Length | None = Field(None, description="height of the hands that lift it; unknown without it")
    reach: Length = Field(0.25, description="from the edge of the frame to the hands")


class PanelSpec(Input):
    """A sheet or deck: it weighs and shows, and carries nothing."""

    name: str = Field(description="what it is")
    nodes: Annotated[list[str], Field(min_length=3)] = Field(
        description="its corners in order round it; its weight goes into them in equal shares"
    )
    mass: PositiveMass = Field(description="of the sheet")
    thickness: PositiveLength = Field(0.003, description="of the sheet")
    material: str = Field("sheet steel", description="what it is made of")


class HandleSpec(Input):
    """Where hands push."""

    nodes: Shares = Field(description="nodes that take the push, with shares that add up to 1")
    height: PositiveLength | None = Field(None, description="of the hands; that of the nodes unless told")
    width: Length = Field(0.0, description="of the bar that is gripped")
    ends_guarded: bool = Field(True, description="false: knuckles can be caught at its ends")


class SpanSpec(Input):
    """A stretch whose sag is looked at."""

    start: str = Field(description="node at its start")
    middle: str = Field(description="node between, where it sags")
    end: str = Field(description="node at its end")


class FreeFrameSpec(AidSpec):
    """A frame of nodes and members, on wheels or feet, with what lies on it."""

    pattern: Literal["free_frame"] = Field("free_frame", description="free_frame")
    nodes: dict[str, Place3] = Field(
        description="name -> [x, y, z]: x the way it is pushed, y across, z above the floor"
    )
    stocks: dict[str, Stock] = Field(description="name -> section and material that members are cut from")
    members: Annotated[dict[str, MemberSpec], Field(min_length=1, max_length=MOST_BARS)] = Field(
        description="name -> from which node to which, of what"
    )
    wheels: Wheels | None = Field(None, description="the wheels, all alike but for swivel and brake")
    wheels_at: list[Annotated[WheelAt, BeforeValidator(_at_node)]] = Field(
        default_factory=list, description="nodes that the wheels are mounted under"
    )
    feet_at: list[Annotated[FootAt, BeforeValidator(_at_node)]] = Field(
        default_factory=list, description="nodes that stand on feet"
    )
    pieces: Annotated[list[PieceSpec], Field(max_length=MOST_PIECES)] = Field(
        default_factory=list, description="what lies or stands on it"
    )
    panels: list[PanelSpec] = Field(default_factory=list, description="sheets and decks: weight alone")
    handle: HandleSpec | None = Field(None, description="where hands push")
    step: list[str] = Field(
        default_factory=list, description="nodes on the lowest edges that somebody could put a foot on"
    )
    top: list[str] = Field(default_factory=list, description="nodes on the highest edges that somebody leans on")
    spans: dict[str, SpanSpec] = Field(default_factory=dict, description="name -> a stretch whose sag is looked at")
