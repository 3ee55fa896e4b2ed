"""Typeset pages: what is printed as plain dataclasses in, tagged PDF out."""

from floorwright.report.improvement import preview_improvement, render_improvement
from floorwright.report.letters import missing_letters
from floorwright.report.page import (
    Amount,
    Caution,
    CheckLine,
    Fact,
    Gain,
    GivenLine,
    ImprovementPage,
    Mark,
    NextStep,
    NumberRow,
    Paper,
    Photo,
    ShopSummary,
    Signal,
    Source,
    StepLine,
    SummaryRow,
    Verdict,
    WorkedNumber,
    Worth,
)
from floorwright.report.pictures import PictureError
from floorwright.report.summary import preview_summary, render_summary

__all__ = [
    "Amount",
    "Caution",
    "CheckLine",
    "Fact",
    "Gain",
    "GivenLine",
    "ImprovementPage",
    "Mark",
    "NextStep",
    "NumberRow",
    "Paper",
    "Photo",
    "PictureError",
    "ShopSummary",
    "Signal",
    "Source",
    "StepLine",
    "SummaryRow",
    "Verdict",
    "WorkedNumber",
    "Worth",
    "missing_letters",
    "preview_improvement",
    "preview_summary",
    "render_improvement",
    "render_summary",
]
