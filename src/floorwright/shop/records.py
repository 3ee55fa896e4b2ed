"""What a shop keeps: settings, improvements, studies and observations, as frozen, validated records.

Records are stored as documents with a version and a history (see `ports`); observations are rows that are
only ever appended. Quantities are SI with the unit in the name; money is a Decimal in the shop's currency.
"""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, field_validator, model_validator

from floorwright.basis.sentence import said


class Record(BaseModel):
    """Base of every record: frozen, no unknown fields."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)


Line = Annotated[str, StringConstraints(min_length=1, max_length=200)]
Text = Annotated[str, StringConstraints(max_length=8000)]
Money = Annotated[Decimal, Field(ge=0, max_digits=14, decimal_places=2)]
NonNegative = Annotated[float, Field(ge=0, allow_inf_nan=False)]
Positive = Annotated[float, Field(gt=0, allow_inf_nan=False)]
Hours = Annotated[float, Field(ge=0, le=1_000_000, allow_inf_nan=False)]
TimesAYear = Annotated[float, Field(gt=0, le=1_000_000_000, allow_inf_nan=False)]


class Waste(StrEnum):
    """Kinds of waste, in the words of the floor."""

    WALKING = "walking"
    SEARCHING = "searching"
    WAITING = "waiting"
    LIFTING = "lifting"
    DOUBLE_HANDLING = "double handling"
    SCRATCHES = "scratches"
    SPACE = "space"
    MATERIAL = "material"
    OTHER = "other"


class Phase(StrEnum):
    """Where an improvement stands in the plan-do-check-act cycle, and what lies outside it."""

    IDEA = "idea"
    PLAN = "plan"
    DO = "do"
    CHECK = "check"
    ACT = "act"
    DROPPED = "dropped"


class Use(StrEnum):
    """What happens with the time that is saved: only the first three are money."""

    FEWER_HOURS = "fewer hours paid"
    MORE_MADE = "more made"
    OVERTIME_AVOIDED = "overtime avoided"
    NOTHING_YET = "nothing yet"


class RateBasis(StrEnum):
    """What a labour rate holds: the wage alone, the wage with its burden, or what a customer is billed."""

    WAGE = "wage"
    BURDENED = "burdened"
    BILLING = "billing"


class LabourRate(Record):
    """A labour rate in money an hour, with its basis and where it comes from."""

    name: Line
    basis: RateBasis
    per_hour: Annotated[Decimal, Field(gt=0, max_digits=10, decimal_places=2)]
    note: Text = ""


class Shift(Record):
    """A shift: its name, when it starts and when it ends; one that ends before it starts goes past midnight."""

    name: Annotated[str, StringConstraints(min_length=1, max_length=40)]
    starts: dt.time
    ends: dt.time

    @field_validator("starts", "ends")
    @classmethod
    def _plain_time(cls, value: dt.time) -> dt.time:
        if value.tzinfo is not None:
            raise ValueError(said("should be a time of the shop's own clock, such as 06:00, without a time zone"))
        return value

    @model_validator(mode="after")
    def _lasts(self) -> Shift:
        if self.starts == self.ends:
            raise ValueError(
                said(
                    "shift '{name}' starts and ends at the same time; give both, such as 06:00 and 14:30",
                    name=self.name,
                )
            )
        return self


class Settings(Record):
    """The shop and how it counts."""

    name: Line
    units: Literal["us", "si"] = "us"
    currency: Annotated[str, StringConstraints(min_length=1, max_length=8)] = "$"
    paper: Literal["letter", "a4"] = "letter"
    people: Annotated[int, Field(ge=1, le=100_000)] | None = None
    areas: tuple[Line, ...] = ()
    stations: tuple[Line, ...] = ()
    rates: tuple[LabourRate, ...] = ()
    confidence: Annotated[float, Field(ge=0.8, le=0.999)] = 0.95
    interest: Annotated[float, Field(ge=0, le=1)] = 0.08
    walking_speed_m_s: Positive = 1.34112
    distances_m: tuple[tuple[Line, Line, NonNegative], ...] = ()
    shifts: Annotated[tuple[Shift, ...], Field(max_length=20)] = ()

    @model_validator(mode="after")
    def _unique_names(self) -> Settings:
        for what, names in (
            ("labour rates", [rate.name for rate in self.rates]),
            ("shifts", [shift.name for shift in self.shifts]),
        ):
            if len(set(names)) != len(names):
                raise ValueError(said("two {what} have the same name; give each its own", what=what))
        return self

    def rate(self, name: str | None) -> LabourRate | None:
        """The labour rate of this name; the first one when no name is given."""
        for rate in self.rates:
            if name is None or rate.name == name:
                return rate
        return None


Moment = Literal["before", "after", "again"]
"""Before the change, after it, or measured again later to see whether the gain holds."""


Share = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]
MOST_MARKS: Final = 20


class Mark(Record):
    """Something drawn on a photo to show where to look; the photo itself stays as it is.

    Attributes:
        kind: a ring around something, an arrow that points at it, or a line drawn by hand.
        points: fractions of the photo's width and height, from the top left corner: of a ring two opposite corners
            of the rectangle it fills, of an arrow its tail and its tip, of a line every corner.
        label: a few words beside it.
    """

    kind: Literal["ring", "arrow", "line"]
    points: Annotated[tuple[tuple[Share, Share], ...], Field(min_length=2, max_length=200)]
    label: Annotated[str, StringConstraints(max_length=60)] = ""

    @model_validator(mode="after")
    def _can_be_seen(self) -> Mark:
        if self.kind != "line" and len(self.points) != 2:
            raise ValueError(said("has {have} points; a {kind} has two", have=len(self.points), kind=self.kind))
        if len(set(self.points)) == 1:
            raise ValueError(said("begins and ends in the same place; drag it a little further"))
        return self


class Photo(Record):
    """A photo in the shop's photo store, by content hash, and the marks drawn over it."""

    hash: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
    moment: Literal["before", "after", "other"] = "other"
    caption: Annotated[str, StringConstraints(max_length=300)] = ""
    taken_on: dt.date | None = None
    marks: Annotated[tuple[Mark, ...], Field(max_length=MOST_MARKS)] = ()


