"""What a printed page says, exactly as it is printed: every number is already text with its unit.

Nothing here calculates. Whoever fills these in has formatted the numbers in the shop's units; the typesetter
only sets them. An empty text means that the line is left out, unless a field says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from floorwright.draw.picture import Picture

Paper = Literal["letter", "a4"]
Mark = Literal["proven", "likely", "not_shown", "worse", "waiting"]
Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """The place of a photo.

    Attributes:
        image: PNG or JPEG bytes, already masked and stripped; None where there is no photo yet.
        caption: one sentence under it; without a photo, which photo to take next.
        text: what the photo shows, for someone who cannot see it; the caption where empty.
        missing: what stands over the caption while there is no photo.
    """

    image: bytes | None
    caption: str
    text: str = ""
    missing: str = "No photo yet"


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberRow:
    """One measure before and after.

    Attributes:
        measure: what was measured, "Walk for one basket".
        before: "62.4", or "" where it was not measured.
        after: "41.2".
        difference: after minus before, "−21.2".
        interval: the interval of the difference, "−25.1 to −17.3"; "" where there is none.
        verdict: the verdict in a word, "proven".
        mark: the mark beside it.
        unit: the unit of all the numbers of the row, "s a basket"; "" where each carries its own.
        again: when a provisional gain is measured again, "by 2026-12-30" or "now"; "" when it is not.
    """

    measure: str
    before: str
    after: str
    difference: str
    interval: str
    verdict: str
    mark: Mark
    unit: str = ""
    again: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What the measurements say.

    Attributes:
        word: "Proven", "Likely", "Not shown", "Worse", "Keep timing".
        mark: the mark drawn beside the word; told apart by shape, not by colour.
        but: what stands against the word, "but load a slat got worse: +1.02 s a piece"; the mark of what is worse
            is then drawn beside the other; "" where nothing does.
        sentence: one sentence with the gain and its interval.
        rule: why it is called that.
        provisional: "Provisional: measure again by 2026-12-30 and 2027-02-28."; "" when it is not.
    """

    word: str
    mark: Mark
    sentence: str
    rule: str
    but: str = ""
    provisional: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A short label and what it says: "Payback" - "4 months (3 to 6)"; a text of several lines keeps them."""

    label: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """What it is worth in money.

    Attributes:
        headline: "$1,840 a year" or "No money claimed".
        interval: "$1,210 to $2,480, nine times in ten"; the reason where no money is claimed.
        facts: payback, cost, banked, freed ... in reading order.
        rate: which labour rate was used, said once for the whole page; "" where none was.
    """

    headline: str
    interval: str = ""
    facts: tuple[Fact, ...] = ()
    rate: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """A gain that is not money: "Lift index" - "1.6 → 0.9"."""

    name: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """What can hurt someone or something; the signal word has the meaning ANSI Z535 gives it."""

    signal: Signal
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenLine:
    """A number that was put into a calculation."""

    symbol: str
    value: str
    unit: str
    meaning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """One step of a calculation.

    Attributes:
        meaning: what it works out, in words.
        symbol: its symbol.
        formula: "s1**2/n1 + s2**2/n2" in the plain notation of the working; "" for a step no algebra shows.
        numbers: the same with the numbers put in.
        result: the result, "2.31".
        unit: its unit.
        source: citation key in brackets, or "".
        note: a remark for the reader.
    """

    meaning: str
    symbol: str
    formula: str
    numbers: str
    result: str
    unit: str = ""
    source: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckLine:
    """One check: demand against capacity, the ratio, and the verdict in a word (ok, close, fails, unknown)."""

    name: str
    demand: str
    capacity: str
    ratio: str
    verdict: str
    sentence: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedNumber:
    """The working of one number of the page: what was given, taken for granted, worked out and checked.

    `warnings` are what a reader has to mind before using the number; `picture_words` stand under the pictures.
    """

    title: str
    given: tuple[GivenLine, ...] = ()
    assumptions: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    steps: tuple[StepLine, ...] = ()
    checks: tuple[CheckLine, ...] = ()
    pictures: tuple[Picture, ...] = ()
    picture_words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A published source: the key that steps name, and the citation."""

    key: str
    citation: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ImprovementPage:
    """One improvement on one sheet of paper, and the working behind it on the sheets after.

    Attributes:
        title: its short name.
        question: the question the improvement answers; the largest line of the page.
        shop, area, waste_kind, phase: where it belongs, one or two words each.
        before_photo, after_photo: side by side.
        rows: the numbers, the main measure first; six fit.
        chart: the main chart, drawn at `draw.before_after.DEFAULT_SIZE`; None where nothing was timed yet.
        chart_next: what belongs in the place of a missing chart.
        next_step: what to do next, in large type: where the second photo will be, or over `held_by` once that photo
            is there; "" where the sheet says it elsewhere.
        to_fill: what has to be settled before anything is measured, each with a line to write on; shown in place
            of numbers and chart where there are neither.
        verdict: what the measurements say.
        worth: money.
        gains: gains that are not money, each in a column of its own.
        held_by: standard work, what to watch, next check date, where else it could be used; or the steps to come.
        held_heading: what stands over them.
        cautions: what can hurt someone.
        approved: "Approved for use by the weld lead, 2026-11-18"; or what still has to be approved.
        who_to_ask: a role, and a person where the shop wants one.
        date: the date printed on the page.
        number: "No. 12".
        appendix: the working of each number.
        sources: what the working cites.
        paper: the shop's choice.
        language: language tag of the text.
    """

    title: str
    question: str
    shop: str
    area: str
    waste_kind: str
    phase: str
    before_photo: Photo
    after_photo: Photo
    rows: tuple[NumberRow, ...]
    chart: Picture | None
    verdict: Verdict
    worth: Worth
    held_by: tuple[Fact, ...]
    who_to_ask: str
    date: str
    chart_next: str = ""
    next_step: str = ""
    to_fill: tuple[str, ...] = ()
    held_heading: str = "Held"
    gains: tuple[Gain, ...] = ()
    cautions: tuple[Caution, ...] = ()
    approved: str = ""
    number: str = ""
    appendix: tuple[WorkedNumber, ...] = ()
    sources: tuple[Source, ...] = ()
    paper: Paper = "letter"
    language: str = "en"


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """One of the three sums of the ledger: "Banked" - "$4,200 a year" - "in the budget, hours really fell"."""

    label: str
    value: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SummaryRow:
    """One improvement of the shop in one row.

    Attributes:
        number: "1"; "" where the shop does not count.
        title, area, waste_kind: what and where.
        measures: its measures, the main one first; a line each.
        worth: "$1,840" or "no money claimed".
        worth_range: "$1,210 to $2,480", or "".
        payback: "4 months", or "".
        note: what stands in place of the measures while there is none.
    """

    title: str
    area: str
    waste_kind: str
    measures: tuple[NumberRow, ...]
    worth: str
    payback: str
    number: str = ""
    worth_range: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NextStep:
    """What to look at next and why: "Time 7 more loads at the brake" - "the gain is likely, not yet proven"."""

    what: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopSummary:
    """The shop on one sheet: what is banked, freed and hoped for, each improvement, and what comes next.

    Attributes:
        shop, period, date: what the sheet is about, "January to November 2026".
        amounts: banked, freed, hoped; never added up.
        amounts_note: how they are counted, one sentence under them.
        rate: which labour rate was used, said once.
        ledger: a chart of the three; None leaves it out.
        rows: the improvements, in the order they are to be read.
        next_steps: what to look at next; four fit.
        gains: the gains that are not money, each in a column of its own; six fit.
        paper, language: as on the improvement page.
    """

    shop: str
    period: str
    date: str
    amounts: tuple[Amount, ...]
    rows: tuple[SummaryRow, ...]
    next_steps: tuple[NextStep, ...]
    amounts_note: str = ""
    rate: str = ""
    ledger: Picture | None = None
    gains: tuple[Gain, ...] = ()
    paper: Paper = "letter"
    language: str = "en"
