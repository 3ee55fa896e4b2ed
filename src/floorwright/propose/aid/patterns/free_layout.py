"""From nodes, members and pieces as the user gives them to a layout."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from floorwright.basis.errors import InputError
from floorwright.propose.aid.layout import (
    XYZ,
    Bar,
    End,
    Foot,
    Handle,
    Hold,
    Layout,
    Panel,
    Piece,
    Span,
    Wheel,
)
from floorwright.propose.aid.patterns.free_ends import free_ends
from floorwright.propose.aid.patterns.free_refuse import at, problems
from floorwright.propose.aid.patterns.free_spec import FreeFrameSpec, MemberSpec, PieceSpec
from floorwright.propose.aid.subsets import Piles


def lay_out(spec: FreeFrameSpec) -> Layout:
    """The frame as it was drawn.

    Raises:
        InputError: listing all that does not fit together.
    """
    if found := problems(spec):
        raise InputError(found)
    nodes = {name: at(spec, name) for name in spec.nodes}
    wheels = tuple(_wheels(spec))
    pieces = tuple(_piece(piece) for piece in spec.pieces)
    size = _size(nodes, pieces)
    return Layout(
        pattern=spec.pattern,
        title=spec.title,
        nodes=nodes,
        bars=free_ends(_bars(spec)),
        panels=tuple(
            Panel(
                part=panel.name,
                corners=tuple(nodes[node] for node in panel.nodes),
                thickness_m=panel.thickness,
                mass_kg=panel.mass,
                material=panel.material,
                at={node: panel.nodes.count(node) / len(panel.nodes) for node in panel.nodes},
            )
            for panel in spec.panels
        ),
        wheels=wheels,
        feet=tuple(
            Foot(
                name=f"foot {foot.node}",
                node=foot.node,
                at=(nodes[foot.node][0], nodes[foot.node][1]),
                friction=foot.friction,
            )
            for foot in spec.feet_at
        ),
        pieces=pieces,
        piles=_piles(spec),
        handle=_handle(spec),
        step=tuple(spec.step),
        top=tuple(spec.top),
        spans=tuple(Span(name=name, start=s.start, middle=s.middle, end=s.end) for name, s in spec.spans.items()),
        size=size,
        view_over_m=size[2],
    )


def _bars(spec: FreeFrameSpec) -> dict[str, Bar]:
    stocks = {name: stock.made(f"stocks.{name}") for name, stock in spec.stocks.items()}
    ends: dict[tuple[str, str], int] = {}
    for name, member in spec.members.items():
        for node in (member.from_, member.to):
            key = (member.part or name, node)
            ends[key] = ends.get(key, 0) + 1

    def end(name: str, member: MemberSpec, start: bool) -> End:
        """As told; where its part runs on through the node, it is one piece."""
        told = member.joint_from if start else member.joint_to
        if told is not None:
            return told.end()
        runs_on = ends[(member.part or name, member.from_ if start else member.to)] > 1
        return End() if runs_on else spec.joints.end()

    return {
        name: Bar(
            start=member.from_,
            end=member.to,
            role=member.role,
            section=stocks[member.stock][0],
            material=stocks[member.stock][1],
            part=member.part or name,
            roll_rad=member.roll,
            at_start=end(name, member, True),
            at_end=end(name, member, False),
            reclaimed=spec.stocks[member.stock].reclaimed,
        )
        for name, member in spec.members.items()
    }


def _wheels(spec: FreeFrameSpec) -> Iterator[Wheel]:
    given = spec.wheels
    if given is None:
        return
    back = min((spec.nodes[wheel.node][0] for wheel in spec.wheels_at), default=0.0)
    for wheel in spec.wheels_at:
        x, y, _ = at(spec, wheel.node)
        # The end that is pushed is the one at -x.
        usual = given.swivel == "all" or (given.swivel == "one_end" and x <= back + 0.05)
        swivel = usual if wheel.swivel is None else wheel.swivel
        brake = given.brake if swivel or given.braked == "all" else "none"
        yield Wheel(
            name=f"wheel {wheel.node}",
            node=wheel.node,
            at=(x, y) if wheel.at is None else (wheel.at[0], wheel.at[1]),
            diameter_m=given.diameter,
            width_m=given.width,
            swivel=swivel,
            trail_m=given.trail_m if swivel else 0.0,
            brake=brake if wheel.brake is None else wheel.brake,
            tread=given.tread,
            rating_kg=given.rating,
            plate=None if given.plate is None else given.plate.plate(),
            temperature_c=given.temperature,
            conducts=given.conducts,
        )


def _whole(shares: Mapping[str, float]) -> dict[str, float]:
    """Shares that add up to 1 to the last digit: thirds are typed as 0.333."""
    total = sum(shares.values())
    return {node: share / total for node, share in shares.items() if share > 0}


def _piece(piece: PieceSpec) -> Piece:
    x, y, z = piece.at
    length, width, height = piece.size
    bears = _whole(piece.bears)
    return Piece(
        name=piece.name,
        mass_kg=piece.mass,
        brim_kg=piece.brim,
        centre=(x, y, z),
        size=(length, width, height),
        bears=bears,
        holds=tuple(
            Hold(
                way=hold.way,
                by=hold.by,
                height_m=hold.height,
                friction=hold.friction,
                bears=_whole(hold.bears) if hold.bears else bears,
            )
            for hold in piece.holds
        ),
        grip_m=piece.grip,
        reach_m=piece.reach,
        lifted=piece.lifted,
        friction=piece.friction,
    )


def _piles(spec: FreeFrameSpec) -> Piles:
    """From the bottom up, by what lies on what."""
    number = {piece.name: i for i, piece in enumerate(spec.pieces)}
    above = {piece.on: piece.name for piece in spec.pieces if piece.on is not None}
    rows = []
    for piece in spec.pieces:
        if piece.on is None:
            row, top = [number[piece.name]], piece.name
            while top in above:
                top = above[top]
                row.append(number[top])
            rows.append(tuple(row))
    return Piles(rows=tuple(rows))


def _handle(spec: FreeFrameSpec) -> Handle | None:
    if spec.handle is None:
        return None
    shares = _whole(spec.handle.nodes)
    height = sum(share * spec.nodes[node][2] for node, share in shares.items())
    return Handle(
        height_m=height if spec.handle.height is None else spec.handle.height,
        at=shares,
        width_m=spec.handle.width,
        ends_guarded=spec.handle.ends_guarded,
    )


def _size(nodes: Mapping[str, XYZ], pieces: tuple[Piece, ...]) -> XYZ:
    lows, highs = list(nodes.values()), list(nodes.values())
    for piece in pieces:
        lows.append(_corner(piece, -1))
        highs.append(_corner(piece, 1))
    spread = [max(place[i] for place in highs) - min(place[i] for place in lows) for i in range(3)]
    return spread[0], spread[1], max(place[2] for place in highs)


def _corner(piece: Piece, sign: int) -> XYZ:
    x, y, z = (c + sign * s / 2 for c, s in zip(piece.centre, piece.size, strict=True))
    return x, y, z
