"""Improvements and shop settings as TOML files that a person writes: quantities in the shop's own units.

An improvement file holds the fields of the record, the studies with the files of their readings, the photos,
the spec of a shop aid where the change is one, and, if it tells what happened later, dated steps.
`docs/how-to/improvement-file.md` shows one.
"""

from __future__ import annotations

import datetime as dt
import tomllib
from pathlib import Path
from typing import Any, Final, Literal, Self

from pydantic import Field, model_validator

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.quantity import (
    AREA,
    DENSITY_ON_FLOOR,
    DISTANCE,
    FORCE,
    FRACTION,
    MASS,
    SPEED,
    TIME,
    Dimension,
    parse,
)
from floorwright.shop.filed import checked
from floorwright.shop.records import Improvement, Line, MeasureKind, Moment, Record, Settings, Text

DIMENSION_OF: Final[dict[MeasureKind, Dimension | None]] = {
    MeasureKind.TIMES: TIME,
    MeasureKind.DISTANCE: DISTANCE,
    MeasureKind.LIFT: None,
    MeasureKind.SPACE: AREA,
    MeasureKind.DENSITY: DENSITY_ON_FLOOR,
    MeasureKind.FORCE: FORCE,
    MeasureKind.WEIGHT: MASS,
    MeasureKind.COUNTS: None,
    MeasureKind.SHARES: FRACTION,
}


class StudyPlan(Record):
    """A study in an improvement file, with the file that holds its readings."""

    measure: Line
    moment: Moment
    on: dt.date
    who: Line
    role: Text = ""
    people_asked_on: dt.date | None = None
    shown_to_people_on: dt.date | None = None
    timing: Literal["snapback", "continuous"] = "snapback"
    elements: tuple[dict[str, Any], ...] = ()
    allowance: float | str = 0.15
    allowance_basis: Literal["work_time", "shift_time"] = "work_time"
    planned: int | None = None
    note: Text = ""
    file: Text = ""
    sheet: Text = ""
    columns: dict[str, str] = Field(default_factory=dict)
    leave_out_problems: bool = False


class PhotoPlan(Record):
    """A photo in an improvement file."""

    file: Line
    moment: Literal["before", "after", "other"] = "other"
    caption: Text = ""
    on: dt.date | None = None
    mask: tuple[tuple[float, float, float, float], ...] = ()


class Step(Record):
    """What somebody changed on a later day: fields of the improvement with their new values, or its design.

    Attributes:
        aid: file with the spec of a shop aid, which is checked and kept as the design; `set` is told apart from it.
    """

    on: dt.date
    who: Line
    role: Text = ""
    reason: Text = ""
    corrects: bool = False
    set: dict[str, Any] = Field(default_factory=dict)
    aid: Text = ""

    @model_validator(mode="after")
    def _one_thing(self) -> Self:
        if bool(self.set) == bool(self.aid):
            raise ValueError("give either set or aid: fields and a design are kept in steps of their own")
        if self.aid and self.corrects:
            raise ValueError("a design takes the place of the one before and corrects nothing; leave out corrects")
        return self


class ImprovementFile(Record):
    """An improvement file: the record as first noted, and what came later."""

    first: dict[str, Any]
    who: Line
    role: Text = ""
    studies: tuple[StudyPlan, ...] = ()
    photos: tuple[PhotoPlan, ...] = ()
    steps: tuple[Step, ...] = ()


def read_toml(path: Path) -> dict[str, Any]:
    """A TOML file as plain values.

    Raises:
        InputError: the file cannot be read, is not UTF-8, or is not TOML.
    """
    try:
        return tomllib.loads(path.read_bytes().decode("utf-8-sig"))
    except OSError as error:
        raise InputError.of(path.name, str(path), f"cannot be read: {error.strerror or error}") from None
    except UnicodeDecodeError:
        raise InputError.of(path.name, None, "is not UTF-8 text; save it as UTF-8") from None
    except tomllib.TOMLDecodeError as error:
        raise InputError.of(path.name, None, f"is not TOML: {error}") from None


def read_settings(path: Path) -> Settings:
    """Shop settings from a TOML file, walking speed as a person writes it. Raises InputError."""
    raw = read_toml(path)
    if (speed := raw.pop("walking_speed", None)) is not None:
        if not isinstance(speed, str):
            raise InputError.of("walking_speed", speed, f"is {speed}; write it with its unit, such as '3 mph'")
        raw["walking_speed_m_s"] = _quantity(speed, SPEED, "walking_speed")
    return checked(Settings, raw)


def read_improvement(path: Path) -> ImprovementFile:
    """An improvement file; file names in it are relative to its folder.

    Raises:
        InputError: listing every field that is wrong.
    """
    raw = read_toml(path)
    parts = {name: raw.pop(name, []) for name in ("studies", "photos", "steps")}
    who, role = raw.pop("who", raw.get("noticed_by", "")), raw.pop("role", "")
    aid = raw.pop("aid", None)
    first = measures_in_si(raw)
    noted = checked(Improvement, first)
    file = checked(ImprovementFile, {"first": first, "who": who, "role": role} | parts)
    steps = tuple(step.model_copy(update={"set": measures_in_si(step.set)}) for step in file.steps)
    if aid is not None:
        first_design = {"on": noted.noticed_on, "who": file.who, "role": file.role, "aid": aid}
        steps = (checked(Step, first_design), *steps)
    return file.model_copy(update={"steps": steps})


def measures_in_si(fields: dict[str, Any]) -> dict[str, Any]:
    """Fields of an improvement with the smallest change that matters of each measure turned into SI.

    Raises:
        InputError: naming the measure whose value cannot be read.
    """
    measures = fields.get("measures")
    if not isinstance(measures, list):
        return fields
    return fields | {"measures": [_measure_in_si(measure, i) for i, measure in enumerate(measures)]}


def _measure_in_si(measure: Any, index: int) -> Any:
    given = measure.get("smallest_that_matters") if isinstance(measure, dict) else None
    if given is None or isinstance(given, bool) or not isinstance(given, (str, int, float)):
        return measure
    try:
        kind = MeasureKind(measure.get("kind", ""))
    except ValueError:
        return measure  # the record's own check names the wrong kind
    return measure | {
        "smallest_that_matters": smallest_in_si(kind, given, f"measures[{index}].smallest_that_matters")
    }


def smallest_in_si(kind: MeasureKind, given: str | float, field: str) -> float:
    """The smallest change that matters, in SI; a bare number only where no unit can be meant.

    Raises:
        InputError: a value that cannot be read, or whose unit is not said.
    """
    dimension = DIMENSION_OF[kind]
    if dimension is None:
        return _bare(given, field)
    bare = _as_number(given)
    if bare is not None and dimension is FRACTION and bare > 1:
        raise InputError.of(field, given, f"is {given}; write a share such as '5 %' or 0.05")
    if bare and dimension not in (TIME, FRACTION):
        example = f"'{given} {dimension.us}' or '{given} {dimension.si}'"
        raise InputError.of(field, given, f"is {given} without a unit; write {example}")
    return _quantity(str(given), dimension, field)


def _as_number(given: str | float) -> float | None:
    try:
        return float(given)
    except ValueError:
        return None


def _bare(given: str | float, field: str) -> float:
    number = _as_number(given)
    if number is None:
        raise InputError.of(field, given, f"is '{given}'; it should be a bare number for this kind, such as 0.5")
    return number


def _quantity(text: str, dimension: Dimension, field: str) -> float:
    try:
        return parse(text, dimension)
    except ValueError as error:
        raise InputError([Problem(field, text, str(error))]) from None
