"""What does not fit together in a frame of nodes and members, each in one sentence that names the field."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from difflib import get_close_matches
from itertools import combinations
from math import dist, hypot
from typing import Final

from floorwright.basis.errors import Problem
from floorwright.basis.quantity import LENGTH, plain_number, write
from floorwright.propose.aid.layout import XYZ
from floorwright.propose.aid.patterns.free_spec import FreeFrameSpec, PieceSpec

SAME_M: Final = 1e-3
SHARES: Final = 1e-3
OFF_M: Final = 0.0254
"""How far the shares may put a weight beside its centre, and a wheel may stand beside its node."""
FOOT_M: Final = 0.15
"""A foot is no longer than this."""
REACH_M: Final = 0.06
"""How far the node of a wheel may be off the top of its caster: half a rail and a plate."""


def said(value_m: float) -> str:
    """A length for people, in inches and millimetres."""
    return f"{write(value_m, LENGTH, 'us')} ({plain_number(value_m * 1e3)} mm)"


def at(spec: FreeFrameSpec, node: str) -> XYZ:
    """Place of a node."""
    x, y, z = spec.nodes[node]
    return x, y, z


def problems(spec: FreeFrameSpec) -> list[Problem]:
    """All that is wrong; what hangs on an unknown name is looked at only once the names are right."""
    names = [*_names(spec), *_shares(spec), *_duplicates(spec)]
    if names:
        return names
    found = [*_nodes(spec), *_members(spec), *_stands(spec), *_pieces(spec)]
    return found or [*_passes(spec), *_apart(spec)]


def _unknown(what: str, name: str, known: Iterable[str]) -> str:
    """That there is no such name, and which is near."""
    names = list(known)
    near = get_close_matches(name, names, n=1, cutoff=0.6)
    if near:
        return f"there is no {what} '{name}'; did you mean '{near[0]}'?"
    some = ", ".join(names[:8])
    return f"there is no {what} '{name}'; there are {some}" if names else f"there is no {what} '{name}'"


def _used_nodes(spec: FreeFrameSpec) -> Iterator[tuple[str, str]]:
    """Every field that names a node, with the name."""
    for name, member in spec.members.items():
        yield f"members.{name}.from", member.from_
        yield f"members.{name}.to", member.to
    for i, wheel in enumerate(spec.wheels_at):
        yield f"wheels_at[{i}].node", wheel.node
    for i, foot in enumerate(spec.feet_at):
        yield f"feet_at[{i}].node", foot.node
    for field, shares in _share_fields(spec):
        for node in shares:
            yield field, node
    for i, panel in enumerate(spec.panels):
        for k, node in enumerate(panel.nodes):
            yield f"panels[{i}].nodes[{k}]", node
    for field in ("step", "top"):
        for i, node in enumerate(getattr(spec, field)):
            yield f"{field}[{i}]", node
    for name, span in spec.spans.items():
        for end in ("start", "middle", "end"):
            yield f"spans.{name}.{end}", getattr(span, end)


def _share_fields(spec: FreeFrameSpec) -> Iterator[tuple[str, Mapping[str, float]]]:
    for i, piece in enumerate(spec.pieces):
        yield f"pieces[{i}].bears", piece.bears
        for k, hold in enumerate(piece.holds):
            if hold.bears:
                yield f"pieces[{i}].holds[{k}].bears", hold.bears
    if spec.handle is not None:
        yield "handle.nodes", spec.handle.nodes


def _names(spec: FreeFrameSpec) -> Iterator[Problem]:
    for field, node in _used_nodes(spec):
        if node not in spec.nodes:
            yield Problem(field, node, _unknown("node", node, spec.nodes))
    for name, member in spec.members.items():
        if member.stock not in spec.stocks:
            yield Problem(f"members.{name}.stock", member.stock, _unknown("stock", member.stock, spec.stocks))
    pieces = [piece.name for piece in spec.pieces]
    for i, piece in enumerate(spec.pieces):
        if piece.on is not None and piece.on not in pieces:
            yield Problem(f"pieces[{i}].on", piece.on, _unknown("piece", piece.on, pieces))


def _shares(spec: FreeFrameSpec) -> Iterator[Problem]:
    for field, shares in _share_fields(spec):
        total = sum(shares.values())
        if abs(total - 1) > SHARES:
            yield Problem(
                field, dict(shares), f"has shares that add up to {100 * total:.4g} %; they should add up to 100 %"
            )


def _duplicates(spec: FreeFrameSpec) -> Iterator[Problem]:
    for field, names in (
        ("pieces", [piece.name for piece in spec.pieces]),
        ("panels", [panel.name for panel in spec.panels]),
    ):
        for i, name in enumerate(names):
            if name in names[:i]:
                yield Problem(f"{field}[{i}].name", name, f"'{name}' stands twice; give each a name of its own")
    under = [wheel.node for wheel in spec.wheels_at] + [foot.node for foot in spec.feet_at]
    for i, node in enumerate(under):
        if node in under[:i]:
            wheels = len(spec.wheels_at)
            field = f"wheels_at[{i}].node" if i < wheels else f"feet_at[{i - wheels}].node"
            yield Problem(field, node, f"node '{node}' has a wheel or foot already; one node stands on one")
    yield from _piles(spec)


def _piles(spec: FreeFrameSpec) -> Iterator[Problem]:
    carried: dict[str, str] = {}
    below = {piece.name: piece.on for piece in spec.pieces}
    for i, piece in enumerate(spec.pieces):
        if piece.on is None:
            continue
        if piece.on in carried:
            yield Problem(
                f"pieces[{i}].on",
                piece.on,
                f"'{piece.on}' carries '{carried[piece.on]}' already; make pieces that lie side by side one piece",
            )
        carried.setdefault(piece.on, piece.name)
        seen = {piece.name}
        under: str | None = piece.on
        while under is not None and under not in seen:
            seen.add(under)
            under = below.get(under)
        if under is not None:
            yield Problem(
                f"pieces[{i}].on", piece.on, "lies on itself in the end; the lowest piece lies on nothing"
            )


def _nodes(spec: FreeFrameSpec) -> Iterator[Problem]:
    used = {name for member in spec.members.values() for name in (member.from_, member.to)}
    for name, place in spec.nodes.items():
        if place[2] < -SAME_M:
            yield Problem(f"nodes.{name}", place, "is below the floor; z is the height above it")
        if name not in used:
            yield Problem(f"nodes.{name}", place, "no member ends here; leave it out or join a member to it")
    for a, b in combinations(spec.nodes, 2):
        if dist(at(spec, a), at(spec, b)) < SAME_M:
            yield Problem(f"nodes.{b}", spec.nodes[b], f"is in the same place as '{a}'; use '{a}' for both")


def _members(spec: FreeFrameSpec) -> Iterator[Problem]:
    pairs: dict[frozenset[str], str] = {}
    for name, member in spec.members.items():
        pair = frozenset((member.from_, member.to))
        if len(pair) == 1:
            yield Problem(f"members.{name}", name, "has no length: both its ends are the same node")
        elif pair in pairs:
            yield Problem(
                f"members.{name}", name, f"runs between the same nodes as '{pairs[pair]}'; leave one of them out"
            )
        pairs.setdefault(pair, name)


def _stands(spec: FreeFrameSpec) -> Iterator[Problem]:
    if len(spec.wheels_at) + len(spec.feet_at) < 3:
        yield Problem(
            "wheels_at", None, "with feet_at has fewer than three places; it needs three or more to stand on"
        )
    if spec.wheels_at and spec.wheels is None:
        yield Problem("wheels", None, "is missing; give the diameter and the rest of the wheels in wheels_at")
    for i, wheel in enumerate(spec.wheels_at):
        x, y, z = at(spec, wheel.node)
        if wheel.at is not None and hypot(wheel.at[0] - x, wheel.at[1] - y) > OFF_M:
            off = hypot(wheel.at[0] - x, wheel.at[1] - y)
            yield Problem(
                f"wheels_at[{i}].at",
                wheel.at,
                f"is {said(off)} beside its node '{wheel.node}'; put a node over it",
            )
        if spec.wheels is not None and abs(z - spec.wheels.height_m) > REACH_M:
            yield Problem(
                f"wheels_at[{i}].node",
                wheel.node,
                f"node '{wheel.node}' is {said(z)} above the floor, the top of its caster "
                f"{said(spec.wheels.height_m)}; they should be at the same height",
            )
    for i, foot in enumerate(spec.feet_at):
        z = spec.nodes[foot.node][2]
        if z > FOOT_M:
            yield Problem(
                f"feet_at[{i}].node",
                foot.node,
                f"node '{foot.node}' is {said(z)} above the floor, too high for a foot; bring it down to the floor",
            )


def _pieces(spec: FreeFrameSpec) -> Iterator[Problem]:
    for i, piece in enumerate(spec.pieces):
        off = beside_m(spec, piece)
        if off > OFF_M:
            yield Problem(
                f"pieces[{i}].bears",
                dict(piece.bears),
                f"puts the weight of '{piece.name}' {said(off)} beside the centre of its mass; choose nodes and "
                "shares so that they balance under it",
            )
        if piece.at[2] < 0:
            yield Problem(f"pieces[{i}].at", piece.at, "is below the floor; z is the height above it")


def beside_m(spec: FreeFrameSpec, piece: PieceSpec) -> float:
    """How far from a piece's centre, seen from above, the shares put its weight."""
    x = sum(share * spec.nodes[node][0] for node, share in piece.bears.items())
    y = sum(share * spec.nodes[node][1] for node, share in piece.bears.items())
    return hypot(x - piece.at[0], y - piece.at[1])


