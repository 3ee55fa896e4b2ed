"""The shop on one sheet: what is banked, freed and hoped for, and what to look at next."""

from __future__ import annotations

from typing import Any, Final

from floorwright.draw.text import clean
from floorwright.report.fit import Fitter, breakable
from floorwright.report.page import ShopSummary, SummaryRow
from floorwright.report.pictures import Pictures
from floorwright.report.typeset import language, typeset_pdf, typeset_png

ROWS_ON_SHEET: Final = 10
STEPS_ON_SHEET: Final = 4
GAIN_COLUMNS: Final = 4


def render_summary(summary: ShopSummary) -> bytes:
    """The summary as a tagged PDF, one sheet across; improvements beyond ten go on to a sheet after it."""
    data, pictures = _prepare(summary)
    return typeset_pdf("summary.typ", data, pictures.files)


def preview_summary(summary: ShopSummary, *, dpi: float = 96) -> tuple[bytes, ...]:
    """The same pages as PNG pictures."""
    data, pictures = _prepare(summary)
    return typeset_png("summary.typ", data, pictures.files, dpi=dpi)


def _prepare(summary: ShopSummary) -> tuple[dict[str, Any], Pictures]:
    fit, pictures = Fitter(), Pictures()
    rows = [_row(row, len(summary.gain_columns[:GAIN_COLUMNS]), fit) for row in summary.rows]
    data = {
        "document_title": clean(f"{summary.shop}: improvements, {summary.period}") or "Improvements",
        **language(summary.language),
        "paper": {"letter": "us-letter", "a4": "a4"}[summary.paper],
        "shop": fit(summary.shop, 60, "Shop") or "The shop",
        "period": fit(summary.period, 48, "Period"),
        "date": fit(summary.date, 28, "Date"),
        "amounts": [
            {
                "label": fit(a.label, 18, "Sum", widest=12) or "Sum",
                "value": fit(a.value, 24, a.label, widest=14),
                "note": fit(a.note, 90, a.label),
            }
            for a in summary.amounts[:3]
        ],
        "rate": fit(summary.rate, 140, "Labour rate"),
        "ledger": pictures.drawing(summary.ledger) if summary.ledger else None,
        "gain_columns": [fit(name, 24, "Gain", widest=9) for name in summary.gain_columns[:GAIN_COLUMNS]],
        "rows": rows[:ROWS_ON_SHEET],
        "more_rows": rows[ROWS_ON_SHEET:],
        "next": [
            {"what": fit(n.what, 80, "Next"), "why": fit(n.why, 120, n.what)}
            for n in summary.next_steps[:STEPS_ON_SHEET]
        ],
        "gains": [
            {"name": fit(g.name, 30, "Gain", widest=16), "value": fit(g.value, 26, g.name, widest=14)}
            for g in summary.gains[:GAIN_COLUMNS]
        ],
    }
    data["in_full"] = [{"label": breakable(clean(where)), "text": breakable(text)} for where, text in fit.in_full]
    return data, pictures


def _row(row: SummaryRow, columns: int, fit: Fitter) -> dict[str, Any]:
    other = (*row.other, *("",) * columns)[:columns]
    return {
        "title": fit(row.title, 46, "Improvement", widest=18),
        "where": fit(f"{row.area} · {row.waste_kind}" if row.waste_kind else row.area, 44, row.title),
        "before": fit(row.before, 18, f"{row.title}, before", widest=10),
        "after": fit(row.after, 18, f"{row.title}, after", widest=10),
        "gain": fit(row.gain, 44, f"{row.title}, gain", widest=14),
        "verdict": fit(row.verdict, 18, f"{row.title}, verdict", widest=12),
        "mark": row.mark,
        "worth": fit(row.worth, 24, f"{row.title}, worth", widest=12),
        "payback": fit(row.payback, 18, f"{row.title}, payback", widest=12),
        "other": [fit(text, 20, f"{row.title}, other gain", widest=9) for text in other],
    }
