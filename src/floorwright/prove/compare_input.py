"""Input of `compare`: two series or two counts, plain or with units of one kind."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal

from pydantic import (
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    Tag,
    ValidatorFunctionWrapHandler,
    WrapValidator,
)
from pydantic.types import Discriminator
from pydantic_core import CoreSchema, core_schema

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Confidence, Input, PositiveWhole, Whole
from floorwright.basis.quantity import (
    AREA,
    DENSITY_ON_FLOOR,
    DISTANCE,
    FORCE,
    FRACTION,
    MASS,
    RATE,
    SPEED,
    TIME,
    Dimension,
    parse,
)
from floorwright.basis.sentence import Sentence

Kind = Literal["times", "paired", "counts", "proportions"]
MOST_READINGS: Final = 2_000_000
LARGEST_READING: Final = 1e15
_KINDS_OF_QUANTITY: Final = (TIME, DISTANCE, MASS, FORCE, AREA, DENSITY_ON_FLOOR, SPEED, RATE)
_BARE: Final = re.compile(r"^\s*[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?\s*$")


class _Reading:
    """A bare number, or text that is read as a quantity once the kind of all readings is known."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(_number_or_text)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"anyOf": [{"type": "number"}, {"type": "string", "minLength": 1}]}


def _number_or_text(value: Any) -> float | str:
    if isinstance(value, str):
        if _BARE.match(value):
            raise ValueError(f"'{value}' is text without a unit; write {value.strip()} or '{value.strip()} s'")
        return value
    # A whole number may have hundreds of digits, and then nothing but a comparison can be done with it.
    endless = isinstance(value, float) and not math.isfinite(value)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or endless:
        raise ValueError("should be a number, or a quantity such as '41.5 s'")
    if abs(value) > LARGEST_READING:
        raise ValueError(f"is too large; a reading is at most {LARGEST_READING:g}")
    return float(value)


Reading = Annotated[float | str, _Reading()]


class Events(Input):
    """Events counted over an exposure."""

    events: Whole = Field(description="how many were counted")
    exposure: Reading = Field(description="what they were counted over: pieces, metres, or a time such as '40 h'")


class Trials(Input):
    """Successes in a number of trials."""

    successes: Whole = Field(description="how many had it")
    trials: PositiveWhole = Field(description="how many were looked at")


def _form(value: Any) -> str:
    if isinstance(value, (Trials, dict)) and (isinstance(value, Trials) or {"successes", "trials"} & set(value)):
        return "[trials]"
    return "[events]" if isinstance(value, (Events, dict)) else "[series]"


Series = Annotated[list[Reading], Field(max_length=MOST_READINGS)]
Sample = Annotated[
    Annotated[Series, Tag("[series]")] | Annotated[Events, Tag("[events]")] | Annotated[Trials, Tag("[trials]")],
    Discriminator(_form),
]


def _as_said(given: Any, check: ValidatorFunctionWrapHandler) -> str:
    """A unit that came as a sentence stays one, so that what is told in it can be said in another language."""
    found: str = check(given)
    return given if isinstance(given, Sentence) and given == found else found


