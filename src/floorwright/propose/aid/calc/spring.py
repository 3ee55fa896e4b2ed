"""`spring`: a compression spring by its numbers: rate, lengths, stress, yield, fatigue, buckling."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import inf
from typing import Annotated, Any, Final

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, Measure, NonNegative, Plain
from floorwright.basis.mechanics import STRESS, PositiveLength
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FORCE
from floorwright.propose.aid.calc.spring_checks import checks_of
from floorwright.propose.aid.calc.spring_record import record_of, sources_of, warnings_of, working_of
from floorwright.propose.aid.springs.rating import Service, rated
from floorwright.propose.aid.springs.spring import END_COILS, Ends, Spring, StressFactor
from floorwright.propose.aid.springs.stability import SEAT_MEANING, Seat
from floorwright.propose.aid.springs.wire import (
    ConstantSet,
    WireName,
    density_kg_m3,
    moduli,
    strength_laws,
)

Load = Annotated[float, Measure(FORCE, at_least=0)]
Coils = Annotated[float, Plain(above=0, at_most=1e4)]
_Stress = Annotated[float, Measure(STRESS, above=0)]
SEAT_WORDS: Final = "; ".join(f"{seat}: {words}" for seat, words in SEAT_MEANING.items())


class SpringInput(Input):
    """Input of `spring`."""

    wire_diameter: PositiveLength = Field(description="diameter of the wire")
    mean_diameter: PositiveLength | None = Field(
        None, description="mean diameter of the coils; or give outside_diameter"
    )
    outside_diameter: PositiveLength | None = Field(
        None, description="outside diameter of the coils; or give mean_diameter"
    )
    active_coils: Coils | None = Field(None, description="coils that work (plain); or give total_coils")
    total_coils: Coils | None = Field(None, description="all coils (plain); or give active_coils")
    ends: Ends = Field(description="how the ends are made; squared is also called closed")
    material: WireName = Field(description="wire")
    free_length: PositiveLength = Field(description="length without load")
    loads: list[Load] = Field(description="forces it works at; the smallest and largest are the ends of a movement")
    seat: Seat = Field("fixed_fixed", description=f"how the ends are held. {SEAT_WORDS}")
    set_removed: bool = Field(
        False, description="whether the maker pressed it beyond yield, so that it sets no more"
    )
    cycles: NonNegative | None = Field(
        None, description="movements in its life (plain); below 10,000 counts as steady load"
    )
    peened: bool = Field(False, description="whether the wire was shot-peened")
    stress_factor: StressFactor = Field(
        "bergstraesser", description="factor on the static stress; after set removal it is direct in any case"
    )
    constants: ConstantSet = Field(
        "shigley", description="set that the strength constants come from; sets differ by up to 17 %, none is mixed"
    )
    tensile_strength: _Stress | None = Field(
        None, description="strength of the wire where a certificate tells it; else from the constants"
    )
    shear_modulus: _Stress | None = Field(None, description="G; from the table unless told")
    elastic_modulus: _Stress | None = Field(None, description="E; from the table unless told")

    def spring(self) -> Spring:
        """The spring that is meant."""
        mean = self.mean_diameter or (self.outside_diameter or 0.0) - self.wire_diameter
        table = moduli(self.material, self.wire_diameter)
        return Spring(
            wire_m=self.wire_diameter,
            mean_m=mean,
            active=self.active_coils or (self.total_coils or 0.0) - END_COILS[self.ends],
            ends=self.ends,
            free_m=self.free_length,
            G_pa=self.shear_modulus or table.G_pa,
            E_pa=self.elastic_modulus or table.E_pa,
            density_kg_m3=density_kg_m3(self.material),
        )

    def service(self) -> Service:
        """What it is wound from and how it is used."""
        return Service(
            wire=self.material,
            loads_n=tuple(self.loads),
            constants=self.constants,
            tensile_pa=self.tensile_strength,
            set_removed=self.set_removed,
            factor=self.stress_factor,
            seat=self.seat,
            cycles=self.cycles,
            peened=self.peened,
        )


def between_fields(given: Mapping[str, Any]) -> Iterable[Problem]:
    """What does not fit together, as far as it can be read."""
    yield from _diameters(given)
    yield from _coils(given)
    if {"constants", "material"} <= given.keys() and not strength_laws(given["material"], given["constants"]):
        yield Problem(
            "constants",
            given["constants"],
            f"is {given['constants']}, which has no {given['material'].replace('_', ' ')}; take shigley",
        )
    G, E = given.get("shear_modulus"), given.get("elastic_modulus")
    if G and E and not 2 * G < E <= 3 * G:
        yield Problem("elastic_modulus", E, "does not go with the shear modulus; E is between 2 G and 3 G")
    yield from _solid(given)


def _diameters(given: Mapping[str, Any]) -> Iterable[Problem]:
    if not {"wire_diameter", "mean_diameter", "outside_diameter"} <= given.keys():
        return
    d, D, OD = given["wire_diameter"], given["mean_diameter"], given["outside_diameter"]
    if (D is None) == (OD is None):
        which = (
            "is missing; give mean_diameter or outside_diameter" if D is None else "goes without outside_diameter"
        )
        yield Problem("mean_diameter", D, which)
    elif D is not None and d * 1.001 >= D:
        yield Problem("mean_diameter", D, "should be more than the diameter of the wire, or the coils have no room")
    elif OD is not None and d * 2.001 >= OD:
        yield Problem("outside_diameter", OD, "should be more than twice the wire, or the coils have no room")


def _coils(given: Mapping[str, Any]) -> Iterable[Problem]:
    if not {"active_coils", "total_coils", "ends"} <= given.keys():
        return
    Na, Nt = given["active_coils"], given["total_coils"]
    if (Na is None) == (Nt is None):
        which = "is missing; give active_coils or total_coils" if Na is None else "goes without total_coils"
        yield Problem("active_coils", Na, which)
    elif Nt is not None and Nt <= END_COILS[given["ends"]]:
        ends = END_COILS[given["ends"]]
        yield Problem("total_coils", Nt, f"is {Nt:g}; {ends:g} of the coils are ends, so it should be more")


def _solid(given: Mapping[str, Any]) -> Iterable[Problem]:
    needed = {"wire_diameter", "active_coils", "total_coils", "ends", "free_length"}
    if not needed <= given.keys() or any(True for _ in _coils(given)):
        return
    total = given["total_coils"] or given["active_coils"] + END_COILS[given["ends"]]
    solid = given["wire_diameter"] * (total + (0 if given["ends"].endswith("ground") else 1))
    if given["free_length"] <= solid * (1 + 1e-9):
        yield Problem(
            "free_length",
            given["free_length"],
            f"should be more than {solid * 1e3:.4g} mm, the length with the coils pressed together",
        )


def run(given: SpringInput) -> Outcome:
    """Work out the spring."""
    if problems := tuple(between_fields({name: getattr(given, name) for name in SpringInput.model_fields})):
        raise InputError(problems)
    spring = given.spring()
    if not 0 < spring.rate_n_m < inf or spring.G_pa >= spring.E_pa:
        raise InputError.of("shear_modulus", spring.G_pa, "does not go with the elastic modulus; E is 2 G to 3 G")
    service = given.service()
    rating = rated(spring, service)
    return Outcome(
        results=record_of(spring, rating, service),
        working=working_of(spring, rating, service),
        checks=checks_of(spring, rating, service),
        warnings=(*warnings_of(spring, rating, service), *_seat_warning(given)),
        sources=sources_of(service),
    )


def _seat_warning(given: SpringInput) -> tuple[str, ...]:
    if "seat" in given.model_fields_set:
        return ()
    return ("The seat is taken as flat parallel plates, the most favourable but a guide; say so if it is another.",)


CALCULATION = Calculation(
    name="spring",
    title="Compression spring",
    question="What force, length and stress does this compression spring have, and does it last?",
    input=SpringInput,
    run=run,
    cross_checks=between_fields,
    example={
        "wire_diameter": "2.5 mm",
        "outside_diameter": "31 mm",
        "total_coils": 14,
        "ends": "squared_ground",
        "material": "music_wire",
        "free_length": "140 mm",
        "loads": ["40 N", "100 N"],
    },
)
