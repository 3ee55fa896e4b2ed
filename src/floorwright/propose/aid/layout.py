"""What a pattern hands on: a shop aid as nodes and bars, wheels, feet, the pieces that lie on it, where hands go.

Axes of an aid: x along its length (the way it is pushed), y across, z up from the floor; the origin lies on the
floor under the middle. Metres, kilograms, newtons. The checks read a layout and know nothing of patterns.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final, Literal

from floorwright.basis.metal.material import KSI, Material
from floorwright.basis.metal.section import Section
from floorwright.propose.aid.checks.rolling import Tread
from floorwright.propose.aid.subsets import Piles

XY = tuple[float, float]
XYZ = tuple[float, float, float]
Role = Literal["leg", "post", "rail", "beam", "arm", "divider", "brace", "handle", "deck", "axle"]
JointKind = Literal["welded", "clamped", "bolted", "pinned"]
Brake = Literal["none", "wheel", "total"]
Way = Literal["+x", "-x", "+y", "-y", "+z"]
WAYS: Final[tuple[Way, ...]] = ("+x", "-x", "+y", "-y", "+z")
NO_PILES: Final = Piles(rows=())
NO_SHARE: Final[Mapping[str, float]] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """How an end of a bar is joined.

    Attributes:
        kind: welded and bolted ends are rigid; clamped ones turn by their stiffness; pinned ones turn freely.
        weld_leg_m: leg of the fillet all round; None where it is not welded or not said.
        electrode_pa: tensile strength of the filler.
        stiffness_nm_rad: of a clamped joint; None where it was not measured.
        slip_n: axial force at which a clamp slips, from pull tests; None where it was not measured.
        slip_nm: moment at which it turns, likewise.
    """

    kind: JointKind = "welded"
    weld_leg_m: float | None = None
    electrode_pa: float = 70 * KSI
    stiffness_nm_rad: float | None = None
    slip_n: float | None = None
    slip_nm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A straight bar from node to node.

    Attributes:
        part: name of the part that it is a piece of: bars that are cut as one have the same part.
        section, material: what it is made of; section axes as in `frame` (y level, z up).
        reclaimed: whether it comes from scrap or a dismantled aid (lowest yield of its form, measured wall).
    """

    start: str
    end: str
    role: Role
    section: Section
    material: Material
    part: str
    roll_rad: float = 0.0
    at_start: End = End()
    at_end: End = End()
    reclaimed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A sheet, deck or lining: it weighs and shows, and carries nothing in the frame.

    Attributes:
        corners: in order round it; at: nodes that carry it, with shares that add up to 1.
    """

    part: str
    corners: tuple[XYZ, ...]
    thickness_m: float
    mass_kg: float
    material: str
    at: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """The top plate of a caster and what holds it.

    Attributes:
        length_m, width_m, thickness_m: of the plate.
        bolts_x_m, bolts_y_m: between the bolts; None where it is welded on.
        bolt_m: diameter of the bolts.
        bolt_grade: as in the table of bolts.
        material: what it is made of; None where nothing is known of its strength.
    """

    length_m: float
    width_m: float
    thickness_m: float
    bolts_x_m: float | None = None
    bolts_y_m: float | None = None
    bolt_m: float | None = None
    bolt_grade: str | None = None
    material: Material | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wheel:
    """A wheel or caster.

    Attributes:
        node: of the frame that it is mounted under.
        at: of its kingpin (or axle) over the floor.
        diameter_m, width_m: of the wheel.
        trail_m: from kingpin to axle; 0 for a rigid caster.
        rating_kg: as its maker prints it; None for an unmarked one.
        sprung: whether it hangs on a spring and gives way under load.
        temperature_c: the highest that wheel and grease bear; None where not known.
        conducts: whether current flows through it to the floor; None where not known.
    """

    name: str
    node: str
    at: XY
    diameter_m: float
    width_m: float = 0.032
    swivel: bool = True
    trail_m: float = 0.0
    brake: Brake = "none"
    tread: Tread = "polyurethane"
    rating_kg: float | None = None
    plate: Plate | None = None
    sprung: bool = False
    temperature_c: float | None = None
    conducts: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """A foot: it stands on the floor, or hangs above it until the load comes on.

    Attributes:
        gap_m: above the floor when the aid is empty; 0 for one that always stands.
        friction: of its sole on the floor; None where not known.
    """

    name: str
    node: str
    at: XY
    gap_m: float = 0.0
    friction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """What keeps a piece from leaving in one direction.

    Attributes:
        way: the direction in which it would leave.
        by: what holds it: "lip", "strap", "post", "divider", "lean", "cradle", "friction" ...
        height_m: how far up the piece it reaches from its underside; friction holds with 0.
        friction: coefficient where friction holds it.
        bears: nodes that a push in this direction goes into, with shares that add up to 1.
    """

    way: Way
    by: str
    height_m: float = 0.0
    friction: float = 0.0
    bears: Mapping[str, float] = field(default_factory=lambda: NO_SHARE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Something that lies on the aid: one part, a pair, a bar, a tier filled to its brim.

    Attributes:
        name: what it is.
        mass_kg: as declared.
        brim_kg: the most that can lie there whatever is declared; strength counts with it.
        centre: of its mass.
        size: along x, y and z, of its box.
        bears: nodes that its weight goes into, with shares that add up to 1.
        thrust: forces that its weight makes sideways, per newton of weight (nested rounds, a lean), by node; they
            add up to nothing.
        holds: what keeps it on.
        grip_m: height of the hands that lift it in or out; reach_m from the edge of the aid to them.
        lifted: whether people lift it by hand; a hoist or a crane does it otherwise.
        lift_kg: what is lifted at a time (one bar of a pile, one part of a pair); the whole piece unless told.
        friction: between the piece and what it lies on.
    """

    name: str
    mass_kg: float
    centre: XYZ
    size: XYZ
    bears: Mapping[str, float]
    brim_kg: float | None = None
    thrust: Mapping[str, XYZ] = field(default_factory=lambda: MappingProxyType({}))
    holds: tuple[Hold, ...] = ()
    grip_m: float | None = None
    reach_m: float = 0.25
    lifted: bool = True
    lift_kg: float | None = None
    friction: float = 0.2
    tier: str = ""

    @property
    def strength_kg(self) -> float:
        """Mass that strength counts with."""
        return max(self.mass_kg, self.brim_kg or 0.0)

    @property
    def hand_kg(self) -> float:
        """Mass of what is lifted at a time."""
        return self.mass_kg if self.lift_kg is None else self.lift_kg


