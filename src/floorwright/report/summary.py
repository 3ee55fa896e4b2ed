"""The shop on one sheet: what is banked, freed and hoped for, and what to look at next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from floorwright.draw.text import clean
from floorwright.report.fit import Fitter, breakable
from floorwright.report.improvement import row_data
from floorwright.report.page import ShopSummary, SummaryRow
from floorwright.report.pictures import Pictures
from floorwright.report.typeset import language, typeset_pdf, typeset_png

ROWS_ON_SHEET: Final = 12
LINES_ON_SHEET: Final = 28
STEPS_ON_SHEET: Final = 4
GAIN_COLUMNS: Final = 6


def render_summary(summary: ShopSummary) -> bytes:
    """The summary as a tagged PDF, one sheet across; improvements beyond a dozen go on to a sheet after it."""
    data, pictures = _prepare(summary)
    return typeset_pdf("summary.typ", data, pictures.files)


def preview_summary(summary: ShopSummary, *, dpi: float = 96) -> tuple[bytes, ...]:
    """The same pages as PNG pictures."""
    data, pictures = _prepare(summary)
    return typeset_png("summary.typ", data, pictures.files, dpi=dpi)


def _prepare(summary: ShopSummary) -> tuple[dict[str, Any], Pictures]:
    fit, pictures = Fitter(), Pictures()
    rows = [_row(row, fit) for row in summary.rows]
    here = _rows_on_sheet(summary.rows)
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
        "amounts_note": fit(summary.amounts_note, 220, "How it is counted"),
        "rate": fit(summary.rate, 240, "Labour rate"),
        "ledger": pictures.drawing(summary.ledger) if summary.ledger else None,
        "rows": rows[:here],
        "more_rows": rows[here:],
        "next": [
            {"what": fit(n.what, 130, "Next"), "why": fit(n.why, 120, n.what)}
            for n in summary.next_steps[:STEPS_ON_SHEET]
        ],
        "gains": [
            {"name": fit(g.name, 44, "Gain", widest=14), "value": fit(g.value, 26, g.name, widest=12)}
            for g in summary.gains[:GAIN_COLUMNS]
        ],
    }
    beyond = [(g.name, g.value) for g in summary.gains[GAIN_COLUMNS:]]
    data["in_full"] = [
        {"label": breakable(clean(where)), "lines": [breakable(clean(text))]}
        for where, text in (*fit.in_full, *beyond)
    ]
    return data, pictures


def _rows_on_sheet(rows: Sequence[SummaryRow]) -> int:
    """How many improvements stand on the first sheet in letters that can be read at arm's length."""
    lines = 0
    for i, row in enumerate(rows):
        lines += max(len(row.measures), 2)
        if i >= ROWS_ON_SHEET or lines > LINES_ON_SHEET:
            return i
    return len(rows)


def _row(row: SummaryRow, fit: Fitter) -> dict[str, Any]:
    return {
        "number": fit(row.number, 6, row.title, widest=4),
        "title": fit(row.title, 60, "Improvement", widest=18),
        "where": fit(f"{row.area} · {row.waste_kind}" if row.waste_kind else row.area, 50, row.title),
        "measures": [row_data(measure, fit) for measure in row.measures],
        "note": fit(row.note, 90, row.title),
        "worth": fit(row.worth, 24, f"{row.title}, worth", widest=12),
        "worth_range": fit(row.worth_range, 30, f"{row.title}, worth", widest=14),
        "payback": fit(row.payback, 28, f"{row.title}, payback", widest=12),
    }
