"""Pages with invented contents for the tests of the typesetter."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

from PIL import Image
from pypdf import PdfReader

from floorwright.draw import Picture, Point, Sample, before_after
from floorwright.report import (
    Amount,
    Caution,
    CheckLine,
    Fact,
    Gain,
    GivenLine,
    ImprovementPage,
    NextStep,
    NumberRow,
    Photo,
    ShopSummary,
    Source,
    StepLine,
    SummaryRow,
    Verdict,
    WorkedNumber,
    Worth,
)


@cache
def photo(width: int = 400, height: int = 300, form: str = "JPEG") -> bytes:
    out = io.BytesIO()
    Image.linear_gradient("L").resize((width, height)).convert("RGB").save(out, form)
    return out.getvalue()


@cache
def chart() -> Picture:
    before = Sample(label="Before", points=tuple(Point(value=v) for v in (58.0, 61.0, 66.0)), mean=61.7)
    after = Sample(label="After", points=tuple(Point(value=v) for v in (39.0, 42.0, 44.0)), mean=41.7)
    return before_after(before, after, measure="Walk for one basket", unit="seconds a basket")


def row(measure: str = "Walk for one basket") -> NumberRow:
    return NumberRow(
        measure=measure,
        unit="s a basket",
        before="61.7",
        after="41.7",
        difference="−20.0",
        interval="−24.1 to −15.9",
        verdict="proven",
        mark="proven",
        again="by 2026-12-30",
    )


def improvement() -> ImprovementPage:
    return ImprovementPage(
        title="Basket rack at weld bench 2",
        question="Does a rack at the bench cut the walk?",
        shop="Alder Hollow Street Furniture",
        area="Weld bay",
        waste_kind="walking",
        phase="holding",
        number="No. 12",
        date="2026-11-30",
        before_photo=Photo(image=photo(), caption="The far rack.", text="A bench and a rack far to the right."),
        after_photo=Photo(image=photo(form="PNG"), caption="The rack at the bench."),
        rows=(row(),),
        chart=chart(),
        verdict=Verdict(
            word="Proven",
            mark="proven",
            sentence="A basket takes 20.0 s less (15.9 to 24.1).",
            rule="The interval lies wholly beyond 5 s.",
            provisional="Provisional: measure again by 2026-12-30 and 2027-02-28.",
        ),
        worth=Worth(
            headline="$1,840 a year",
            interval="$1,210 to $2,480, nine times in ten",
            facts=(Fact(label="Payback", text="4 months (3 to 6)"), Fact(label="Freed", text="$720 a year")),
            rate="Labour at the burdened rate of $30.00 an hour.",
        ),
        gains=(Gain(name="Lift index", value="1.6 → 0.9"),),
        held_by=(Fact(label="Watch", text="Five baskets every second Friday"),),
        cautions=(Caution(signal="WARNING", text="Do not load the top shelf above 15 kg."),),
        approved="Approved for use by the weld lead, 2026-11-18",
        who_to_ask="the weld lead, ext. 214",
        appendix=(worked(),),
        sources=(Source(key="welch1947", citation="Welch, B. L. (1947), Biometrika 34, 28-35."),),
    )


def worked() -> WorkedNumber:
    return WorkedNumber(
        title="Difference of the mean walk",
        given=(GivenLine(symbol="s1", value="4.04", unit="s", meaning="standard deviation before"),),
        assumptions=("The two series are independent.",),
        steps=(
            StepLine(
                meaning="Standard error of the difference",
                symbol="se",
                formula="sqrt(s1**2/n1 + s2**2/n2)",
                numbers="sqrt(4.04**2/3 + 2.52**2/3)",
                result="2.75",
                unit="s",
                source="welch1947",
            ),
        ),
        checks=(
            CheckLine(
                name="Load", demand="12 kg", capacity="15 kg", ratio="0.80", verdict="ok", sentence="It holds."
            ),
        ),
        pictures=(chart(),),
    )


def bare() -> ImprovementPage:
    """An idea: no photo, no number, no chart, nothing behind it."""
    return replace(
        improvement(),
        before_photo=Photo(image=None, caption="Take one of the drawer at shift start."),
        after_photo=Photo(image=None, caption=""),
        rows=(),
        chart=None,
        chart_next="Count searches on five shifts.",
        verdict=Verdict(word="Not timed yet", mark="waiting", sentence="Ask first, then count.", rule=""),
        worth=Worth(headline="No money claimed"),
        gains=(),
        held_by=(),
        cautions=(),
        approved="",
        who_to_ask="",
        appendix=(),
        sources=(),
    )


def summary(rows: int = 8) -> ShopSummary:
    one = SummaryRow(
        title="Basket rack at weld bench 2",
        area="Weld bay",
        waste_kind="walking",
        measures=(row(), replace(row("Lifts a shift"), unit="", verdict="worse", mark="worse", again="")),
        worth="$1,840",
        worth_range="$1,210 to $2,480",
        payback="4 months",
    )
    return ShopSummary(
        shop="Alder Hollow Street Furniture",
        period="January to November 2026",
        date="2026-11-30",
        amounts=(
            Amount(label="Banked", value="$4,200 a year", note="Hours no longer paid."),
            Amount(label="Freed", value="$7,100 a year", note="Not yet used."),
            Amount(label="Hoped for", value="$12,800 a year", note="Still to be shown."),
        ),
        rate="Labour at the burdened rate of $30.00 an hour.",
        rows=tuple(replace(one, number=str(i + 1), title=f"Improvement {i + 1}") for i in range(rows)),
        next_steps=(NextStep(what="Time 7 more loads", why="Likely now."),),
        gains=(Gain(name="Floor given back", value="5.4 m²"),),
    )


def read(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def text_of(pdf: bytes, page: int | None = None) -> str:
    """The words of a PDF or of one page, with line breaks and break marks taken out."""
    reader = read(pdf)
    chosen = reader.pages if page is None else [reader.pages[page]]
    joined = " ".join(p.extract_text() for p in chosen).replace("\u200b", "")
    return " ".join(joined.split())
