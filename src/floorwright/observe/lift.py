"""The lifting index of a single lift, by the revised NIOSH lifting equation."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, model_validator

from floorwright.basis.calculation import Calculation
from floorwright.basis.check import Check, judge
from floorwright.basis.errors import InputError
from floorwright.basis.fields import Measure
from floorwright.basis.outcome import Outcome
from floorwright.basis.people.lifting import FREQUENCY_LEAST, SOURCE, Rating
from floorwright.basis.people.lifting_tables import DURATION_MEANING, Duration
from floorwright.basis.quantity import MASS, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.observe.lift_input import (
    LiftShape,
    end_steps,
    form_constant,
    form_name,
    not_covered,
    with_form,
)


class LiftInput(LiftShape):
    """Input of `lift`."""

    load: Annotated[float, Measure(MASS, above=0)] = Field(description="weight of what is lifted, such as '44 lb'")
    duration: Duration = Field(
        description="lifting time: " + "; ".join(f"{name} is {text}" for name, text in DURATION_MEANING.items())
    )

    @model_validator(mode="before")
    @classmethod
    def _form_of_the_load(cls, raw: Any) -> Any:
        return with_form(raw, "load")


def reading(index: float) -> str:
    """What a lifting index says, as the manual and NIOSH's later papers read it."""
    if index <= 1:
        return "nearly all healthy workers can do this without a raised risk of back pain"
    if index <= 3:
        return "the risk of back pain is raised for part of the workforce: redesign the lift"
    return "the risk of back pain is high for many workers: redesign the lift first"


def run(given: LiftInput) -> Outcome:
    """Rate both ends that count; the larger lifting index is that of the lift."""
    if problems := given.problems():
        raise InputError(problems)
    if reason := not_covered(given.manner):
        return _unknown(given, reason)
    ends = given.ends(given.duration)
    indices = {where: rating.index(given.load) for where, rating in ends.items()}
    known = [index for index in indices.values() if index is not None]
    worst = max(known) if len(known) == len(indices) else None
    return Outcome(
        results={where: _end_record(rating, indices[where]) for where, rating in ends.items()}
        | {"LI": worst, "form": given.form},
        working=_working(given, ends, indices, worst),
        checks=tuple(_check(where, rating, given.load, indices[where]) for where, rating in ends.items()),
        warnings=_warnings(given),
        sources=(SOURCE,),
    )


def _end_record(rating: Rating, index: float | None) -> dict[str, Any]:
    return {
        "HM": rating.HM,
        "VM": rating.VM,
        "DM": rating.DM,
        "AM": rating.AM,
        "FM": rating.FM,
        "CM": rating.CM,
        "RWL": Quantity(rating.RWL_kg, MASS),
        "LI": index,
    }


def _check(where: str, rating: Rating, load_kg: float, index: float | None) -> Check:
    ratio, verdict = judge(load_kg, rating.RWL_kg)
    if index is None:
        sentence = (
            f"Outside the range of the equation at the {where}: {'; '.join(rating.outside)}. "
            "No weight counts as safe there: change the lift."
        )
    else:
        sentence = f"Lifting index {index:.2f} at the {where}: {reading(index)}."
    return Check(
        name="lifting index",
        case=where,
        demand=Quantity(load_kg, MASS),
        capacity=Quantity(rating.RWL_kg, MASS),
        ratio=ratio,
        verdict=verdict,
        sentence=sentence,
        source=SOURCE,
    )


def _unknown(given: LiftInput, reason: str) -> Outcome:
    check = Check(
        name="lifting index",
        case=given.manner.replace("_", " "),
        demand=Quantity(given.load, MASS),
        capacity=None,
        ratio=None,
        verdict="unknown",
        sentence=reason[0].upper() + reason[1:] + ".",
        source=SOURCE,
    )
    nothing = dict.fromkeys(("HM", "VM", "DM", "AM", "FM", "CM", "RWL", "LI"))
    places = ["origin"] + (["destination"] if given.destination else [])
    return Outcome(
        results={place: dict(nothing) for place in places} | {"LI": None, "form": given.form},
        working=Working(title="Lifting index", assumptions=(reason,)),
        checks=(check,),
        warnings=(reason,),
        sources=(SOURCE,),
    )


def _working(
    given: LiftInput, ends: dict[str, Rating], indices: dict[str, float | None], worst: float | None
) -> Working:
    first = ends["origin"]
    form = first.form
    unit = form.mass_unit
    givens = [
        Given("load", form.mass(given.load), unit, "weight of what is lifted"),
        form_constant(first),
        Given("D", first.D, form.length_unit, "vertical distance moved"),
        Given("F", given.frequency, "1/min", "lifts a minute"),
    ]
    steps: list[Step] = []
    for where, rating in ends.items():
        tag = f"_{where[0]}"
        more, found = end_steps(rating, given, given.duration, tag=tag, task="", where=f"at the {where}")
        givens += more
        product = " * ".join(f"{m}M{tag}" for m in "HVDAFC")
        steps += found
        steps.append(
            Step(
                f"RWL{tag}",
                f"LC * {product}",
                form.mass(rating.RWL_kg),
                unit,
                f"recommended weight limit at the {where}",
                SOURCE,
            )
        )
        if (index := indices[where]) is not None:
            steps.append(Step(f"LI{tag}", f"load / RWL{tag}", index, "", f"lifting index at the {where}", SOURCE))
    if worst is not None and len(ends) == 2:
        steps.append(Step("LI", "max(LI_o, LI_d)", worst, "", "lifting index of the lift", SOURCE))
    return Working(
        title="Lifting index of one lift (revised NIOSH lifting equation)",
        given=tuple(givens),
        assumptions=(
            form_name(given.form),
            f"{given.duration} duration: {DURATION_MEANING[given.duration]}",
            *PLAIN,
        ),
        steps=tuple(steps),
    )


PLAIN = (
    "multipliers are not rounded (the manual rounds each to two decimals, which moves the limit by up to 2.3 %)",
    "two hands, standing, smooth lifting, a steady load, a dry floor, room to move, ordinary temperature",
    "no more than a few steps of carrying, and no pushing, pulling or climbing beside it",
)


def _warnings(given: LiftInput) -> tuple[str, ...]:
    found = []
    if given.frequency < FREQUENCY_LEAST:
        found.append(
            f"{given.frequency:g} lifts a minute is counted as {FREQUENCY_LEAST:g}, the least of the table."
        )
    if given.destination is None:
        found.append("Only the origin was rated; give the destination too if the load is placed with care there.")
    return tuple(found)


CALCULATION = Calculation(
    name="lift",
    title="Lifting index",
    question="Can nearly all healthy workers do this lift?",
    input=LiftInput,
    run=run,
    example={
        "load": "44 lb",
        "origin": {"horizontal": "23 in", "vertical": "15 in", "asymmetry": 0},
        "destination": {"horizontal": "23 in", "vertical": "64 in", "asymmetry": 0},
        "frequency": 0.2,
        "duration": "short",
        "coupling": "fair",
    },
)
