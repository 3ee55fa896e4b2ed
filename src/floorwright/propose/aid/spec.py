"""What the user says about an aid, whatever its pattern: where it goes, who moves it, its wheels, its limits.

A pattern's own spec is a subclass with the fields that only it has. A question left open is answered with `unknown`
by the check that needs it; it never passes by default.
"""

from __future__ import annotations

import re
from typing import Annotated, Any, Final, Literal

from pydantic import BeforeValidator, Field

from floorwright.basis.errors import InputError
from floorwright.basis.fields import Angle, Input, Length, Measure, Plain, PositiveWhole, Share, Speed
from floorwright.basis.mechanics import ROTATIONAL_STIFFNESS, Force, Moment, PositiveLength
from floorwright.basis.metal.material import FORM_OF_SHAPE, Material, material, uncertified
from floorwright.basis.metal.section import Section
from floorwright.basis.quantity import DISTANCE, MASS, RATE
from floorwright.propose.aid.calc.casters import RATING
from floorwright.propose.aid.calc.section_input import SectionInput, section_problems
from floorwright.propose.aid.calc.slope import Slope
from floorwright.propose.aid.calc.weld_input import STRENGTH_PA, Electrode
from floorwright.propose.aid.checks.rolling import Floor, Tread
from floorwright.propose.aid.layout import Brake, End, JointKind, Plate

PositiveMass = Annotated[float, Measure(MASS, above=0)]
_TEMPERATURE: Final = re.compile(r"^\s*(-?\d+(?:\.\d+)?)\s*°?\s*([CF])\s*$", re.IGNORECASE)


def _temperature(value: Any) -> Any:
    """ "350 F" or "180 C" in degrees Celsius."""
    if isinstance(value, str) and (found := _TEMPERATURE.match(value)):
        degrees = float(found[1])
        return degrees if found[2].upper() == "C" else (degrees - 32) / 1.8
    raise ValueError('should be a temperature with its unit, such as "180 C" or "350 F"')


Temperature = Annotated[float, BeforeValidator(_temperature)]


def _section(value: Any) -> Any:
    """A designation alone is a section too."""
    return {"designation": value} if isinstance(value, str) else value


class Stock(Input):
    """A bar as it is bought or found: its section and what it is made of."""

    section: Annotated[SectionInput, BeforeValidator(_section)] = Field(
        description='a designation such as "HSS1-1/2X1-1/2X1/8", or a shape with its sizes as in `section`'
    )
    material: str = Field(
        "unknown",
        description="grade as in the table of materials (A500B_shaped, A53B, A36 ...); unknown: no certificate, "
        "the lowest yield of its form counts",
    )
    reclaimed: bool = Field(
        False, description="from offcuts or a dismantled aid: measure the wall and give it; no grade is believed"
    )

    def made(self, where: str) -> tuple[Section, Material]:
        """Section and material.

        Raises:
            InputError: with `where` in front of the field.
        """
        problems = tuple(section_problems({n: getattr(self.section, n) for n in SectionInput.model_fields}))
        if problems:
            raise InputError(type(p)(f"{where}.section.{p.field}", p.value, p.message) for p in problems)
        try:
            section = self.section.section()
            form = FORM_OF_SHAPE[section.shape]
            if self.material == "unknown" or self.reclaimed:
                return section, uncertified(form)
            return section, material(self.material)
        except InputError as error:
            raise InputError(type(p)(f"{where}.{p.field}", p.value, p.message) for p in error.problems) from None


class Joints(Input):
    """How the bars are joined."""

    kind: JointKind = Field("welded", description="welded, clamped, bolted or pinned")
    weld_leg: PositiveLength | None = Field(None, description="leg of the fillet all round; unknown without it")
    electrode: Electrode = Field("E70", description="strength class of the filler: ksi, or 10 MPa for E43 and E49")
    capped: bool = Field(
        False, description="welded: a plate closes the open end of a tube where another part stands near that end"
    )
    stiffness: Annotated[float, Measure(ROTATIONAL_STIFFNESS, above=0)] | None = Field(
        None, description="clamped: how stiff the joint is against turning, measured"
    )
    pull_tests: list[Force] = Field(
        default_factory=list, description="clamped: forces at which it slipped along the pipe, five tests or more"
    )
    turn_tests: list[Moment] = Field(
        default_factory=list,
        description="clamped: moments at which it turned, the way it turns most easily, five tests or more",
    )

    def end(self) -> End:
        """An end joined so; slip is half of the lowest of at least five tests, else not known."""
        return End(
            kind=self.kind,
            weld_leg_m=self.weld_leg,
            electrode_pa=STRENGTH_PA[self.electrode],
            stiffness_nm_rad=self.stiffness,
            slip_n=0.5 * min(self.pull_tests) if len(self.pull_tests) >= 5 else None,
            slip_nm=0.5 * min(self.turn_tests) if len(self.turn_tests) >= 5 else None,
        )