class MeasureKind(StrEnum):
    """How a measure is taken, which decides how before and after are compared."""

    TIMES = "times"  # seconds a cycle, or a unit of its driver
    DISTANCE = "distance"  # metres walked a round, from routes and the distance table
    LIFT = "lift"  # NIOSH lifting index of single lifts
    SPACE = "space"  # square metres taken up
    DENSITY = "density"  # pieces a square metre
    FORCE = "force"  # newtons of push or pull
    WEIGHT = "weight"  # kilograms of material (used, wasted)
    COUNTS = "counts"  # events over exposure: scratches, touches, searches
    SHARES = "shares"  # share of random looks in which something was seen, or of pieces with a fault


SI_UNIT: Final = {
    MeasureKind.TIMES: "s",
    MeasureKind.DISTANCE: "m",
    MeasureKind.LIFT: "",
    MeasureKind.SPACE: "m2",
    MeasureKind.DENSITY: "1/m2",
    MeasureKind.FORCE: "N",
    MeasureKind.WEIGHT: "kg",
    MeasureKind.COUNTS: "",
    MeasureKind.SHARES: "",
}

LONGEST_TIME_S: Final = 12 * 3600.0  # a longer time is a slip: no element of work outlasts a shift


class Measure(Record):
    """One thing that an improvement wants to change, and what is asked before anyone looks at results.

    Attributes:
        name: in the words of the floor ("fetch clamps", "scratched panels").
        kind: how it is taken.
        better: which way is better.
        smallest_that_matters: the smallest change worth having, in SI of the kind (a rate per exposure unit
            for counts, a fraction for shares).
        per: what counts are counted over ("panel", "shift"), or the driver that times are divided by.
        element: for times, the element that is compared; "" for the whole cycle.
        include_setup: whether set-up elements belong to the cycle that is compared.
        planned_after: how many observations after the change were fixed beforehand; None when nobody did.
        paired: whether observation i after was taken on the same job as observation i before.
        saves_time: whether the seconds of this measure are the ones the ledger counts.
        said_late: whether what is better, what matters or how many were planned was changed when readings
            after the change were in already; set by the program, shown beside the verdict, never taken back.
    """

    name: Line
    kind: MeasureKind
    better: Literal["lower", "higher"] = "lower"
    smallest_that_matters: NonNegative = 0.0
    per: Annotated[str, StringConstraints(max_length=60)] = ""
    element: Annotated[str, StringConstraints(max_length=120)] = ""
    include_setup: bool = False
    planned_after: Annotated[int, Field(ge=2, le=1_000_000)] | None = None
    paired: bool = False
    saves_time: bool = False
    said_late: bool = False

    @model_validator(mode="after")
    def _only_times_save_time(self) -> Measure:
        if self.saves_time and self.kind not in (MeasureKind.TIMES, MeasureKind.DISTANCE):
            raise ValueError(
                said(
                    "'{name}' is no time or distance, so it cannot save time; leave saves_time out", name=self.name
                )
            )
        return self


