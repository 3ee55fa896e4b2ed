"""Input and working that `lift` and `lift_job` share."""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import pi
from typing import Annotated, Any, Final, Literal

from pydantic import Field

from floorwright.basis.errors import Problem
from floorwright.basis.fields import Input, Length, Measure, Positive
from floorwright.basis.people.lifting import (
    FORMS,
    FREQUENCY_LEAST,
    FREQUENCY_MOST,
    SOURCE,
    FormName,
    HandPosition,
    Rating,
    frequency_bracket,
    rate,
)
from floorwright.basis.people.lifting_tables import Coupling, Duration
from floorwright.basis.quantity import ANGLE
from floorwright.basis.working import Given, Step

Manner = Literal["two_handed", "one_handed", "two_person", "hoisted", "seated", "kneeling"]

_NOT_COVERED: Final[dict[str, str]] = {
    "one_handed": "one-handed lifting",
    "two_person": "lifting by two people",
    "hoisted": "lifting with a hoist",
    "seated": "lifting while seated",
    "kneeling": "lifting while kneeling",
}
_POUNDS: Final = re.compile(r"(?:lbs?|lbm|pounds?|oz|ounces?)\.?\s*$", re.IGNORECASE)
MANNER_MEANING: Final = (
    "how it is lifted; the equation covers two_handed lifting by one person on their feet alone, "
    "anything else is answered with unknown"
)
FORM_MEANING: Final = (
    "form of the equation: metric (cm, kg, 23 kg) or us (in, lb, 51 lb); "
    "us where the load is given in pounds, else metric, unless told"
)


class Hands(Input):
    """Where the hands are at one end of the lift."""

    horizontal: Length = Field(description="from the middle between the ankles to the middle between the hands")
    vertical: Length = Field(description="height of the hands above the floor")
    asymmetry: Annotated[float, Measure(ANGLE, at_least=0, at_most=pi)] = Field(
        description="angle of the load from straight ahead, 0 when it is lifted in front"
    )

    def position(self) -> HandPosition:
        """As the equation takes it."""
        return HandPosition(horizontal_m=self.horizontal, vertical_m=self.vertical, asymmetry_rad=self.asymmetry)


class LiftShape(Input):
    """How a load is lifted, whatever it weighs."""

    origin: Hands = Field(description="the hands where the lift starts")
    destination: Hands | None = Field(
        None, description="the hands where it ends, if the load must be placed with care there"
    )
    travel: Length | None = Field(
        None, description="vertical distance moved; worked out from the two heights where both ends are given"
    )
    frequency: Positive = Field(description="lifts a minute, averaged over 15 minutes (plain)")
    coupling: Coupling = Field(description="how well the hands hold the load: good, fair or poor")
    manner: Manner = Field("two_handed", description=MANNER_MEANING)
    form: FormName | None = Field(None, description=FORM_MEANING)

    def travel_m(self) -> float:
        """Vertical distance moved."""
        if self.destination is not None:
            return abs(self.destination.vertical - self.origin.vertical)
        return self.travel or 0.0

    def ends(self, duration: Duration) -> dict[str, Rating]:
        """The rating of the origin and, where it counts, of the destination."""
        places = {"origin": self.origin} | ({"destination": self.destination} if self.destination else {})
        return {
            name: rate(
                hands.position(),
                travel_m=self.travel_m(),
                frequency=self.frequency,
                duration=duration,
                coupling=self.coupling,
                form=self.form or "metric",
            )
            for name, hands in places.items()
        }

    def problems(self, where: str = "") -> list[Problem]:
        """What does not fit together."""
        if self.destination is None and self.travel is None:
            return [
                Problem(
                    f"{where}travel",
                    None,
                    "is missing; give the vertical distance moved, "
                    "or the destination if the load is placed with care",
                )
            ]
        if self.destination is not None and self.travel is not None:
            moved = abs(self.destination.vertical - self.origin.vertical)
            if abs(moved - self.travel) > 1e-3:
                return [
                    Problem(
                        f"{where}travel",
                        self.travel,
                        f"is {self.travel:g} m, but the hands move {moved:g} m between the ends; leave travel out",
                    )
                ]
        return []


def with_form(raw: Any, load_field: str) -> Any:
    """Settle the form from the unit of the load, before the load becomes a bare number."""
    if not isinstance(raw, Mapping) or raw.get("form") is not None:
        return raw
    load = raw.get(load_field)
    return {**raw, "form": "us" if isinstance(load, str) and _POUNDS.search(load) else "metric"}