class PlateSpec(Input):
    """Top plate of a caster."""

    length: PositiveLength
    width: PositiveLength
    thickness: PositiveLength
    bolts_along: PositiveLength | None = Field(None, description="between the bolts along the aid")
    bolts_across: PositiveLength | None = Field(None, description="between the bolts across")
    bolt: PositiveLength | None = Field(None, description="diameter of the bolts")
    bolt_grade: str | None = Field(None, description="grade on the bolt head, as in the table of bolts")
    material: str = Field(
        "unknown",
        description="steel of the table of materials (A36 ...); unknown: the lowest yield of bars counts",
    )

    def plate(self) -> Plate:
        """As the layout takes it; without bolts it is welded on.

        Raises:
            InputError: for a material that the table does not hold, or half a pattern of bolts.
        """
        missing = [n for n in ("bolts_along", "bolts_across", "bolt") if getattr(self, n) is None]
        if len(missing) in (1, 2):
            raise InputError.of(
                f"wheels.plate.{missing[0]}",
                None,
                "is missing; a plate on bolts needs bolts_along, bolts_across and bolt, a welded one none of them",
            )
        for name, size in (("bolts_along", self.length), ("bolts_across", self.width)):
            spacing = getattr(self, name)
            if spacing is not None and spacing >= size:
                raise InputError.of(
                    f"wheels.plate.{name}", spacing, "does not fit on the plate; it should be less than its size"
                )
        try:
            steel = uncertified("bar") if self.material == "unknown" else material(self.material)
        except InputError as error:
            raise InputError(
                type(p)(f"wheels.plate.{p.field}", p.value, p.message) for p in error.problems
            ) from None
        return Plate(
            length_m=self.length,
            width_m=self.width,
            thickness_m=self.thickness,
            bolts_x_m=self.bolts_along,
            bolts_y_m=self.bolts_across,
            bolt_m=self.bolt,
            bolt_grade=self.bolt_grade,
            material=steel,
        )


class Wheels(Input):
    """The wheels, all alike but for swivel and brake."""

    diameter: PositiveLength
    width: PositiveLength = Field(0.032, description="of the tread")
    tread: Tread = "polyurethane"
    rating: Annotated[float, Measure(RATING, above=0)] | None = Field(
        None, description="of one caster as its maker prints it; an unmarked caster has none"
    )
    swivel: Literal["one_end", "all", "none"] = Field(
        "one_end", description="which swivel: those at the end that is pushed, all, or none"
    )
    trail: Length | None = Field(None, description="from kingpin to axle of a swivel; a quarter of the diameter")
    brake: Brake = Field("none", description="none, wheel (the frame can still swing) or total (swivel locked too)")
    braked: Literal["swivels", "all"] = Field("swivels", description="which of them have the brake")
    height: PositiveLength | None = Field(None, description="from floor to top plate; 1.3 diameters unless told")
    plate: PlateSpec | None = None
    temperature: Temperature | None = Field(None, description="the highest that wheel and grease bear")
    conducts: bool | None = Field(None, description="whether current runs through it to the floor (earth path)")

    @property
    def trail_m(self) -> float:
        """Trail; a quarter of the diameter, the high end of what is usual (from memory), unless told."""
        return 0.25 * self.diameter if self.trail is None else self.trail

    @property
    def height_m(self) -> float:
        """From the floor to the top plate."""
        return 1.3 * self.diameter if self.height is None else self.height


class Route(Input):
    """Where it rolls."""

    floor: Floor = "concrete"
    slope: Slope = Field(0.0, description="the steepest floor of the route: 1 in 50, 2 %, 1 deg")
    bump: Length = Field(0.0, description="the highest threshold or bump")
    gap: Length = Field(0.0, description="the widest gap: a drain, a joint, a dock plate")
    grating: bool | None = Field(None, description="whether it crosses grating or thin plate")
    distance: Annotated[float, Measure(DISTANCE, above=0)] = Field(
        15.0, description="how far it is pushed at a time"
    )
    pushes: Annotated[float, Measure(RATE, above=0)] = Field(4 / 3600, description="how often: 4/h")
    speed: Speed = Field(1.2, description="walking pace")
    turn_radius: PositiveLength | None = Field(None, description="of the tightest turn taken at that pace")
    door_width: PositiveLength | None = Field(None, description="of the narrowest door")
    door_height: PositiveLength | None = Field(None, description="of the lowest door")
    aisle: PositiveLength | None = Field(None, description="width of the narrowest aisle with a corner")
    friction: Annotated[float, Plain(above=0, at_most=1.2)] = Field(
        0.5, description="of a braked wheel or foot on this floor (plain); 0.5 unless measured, for screening only"
    )


