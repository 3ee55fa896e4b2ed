"""`spring_search`: compression springs that give two forces at two lengths."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Annotated, Any, Final

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, Length, Measure, NonNegative, Plain
from floorwright.basis.mechanics import PositiveLength
from floorwright.basis.metal.tables import WireSystem
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FORCE, LENGTH, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.calc.spring import SEAT_WORDS
from floorwright.propose.aid.calc.spring_checks import checks_of
from floorwright.propose.aid.calc.spring_record import record_of
from floorwright.propose.aid.springs.rating import CLASH, SOLID_SAFETY
from floorwright.propose.aid.springs.search import (
    COILS,
    FATIGUE_SAFETY,
    INDEX,
    Found,
    RankBy,
    Searched,
    Wanted,
    Why,
    search,
)
from floorwright.propose.aid.springs.spring import Ends
from floorwright.propose.aid.springs.stability import Seat
from floorwright.propose.aid.springs.wire import WireName, memory_notes

Force = Annotated[float, Measure(FORCE, at_least=0)]
_WHY: Final[Mapping[Why, str]] = {
    "too wide": "the coils are wider than max_outside_diameter; give more room or less travel",
    "too narrow": "the coils are narrower than min_inside_diameter; give more room or a thinner rod",
    "index": f"the coils are too tight or too loose for the wire (index {INDEX[0]:g} to {INDEX[1]:g})",
    "solid": f"the coils touch within {CLASH:.0%} of length_2; make length_2 longer or take less force",
    "yield": f"safety against yield when pressed solid is below {SOLID_SAFETY}; allow more room or a stronger wire",
    "buckles": "it bows out sideways; say that it is guided, or make it shorter",
    "fatigue": f"safety against fatigue is below {FATIGUE_SAFETY}; give cycles below 10,000 if it moves seldom",
}


class SpringSearchInput(Input):
    """Input of `spring_search`."""

    force_1: Force = Field(description="the smaller force (preload); 0 where it may be free")
    length_1: PositiveLength = Field(description="length under force_1")
    force_2: Annotated[float, Measure(FORCE, above=0)] = Field(description="the larger force")
    length_2: PositiveLength = Field(description="length under force_2, shorter than length_1")
    max_outside_diameter: PositiveLength = Field(description="room around the spring")
    min_inside_diameter: Length = Field(0.0, description="room for a rod inside; 0 unless told")
    materials: list[WireName] = Field(description="wires to try", min_length=1)
    count: Annotated[int, Plain(at_least=1, at_most=200, whole=True)] = Field(
        10, description="how many springs to show at most (plain), the best first, one for each wire size"
    )
    wire_sizes: list[WireSystem] = Field(
        ["preferred_us", "preferred_metric"],
        description="tables of wire sizes: preferred_us, preferred_metric, music and steel (gauges)",
        min_length=1,
    )
    ends: Ends = Field("squared_ground", description="how the ends are made")
    seat: Seat = Field("fixed_fixed", description=f"how the ends are held. {SEAT_WORDS}")
    cycles: NonNegative | None = Field(
        None, description="movements in its life (plain); below 10,000 counts as steady load, else it must last"
    )
    set_removed: bool = Field(False, description="whether the maker presses it beyond yield beforehand")
    peened: bool = Field(False, description="whether the wire is shot-peened")
    rank_by: RankBy = Field(
        "cost", description="cost: wire mass times relative cost; mass; safety against yield when pressed solid"
    )

    def wanted(self) -> Wanted:
        """What the spring must do."""
        return Wanted(
            force_1_n=self.force_1,
            length_1_m=self.length_1,
            force_2_n=self.force_2,
            length_2_m=self.length_2,
            outside_most_m=self.max_outside_diameter,
            inside_least_m=self.min_inside_diameter,
            wires=self.materials,
            systems=self.wire_sizes,
            ends=self.ends,
            seat=self.seat,
            cycles=self.cycles,
            set_removed=self.set_removed,
            peened=self.peened,
        )


def between_fields(given: Mapping[str, Any]) -> Iterable[Problem]:
    """What does not fit together."""
    if {"force_1", "force_2"} <= given.keys() and given["force_2"] <= given["force_1"] * (1 + 1e-9):
        yield Problem("force_2", given["force_2"], "should be more than force_1")
    if {"length_1", "length_2"} <= given.keys() and given["length_2"] >= given["length_1"] * (1 - 1e-9):
        yield Problem("length_2", given["length_2"], "should be less than length_1: more force makes it shorter")
    if {"max_outside_diameter", "min_inside_diameter"} <= given.keys():
        inside = given["min_inside_diameter"]
        if inside >= given["max_outside_diameter"]:
            yield Problem("min_inside_diameter", inside, "should be less than max_outside_diameter")


def run(given: SpringSearchInput) -> Outcome:
    """Search the whole grid."""
    if problems := tuple(between_fields({n: getattr(given, n) for n in SpringSearchInput.model_fields})):
        raise InputError(problems)
    wanted = given.wanted()
    searched = search(wanted, given.rank_by)
    shown = searched.found[: given.count]
    first = [(found, wanted.service(found.wire)) for found in shown[:1]]
    return Outcome(
        results={
            "springs": [_record(found, wanted) for found in shown],
            "tried": searched.tried,
            "wires_that_do": len(searched.found),
        },
        working=_working(wanted, searched),
        checks=tuple(check for one, use in first for check in checks_of(one.spring, one.rating, use)),
        warnings=tuple(_warnings(given, searched)),
        sources=("shigley", "shigley_recalled", "zimmerli", "wire_gauges"),
    )


def _record(found: Found, wanted: Wanted) -> dict[str, Any]:
    return {
        "material": found.wire,
        "wire_diameter": Quantity(found.spring.wire_m, LENGTH),
        "wire_size": found.size,
        "ends": found.spring.ends,
        "free_length": Quantity(found.spring.free_m, LENGTH),
        **record_of(found.spring, found.rating, wanted.service(found.wire)),
        "relative_cost": found.cost,
    }


def _working(wanted: Wanted, searched: Searched) -> Working:
    steps = [
        Step("k", "(F2 - F1) / (L1 - L2)", wanted.rate_n_m * 1e-3, "N/mm", "rate that both points ask for"),
        Step("L0", "L1 + F1 / k", wanted.free_m * 1e3, "mm", "free length that goes with it"),
        Step("tried", "", searched.tried, "", "springs tried", "", "every wire size times every number of coils"),
        Step("wires", "", len(searched.found), "", "wires that do it", "", "each with its best number of coils"),
    ]
    for found in searched.found[:1]:
        spring = found.spring
        steps += [
            Step("d", f"{spring.wire_m * 1e3!r}", spring.wire_m * 1e3, "mm", f"best: {found.wire}, {found.size}"),
            Step("Na", f"{spring.active!r}", spring.active, "", "its active coils"),
            Step("G", f"{spring.G_pa * 1e-6!r}", spring.G_pa * 1e-6, "MPa", "its shear modulus", "shigley"),
            Step(
                "D",
                "(G * d**4 / (8 * Na * k))**(1 / 3)",
                spring.mean_m * 1e3,
                "mm",
                "mean diameter that gives the rate",
                "shigley",
            ),
        ]
    return Working(
        title="Search for a compression spring",
        given=(
            Given("F1", wanted.force_1_n, "N", "smaller force"),
            Given("L1", wanted.length_1_m * 1e3, "mm", "length under it"),
            Given("F2", wanted.force_2_n, "N", "larger force"),
            Given("L2", wanted.length_2_m * 1e3, "mm", "length under it"),
        ),
        assumptions=(
            f"{COILS[0]:g} to {COILS[-1]:g} active coils by quarter turns, index {INDEX[0]:g} to {INDEX[1]:g}",
            f"{CLASH:.0%} of the travel left before solid, safety {SOLID_SAFETY} against yield when pressed solid",
            "wire sizes that the strength constants of the material cover",
            *dict.fromkeys(_memory(wanted, searched)),
        ),
        steps=tuple(steps),
    )


def _memory(wanted: Wanted, searched: Searched) -> Iterator[str]:
    for found in searched.found:
        yield from memory_notes(found.wire, found.spring.wire_m, "shigley", set_removed=wanted.set_removed)


def _warnings(given: SpringSearchInput, searched: Searched) -> Iterator[str]:
    if not searched.found:
        if not searched.refused:
            yield "No spring does it: no wire size of these tables is covered by the strength of these materials."
            return
        reason, _ = max(searched.refused.items(), key=lambda pair: (pair[1], pair[0]))
        yield f"No spring does it. Most often {_WHY[reason]}."
    if "seat" not in given.model_fields_set:
        yield "The seat is taken as flat parallel plates, the most favourable but a guide; say so if it is another."


CALCULATION = Calculation(
    name="spring_search",
    title="Search for a spring",
    question="Which compression springs give these two forces at these two lengths?",
    input=SpringSearchInput,
    run=run,
    cross_checks=between_fields,
    example={
        "force_1": "150 N",
        "length_1": "100 mm",
        "force_2": "400 N",
        "length_2": "75 mm",
        "max_outside_diameter": "50 mm",
        "min_inside_diameter": "20 mm",
        "materials": ["music_wire", "oil_tempered"],
        "count": 3,
        "cycles": 5000,
    },
)
