"""One improvement on paper: a sheet to pin on the wall, and the working of its numbers on the sheets after."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final, get_args

from floorwright.draw.text import clean
from floorwright.report.fit import Fitter, breakable
from floorwright.report.page import Caution, Fact, ImprovementPage, NumberRow, Photo, Signal
from floorwright.report.pictures import Pictures
from floorwright.report.typeset import language, typeset_pdf, typeset_png
from floorwright.report.worked import lines_of

ROWS_ON_SHEET: Final = 6
FACTS_ON_SHEET: Final = 5
GAINS_ON_SHEET: Final = 4
CAUTIONS_ON_SHEET: Final = 3
FILL_ON_SHEET: Final = 5
LONGEST_FACT: Final = 120
LONGEST_STEPS: Final = 420  # the standard work is what people read at the bench: all of it, where that can be


def render_improvement(page: ImprovementPage) -> bytes:
    """The improvement as a tagged PDF: exactly one sheet, then the working of its numbers.

    A text too long for its place is shortened on the sheet and printed in full after it; so are numbers,
    facts, gains and cautions beyond those that fit.

    Raises:
        floorwright.report.pictures.PictureError: when a photo is neither PNG nor JPEG.
    """
    data, pictures = _prepare(page)
    return typeset_pdf("improvement.typ", data, pictures.files)


def preview_improvement(page: ImprovementPage, *, dpi: float = 96) -> tuple[bytes, ...]:
    """The same pages as PNG pictures."""
    data, pictures = _prepare(page)
    return typeset_png("improvement.typ", data, pictures.files, dpi=dpi)


def _prepare(page: ImprovementPage) -> tuple[dict[str, Any], Pictures]:
    fit, pictures = Fitter(), Pictures()
    cautions = _gravest_first(page)
    next_step = fit(page.next_step, 170, "Next")
    sheet = {
        "title": fit(page.title, 64, "Title"),
        "question": fit(page.question, 150, "Question") or fit(page.title, 150, "Title") or "Improvement",
        "shop": fit(page.shop, 48, "Shop"),
        "area": fit(page.area, 36, "Area"),
        "waste": fit(page.waste_kind, 28, "Waste"),
        "phase": fit(page.phase, 28, "Phase"),
        "number": fit(page.number, 16, "Number"),
        "date": fit(page.date, 28, "Date"),
        "before": _photo(page.before_photo, "Before", fit, pictures),
        "after": _photo(page.after_photo, "After", fit, pictures),
        "rows": [row_data(row, fit) for row in page.rows[:ROWS_ON_SHEET]],
        "chart": pictures.drawing(page.chart) if page.chart else None,
        "chart_next": fit(
            page.chart_next or "Nothing timed yet: time ten before you change it.", 140, "What to time"
        ),
        "next": next_step if page.after_photo.image is None else "",
        "next_low": next_step if page.after_photo.image is not None else "",
        "to_fill": [fit(text, 60, "To settle") for text in page.to_fill[:FILL_ON_SHEET]],
        "verdict": {
            "word": fit(page.verdict.word, 24, "Verdict", widest=14),
            "mark": page.verdict.mark,
            "but": fit(page.verdict.but, 170, "Against the verdict"),
            "sentence": fit(page.verdict.sentence, 170, "Verdict"),
            "rule": fit(page.verdict.rule, 190, "Rule of the verdict"),
            "provisional": fit(page.verdict.provisional, 110, "Provisional"),
        },
        "worth": {
            "headline": fit(page.worth.headline, 32, "Worth", widest=16),
            "interval": fit(page.worth.interval, 110, "Worth"),
            "facts": _facts(page.worth.facts[:FACTS_ON_SHEET], fit),
            "rate": fit(page.worth.rate, 120, "Labour rate"),
        },
        "gains": [
            {"name": fit(g.name, 60, "Gain", widest=16), "value": fit(g.value, 30, g.name, widest=14)}
            for g in page.gains[:GAINS_ON_SHEET]
        ],
        "held": _facts(page.held_by[:FACTS_ON_SHEET], fit),
        "held_heading": fit(page.held_heading, 28, "Held"),
        "cautions": [
            {"signal": c.signal, "text": fit(c.text, 150, c.signal.capitalize())}
            for c in cautions[:CAUTIONS_ON_SHEET]
        ],
        "approved": fit(page.approved, 110, "Approved"),
        "ask": fit(page.who_to_ask, 90, "Who to ask"),
    }
    appendix = {
        "rows": [row_data(row, fit) for row in page.rows[ROWS_ON_SHEET:]],
        "more": _overflow(page),
        "worked": [lines_of(worked, page.sources, pictures) for worked in page.appendix],
        "sources": [{"key": str(i), "text": breakable(clean(s.citation))} for i, s in enumerate(page.sources, 1)],
        "in_full": [{"label": breakable(clean(where)), "lines": [breakable(text)]} for where, text in fit.in_full],
    }
    whole = {
        "document_title": ": ".join(part for part in (clean(page.title), clean(page.question)) if part)
        or "Improvement",
        **language(page.language),
        "paper": {"letter": "us-letter", "a4": "a4"}[page.paper],
        "sheet": sheet,
        "appendix": appendix,
    }
    return whole, pictures


def _photo(photo: Photo, when: str, fit: Fitter, pictures: Pictures) -> dict[str, Any]:
    if photo.image is None:
        todo = photo.caption or f"Take one from the same spot, {when.lower()} the change."
        caption = fit(todo, 120, f"Photo to take, {when.lower()}")
        return {"file": None, "alt": "", "caption": caption, "missing": photo.missing}
    alt = clean(photo.text) or clean(photo.caption) or f"{when} the change"
    caption = fit(photo.caption, 120, f"{when}, what the photo shows")
    return {"file": pictures.photo(photo.image, when), "alt": alt, "caption": caption}


def row_data(row: NumberRow, fit: Fitter) -> dict[str, str]:
    """A row of numbers as the templates take it."""
    return {
        "measure": fit(row.measure, 52, "Measure", widest=18),
        "unit": fit(row.unit, 24, f"{row.measure}, unit", widest=18),
        "before": fit(row.before, 22, f"{row.measure}, before", widest=11),
        "after": fit(row.after, 22, f"{row.measure}, after", widest=11),
        "difference": fit(row.difference, 22, f"{row.measure}, difference", widest=14),
        "interval": fit(row.interval, 34, f"{row.measure}, interval", widest=14),
        "verdict": fit(row.verdict, 20, f"{row.measure}, verdict", widest=12),
        "mark": row.mark,
        "again": fit(row.again, 20, f"{row.measure}, measure again", widest=14),
    }


def _facts(facts: Sequence[Fact], fit: Fitter) -> list[dict[str, Any]]:
    return [
        {"label": fit(f.label, 24, "Label", widest=16), "lines": _lines(f, fit)} for f in facts if f.text.strip()
    ]


def _lines(fact: Fact, fit: Fitter) -> list[str]:
    """The lines of a fact; those that are too long together run on as one, shortened."""
    parts = [line for part in fact.text.splitlines() if (line := clean(part))]
    most = LONGEST_STEPS if len(parts) > 1 else LONGEST_FACT
    if sum(map(len, parts)) > most:
        return [fit(fact.text, most, fact.label)]
    return [breakable(line) for line in parts]


def _gravest_first(page: ImprovementPage) -> list[Caution]:
    """The cautions by the gravity of their signal word, so that no danger is pushed off the sheet."""
    return sorted(page.cautions, key=lambda caution: get_args(Signal).index(caution.signal))


def _overflow(page: ImprovementPage) -> list[dict[str, Any]]:
    """What did not fit on the sheet by number rather than by length."""
    beyond = [(f.label, f.text) for f in (*page.worth.facts[FACTS_ON_SHEET:], *page.held_by[FACTS_ON_SHEET:])]
    beyond += [(g.name, g.value) for g in page.gains[GAINS_ON_SHEET:]]
    beyond += [(c.signal, c.text) for c in _gravest_first(page)[CAUTIONS_ON_SHEET:]]
    return [{"label": breakable(clean(label)), "lines": [breakable(clean(text))]} for label, text in beyond]