class Cost(Record):
    """What the change costs: hours of building and of standing still, material, upkeep a year, life."""

    building_hours: Hours = 0.0
    material: Money = Decimal(0)
    downtime_hours: Hours = 0.0
    upkeep_per_year: Money = Decimal(0)
    life_years: Annotated[float, Field(gt=0, le=50)] = 5.0
    note: Text = ""


class Caution(Record):
    """What can hurt someone; the signal word follows ANSI Z535."""

    signal: Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
    text: Line


class Proposed(Record):
    """A checked design as an improvement keeps it: what was asked, and what the checks said on that day.

    The design itself comes again from `spec`; a later version of the program may judge it otherwise.

    Attributes:
        kind, pattern: which designer made it (`floorwright.propose`), and by which of its patterns.
        title: what it is.
        spec: what was asked, as it was given.
        verdict: of the whole; counts: how many checks have each verdict.
        first: what to change first, one sentence; "" where nothing fails and nothing is unknown.
        mass_kg, load_kg: of the empty thing, and of what lies on it.
        rated_kg: the working load; None where it is withheld, `why_not` then names the checks in the way.
        cautions: what can hurt someone with it.
        checked_on, program: the day of the check, and the version of the program that made it.
    """

    kind: Literal["aid"] = "aid"
    pattern: Line
    title: Line
    spec: dict[str, Any]
    verdict: Literal["ok", "close", "fails", "unknown"]
    counts: dict[Literal["fails", "unknown", "close", "ok"], Annotated[int, Field(ge=0)]]
    first: Text = ""
    mass_kg: NonNegative
    load_kg: NonNegative
    rated_kg: NonNegative | None = None
    why_not: tuple[Line, ...] = ()
    cautions: tuple[Caution, ...] = ()
    checked_on: dt.date
    program: Line


class Note(Record):
    """A dated note by a person."""

    on: dt.date
    who: Line
    text: Annotated[str, StringConstraints(min_length=1, max_length=4000)]


class Approval(Record):
    """Leave to use the change: who gave it, in which role, on which day."""

    by: Line
    role: Line
    on: dt.date


class Watch(Record):
    """What is watched so that the gain stays, how often, and by which control chart."""

    what: Line
    every_days: Annotated[int, Field(ge=1, le=3650)] = 7
    chart: Literal["xmr", "p", "c", "u"] = "xmr"
    who: Annotated[str, StringConstraints(max_length=120)] = ""


