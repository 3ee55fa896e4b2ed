"""Geometry of the settling trestle: two A-shaped ends, a beam on top, rails near the floor with the wheels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from floorwright.basis.errors import InputError
from floorwright.basis.mechanics import STIFFNESS
from floorwright.basis.quantity import G_STANDARD, write
from floorwright.propose.aid.layout import (
    XYZ,
    Bar,
    End,
    Extra,
    Foot,
    Handle,
    Hold,
    Layout,
    Piece,
    Role,
    Span,
    Way,
    Wheel,
)
from floorwright.propose.aid.patterns.free_ends import free_ends
from floorwright.propose.aid.patterns.trestle_spec import SettlingTrestleSpec, said_force, said_length
from floorwright.propose.aid.patterns.trestle_spring import Set, set_of
from floorwright.propose.aid.springs.seating import RigidFoot, Seated, SprungWheel, seat
from floorwright.propose.aid.subsets import Piles

ENDS: Final = (("rear", -1.0), ("front", 1.0))
SIDES: Final = (("left", 1.0), ("right", -1.0))
_SAME_M: Final = 1e-3
SWAYS: Final[tuple[Way, ...]] = ("+x", "-x", "+y", "-y")


@dataclass(frozen=True, slots=True, kw_only=True)
class Trestle:
    """A settling trestle, its springs and how it stands when empty.

    Attributes:
        nodes, bars: with the feet on the floor (z = 0).
        wheels, feet: for `seat`.
        weight_n: of the frame on its springs; the wheels stand on the floor by themselves.
        set: spring and preload of each wheel.
        empty: how it stands empty.
        gap_m: the smallest gap under a foot beside a sprung wheel, empty; 0 where one stands.
    """

    nodes: dict[str, XYZ]
    bars: dict[str, Bar]
    wheels: tuple[SprungWheel, ...]
    feet: tuple[RigidFoot, ...]
    weight_n: float
    set: Set
    empty: Seated
    gap_m: float


def trestle(spec: SettlingTrestleSpec) -> Trestle:
    """Lay out the frame, weigh it, choose or read its springs and set it down.

    Raises:
        InputError: for sizes that cannot be built.
    """
    nodes, bars = _frame(spec)
    drawn = Layout(pattern=spec.pattern, title=spec.title, nodes=nodes, bars=bars, size=(0.0, 0.0, 0.0))
    weight = drawn.own_kg * G_STANDARD
    share = 1 / 4  # of the weight on each sprung wheel; with two of them the other half stands on the rear feet
    chosen = set_of(spec, weight * share)
    sprung = tuple(
        SprungWheel(
            name=f"wheel {end} {side}",
            at=_xy(nodes[f"wheel {end} {side}"]),
            rate_n_m=chosen.spring.rate_n_m,
            preload_n=chosen.preload_n,
        )
        for end, _ in _wheel_ends(spec)
        for side, _ in SIDES
    )
    feet = tuple(
        RigidFoot(
            name=f"foot {end} {side}",
            at=_xy(nodes[f"foot {end} {side}"]),
            rise_m=spec.rise,
        )
        for end, _ in ENDS
        for side, _ in SIDES
    )
    empty = seat(sprung, feet, weight)
    if empty is None:
        raise InputError.of("leg_spread", spec.leg_spread, "leaves the empty trestle no area to stand on; widen it")
    beside = [
        gap for foot, gap in zip(feet, empty.gaps_m, strict=True) if spec.wheel_count == 4 or "front" in foot.name
    ]
    return Trestle(
        nodes=nodes,
        bars=bars,
        wheels=sprung,
        feet=feet,
        weight_n=weight,
        set=chosen,
        empty=empty,
        gap_m=min(beside),
    )


def lay_out(spec: SettlingTrestleSpec) -> Layout:
    """The trestle as the checks take it, standing empty."""
    made = trestle(spec)
    lift = made.gap_m if spec.wheel_count == 4 else 0.0
    nodes = {name: (x, y, z + lift) for name, (x, y, z) in made.nodes.items()}
    top = spec.height + lift
    length_x, length_y, length_z = spec.work_size
    bears = _bears(spec)
    middle_height = nodes["beam middle"][2]
    work = Piece(
        name="work",
        mass_kg=spec.working_load,
        centre=(0.0, 0.0, top + length_z / 2),
        size=(length_x, length_y, length_z),
        bears=bears,
        holds=tuple(_friction_holds(spec, bears)),
        grip_m=top,
        lifted=spec.hoist is not True,
        friction=spec.work_friction or 0.0,
    )
    force = spec.working_load * G_STANDARD
    return Layout(
        pattern=spec.pattern,
        title=spec.title,
        nodes=nodes,
        bars=made.bars,
        wheels=tuple(_wheels(spec, made)),
        feet=tuple(
            Foot(name=foot.name, node=foot.name, at=foot.at, gap_m=gap, friction=spec.feet_friction)
            for foot, gap in zip(made.feet, made.empty.gaps_m, strict=True)
        ),
        pieces=(work,),
        piles=Piles(rows=((0,),)),
        extras=(*_shifted(spec, force), _springs(spec, made)),
        handle=Handle(height_m=middle_height, at={_on_beam(spec, "beam rear end"): 1.0}),
        step=("rail rear middle", "rail front middle"),
        top=("beam middle",),
        spans=(Span(name="top beam", start="beam rear legs", middle="beam middle", end="beam front legs"),),
        size=(max(spec.length, length_x), max(spec.leg_spread, length_y), top + length_z),
        view_over_m=top + length_z,
        notes=(_spring_note(spec, made.set),),
    )


def _spring_note(spec: SettlingTrestleSpec, chosen: Set) -> str:
    """What to order for the wheels."""
    spring = chosen.spring
    return (
        f"Wheel springs, {spec.wheel_count} of them: {chosen.wire.replace('_', ' ')} "
        f"{said_length(spring.wire_m)}, outside diameter {said_length(spring.outside_m)}, {spring.total:.4g} "
        f"coils, ends {spring.ends.replace('_', ' and ')}, free length {said_length(spring.free_m)}, "
        f"rate {write(spring.rate_n_m, STIFFNESS, 'us')} ({write(spring.rate_n_m, STIFFNESS)}); built in "
        f"{said_length(chosen.installed_m)} long with the wheel hanging out fully, pushing "
        f"{said_force(chosen.preload_n)}."
    )


def _xy(at: XYZ) -> tuple[float, float]:
    return at[0], at[1]


def _wheel_ends(spec: SettlingTrestleSpec) -> tuple[tuple[str, float], ...]:
    return ENDS if spec.wheel_count == 4 else ENDS[1:]


def _bearing(end: str) -> str:
    return f"beam {end} bearing"


def _friction_holds(spec: SettlingTrestleSpec, bears: dict[str, float]) -> Iterator[Hold]:
    if spec.work_friction is not None:
        for way in SWAYS:
            yield Hold(way=way, by="friction", friction=spec.work_friction, bears=bears)


def _shifted(spec: SettlingTrestleSpec, force: float) -> Iterator[Extra]:
    """The work moved off centre: all of it on one point there, and off the points where it bore."""
    for end, _ in ENDS if spec.off_centre > 0 else ():
        down = {bearing: share * force for bearing, share in _bears(spec).items()}
        point = _on_beam(spec, f"beam {end} off centre")
        down[point] = down.get(point, 0.0) - force
        yield Extra(
            name=f"all the work on one point, off centre to the {end}",
            forces={node: (0.0, 0.0, each) for node, each in down.items()},
        )


def _springs(spec: SettlingTrestleSpec, made: Trestle) -> Extra:
    """The wheels that go on pressing upwards when it stands on its feet, each with the most that its spring can.

    Wheels inside the feet are pressed in by the rise and no more; outside, by more as it lands aslant.
    """
    out = max(abs(wheel.at[1]) for wheel in made.wheels) / max(abs(foot.at[1]) for foot in made.feet)
    most = made.set.preload_n + made.set.spring.rate_n_m * spec.rise * max(1.0, out)
    return Extra(
        name="wheels pressed up by their springs", forces={wheel.name: (0.0, 0.0, most) for wheel in made.wheels}
    )


def _bears(spec: SettlingTrestleSpec) -> dict[str, float]:
    """Where the work bears; the middle alone where its points fall together."""
    found: dict[str, float] = {}
    for end, _ in ENDS:
        node = _on_beam(spec, _bearing(end))
        found[node] = found.get(node, 0.0) + 0.5
    return found


def _wheels(spec: SettlingTrestleSpec, made: Trestle) -> Iterator[Wheel]:
    given = spec.wheels
    for wheel in made.wheels:
        swivel = given.swivel == "all" or (given.swivel == "one_end" and "rear" in wheel.name)
        yield Wheel(
            name=wheel.name,
            node=wheel.name,
            at=wheel.at,
            diameter_m=given.diameter,
            width_m=given.width,
            swivel=swivel,
            trail_m=given.trail_m if swivel else 0.0,
            brake=given.brake if swivel or given.braked == "all" else "none",
            tread=given.tread,
            rating_kg=given.rating,
            plate=None if given.plate is None else given.plate.plate(),
            sprung=True,
            temperature_c=given.temperature,
            conducts=given.conducts,
        )


def _frame(spec: SettlingTrestleSpec) -> tuple[dict[str, XYZ], dict[str, Bar]]:
    """Nodes and bars, the feet on the floor."""
    beam = spec.made("beam")
    rails = spec.made("rails")
    beam_z = spec.height - beam[0].depth_m / 2
    rail_z = spec.wheels.height_m - spec.rise
    _refuse_heights(spec, beam_z, rail_z, rails[0].depth_m)
    end_x = spec.length / 2 - spec.leg_inset
    rail_y = spec.leg_spread / 2 * (beam_z - rail_z) / beam_z
    wheel_y = rail_y - _inset(spec)
    _refuse_places(spec, end_x, wheel_y)
    joined = spec.joints.end()
    nodes: dict[str, XYZ] = {}
    bars: dict[str, Bar] = {}

    def part(name: str, role: Role, stock: str, along: list[tuple[str, XYZ]]) -> None:
        """One cut part through nodes; joined at its ends, running through between them."""
        section, metal = spec.made(stock)
        reclaimed = (getattr(spec, stock) or spec.rails).reclaimed
        nodes.update({node: at for node, at in along if node not in nodes})
        for i in range(len(along) - 1):
            bars[name if len(along) == 2 else f"{name} {i + 1}"] = Bar(
                start=along[i][0],
                end=along[i + 1][0],
                role=role,
                section=section,
                material=metal,
                part=name,
                at_start=joined if i == 0 else End(),
                at_end=joined if i == len(along) - 2 else End(),
                reclaimed=reclaimed,
            )

    along = _beam_nodes(spec, beam_z)
    part("top beam", "beam", "beam", along)
    for end, x_sign in ENDS:
        x = x_sign * end_x
        stations = [(f"rail {end} middle", 0.0)]
        for side, y_sign in SIDES:
            stations.append((f"rail {end} {side}", y_sign * rail_y))
            if (end, x_sign) in _wheel_ends(spec):
                stations.append((f"wheel {end} {side}", y_sign * wheel_y))
        stations.sort(key=lambda each: each[1])
        part(f"rail {end}", "rail", "rails", [(name, (x, y, rail_z)) for name, y in stations])
        for side, y_sign in SIDES:
            part(
                f"leg {end} {side}",
                "leg",
                "legs",
                [
                    (f"beam {end} legs", (x, 0.0, beam_z)),
                    (f"rail {end} {side}", (x, y_sign * rail_y, rail_z)),
                    (f"foot {end} {side}", (x, y_sign * spec.leg_spread / 2, 0.0)),
                ],
            )
    part(
        "stretcher",
        "brace",
        "stretcher",
        [(f"rail {end} middle", nodes[f"rail {end} middle"]) for end, _ in ENDS],
    )
    if spec.braces is not None:
        for end, _ in ENDS:
            low, high = f"rail {end} middle", _on_beam(spec, _bearing(end))
            part(f"brace {end}", "brace", "braces", [(low, nodes[low]), (high, nodes[high])])
    return nodes, free_ends(bars)


def _stations(spec: SettlingTrestleSpec) -> dict[str, float]:
    """Places along the beam that something needs, in the order in which they name a node."""
    end_x = spec.length / 2 - spec.leg_inset
    half_span = (end_x if spec.bearing_span is None else spec.bearing_span) / 2
    found = {"beam middle": 0.0}
    for what, x in (
        ("legs", end_x),
        ("bearing", half_span),
        ("off centre", spec.off_centre * spec.length),
        ("end", spec.length / 2),
    ):
        found |= {f"beam {end} {what}": sign * x for end, sign in ENDS}
    return found


def _on_beam(spec: SettlingTrestleSpec, wanted: str) -> str:
    """The node at a place along the beam: where several fall together, the first of `_stations`."""
    places = _stations(spec)
    return next(name for name, x in places.items() if abs(x - places[wanted]) < _SAME_M)


def _beam_nodes(spec: SettlingTrestleSpec, z: float) -> list[tuple[str, XYZ]]:
    """Nodes along the beam from rear to front."""
    places = _stations(spec)
    kept = dict.fromkeys(_on_beam(spec, name) for name in places)
    return sorted(((name, (places[name], 0.0, z)) for name in kept), key=lambda each: each[1][0])


def _inset(spec: SettlingTrestleSpec) -> float:
    """From leg to kingpin: the wheel swings clear of the leg unless told otherwise."""
    if spec.wheel_inset is not None:
        return spec.wheel_inset
    swing = 0.0 if spec.wheels.swivel == "none" else spec.wheels.trail_m + spec.wheels.diameter / 2
    return max(swing, spec.wheels.width / 2) + 0.02


def _refuse_heights(spec: SettlingTrestleSpec, beam_z: float, rail_z: float, depth: float) -> None:
    if rail_z - depth / 2 <= 0:
        raise InputError.of(
            "rise",
            spec.rise,
            f"brings the rail onto the floor when the feet are down; with wheels "
            f"{said_length(spec.wheels.height_m)} high it should be less than "
            f"{said_length(spec.wheels.height_m - depth / 2)}",
        )
    if beam_z <= rail_z + depth:
        raise InputError.of(
            "height",
            spec.height,
            f"should be well above the rail that carries the wheels, at {said_length(rail_z)}",
        )


def _refuse_places(spec: SettlingTrestleSpec, end_x: float, wheel_y: float) -> None:
    if end_x <= 0.05:
        raise InputError.of(
            "leg_inset",
            spec.leg_inset,
            f"leaves no room between the ends; it should be well below half of the length, "
            f"{said_length(spec.length / 2)}",
        )
    if wheel_y <= 0.01:
        raise InputError.of(
            "leg_spread" if spec.wheel_inset is None else "wheel_inset",
            spec.leg_spread if spec.wheel_inset is None else spec.wheel_inset,
            "brings the wheels of an end together in the middle; spread the legs, or bring the wheels to the legs",
        )
    if spec.bearing_span is not None and spec.bearing_span > spec.length:
        raise InputError.of(
            "bearing_span", spec.bearing_span, f"should be no more than the beam, {said_length(spec.length)}"
        )
    if spec.in_pairs and spec.pair_distance is not None and spec.pair_distance < min(spec.leg_spread, spec.length):
        raise InputError.of(
            "pair_distance",
            spec.pair_distance,
            f"would put the two trestles one inside the other; it should be {said_length(spec.leg_spread)} or more",
        )
