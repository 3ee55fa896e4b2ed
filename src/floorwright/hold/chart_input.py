"""What a control chart is given: reading and checking."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Confidence, Input, Plain, Positive
from floorwright.basis.quantity import Dimension, is_ordinary
from floorwright.basis.series import read_series
from floorwright.hold.run_rules import MEANING, RuleName

Kind = Literal["xmr", "xbar_r", "xbar_s", "p", "np", "c", "u"]
MEASURED: Final = ("xmr", "xbar_r", "xbar_s")
SIZED: Final = ("p", "np", "u")
_MOST_POINTS: Final = 100_000


def _list(raw: object) -> object:
    if not isinstance(raw, (list, tuple)):
        raise ValueError("should be a list")
    return raw


_ENTRY: Final = {"anyOf": [{"type": "number"}, {"type": "string", "minLength": 1}]}
Data = Annotated[
    list[Any],
    BeforeValidator(_list),
    WithJsonSchema(
        {
            "type": "array",
            "minItems": 2,
            "items": {"anyOf": [*_ENTRY["anyOf"], {"type": "array", "minItems": 2, "items": _ENTRY}]},
        }
    ),
]
Limit = Annotated[float | str, WithJsonSchema(_ENTRY)]


class SpecificationInput(Input):
    """What the customer or the drawing allows."""

    lower: Limit | None = Field(None, description="lowest value allowed, as the data are written")
    upper: Limit | None = Field(None, description="highest value allowed, as the data are written")


class ControlChartInput(Input):
    """Input of `control_chart`."""

    kind: Kind = Field(
        description="xmr: single readings with moving ranges; xbar_r, xbar_s: means of subgroups with ranges "
        "or standard deviations; p, np: share and number of faulty pieces; c, u: faults counted over the same, or "
        "over varying sizes"
    )
    data: Data = Field(
        min_length=2,
        max_length=_MOST_POINTS,
        description="points in order: readings (plain numbers or quantities of one kind), lists of readings for "
        "subgroups of one size from 2 to 25, or counts (plain) for p, np, c, u",
    )
    sizes: Positive | list[Positive] | None = Field(
        None,
        description="p, np, u: pieces or units looked at, one number (plain) or one for each point",
    )
    baseline: Annotated[int, Plain(at_least=2, whole=True)] | None = Field(
        None, description="how many of the first points set the limits (plain); all of them unless told"
    )
    rules: list[RuleName] = Field(
        default=["beyond_limit"],
        description="rules that mark points; beyond_limit alone unless told. "
        + "; ".join(f"{name}: {text}" for name, text in MEANING.items()),
    )
    specification: SpecificationInput | None = Field(
        None, description="limits of the specification, for Cp and Cpk of measured data"
    )
    confidence: Confidence = Field(0.95, description="confidence of the intervals of Cp and Cpk")


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """What was given, read and checked."""

    points: tuple[float, ...] = ()
    groups: tuple[tuple[float, ...], ...] = ()
    sizes: tuple[float, ...] = ()
    baseline: int
    dimension: Dimension | None = None
    spec: tuple[float | None, float | None] | None = None


def prepare(given: ControlChartInput) -> Prepared:
    """Read and check everything.

    Raises:
        InputError: naming every field that is wrong.
    """
    problems: list[Problem] = []
    points: tuple[float, ...] = ()
    groups: tuple[tuple[float, ...], ...] = ()
    dimension: Dimension | None = None
    sizes: tuple[float, ...] = ()
    spec = None
    try:
        if given.kind in ("xbar_r", "xbar_s"):
            groups, dimension = _subgroups(given.data)
        elif given.kind == "xmr":
            series = read_series(given.data, "data")
            points, dimension = series.values, series.dimension
        else:
            points = _counts(given.data)
    except InputError as error:
        problems += error.problems
    try:
        sizes = _sizes(given)
    except InputError as error:
        problems += error.problems
    if not problems and given.kind in ("p", "np"):
        problems += [
            Problem(f"data[{i}]", count, f"is {count:g}, more than the {size:g} pieces looked at")
            for i, (count, size) in enumerate(zip(points, sizes, strict=True))
            if count > size
        ]
    if given.baseline is not None and given.baseline > len(given.data):
        problems.append(
            Problem("baseline", given.baseline, f"is {given.baseline}; there are {len(given.data)} points")
        )
    try:
        spec = _specification(given, dimension)
    except InputError as error:
        problems += error.problems
    if problems:
        raise InputError(problems)
    return Prepared(
        points=points,
        groups=groups,
        sizes=sizes,
        baseline=given.baseline or len(given.data),
        dimension=dimension,
        spec=spec,
    )


def cross_checks(fields: Mapping[str, Any]) -> tuple[Problem, ...]:
    """What does not fit its kind or the data, in the fields that can be read."""
    if not {"kind", "data"} <= fields.keys():
        return ()
    try:
        prepare(ControlChartInput.model_construct(**fields))  # what cannot be read counts as not given
    except InputError as error:
        return error.problems
    return ()


def _subgroups(data: Sequence[Any]) -> tuple[tuple[tuple[float, ...], ...], Dimension | None]:
    problems = [
        Problem(f"data[{i}]", None, "should be a list of readings, one subgroup")
        for i, group in enumerate(data)
        if not isinstance(group, (list, tuple))
    ]
    if not problems:
        n = len(data[0])
        if not 2 <= n <= 25:
            problems.append(Problem("data[0]", n, f"has {n} readings; a subgroup holds 2 to 25"))
        problems += [
            Problem(
                f"data[{i}]", len(group), f"has {len(group)} readings, the first has {n}; use one size throughout"
            )
            for i, group in enumerate(data)
            if len(group) != n
        ]
    if problems:
        raise InputError(problems)
    first = read_series(data[0], "data[0]")
    groups = [first.values]
    for i, group in enumerate(data[1:], start=1):
        series = read_series(group, f"data[{i}]", first.dimension)
        if any(isinstance(entry, str) for entry in group) != any(isinstance(entry, str) for entry in data[0]):
            raise InputError.of(
                f"data[{i}]", None, "should be written as the first subgroup, all with a unit or none"
            )
        groups.append(series.values)
    return tuple(groups), first.dimension


def _counts(data: Sequence[Any]) -> tuple[float, ...]:
    problems = []
    for i, entry in enumerate(data):
        good = isinstance(entry, (int, float)) and not isinstance(entry, bool)
        if not good or not is_ordinary(entry) or entry < 0 or entry != int(entry):
            shown = entry if good and entry == entry else str(entry)
            problems.append(Problem(f"data[{i}]", shown, f"is {shown}; a count is a whole number, 0 or more"))
    if problems:
        raise InputError(problems)
    return tuple(float(entry) for entry in data)


def _sizes(given: ControlChartInput) -> tuple[float, ...]:
    if given.kind not in SIZED:
        if given.sizes is not None:
            raise InputError.of("sizes", None, f"does not belong to {given.kind}; leave it out")
        return ()
    if given.sizes is None:
        raise InputError.of("sizes", None, f"is missing; {given.kind} needs how much was looked at for each count")
    sizes = tuple(given.sizes) if isinstance(given.sizes, list) else (given.sizes,) * len(given.data)
    if len(sizes) != len(given.data):
        raise InputError.of(
            "sizes", len(sizes), f"has {len(sizes)} entries for {len(given.data)} points; give one each"
        )
    if given.kind in ("p", "np") and any(size != int(size) for size in sizes):
        raise InputError.of("sizes", None, "should be whole numbers of pieces")
    return sizes


def _specification(
    given: ControlChartInput, dimension: Dimension | None
) -> tuple[float | None, float | None] | None:
    spec = given.specification
    if spec is None:
        return None
    if given.kind not in MEASURED:
        raise InputError.of("specification", None, f"belongs to measured data; leave it out for {given.kind}")
    if spec.lower is None and spec.upper is None:
        raise InputError.of("specification", None, "is empty; give lower, upper, or both")
    lower, upper = (
        _spec_end(end, f"specification.{name}", dimension)
        for name, end in (("lower", spec.lower), ("upper", spec.upper))
    )
    if lower is not None and upper is not None and not lower < upper:
        raise InputError.of("specification.upper", spec.upper, "should be above lower")
    return lower, upper


def _spec_end(end: float | str | None, field: str, dimension: Dimension | None) -> float | None:
    if end is None:
        return None
    if isinstance(end, str) and dimension is None:
        raise InputError.of(field, end, "has a unit, but the data are plain numbers; write it as the data")
    try:
        return read_series([end], field, dimension).values[0]
    except InputError as error:
        raise InputError([Problem(field, end, problem.message) for problem in error.problems]) from None