class CompareInput(Input):
    """Input of `compare`."""

    kind: Kind = Field(description="times, paired, counts or proportions")
    before: Sample = Field(description="readings in the order taken; or {events, exposure}; or {successes, trials}")
    after: Sample = Field(description="the same after the change; pairs in the same order as before")
    better: Literal["lower", "higher"] = Field(default="lower", description="which way a gain lies")
    smallest_that_matters: Reading | None = Field(
        default=None,
        description="the smallest gain worth having, in the unit of the difference; 0 unless told, with a warning",
    )
    confidence: Confidence = Field(default=0.95, description="of every interval, 0.95 or '95 %'")
    planned: bool = Field(
        default=False,
        description="true only if the number of observations was fixed beforehand; then `proven` rests on the "
        "fixed-sample interval",
    )
    unit: Annotated[str, Field(max_length=40), WrapValidator(_as_said)] = Field(
        default="",
        description="what bare numbers are in, such as 'ft' or 's a frame', for the sentences and the working",
    )
    before_strata: list[str] | None = Field(
        default=None,
        description="times only: a label for each reading before (part, driver, operator), so that like is "
        "compared with like",
    )
    after_strata: list[str] | None = Field(default=None, description="the same for each reading after")


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Two series in SI, or as bare numbers where `dimension` is None."""

    before: list[float]
    after: list[float]
    dimension: Dimension | None
    smallest: float
    strata: tuple[list[str], list[str]] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """Two counts over their exposures (seconds where `dimension` is a rate)."""

    before: tuple[int, float]
    after: tuple[int, float]
    dimension: Dimension | None
    smallest: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Shares:
    """Successes and trials on either side."""

    before: tuple[int, int]
    after: tuple[int, int]
    smallest: float


def read(given: CompareInput) -> Readings | Counts | Shares:
    """What is compared, checked for its kind.

    Raises:
        InputError: naming the fields that do not fit.
    """
    problems = tuple(_misfits(dict(given)))
    if problems:
        raise InputError(problems)
    taken = _taken(given)
    if given.unit and not isinstance(taken, Shares) and taken.dimension is not None:
        raise InputError.of("unit", given.unit, "is for bare numbers; the readings carry their units already")
    return taken


def cross_checks(fields: Mapping[str, Any]) -> Iterator[Problem]:
    """What does not fit its kind, or one side the other, in the fields that can be read."""
    problems = tuple(_misfits(fields))
    yield from problems
    if problems or "kind" not in fields:
        return
    if {"before", "after"} <= fields.keys():
        try:
            read(CompareInput.model_construct(**fields))  # what cannot be read counts as not given
        except InputError as error:
            yield from error.problems
        return
    alone = {name: fields[name] for name in ("before", "after") if isinstance(fields.get(name), Events)}
    try:
        read_exposures(alone)
    except InputError as error:
        yield from error.problems


def _misfits(fields: Mapping[str, Any]) -> Iterator[Problem]:
    kind = fields.get("kind")
    if kind is None:
        return
    wanted, example = _FORMS[kind]
    for name in ("before", "after"):
        if name in fields and not isinstance(fields[name], wanted):
            yield Problem(name, None, f"does not fit the kind {kind}; it should be {example}")
    if kind != "times":
        for name in ("before_strata", "after_strata"):
            if fields.get(name) is not None:
                yield Problem(name, None, "compares like with like for times only; leave it out here")


def _taken(given: CompareInput) -> Readings | Counts | Shares:
    if isinstance(given.before, Events) and isinstance(given.after, Events):
        return _counts(given, given.before, given.after)
    if isinstance(given.before, Trials) and isinstance(given.after, Trials):
        return _shares(given, given.before, given.after)
    return _readings(given, list(given.before), list(given.after))  # type: ignore[arg-type]


_FORMS: Final[dict[Kind, tuple[type, str]]] = {
    "times": (list, "a list of readings"),
    "paired": (list, "a list of readings"),
    "counts": (Events, "an object {events, exposure}"),
    "proportions": (Trials, "an object {successes, trials}"),
}


def _readings(given: CompareInput, before: list[float | str], after: list[float | str]) -> Readings:
    for name, series in (("before", before), ("after", after)):
        if len(series) < 2:
            raise InputError.of(
                name,
                len(series),
                f"has {len(series) or 'no'} reading{'' if len(series) == 1 else 's'}; a comparison needs 2 or more",
            )
    if given.kind == "paired" and len(before) != len(after):
        raise InputError.of(
            "after",
            len(after),
            f"has {len(after)} readings, before has {len(before)}; pairs need as many on either side",
        )
    places = named("before", before) + named("after", after)
    dimension = dimension_of(places)
    values = in_si(places, dimension)
    if dimension is TIME:
        _refuse_no_time(places, values)
    return Readings(
        before=values[: len(before)],
        after=values[len(before) :],
        dimension=None if dimension is FRACTION else dimension,
        smallest=_smallest(given, dimension),
        strata=_strata(given, len(before), len(after)),
    )


def _refuse_no_time(places: Sequence[tuple[str, float | str]], values: Sequence[float]) -> None:
    """Bare numbers may be differences and lie below 0; what carries a unit of time was measured."""
    problems = [
        Problem(field, text, f"is {text}; a time that was measured is more than 0")
        for (field, text), value in zip(places, values, strict=True)
        if not value > 0
    ]
    if problems:
        raise InputError(problems)


def named(field: str, values: Sequence[float | str]) -> list[tuple[str, float | str]]:
    """Each value with the name of its place: `before[3]`."""
    return [(f"{field}[{i}]", value) for i, value in enumerate(values)]


def dimension_of(values: Sequence[tuple[str, float | str]]) -> Dimension | None:
    """The kind of quantity in which every text can be read; None for bare numbers.

    Raises:
        InputError: when bare numbers and quantities stand side by side, or a text is no quantity.
    """
    texts = [(field, value) for field, value in values if isinstance(value, str)]
    if not texts:
        return None
    bare = next(((field, value) for field, value in values if not isinstance(value, str)), None)
    if bare is not None:
        raise InputError.of(*bare, "is a bare number among quantities; give each its unit, or none")
    field, text = texts[0]
    first = next((each for each in (*_KINDS_OF_QUANTITY, FRACTION) if _fits(text, each)), None)
    if first is None:
        raise InputError.of(field, text, "is not a quantity; write it like '41.5 s' or '120 ft'")
    if first is MASS and not all(_fits(each, MASS) for _, each in texts):
        return FORCE  # pounds are both
    return first


def _fits(text: str, dimension: Dimension) -> bool:
    try:
        parse(text, dimension)
    except ValueError:
        return False
    return True


def in_si(values: Sequence[tuple[str, float | str]], dimension: Dimension | None) -> list[float]:
    """The values in SI.

    Raises:
        InputError: naming every value of another kind.
    """
    problems, found = [], []
    for field, value in values:
        if isinstance(value, float) or dimension is None:
            found.append(float(value))
            continue
        try:
            found.append(float(_number_or_text(parse(value, dimension))))
        except ValueError as error:
            problems.append(Problem(field, value, str(error)))
    if problems:
        raise InputError(problems)
    return found


def _smallest(given: CompareInput, dimension: Dimension | None) -> float:
    value = given.smallest_that_matters
    if value is None:
        return 0.0
    field = "smallest_that_matters"
    if isinstance(value, str):
        if dimension is None and not _fits(value, FRACTION):
            raise InputError.of(field, value, "has a unit, the readings have none; give both the same way")
        try:
            value = parse(value, dimension or FRACTION)
        except ValueError as error:
            raise InputError.of(field, value, str(error)) from None
    if value < 0:
        raise InputError.of(field, given.smallest_that_matters, "is below 0; give the size of the gain, 0 or more")
    return value


def _strata(given: CompareInput, before: int, after: int) -> tuple[list[str], list[str]] | None:
    labels = (given.before_strata, given.after_strata)
    if labels == (None, None):
        return None
    for name, strata, count in (("before_strata", labels[0], before), ("after_strata", labels[1], after)):
        if strata is None or len(strata) != count:
            have = 0 if strata is None else len(strata)
            raise InputError.of(name, have, f"has {have} labels; it needs one for each of the {count} readings")
    return list(labels[0] or ()), list(labels[1] or ())


def _counts(given: CompareInput, before: Events, after: Events) -> Counts:
    exposures, dimension = read_exposures({"before": before, "after": after})
    rate = None if dimension is None else RATE
    return Counts(
        before=(before.events, exposures[0]),
        after=(after.events, exposures[1]),
        dimension=rate,
        smallest=_smallest(given, rate),
    )


def read_exposures(sides: dict[str, Events]) -> tuple[list[float], Dimension | None]:
    """The exposures, in seconds where they are times.

    Raises:
        InputError: when one is neither a bare number nor a time, or is not more than 0.
    """
    places = [(f"{name}.exposure", side.exposure) for name, side in sides.items()]
    dimension = dimension_of(places)
    if dimension not in (None, TIME):
        raise InputError.of(*places[0], "should be a bare number (pieces, metres) or a time such as '40 h'")
    values = in_si(places, dimension)
    problems = [
        Problem(field, value, "should be more than 0")
        for (field, value), exposure in zip(places, values, strict=True)
        if not exposure > 0
    ]
    if problems:
        raise InputError(problems)
    return values, dimension


def _shares(given: CompareInput, before: Trials, after: Trials) -> Shares:
    for name, side in (("before", before), ("after", after)):
        if side.successes > side.trials:
            raise InputError.of(
                f"{name}.successes", side.successes, f"is more than the {side.trials} trials there were"
            )
    return Shares(
        before=(before.successes, before.trials),
        after=(after.successes, after.trials),
        smallest=_smallest(given, None),
    )
