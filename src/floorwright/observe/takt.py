"""Takt time: the pace that demand asks for, and how many people the work content then needs."""

from __future__ import annotations

import math

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.fields import Input, Positive, PositiveTime
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import TIME, Quantity
from floorwright.basis.working import Given, Step, Working


class TaktInput(Input):
    """Input of `takt`."""

    available_time: PositiveTime = Field(description="working time available in the period, breaks taken off")
    demand: Positive = Field(description="pieces wanted in the same period (plain)")
    work_content: PositiveTime = Field(description="work in one piece, all stations together")


def run(given: TaktInput) -> Outcome:
    """Takt = available time over demand; people = work content over takt."""
    takt_s = given.available_time / given.demand
    operators = given.work_content / takt_s
    # A ratio such as 3.0000000000000004 is three people, not four.
    needed = math.ceil(operators - 1e-9)
    working = Working(
        title="Takt time and people needed",
        given=(
            Given("T", given.available_time, "s", "working time available in the period"),
            Given("D", given.demand, "", "pieces wanted in the period"),
            Given("w", given.work_content, "s", "work content of one piece"),
        ),
        assumptions=("the work can be shared out evenly between people",),
        steps=(
            Step("takt", "T / D", takt_s, "s", "takt time", "definition"),
            Step("people", "w / takt", operators, "", "people needed, not rounded", "definition"),
            Step("whole", "ceil(people - 1e-9)", needed, "", "people needed, rounded up", "definition"),
        ),
    )
    return Outcome(
        results={"takt_time": Quantity(takt_s, TIME), "operators": operators, "operators_needed": needed},
        working=working,
        sources=("definition",),
    )


CALCULATION = Calculation(
    name="takt",
    title="Takt time",
    question="At what pace must pieces leave, and how many people does that take?",
    input=TaktInput,
    run=run,
    example={"available_time": "450 min", "demand": 60, "work_content": "24 min"},
)