def _passes(spec: FreeFrameSpec) -> Iterator[Problem]:
    """A member that runs through a node without ending there is not joined to it."""
    for name, member in spec.members.items():
        a, b = at(spec, member.from_), at(spec, member.to)
        met = [
            node
            for node in spec.nodes
            if node not in (member.from_, member.to) and off_line_m(at(spec, node), a, b) < SAME_M
        ]
        if met:
            met.sort(key=lambda node: dist(at(spec, node), a))
            yield Problem(
                f"members.{name}",
                name,
                f"runs through {_some(met)} without being joined there; make it members that end there",
            )


def off_line_m(point: XYZ, a: XYZ, b: XYZ) -> float:
    """Distance of a point from the line between two places."""
    length2 = sum((q - p) ** 2 for p, q in zip(a, b, strict=True))
    along = sum((c - p) * (q - p) for c, p, q in zip(point, a, b, strict=True)) / length2
    along = min(1.0, max(0.0, along))
    return dist(point, [p + along * (q - p) for p, q in zip(a, b, strict=True)])


def _apart(spec: FreeFrameSpec) -> Iterator[Problem]:
    """Members that hang together with nothing that stands."""
    groups: list[set[str]] = []
    for member in spec.members.values():
        joined = {member.from_, member.to}
        for group in [each for each in groups if each & joined]:
            joined |= group
            groups.remove(group)
        groups.append(joined)
    if len(groups) > 1:
        small = min(groups, key=lambda group: (len(group), sorted(group)))
        loose = [name for name, member in spec.members.items() if member.from_ in small]
        are = "is" if len(loose) == 1 else "are"
        yield Problem(
            "members", None, f"{_some(loose)} {are} not joined to the rest of the frame; end it in its nodes"
        )


def _some(names: Sequence[str]) -> str:
    return ", ".join(f"'{name}'" for name in names[:4]) + (" and others" if len(names) > 4 else "")