@dataclass(frozen=True, slots=True, kw_only=True)
class Extra:
    """A way of loading beyond pieces lying at rest: a bar half drawn out, a bundle set down on one arm.

    Attributes:
        name: in words, for the sheet ("top bar drawn out by half").
        forces: on nodes.
    """

    name: str
    forces: Mapping[str, XYZ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Handle:
    """Where hands push: its height and the nodes that take the push, with shares that add up to 1."""

    height_m: float
    at: Mapping[str, float]
    width_m: float = 0.0
    ends_guarded: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch whose sag is looked at: `middle` against the line from `start` to `end`."""

    name: str
    start: str
    middle: str
    end: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A shop aid, laid out.

    Attributes:
        pattern: name of the pattern.
        title: what it is, in a few words.
        nodes: name -> place.
        bars: name -> bar.
        wheels, feet: what it stands on; their `at` is where they touch the floor (kingpin for a swivel).
        pieces: what it can carry, and `piles`, which of them lie on which.
        step: nodes of the lowest edge that a foot could tread on; top: nodes that a person could lean on.
        spans: stretches whose sag is checked.
        size: length, width and height of the whole with its load.
        capacity: pieces it holds; floor_m2 the floor it takes.
    """

    pattern: str
    title: str
    nodes: Mapping[str, XYZ]
    bars: Mapping[str, Bar]
    panels: tuple[Panel, ...] = ()
    wheels: tuple[Wheel, ...] = ()
    feet: tuple[Foot, ...] = ()
    pieces: tuple[Piece, ...] = ()
    piles: Piles = NO_PILES
    extras: tuple[Extra, ...] = ()
    handle: Handle | None = None
    step: tuple[str, ...] = ()
    top: tuple[str, ...] = ()
    spans: tuple[Span, ...] = ()
    size: XYZ
    view_over_m: float | None = None
    notes: tuple[str, ...] = ()

    @property
    def bars_kg(self) -> float:
        """Mass of the bars."""
        return sum(self.bar_kg(name) for name in self.bars)

    def bar_kg(self, name: str) -> float:
        """Mass of one bar, with its nominal wall."""
        from math import dist

        bar = self.bars[name]
        length = dist(self.nodes[bar.start], self.nodes[bar.end])
        return bar.section.of_density(bar.material.density_kg_m3).mass_per_length_kg_m * length

    @property
    def own_kg(self) -> float:
        """Mass of the empty aid, wheels not counted."""
        return self.bars_kg + sum(panel.mass_kg for panel in self.panels)

    @property
    def load_kg(self) -> float:
        """Mass of all the pieces as declared."""
        return sum(piece.mass_kg for piece in self.pieces)

    @property
    def strength_load_kg(self) -> float:
        """Mass of all the pieces that strength counts with."""
        return sum(piece.strength_kg for piece in self.pieces)

    def own_centre(self) -> XYZ:
        """Centre of mass of the empty aid."""
        total = self.own_kg
        if total <= 0:
            return (0.0, 0.0, 0.0)
        sums = [0.0, 0.0, 0.0]
        for name, bar in self.bars.items():
            a, b = self.nodes[bar.start], self.nodes[bar.end]
            mass = self.bar_kg(name)
            for i in range(3):
                sums[i] += mass * (a[i] + b[i]) / 2
        for panel in self.panels:
            for i in range(3):
                sums[i] += panel.mass_kg * sum(corner[i] for corner in panel.corners) / len(panel.corners)
        return (sums[0] / total, sums[1] / total, sums[2] / total)


_NUMBERED: Final = re.compile(r"\b(\d+|left|right|near|far|front|rear|back)\b")


def kind_of(part: str) -> str:
    """The name of a part without its number and side: "divider 3 post far" -> "divider post"."""
    return " ".join(_NUMBERED.sub("", part).split()) or part
