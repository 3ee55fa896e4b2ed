"""What only a settling trestle is asked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from floorwright.basis.check import Check
from floorwright.basis.proposal import Caution
from floorwright.propose.aid.calc.spring_checks import checks_of
from floorwright.propose.aid.calc.spring_record import working_of
from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.pattern import Findings
from floorwright.propose.aid.patterns.trestle_layout import trestle
from floorwright.propose.aid.patterns.trestle_said import Standing, told
from floorwright.propose.aid.patterns.trestle_settle import settle_checks, settle_workings
from floorwright.propose.aid.patterns.trestle_spec import SettlingTrestleSpec, said_force
from floorwright.propose.aid.patterns.trestle_sway import sway_checks, sway_workings
from floorwright.propose.aid.patterns.trestle_tip import obstacle_check, tip_checks, tip_workings
from floorwright.propose.aid.springs.rating import rated


def own(spec: SettlingTrestleSpec, layout: Layout) -> Findings:
    """Rolling, settling, swaying, tipping in every way of standing, springs, and what can hurt."""
    standing = Standing(spec=spec, made=trestle(spec), layout=layout)
    made = standing.made.set
    most = made.preload_n + made.spring.rate_n_m * standing.most_sunk_m
    service = made.service(spec, most)
    rating = rated(made.spring, service)
    springs = (
        replace(check, name=f"wheel spring: {check.name}") for check in checks_of(made.spring, rating, service)
    )
    return Findings(
        checks=(
            *settle_checks(standing),
            *tip_checks(standing),
            obstacle_check(standing),
            *sway_checks(standing),
            *springs,
            *_caught(spec),
        ),
        workings=(
            *settle_workings(standing),
            *tip_workings(standing),
            *sway_workings(standing),
            working_of(made.spring, rating, service),
        ),
        cautions=tuple(_cautions(standing, most)),
    )


def _caught(spec: SettlingTrestleSpec) -> Iterator[Check]:
    yield told(
        "springs stay caught",
        "a wheel or its pin is taken off",
        spec.captive,
        (
            "The springs stay caught when a wheel or its pin is taken off.",
            "A spring flies out when a wheel or its pin is taken off: catch it in its tube or by a second pin.",
            "Whether the springs stay caught when a wheel or its pin is taken off is not told (captive).",
        ),
    )
    yield told(
        "stops of the guides",
        "lifted off the floor",
        spec.guides.stops,
        (
            "Stops of steel keep the wheels in their guides when it is lifted.",
            "Nothing keeps the wheels in their guides when it is lifted: they drop out, the springs after them.",
            "Whether stops of steel keep the wheels in their guides is not told (guides.stops).",
        ),
    )
    yield told(
        "pinch points of the wheels",
        "the frame coming down on its feet",
        spec.place.guarded_pinch_points,
        (
            "Guides and feet are guarded where fingers and toes reach.",
            "Fingers between guide and frame, and toes under the feet, are crushed when it settles: guard them.",
            "Whether guides and feet are guarded where fingers and toes reach is not told "
            "(place.guarded_pinch_points).",
        ),
    )


def _cautions(standing: Standing, most_n: float) -> Iterator[Caution]:
    yield Caution(
        signal="WARNING",
        text=f"Springs under load: each wheel pushes with up to {said_force(most_n)}. Take no wheel, pin or guide "
        "off before its spring is slack.",
        approval="whoever answers for safety in the shop",
    )
    yield Caution(
        signal="WARNING",
        text="It rolls until enough work lies on it. Lock the wheels before work goes on, and keep them locked "
        "while it is taken off.",
    )
    yield Caution(
        signal="WARNING", text="Never stand, sit or climb on it: it rolls and tips, and is not rated for people."
    )
    yield Caution(
        signal="CAUTION",
        text="Keep hands off the guides and toes from under its feet while work goes on or off: it moves.",
    )
