"""Where it must pass and park: doors, the corners of its route, a parking place that keeps ways out clear."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt
from typing import Final

from floorwright.basis.check import Check, judge
from floorwright.basis.quantity import LENGTH, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.aid import Aid, Finding

PRACTICE: Final = "common practice, no source"
ELBOW_M: Final = 0.05
"""Room on either side in a door, and above."""


def findings(aid: Aid) -> Iterator[Finding]:
    """Checks of fit."""
    if aid.layout.wheels:
        yield from _route(aid)
        yield from _doors(aid)
        yield _corner(aid)
    yield _parking(aid)


_ROUTE: Final = {
    "slope": "How steep the floor of its route is",
    "bump": "How high the thresholds of its route are",
    "gap": "How wide the gaps of its route are",
}


def _route(aid: Aid) -> Iterator[Finding]:
    """What nobody said of the route is not taken for none: 0 has to be said."""
    for name, words in _ROUTE.items():
        if name not in aid.spec.route.model_fields_set:
            yield Finding(
                check=Check(
                    name=f"route: {name}",
                    case="the route",
                    demand=None,
                    capacity=None,
                    ratio=None,
                    verdict="unknown",
                    sentence=f"{words} is not said: answer route.{name}, with 0 where there is none.",
                    source=PRACTICE,
                )
            )


def _doors(aid: Aid) -> Iterator[Finding]:
    length, width, height = aid.layout.size
    route = aid.spec.route
    for name, which, need, have, field in (
        ("door width", "narrowest", min(length, width) + 2 * ELBOW_M, route.door_width, "route.door_width"),
        ("door height", "lowest", height + ELBOW_M, route.door_height, "route.door_height"),
    ):
        ratio, verdict = judge(need, have)
        if have is None:
            sentence = f"Whether it passes the {name.split()[0]}s of its route is not known: give {field}."
        else:
            sentence = (
                f"With room for hands it needs {aid.text(need, LENGTH)}; the {which} door of its route has "
                f"{aid.text(have, LENGTH)}."
            )
        yield Finding(
            check=Check(
                name=name,
                case="full",
                demand=Quantity(need, LENGTH),
                capacity=None if have is None else Quantity(have, LENGTH),
                ratio=ratio,
                verdict=verdict,
                sentence=sentence,
                source=PRACTICE,
            ),
            safety=False,
        )


def _corner(aid: Aid) -> Finding:
    """A right-angled corner between two aisles of equal width.

    A rectangle L by B touches both outer walls and, halfway round, at 45 degrees, the inner corner with its side:
    the corner lies (L / 2 + B) from where the rectangle's axis meets the outer one, so that it takes aisles of
    (L / 2 + B) / sqrt(2), and never less than B.
    """
    length, width, _ = aid.layout.size
    long, short = max(length, width), min(length, width)
    need = max((long / 2 + short) / sqrt(2), short) + 2 * ELBOW_M
    have = aid.spec.route.aisle
    ratio, verdict = judge(need, have)
    unit = LENGTH.shown_unit(aid.system)
    working = Working(
        title="Corner of the aisles",
        given=(
            Given("L", aid.shown(long, LENGTH), unit, "longer side"),
            Given("B", aid.shown(short, LENGTH), unit, "shorter side"),
            Given("e", aid.shown(ELBOW_M, LENGTH), unit, "room on either side"),
        ),
        steps=(
            Step(
                "A",
                "max((L / 2 + B) / sqrt(2), B) + 2 * e",
                aid.shown(need, LENGTH),
                unit,
                "aisle that it takes to go round a right-angled corner, at 45 degrees when it is tightest",
            ),
        ),
    )
    return Finding(
        check=Check(
            name="corner of the route",
            case="full, two aisles of the same width",
            demand=Quantity(need, LENGTH),
            capacity=None if have is None else Quantity(have, LENGTH),
            ratio=ratio,
            verdict=verdict,
            sentence=f"Round a corner it needs aisles of {aid.text(need, LENGTH)}; "
            + (
                "give route.aisle to know whether it has them."
                if have is None
                else f"they have {aid.text(have, LENGTH)}."
            ),
            source="definition",
        ),
        safety=False,
        working=working,
    )


def _parking(aid: Aid) -> Finding:
    clear = aid.spec.place.keeps_exits_clear
    return Finding(
        check=Check(
            name="parking place",
            case="parked",
            demand=None,
            capacity=None,
            ratio=None,
            verdict="unknown" if clear is None else "ok" if clear else "fails",
            sentence="Where it parks, exits, fire gear and electrical panels (36 in in front of them) stay clear."
            if clear
            else "Whether its parking place keeps exits, fire gear and electrical panels clear is not said: answer "
            "place.keeps_exits_clear."
            if clear is None
            else "It would park in front of an exit, fire gear or an electrical panel: find another place.",
            source="osha_1910",
        )
    )