class Improvement(Record):
    """One improvement, from the waste somebody saw to the gain that holds.

    Attributes:
        title: short name.
        waste: kind of waste.
        area: where in the shop.
        place: where in the area, in words.
        noticed_by: who saw it.
        noticed_on: when.
        question: what the shop wants to know, one sentence.
        seen: what was seen, in words.
        photos: pictures.
        work_element: name of the piece of work whose minutes it touches; two improvements that touch the
            same minutes name the same element, and the ledger counts them once.
        events_per_year: how often that piece of work is done in a year.
        measures: what is measured; the first is the one the question is about.
        countermeasure: the change, in words.
        proposal: the design of the change, once one was checked and kept (`floorwright.shop.aids`).
        cautions: what can hurt someone.
        cost: what the change costs; None while it is not known.
        trial_started_on: first day with the change in place.
        trial_notes: what was seen on trial.
        use_of_time: what happens with the time that is saved; None until someone says.
        share_used: share of the saved time that is put to that use; money is claimed for it alone.
        labour_rate: name of the labour rate that values it.
        approval: leave to use after the trial.
        safety_approval: safety sign-off, needed where there are cautions.
        standard_work: the best known way now, in words.
        watch: what is watched.
        elsewhere: where else it could be used.
        ask: who to ask.
        dropped: why it was dropped; "" while it is alive.
    """

    title: Line
    waste: Waste
    area: Line
    place: Text = ""
    noticed_by: Line
    noticed_on: dt.date
    question: Text = ""
    seen: Text = ""
    photos: tuple[Photo, ...] = ()
    work_element: Annotated[str, StringConstraints(max_length=120)] = ""
    events_per_year: TimesAYear | None = None
    measures: tuple[Measure, ...] = ()
    countermeasure: Text = ""
    proposal: Proposed | None = None
    cautions: tuple[Caution, ...] = ()
    cost: Cost | None = None
    trial_started_on: dt.date | None = None
    trial_notes: tuple[Note, ...] = ()
    use_of_time: Use | None = None
    share_used: Share = 1.0
    labour_rate: str | None = None
    approval: Approval | None = None
    safety_approval: Approval | None = None
    standard_work: Text = ""
    watch: Watch | None = None
    elsewhere: Text = ""
    ask: Annotated[str, StringConstraints(max_length=200)] = ""
    dropped: Text = ""

    @model_validator(mode="after")
    def _measures_are_distinct(self) -> Improvement:
        names = [measure.name for measure in self.measures]
        if len(set(names)) != len(names):
            raise ValueError(said("two measures have the same name; give each its own"))
        if sum(measure.saves_time for measure in self.measures) > 1:
            raise ValueError(said("only one measure can carry the seconds for the ledger; set saves_time on one"))
        return self

    @model_validator(mode="after")
    def _standard_needs_approval(self) -> Improvement:
        if self.standard_work and self.approval is None:
            raise ValueError(said("standard work needs the approval for use first: who, in which role, when"))
        if self.approval is not None and self.cautions and self.safety_approval is None:
            raise ValueError(said("it has cautions, so the approval for use needs a safety sign-off beside it"))
        if self.approval is not None and self.trial_started_on is None:
            raise ValueError(
                said("it is approved for use after its trial; give the day the trial started (trial_started_on)")
            )
        return self

    def measure(self, name: str) -> Measure | None:
        """The measure of this name; a missing one is None."""
        return next((measure for measure in self.measures if measure.name == name), None)


class Element(Record):
    """An element of a time study: its name, whether it is set-up or run, and how often it occurs in a cycle."""

    name: Line
    work: Literal["setup", "run"] = "run"
    frequency: Positive = 1.0
    rating: Annotated[float, Field(gt=0, le=2)] = 1.0


class ImportNote(Record):
    """A file that was read into a study: what it was, how many readings were new, which rows stayed out and why."""

    file: Line
    sheet: Annotated[str, StringConstraints(max_length=200)] = ""
    sha256: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
    on: dt.date
    who: Line
    readings: Annotated[int, Field(ge=0)]
    left_out: tuple[Annotated[str, StringConstraints(max_length=400)], ...] = ()
    left_out_in_all: Annotated[int, Field(ge=0)] = 0


