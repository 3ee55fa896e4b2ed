"""The composite lifting index of a job that holds several different lifts."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, model_validator

from floorwright.basis.calculation import Calculation
from floorwright.basis.check import Check, judge
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, Measure
from floorwright.basis.outcome import Outcome
from floorwright.basis.people.composite_lift import Composite, JobTask, composite
from floorwright.basis.people.lifting import SOURCE, Rating
from floorwright.basis.people.lifting_tables import DURATION_MEANING, Duration
from floorwright.basis.quantity import MASS, Quantity
from floorwright.basis.working import Working
from floorwright.observe.lift import reading
from floorwright.observe.lift_input import LiftShape, not_covered, with_form
from floorwright.observe.lift_job_working import WorkedTask, job_working

_Load = Annotated[float, Measure(MASS, above=0)]


class TaskInput(LiftShape):
    """One task of the job."""

    name: str | None = Field(None, max_length=120, description="what the task is called")
    load_average: _Load = Field(description="average weight lifted in this task")
    load_max: _Load = Field(description="heaviest weight lifted in this task")

    @model_validator(mode="before")
    @classmethod
    def _form_of_the_load(cls, raw: Any) -> Any:
        return with_form(raw, "load_average")


class LiftJobInput(Input):
    """Input of `lift_job`."""

    tasks: list[TaskInput] = Field(min_length=1, max_length=50, description="the lifts that the job holds")
    duration: Duration = Field(
        description="lifting time of the whole job: "
        + "; ".join(f"{name} is {text}" for name, text in DURATION_MEANING.items())
    )


def run(given: LiftJobInput) -> Outcome:
    """Composite index by the manual's steps; each task stands for its end with the lower limit."""
    if problems := _problems(given):
        raise InputError(problems)
    if reasons := {r for task in given.tasks if (r := not_covered(task.manner))}:
        return _unknown(given, sorted(reasons))
    governing = [_governing(task, given.duration) for task in given.tasks]
    tasks = [
        JobTask(
            rating=rating,
            load_average_kg=task.load_average,
            load_max_kg=task.load_max,
            frequency=task.frequency,
        )
        for task, (_, rating) in zip(given.tasks, governing, strict=True)
    ]
    job = composite(tasks, given.duration)
    return Outcome(
        results={
            "tasks": [
                {
                    "name": given.tasks[i].name,
                    "end": governing[i][0],
                    "FIRWL": Quantity(task.rating.FIRWL_kg, MASS),
                    "STRWL": Quantity(task.rating.RWL_kg, MASS),
                    "FILI": task.FILI,
                    "STLI": task.STLI,
                }
                for i, task in enumerate(tasks)
            ],
            "order": [i + 1 for i in job.order],
            "CLI": job.CLI,
        },
        working=job_working(
            [
                WorkedTask(lift=lift, label=_label(given, i), end=governing[i][0], task=tasks[i])
                for i, lift in enumerate(given.tasks)
            ],
            given.duration,
            job,
        ),
        checks=_checks(given, tasks, job),
        warnings=_warnings(given, tasks),
        sources=(SOURCE,),
    )


def _problems(given: LiftJobInput) -> list[Problem]:
    found = []
    for i, task in enumerate(given.tasks):
        where = f"tasks[{i}]."
        found += task.problems(where)
        if task.load_max < task.load_average * (1 - 1e-9):
            found.append(
                Problem(
                    f"{where}load_max",
                    task.load_max,
                    f"is {task.load_max:g} kg, below the average of {task.load_average:g} kg; "
                    "give the heaviest load of the task",
                )
            )
    return found


def _governing(task: TaskInput, duration: Duration) -> tuple[str, Rating]:
    return min(task.ends(duration).items(), key=lambda item: item[1].RWL_kg)


def _label(given: LiftJobInput, i: int) -> str:
    name = given.tasks[i].name
    return f"task {i + 1}" + (f" ({name})" if name else "")


