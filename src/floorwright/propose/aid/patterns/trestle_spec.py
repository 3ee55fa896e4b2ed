"""What the user says about a trestle that rolls empty and settles on its feet under load."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal, Self

from pydantic import Field, model_validator

from floorwright.basis.errors import InputError
from floorwright.basis.fields import Input, Length, Measure, Plain
from floorwright.basis.mechanics import Coordinate, PositiveLength
from floorwright.basis.quantity import FORCE, FRACTION, LENGTH, plain_number, write
from floorwright.propose.aid.spec import AidSpec, PositiveMass, Stock, Wheels
from floorwright.propose.aid.springs.spring import END_COILS, Ends, Spring
from floorwright.propose.aid.springs.wire import WireName, density_kg_m3, moduli

Preload = Annotated[float, Measure(FORCE, at_least=0)]
WORKING_DAYS: Final = 250
"""Days a year (common practice, no source)."""


def said_length(value_m: float) -> str:
    """A length for people, in inches and millimetres."""
    return f"{write(value_m, LENGTH, 'us')} ({plain_number(value_m * 1e3)} mm)"


def said_force(value_n: float) -> str:
    """A force for people, in pounds-force and newtons."""
    return f"{write(value_n, FORCE, 'us')} ({write(value_n, FORCE)})"


class WheelSpring(Input):
    """The compression spring of one wheel."""

    wire_diameter: PositiveLength = Field(description="diameter of the wire")
    outside_diameter: PositiveLength = Field(description="outside diameter of the coils")
    coils: Annotated[float, Plain(above=0, at_most=1000)] = Field(
        description="all coils, the end ones too (plain number)"
    )
    free_length: PositiveLength = Field(description="length without load")
    ends: Ends = Field("squared_ground", description="how the ends are made; squared is also called closed")
    material: WireName = Field("music_wire", description="wire that it is wound from")
    set_removed: bool = Field(False, description="true: its maker pressed it beyond yield, so that it sets no more")
    peened: bool = Field(False, description="true: the wire was shot-peened")

    def spring(self) -> Spring:
        """The spring.

        Raises:
            InputError: for coils without room, or a free length below the solid one.
        """
        active = self.coils - END_COILS[self.ends]
        if self.outside_diameter <= 2.001 * self.wire_diameter:
            raise InputError.of(
                "spring.outside_diameter",
                self.outside_diameter,
                "should be more than twice the wire, or the coils have no room",
            )
        if active <= 0:
            raise InputError.of(
                "spring.coils",
                self.coils,
                f"is {self.coils:g}; {END_COILS[self.ends]:g} of the coils are ends, so it should be more",
            )
        table = moduli(self.material, self.wire_diameter)
        made = Spring(
            wire_m=self.wire_diameter,
            mean_m=self.outside_diameter - self.wire_diameter,
            active=active,
            ends=self.ends,
            free_m=self.free_length,
            G_pa=table.G_pa,
            E_pa=table.E_pa,
            density_kg_m3=density_kg_m3(self.material),
        )
        if made.free_m <= made.solid_m:
            raise InputError.of(
                "spring.free_length",
                self.free_length,
                f"should be more than {said_length(made.solid_m)}, the length with the coils pressed together",
            )
        return made


class Guides(Input):
    """What leads a sprung wheel up and down."""

    kind: Literal["tube", "rod"] = Field("tube", description="tube: the spring sits inside it; rod: round it")
    size: PositiveLength = Field(description="inside diameter of the tube, or diameter of the rod")
    engaged: PositiveLength | None = Field(
        None, description="length of the post in its bush with the wheel hanging out fully"
    )
    clearance: Length | None = Field(None, description="play between post and bush, over the diameter")
    stops: bool | None = Field(
        None, description="true: a stop of steel keeps the wheel from dropping out, with the spring pushing on it"
    )


class SettlingTrestleSpec(AidSpec):
    """A trestle (sawhorse) that rolls empty on sprung wheels and stands on its feet under load."""

    pattern: Literal["settling_trestle"] = Field("settling_trestle", description="settling_trestle")
    length: PositiveLength = Field(description="length of the top beam")
    height: PositiveLength = Field(description="floor to the top of the beam, standing on its feet")
    leg_spread: PositiveLength = Field(description="across, from foot to foot of one end")
    leg_inset: Length = Field(0.0762, description="from the end of the beam to its legs")
    beam: Stock = Field(description="stock of the top beam")
    legs: Stock = Field(description="stock of the legs")
    rails: Stock = Field(description="stock of the rails between the legs near the floor, which carry the wheels")
    stretcher: Stock | None = Field(None, description="stock of the bar between the two ends; as the rails")
    braces: Stock | None = Field(None, description="stock of the slanting braces along the beam; none without it")
    wheels: Wheels = Field(
        description="the sprung wheels; height: floor to the rail's middle with the wheel hanging out fully"
    )
    wheel_count: Literal[2, 4] = Field(
        4, description="4: it rolls by itself; 2 at the front: the rear end is lifted by hand to roll it"
    )
    wheel_inset: Coordinate | None = Field(
        None,
        description="along the rail from leg to kingpin; negative: outside the leg; clear of the swing unless told",
    )
    rise: PositiveLength = Field(
        description="how high the wheels, hanging out fully, hold the feet above the floor; more than the squat"
    )
    spring: WheelSpring | Literal["choose"] = Field(
        "choose", description="spring of one wheel; choose: one of the preferred wires that is fit for it"
    )
    preload: Preload | None = Field(
        None, description="force of each spring with its wheel hanging out fully; or give installed_length"
    )
    installed_length: PositiveLength | None = Field(
        None, description="length of each spring with its wheel hanging out fully; or give preload"
    )
    guides: Guides = Field(description="what leads the wheels up and down")
    captive: bool | None = Field(
        None, description="true: the springs stay caught when a wheel or its pin is taken off"
    )
    working_load: PositiveMass = Field(description="the heaviest work on this one trestle")
    work_size: Annotated[list[PositiveLength], Field(min_length=3, max_length=3)] = Field(
        description="the work over this trestle: along the beam, across it, height"
    )
    bearing_span: PositiveLength | None = Field(
        None, description="between the two points where the work bears; half the length between the legs"
    )
    off_centre: Annotated[float, Plain(at_least=0, at_most=0.5)] = Field(
        0.25, description="how far from the middle the work may lie, as a fraction of the beam's length (plain)"
    )
    settles_at: Annotated[float, Measure(FRACTION, above=0, at_most=1)] = Field(
        0.5, description="all feet must stand from this share of the working load on: 50 %"
    )
    work_friction: Annotated[float, Plain(above=0, at_most=1.2)] | None = Field(
        None, description="between work and beam (plain); unknown without it"
    )
    hoist: bool | None = Field(None, description="true: a hoist or crane takes the work off")
    in_pairs: bool = Field(True, description="true: the work lies on two such trestles")
    pair_distance: PositiveLength | None = Field(None, description="between the two trestles of a pair")
    feet_friction: Annotated[float, Plain(above=0, at_most=1.2)] | None = Field(
        None, description="of the feet on this floor, measured; route.friction unless told"
    )
    least_load_on_plate: bool | None = Field(
        None, description="true: a plate on it says from which load on it stands by itself"
    )
    cycles_a_day: Annotated[float, Plain(above=0, at_most=1e5)] = Field(
        20, description="how often a day it is loaded and emptied (plain)"
    )
    life_years: Annotated[float, Plain(above=0, at_most=100)] = Field(
        10, description="years that the springs should last (plain)"
    )

    @model_validator(mode="after")
    def _spring_is_set(self) -> Self:
        if self.preload is not None and self.installed_length is not None:
            raise ValueError("give either preload or installed_length, not both: one follows from the other")
        if self.spring != "choose" and self.preload is None and self.installed_length is None:
            raise ValueError("preload is missing; give preload or installed_length of the spring")
        return self

    @property
    def cycles(self) -> float:
        """Movements in the springs' life."""
        return self.cycles_a_day * WORKING_DAYS * self.life_years

    @property
    def friction(self) -> float:
        """Of the feet on the floor."""
        return self.route.friction if self.feet_friction is None else self.feet_friction

    def made(self, name: str) -> Any:
        """Section and material of one of its stocks; stretcher as the rails where it is not told."""
        given = getattr(self, name) or (self.rails if name == "stretcher" else None)
        return None if given is None else given.made(name)