class Study(Record):
    """A set of observations of one measure at one moment.

    Attributes:
        improvement: id of the improvement it belongs to.
        measure: name of the measure.
        moment: before, after, or again.
        kind: as the measure's.
        people_asked_on: the day on which the people to be timed were asked; no observation is stored before.
        shown_to_people_on: the day on which they saw the result, before anyone else.
        timing: how the watch was used.
        elements: of a time study, in order.
        allowance: fraction, for the standard time.
        allowance_basis: work_time or shift_time.
        planned: observations fixed beforehand.
        note: anything a reader needs.
        imports: the files that were read into it.
    """

    improvement: int
    measure: Line
    moment: Moment
    kind: MeasureKind
    people_asked_on: dt.date | None = None
    shown_to_people_on: dt.date | None = None
    timing: Literal["snapback", "continuous"] = "snapback"
    elements: tuple[Element, ...] = ()
    allowance: Annotated[float, Field(ge=0, lt=1)] = 0.15
    allowance_basis: Literal["work_time", "shift_time"] = "work_time"
    planned: Annotated[int, Field(ge=1, le=1_000_000)] | None = None
    note: Text = ""
    imports: tuple[ImportNote, ...] = ()


_CODE: Final = re.compile(r"^[A-Z]{0,2}-?\d{1,6}[A-Z]?$")


def operator_code(text: str) -> str:
    """An operator code such as W3 or OP-07: at most two letters and a number, so that no name gets in.

    Raises:
        ValueError: when it looks like a name.
    """
    code = text.strip().upper() if any(c.isdigit() for c in text) else text.strip()
    if not _CODE.match(code):
        raise ValueError(
            said(
                "'{text}' is not an operator code; write one or two letters and a number such as W3, never a name",
                text=text,
            )
        )
    return code


class Observation(Record):
    """One reading. Rows are only appended; a correction is a new row that names the one it replaces.

    Attributes:
        key: makes a reading unique in its study, so that sending it twice stores it once.
        taken_at: when, in the shop's local time.
        cycle: number of the cycle, from 1.
        element: element of a time study; "" for a whole cycle.
        value: the reading in SI of the study's kind: seconds, metres, lifting index, square metres, newtons,
            kilograms; for counts the number of events; for shares the number of hits.
        exposure: counts: what the events were counted over; shares: the number of looks or pieces.
        work: set-up or run.
        part, lot_size, shift, operator: as the traveler and the roster say; operator is a code.
        driver: what the time depends on (piece, kg, m) and `driver_amount` how much of it this reading had.
        rating: performance rating, 1 is standard; None when not rated.
        foreign: something that does not belong to the work (marked, kept, left out of the mean).
        note: why it is odd.
        detail: what the value was worked out from (stations of a walk, dimensions of a lift).
        replaces: key of the reading that this one corrects.
        reason: why it was corrected.
    """

    key: Annotated[str, StringConstraints(min_length=1, max_length=120)]
    taken_at: dt.datetime
    cycle: Annotated[int, Field(ge=1, le=10_000_000)]
    element: Annotated[str, StringConstraints(max_length=120)] = ""
    value: NonNegative
    exposure: Positive | None = None
    work: Literal["setup", "run"] = "run"
    part: Annotated[str, StringConstraints(max_length=120)] = ""
    lot_size: Annotated[int, Field(ge=1, le=10_000_000)] | None = None
    shift: Annotated[str, StringConstraints(max_length=40)] = ""
    operator: Annotated[str, StringConstraints(max_length=10)] = ""
    driver: Annotated[str, StringConstraints(max_length=20)] = ""
    driver_amount: Positive | None = None
    rating: Annotated[float, Field(gt=0, le=2)] | None = None
    foreign: bool = False
    note: Annotated[str, StringConstraints(max_length=1000)] = ""
    detail: dict[str, Any] = Field(default_factory=dict)
    replaces: Annotated[str, StringConstraints(max_length=120)] = ""
    reason: Annotated[str, StringConstraints(max_length=400)] = ""

    @field_validator("taken_at")
    @classmethod
    def _local_time(cls, value: dt.datetime) -> dt.datetime:
        if value.tzinfo is not None:
            raise ValueError(said("should be the shop's local time, without a time zone"))
        return value

    @field_validator("operator")
    @classmethod
    def _code(cls, value: str) -> str:
        return operator_code(value) if value else value

    @model_validator(mode="after")
    def _correction_has_a_reason(self) -> Observation:
        if self.replaces and not self.reason:
            raise ValueError(said("a correction needs its reason"))
        if self.replaces == self.key:
            raise ValueError(said("a reading cannot replace itself"))
        return self