def _checks(given: LiftJobInput, tasks: list[JobTask], job: Composite) -> tuple[Check, ...]:
    found = [
        Check(
            name="lifting index of a task alone",
            case=_label(given, i),
            demand=Quantity(task.load_average_kg, MASS),
            capacity=Quantity(task.rating.RWL_kg, MASS),
            ratio=task.STLI,
            verdict=judge(task.load_average_kg, task.rating.RWL_kg)[1],
            sentence=f"Lifting index {task.STLI:.2f} for {_label(given, i)} alone: {reading(task.STLI)}."
            if task.STLI is not None
            else f"Outside the range of the equation in {_label(given, i)}: {'; '.join(task.rating.outside)}. "
            "No weight counts as safe there: change the lift.",
            source=SOURCE,
        )
        for i, task in enumerate(tasks)
    ]
    if job.CLI is not None:
        ratio, verdict = judge(job.CLI, 1.0)
        sentence = f"Composite lifting index {job.CLI:.2f}: {reading(job.CLI)}."
    else:
        ratio, verdict = None, "fails"
        place = _label(given, job.beyond if job.beyond is not None else 0)
        sentence = (
            f"No composite index: with {place} the job is outside the range of the equation. "
            "Lift less often, or change that task."
        )
    found.append(
        Check(
            name="composite lifting index",
            case="whole job",
            demand=job.CLI,
            capacity=1.0,
            ratio=ratio,
            verdict=verdict,
            sentence=sentence,
            source=SOURCE,
        )
    )
    return tuple(found)


def _unknown(given: LiftJobInput, reasons: list[str]) -> Outcome:
    text = "; ".join(reasons)
    check = Check(
        name="composite lifting index",
        case="whole job",
        demand=None,
        capacity=None,
        ratio=None,
        verdict="unknown",
        sentence=text[0].upper() + text[1:] + ".",
        source=SOURCE,
    )
    blank: dict[str, Any] = dict.fromkeys(("end", "FIRWL", "STRWL", "FILI", "STLI"))
    return Outcome(
        results={"tasks": [{"name": task.name} | blank for task in given.tasks], "order": None, "CLI": None},
        working=Working(title="Composite lifting index", assumptions=tuple(reasons)),
        checks=(check,),
        warnings=tuple(reasons),
        sources=(SOURCE,),
    )


def _warnings(given: LiftJobInput, tasks: list[JobTask]) -> tuple[str, ...]:
    found = []
    if len({task.form for task in given.tasks}) > 1:
        found.append(
            "Some tasks were given in pounds and some in kilograms, so both forms of the equation were used; "
            "set form on every task to use one."
        )
    if len(tasks) > 10:
        found.append("More than 10 tasks: join those that are much alike, the index grows with every split.")
    heavy = [_label(given, i) for i, task in enumerate(tasks) if task.FILI is not None and task.FILI > 1]
    if heavy:
        found.append(
            f"The heaviest load alone is over its limit in {', '.join(heavy)}, however seldom it is lifted: "
            "lighten it or use a hoist."
        )
    return tuple(found)


CALCULATION = Calculation(
    name="lift_job",
    title="Composite lifting index",
    question="Can nearly all healthy workers do this job of several different lifts?",
    input=LiftJobInput,
    run=run,
    example={
        "tasks": [
            {
                "name": "sheets to the brake",
                "load_average": "20 lb",
                "load_max": "30 lb",
                "origin": {"horizontal": "14 in", "vertical": "30 in", "asymmetry": 0},
                "travel": "10 in",
                "frequency": 1,
                "coupling": "fair",
            },
            {
                "name": "bent parts to the rack",
                "load_average": "12 lb",
                "load_max": "15 lb",
                "origin": {"horizontal": "12 in", "vertical": "36 in", "asymmetry": "30 deg"},
                "destination": {"horizontal": "16 in", "vertical": "58 in", "asymmetry": 0},
                "frequency": 2,
                "coupling": "poor",
            },
        ],
        "duration": "short",
    },
)
