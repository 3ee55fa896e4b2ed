"""What the API answers, as models for its description. They describe; the values come from the use cases."""

from __future__ import annotations

import datetime as dt
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from floorwright.shop.records import Improvement, Observation, Photo, Settings, Study


class Shape(BaseModel):
    """Base of every answer: no field beyond those named here."""

    model_config = ConfigDict(extra="forbid")


class CalculationLine(Shape):
    """A calculation in the list."""

    name: str
    title: str
    question: str = Field(description="what it answers, one line")
    href: str = Field(description="where to ask for its schema, and where to send its input")


class Calculations(Shape):
    """Every calculation, in the order of the job."""

    calculations: list[CalculationLine]


class CalculationIntro(Shape):
    """What one calculation needs."""

    name: str
    title: str
    question: str
    schema_: dict[str, Any] = Field(alias="schema", description="JSON Schema (2020-12) of its input")
    example: dict[str, Any] = Field(description="an input that works")


class CheckAnswer(Shape):
    """A comparison of what is asked with what is there; a ratio above 1 fails."""

    name: str
    case: str
    demand: Any
    capacity: Any
    ratio: float | None
    verdict: Literal["ok", "close", "fails", "unknown"]
    sentence: str
    source: str


class WorkingLine(Shape):
    """One line of the working, in reading order."""

    kind: Literal["given", "assumption", "step"]
    meaning: str
    symbol: str = ""
    formula: str = ""
    value: Any = None
    unit: str = ""
    source: str = ""
    note: str = ""


class SourceAnswer(Shape):
    """A source in full."""

    id: str
    citation: str


class Explained(Shape):
    """The working for people."""

    text: str
    sources: list[SourceAnswer]


class CalculationAnswer(Shape):
    """What a calculation gives: the same as `floorwright calc NAME`."""

    calculation: str
    results: dict[str, Any] = Field(description="by the names of the contract, in docs/calculations.md")
    checks: list[CheckAnswer]
    working: list[WorkingLine]
    warnings: list[str] = Field(description="sentences to read before using the numbers")
    sources: list[str] = Field(description="ids; with `explain` in full below")
    explained: Explained | None = Field(default=None, description="with `explain` only")


class ImprovementAnswer(Improvement):
    """An improvement with its number, version, phase and next step."""

    number: int
    version: int
    phase: Literal["idea", "plan", "do", "check", "act", "dropped"]
    next_step: str


class Improvements(Shape):
    """A page of improvements."""

    improvements: list[ImprovementAnswer]
    total: int = Field(description="how many fit the filters")
    next: int | None = Field(description="send it as `after` for the next page; null on the last one")


class Numbered(Shape):
    """Something that was stored or changed: its number and the version it has now."""

    number: int
    version: int


class ChangeAnswer(Shape):
    """One field that a version changed."""

    path: str
    before: Any
    after: Any


class Version(Shape):
    """One version of an improvement."""

    version: int
    at: dt.datetime = Field(json_schema_extra={"format": "local-date-time"}, description="local time, no zone")
    who: str
    role: str
    reason: str
    replaces: int = Field(description="the version that this one corrects; 0 when it only adds")
    changes: list[ChangeAnswer]


class History(Shape):
    """Every version of an improvement, oldest first."""

    history: list[Version]


class SideAnswer(Shape):
    """One side of a comparison: number of values and their level, in SI of the measure."""

    n: int
    level: float | None


class DueDate(Shape):
    """A day on which a gain is measured again."""

    on: dt.date
    state: str
    measured_on: dt.date | None


class ProofAnswer(Shape):
    """What one measure shows."""

    measure: str
    kind: str
    verdict: Literal["proven", "likely", "not shown", "worse"] | None
    held: bool | None
    before: SideAnswer | None
    after: SideAnswer | None
    again: SideAnswer | None
    compare: CalculationAnswer | None = Field(description="of before against after, in the shop's units")
    compared_on: list[str]
    notes: list[str]
    due: list[DueDate]


class RateAnswer(Shape):
    """The labour rate that was used."""

    name: str
    basis: str
    per_hour: str = Field(description="money")
    note: str


class Results(Shape):
    """What an improvement shows: the same as `floorwright prove SHOP NUMBER --json`."""

    number: int
    title: str
    phase: str
    next_step: str
    measures: list[ProofAnswer]
    standing: Literal["banked", "freed", "hoped", "none"]
    reason: str = Field(description="why no money is claimed")
    one_off: str | None = Field(description="money: what the change costs")
    rate: RateAnswer | None
    gain: CalculationAnswer | None


