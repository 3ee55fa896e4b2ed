"""The working of a composite lifting index."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from floorwright.basis.people.composite_lift import Composite, JobTask
from floorwright.basis.people.lifting import SOURCE
from floorwright.basis.people.lifting_tables import DURATION_MEANING, Duration
from floorwright.basis.working import Given, Step, Working
from floorwright.observe.lift import PLAIN
from floorwright.observe.lift_input import LiftShape, end_steps, form_constant, form_name


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedTask:
    """A task as it was given, what it is called, its governing end, and what the equation made of it."""

    lift: LiftShape
    label: str
    end: str
    task: JobTask


def job_working(tasks: Sequence[WorkedTask], duration: Duration, job: Composite) -> Working:
    """Every task from its dimensions to its index, then the sum over the job."""
    givens: list[Given] = []
    steps: list[Step] = []
    for place, task in enumerate(tasks, start=1):
        more, found = _task_steps(task, str(place), duration)
        givens += more
        steps += found
    steps += _sum_steps([task.label for task in tasks], job)
    forms = dict.fromkeys(form_name(task.lift.form) for task in tasks)
    return Working(
        title="Composite lifting index (revised NIOSH lifting equation)",
        given=tuple(givens),
        assumptions=(
            *forms,
            f"{duration} duration: {DURATION_MEANING[duration]}",
            "a task whose load is placed with care counts with the end that has the lower limit",
            "summed frequencies are read in the height column of the task being added",
            *PLAIN,
        ),
        steps=tuple(steps),
    )


def _task_steps(worked: WorkedTask, n: str, duration: Duration) -> tuple[list[Given], list[Step]]:
    task, label, end = worked.task, worked.label, worked.end
    rating, form = task.rating, task.rating.form
    more, found = end_steps(rating, worked.lift, duration, tag=n, task=n, where=f"at the {end} of {label}")
    constant = form_constant(rating)
    givens = [
        Given(f"LC{n}", constant.value, constant.unit, f"load constant, {label}"),
        Given(f"load_average{n}", form.mass(task.load_average_kg), form.mass_unit, f"average load of {label}"),
        Given(f"load_max{n}", form.mass(task.load_max_kg), form.mass_unit, f"heaviest load of {label}"),
        Given(f"D{n}", rating.D, form.length_unit, f"vertical distance moved in {label}"),
        Given(f"F{n}", task.frequency, "1/min", f"lifts a minute in {label}"),
        *more,
    ]
    product = " * ".join(f"{m}M{n}" for m in "HVDAC")
    steps = [
        *found,
        Step(
            f"FIRWL{n}",
            f"LC{n} * {product}",
            form.mass(rating.FIRWL_kg),
            form.mass_unit,
            f"limit of {label} without its frequency",
            SOURCE,
        ),
        Step(
            f"STRWL{n}",
            f"FIRWL{n} * FM{n}",
            form.mass(rating.RWL_kg),
            form.mass_unit,
            f"limit of {label} alone",
            SOURCE,
        ),
    ]
    if task.FILI is not None:
        steps.append(Step(f"FILI{n}", f"load_max{n} / FIRWL{n}", task.FILI, "", f"{label}, heaviest load", SOURCE))
    if task.STLI is not None:
        formula = f"load_average{n} / STRWL{n}"
        steps.append(Step(f"STLI{n}", formula, task.STLI, "", f"lifting index of {label} alone", SOURCE))
    return givens, steps


def _sum_steps(labels: Sequence[str], job: Composite) -> list[Step]:
    if job.CLI is None:
        return []
    steps: list[Step] = []
    terms = [f"STLI{job.order[0] + 1}"]
    for place, part in enumerate(job.added, start=2):
        n, label = part.task + 1, labels[part.task]
        table = f"table 5, linear between rows, in the height column of {label}"
        steps += [
            Step(
                f"FMa_{place}",
                "",
                part.FM_before,
                "",
                f"frequency multiplier at {part.frequency_before:g} lifts a minute, before {label}",
                SOURCE,
                table,
            ),
            Step(
                f"FMb_{place}",
                "",
                part.FM_with,
                "",
                f"frequency multiplier at {part.frequency_with:g} lifts a minute, with {label}",
                SOURCE,
                table,
            ),
            Step(
                f"dLI_{place}",
                f"FILI{n} * (1 / FMb_{place} - 1 / FMa_{place})",
                part.index,
                "",
                f"what {label} adds",
                SOURCE,
            ),
        ]
        terms.append(f"dLI_{place}")
    steps.append(Step("CLI", " + ".join(terms), job.CLI, "", "composite lifting index", SOURCE))
    return steps