class Place(Input):
    """What it is exposed to. A question not answered is answered `unknown`."""

    booth: bool | None = Field(None, description="goes into the coating booth")
    oven: Temperature | None = Field(None, description="temperature of the oven that it goes through")
    no_oven: bool | None = Field(None, description="true: it goes into no oven")
    wash: bool | None = Field(None, description="goes through the wash")
    weld_cell: bool | None = Field(None, description="welding current can return through it")
    forked: bool | None = Field(None, description="somebody may lift it with a fork truck")
    towed: bool | None = Field(None, description="somebody may tow it")
    hoisted: bool | None = Field(None, description="somebody may hoist it")
    keeps_exits_clear: bool | None = Field(
        None, description="its parking place keeps exits, fire gear and electrical panels clear"
    )
    earthed: bool | None = Field(None, description="frame and hooks are bonded to earth in the booth")
    vented: bool | None = Field(None, description="closed tubes have a vent hole")
    drains: bool | None = Field(None, description="tubes and trays let wash water out")
    lining_temperature: Temperature | None = Field(None, description="the highest that lining and springs bear")
    guarded_pinch_points: bool | None = Field(None, description="moving parts are guarded where fingers reach")


class People(Input):
    """Who moves it and lifts onto it."""

    pushed_by: PositiveWhole = Field(1, description="how many push it together")
    women: bool = Field(True, description="whether women may push it; judged by the share of them that accepts it")
    lifts: Annotated[float, Measure(RATE, above=0)] = Field(12 / 3600, description="pieces lifted by hand: 12/h")
    lift_duration: Literal["short", "moderate", "long"] = Field("moderate", description="as in `lift`")
    from_height: Length | None = Field(None, description="height that pieces come from or go to off the aid")
    ride: bool = Field(False, description="whether people stand or ride on it: not rated")


class Limits(Input):
    """Limits adopted; each has its source in docs/methods/aids.md. A shop may tighten them."""

    tilt: Angle = Field(0.17453292519943295, description="must stand on this tilt in every loading: 10 deg")
    push_share: Share = Field(0.2, description="sideways push as a share of the weight")
    push_most: Force = Field(250.0, description="... up to this force")
    push_height: PositiveLength = Field(1.5, description="... at the worst height up to this")
    lean: Force = Field(250.0, description="a person leaning at the top edge")
    step: Force = Field(1000.0, description="a foot on the lowest edge")
    obstacle_speed: Speed = Field(1.2, description="stopped dead by an obstacle at this speed")
    obstacle_stop: PositiveLength = Field(0.05, description="way in which tyre and frame give when stopped dead")
    women: Share = Field(0.9, description="share of women (or men) who must accept the push")
    women_close: Share = Field(0.75, description="share from which a push is close, not failing")
    stop_distance: PositiveLength = Field(0.9, description="one person must stop it within this way")
    stop_force: Force = Field(360.0, description="... with no more than this force")
    sag: Annotated[float, Plain(at_least=60, at_most=1000)] = Field(240.0, description="sag: span over this")
    truck_bump: Force = Field(1250.0, description="a truck nudges it at an outer post below 0.5 m")
    racking: Share = Field(0.015, description="out of plumb: share of the weight sideways")
    drop: Annotated[float, Plain(at_least=1, at_most=5)] = Field(2.0, description="a dropped piece counts so often")
    buckling: Annotated[float, Plain(at_least=1, at_most=10)] = Field(
        3.0, description="all loads may grow by this before the frame buckles"
    )
    sway: Length = Field(0.01, description="how far an empty aid may sway under a hand")


class AidSpec(Input):
    """Fields of every aid."""

    pattern: str
    title: str = Field(description="what it is, in a few words")
    route: Route = Field(default_factory=Route, description="where it rolls")
    place: Place = Field(
        default_factory=Place, description="what it is exposed to; a question left open is unknown"
    )
    people: People = Field(default_factory=People, description="who moves it and lifts onto it")
    limits: Limits = Field(default_factory=Limits, description="limits adopted; a shop may tighten them")
    joints: Joints = Field(default_factory=Joints, description="how its bars are joined")
    rides_on: Literal["hand"] = Field(
        "hand", description="moved by hand; powered or towed aids are not designed here"
    )


def stock(section: str, material_id: str = "unknown") -> dict[str, Any]:
    """A stock as its table, for defaults of patterns."""
    return {"section": {"designation": section}, "material": material_id}