class PhotoAnswer(Photo):
    """A photo of an improvement and where to fetch it."""

    href: str


class Photos(Shape):
    """The photos of an improvement."""

    photos: list[PhotoAnswer]


class PhotoStored(Shape):
    """A photo that was stored."""

    hash: str
    href: str


class StudyAnswer(Study):
    """A study with its number, version and the number of its readings."""

    number: int
    version: int
    readings: int


class Studies(Shape):
    """A page of studies."""

    studies: list[StudyAnswer]
    total: int
    next: int | None


class StudyResults(Shape):
    """What a study says so far, in SI of its kind."""

    study: int
    measure: str
    values: list[float]
    level: float | None
    low: float | None
    high: float | None
    left_out: list[str]
    foreign: int
    time_study: CalculationAnswer | None
    sample_size: dict[str, Any] | None


class Reading(Observation):
    """A reading as it is kept."""


class Readings(Shape):
    """A page of readings in the order of entry, corrected ones and their corrections too."""

    readings: list[Reading]
    last: int = Field(description="place of the last one shown; what comes in later stands behind it")
    next: int | None


class ReadingsStored(Shape):
    """What became of readings: how many are new, how many the study held already."""

    new: int
    already: int


class Interval(Shape):
    """Where it may lie."""

    low: float | None
    high: float | None


class LedgerSum(Shape):
    """Hours and money a year; money is text."""

    hours_per_year: str
    money_per_year: str
    at_rate_per_year: str
    hours_interval: Interval | None
    money_interval: Interval | None


class LedgerElement(Shape):
    """A piece of work: its first level, its last, and the gain, in `unit`."""

    element: str
    column: str
    unit: str
    first: float
    last: float
    gain: float
    improvements: list[int]


class LedgerLine(Shape):
    """What one improvement brings to a piece of work."""

    improvement: int
    element: str
    column: str
    standing: str
    gain: float
    hours_per_year: str | None
    money_per_year: str | None
    hours_interval: Interval | None


class LedgerAnswer(Shape):
    """The gains of the shop; banked, freed and hoped for are never added up."""

    sums: dict[str, LedgerSum]
    elements: list[LedgerElement]
    lines: list[LedgerLine]
    rates: str
    notes: list[str]


class MonthSum(Shape):
    """Hours and money that came in during a month."""

    hours: str
    money: str


class MonthAnswer(BaseModel):
    """One month, by standing."""

    model_config = ConfigDict(extra="allow")
    month: str = Field(pattern=r"^\d{4}-\d{2}$")
    banked: MonthSum
    freed: MonthSum
    hoped: MonthSum


class Months(Shape):
    """What has come in, month by month."""

    months: list[MonthAnswer]


class DueAnswer(Shape):
    """Something that needs someone."""

    improvement: int
    title: str
    on: dt.date
    what: str
    late: bool


class DueList(Shape):
    """What needs someone, earliest first."""

    due: list[DueAnswer]


class SettingsAnswer(Settings):
    """The shop's settings and their version."""

    version: int


class SettingsVersion(Shape):
    """The version that the settings have now."""

    version: int


class Choices(Shape):
    """What fields can hold in this shop."""

    wastes: list[str]
    phases: list[str]
    kinds: list[str]
    uses_of_time: list[str]
    areas: list[str]
    stations: list[str]
    rates: list[str]
    units: Literal["us", "si"]
    currency: str
    today: dt.date


class ProblemAnswer(Shape):
    """One thing that is wrong, and what would be right."""

    field: str = Field(description="where, such as `tasks[0].load`; empty when it is about the whole")
    value: Any = Field(description="what stood there")
    message: str


class ProblemList(Shape):
    """Everything that is wrong."""

    fields: list[ProblemAnswer]


class Refused(Shape):
    """The one shape of every refusal."""

    error: ProblemList


class ClashAnswer(Shape):
    """A field that you and somebody else changed since the version you saw."""

    field: str
    base: Any
    yours: Any
    theirs: Any


class Clashed(Shape):
    """Somebody else was quicker. Where the same fields were changed, both sides of each stand in `clashes`."""

    error: ProblemList
    version: int | None = Field(default=None, description="the version that stands now")
    clashes: list[ClashAnswer] = Field(default_factory=list)


class ItemAnswer(Shape):
    """What became of an item."""

    key: str
    state: Literal["stored", "again", "refused", "conflict", "held"]
    result: dict[str, Any]
    problems: list[ProblemAnswer]


class InboxAnswer(Shape):
    """An answer for each item, in order."""

    results: list[ItemAnswer]