def not_covered(manner: Manner) -> str | None:
    """Why the equation does not cover this manner of lifting; None where it does."""
    what = _NOT_COVERED.get(manner)
    return what and f"the lifting equation does not cover {what}; have it assessed in another way"


def end_steps(
    rating: Rating, lift: LiftShape, duration: Duration, *, tag: str, task: str, where: str
) -> tuple[tuple[Given, ...], tuple[Step, ...]]:
    """What was given at one end and the steps from there to its recommended weight limit.

    Args:
        rating: what the equation gave at that end.
        lift: the lift it belongs to.
        duration: class of the lifting time.
        tag: put behind the symbols of the end ("_o"), so that ends and tasks stay apart.
        task: put behind D and F, which both ends share.
        where: in words ("at the origin").
    """
    f, unit = rating.form, rating.form.length_unit
    given = (
        Given(f"H{tag}", rating.H, unit, f"horizontal distance of the hands {where}"),
        Given(f"V{tag}", rating.V, unit, f"height of the hands {where}"),
        Given(f"A{tag}", rating.A, "deg", f"twist {where}"),
    )
    steps = (
        _multiplier(
            f"HM{tag}",
            f"{f.reach:g} / max({f.reach:g}, H{tag})",
            rating.HM,
            "horizontal multiplier",
            f"H is beyond {f.reach_most:g} {unit}: no weight is safe",
        ),
        _multiplier(
            f"VM{tag}",
            f"1 - {f.height_factor:g} * abs(V{tag} - {f.knuckle:g})",
            rating.VM,
            "vertical multiplier",
            f"V is beyond {f.height_most:g} {unit}: no weight is safe",
        ),
        _multiplier(
            f"DM{tag}",
            f"0.82 + {f.travel_factor:g} / max({f.travel_least:g}, D{task})",
            rating.DM,
            "travel multiplier",
            f"D is beyond {f.travel_most:g} {unit}: no weight is safe",
        ),
        _multiplier(
            f"AM{tag}",
            f"1 - 0.0032 * A{tag}",
            rating.AM,
            "asymmetry multiplier",
            "A is beyond 135 degrees: no weight is safe",
        ),
        *_frequency_steps(rating, lift.frequency, duration, tag, task),
        Step(
            f"CM{tag}",
            "",
            rating.CM,
            "",
            "coupling multiplier",
            SOURCE,
            f"table 7: {lift.coupling} coupling, hands {_height(rating)}",
        ),
    )
    return given, steps


def _multiplier(symbol: str, formula: str, value: float, meaning: str, beyond: str) -> Step:
    if value == 0:
        return Step(symbol, "", 0.0, "", meaning, SOURCE, beyond)
    return Step(symbol, formula, value, "", meaning, SOURCE)


def _height(rating: Rating) -> str:
    side = "below" if rating.low else "at or above"
    return f"{side} {rating.form.knuckle:g} {rating.form.length_unit}"


def _frequency_steps(rating: Rating, frequency: float, duration: Duration, tag: str, task: str) -> tuple[Step, ...]:
    table = f"table 5: {duration} duration, hands {_height(rating)}"
    symbol, meaning = f"FM{tag}", "frequency multiplier"
    if frequency > FREQUENCY_MOST:
        return (Step(symbol, "", 0.0, "", meaning, SOURCE, f"{table}: 0 above {FREQUENCY_MOST:g} lifts a minute"),)
    (f1, fm1), (f2, fm2) = frequency_bracket(frequency, duration, low=rating.low)
    if f1 == f2:
        note = f"{table}, {f1:g} lifts a minute"
        if frequency < FREQUENCY_LEAST:
            note += ", the least that the table has"
        return (Step(symbol, "", fm1, "", meaning, SOURCE, note),)
    return (
        Step(f"FMa{tag}", "", fm1, "", f"multiplier at {f1:g} lifts a minute", SOURCE, table),
        Step(f"FMb{tag}", "", fm2, "", f"multiplier at {f2:g} lifts a minute", SOURCE, table),
        Step(
            symbol,
            f"FMa{tag} + (FMb{tag} - FMa{tag}) * (F{task} - {f1:g}) / ({f2:g} - {f1:g})",
            rating.FM,
            "",
            f"{meaning}, between the rows",
            SOURCE,
        ),
    )


def form_constant(rating: Rating) -> Given:
    """LC of the form."""
    return Given("LC", rating.form.load_constant, rating.form.mass_unit, "load constant")


def form_name(form: FormName | None) -> str:
    """The form in words, for the list of assumptions."""
    used = FORMS[form or "metric"]
    name = "US" if used.name == "us" else "metric"
    return f"the {name} form of the equation ({used.length_unit}, {used.mass_unit})"
