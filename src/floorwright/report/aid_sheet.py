"""The calculation sheet of a shop aid: what was asked, every load, check and formula, for an engineer to sign."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any, Final, get_args

from floorwright import __version__
from floorwright.basis.proposal import Part
from floorwright.basis.quantity import MASS, Quantity, UnitSystem
from floorwright.draw.aid_views import NARROW, aid_pictures
from floorwright.draw.text import clean, shorten
from floorwright.propose.aid.adopted import adopted, load_cases
from floorwright.propose.aid.aid import Aid
from floorwright.propose.aid.asked import asked, length_text
from floorwright.propose.aid.design import Design
from floorwright.propose.aid.record import counts, overall
from floorwright.propose.aid.registry import PATTERNS
from floorwright.report.aid_sheet_checks import Cited, capital, checks_of, plain_words, workings_of
from floorwright.report.page import Paper, Signal
from floorwright.report.pictures import Pictures
from floorwright.report.typeset import language, typeset_pdf, typeset_png

_UNITS: Final = {"us": "inches, pounds, pounds-force", "si": "metres, kilograms, newtons"}
_VERDICTS: Final = {
    "ok": ("ok", "It holds", "Every check holds with a margin of a tenth or more."),
    "close": ("close", "It holds, closely", "No check fails, and none is unknown; some use more than nine tenths."),
    "unknown": (
        "unknown",
        "Not known yet",
        "No check fails, but some lack an answer; they do not pass by default.",
    ),
    "fails": ("fails", "It fails", "Something has to change before it is built."),
}
_COUNTED: Final = {"fails": "fail", "unknown": "unknown", "close": "close", "ok": "ok"}
WORDS_SHOWN: Final = 6  # places of a load case that are named; more are counted


def sheet_pdf(
    design: Design, *, shop: str, date: dt.date, paper: Paper = "letter", language_tag: str = "en"
) -> bytes:
    """The calculation sheet as a tagged PDF.

    Args:
        design: the checked aid; its `system` gives the units.
        shop: name of the shop; "" leaves a line to write it on.
        date: date of the calculation.
        paper: the shop's choice.
        language_tag: language of the user's own words, such as "en-US".
    """
    data, pictures = _prepare(design, shop, date, paper, language_tag)
    return typeset_pdf("aid_sheet.typ", data, pictures.files)


def sheet_png(
    design: Design, *, shop: str, date: dt.date, paper: Paper = "letter", language_tag: str = "en", dpi: float = 96
) -> tuple[bytes, ...]:
    """The same pages as PNG pictures."""
    data, pictures = _prepare(design, shop, date, paper, language_tag)
    return typeset_png("aid_sheet.typ", data, pictures.files, dpi=dpi)


def _prepare(
    design: Design, shop: str, date: dt.date, paper: Paper, language_tag: str
) -> tuple[dict[str, Any], Pictures]:
    cited, pictures = Cited(), Pictures()
    proposal = design.proposal()
    views = aid_pictures(proposal.scene, design.system, width=NARROW)
    title = plain_words(design.spec.title) or "Shop aid"
    data = {
        "document_title": f"{clean(design.spec.title) or 'Shop aid'}: calculation sheet",
        **language(language_tag),
        "paper": {"letter": "us-letter", "a4": "a4"}[paper],
        "title": title,
        "foot": "  ·  ".join(
            part for part in (shorten(clean(shop), 40), shorten(clean(design.spec.title), 70)) if part
        ),
        "shop": plain_words(shop),
        "question": plain_words(PATTERNS[design.spec.pattern].question),
        "facts": _facts(design, shop, date),
        "verdict": _verdict(design),
        "views": [pictures.drawing(picture) for picture in views.values()],
        "asked": _asked(design),
        "cases": _cases(design, cited),
        "limits": _limits(design, cited),
        "checks": checks_of(design, cited),
        "workings": workings_of(design, cited),
        "parts": _parts(proposal.parts, design.system),
        "rating": _rating(design),
        "cautions": [
            {"signal": each.signal, "text": plain_words(each.text + _approval(each.approval))}
            for each in sorted(design.cautions, key=lambda each: get_args(Signal).index(each.signal))
        ],
    }
    return data | {"sources": cited.listed()}, pictures


def _approval(role: str) -> str:
    return f" Approval by: {role}." if role else ""


def _facts(design: Design, shop: str, date: dt.date) -> list[dict[str, Any]]:
    layout, system = design.layout, design.system
    pieces = len(layout.pieces)
    facts = {
        "Pattern": PATTERNS[design.spec.pattern].title,
        "Shop": shop,
        "Date": date.isoformat(),
        "Program": f"floorwright {__version__}",
        "Units": _UNITS[system],
        "Own mass": Quantity(layout.own_kg, MASS).text(system),
        "Load": f"{Quantity(layout.load_kg, MASS).text(system)} in {pieces} {'piece' if pieces == 1 else 'pieces'}"
        if pieces
        else "nothing lies on it",
    }
    return [{"label": label, "lines": [plain_words(text)]} for label, text in facts.items()]


def _verdict(design: Design) -> dict[str, Any]:
    mark, word, why = _VERDICTS[overall(design)]
    found, first = counts(design), design.governing
    each = [f"{found[name]} {word}" for name, word in _COUNTED.items() if found[name]]
    shown = f"{len(design.findings)} checks: {', '.join(each)}."
    change = first is not None and first.check.verdict in ("fails", "unknown")
    return {
        "mark": mark,
        "word": word,
        "why": why,
        "counts": shown,
        "first_label": "Change first" if change else "Closest to its limit",
        "first": "" if first is None else plain_words(f"{first.check.name}: {first.check.sentence}"),
        "case": "" if first is None else plain_words(first.check.case),
    }


def _asked(design: Design) -> list[dict[str, Any]]:
    groups: dict[str, list[dict[str, str]]] = {}
    for each in asked(design.spec, design.system):
        groups.setdefault(each.group, []).append(
            {
                "name": plain_words(each.name),
                "text": plain_words(each.text),
                "meaning": plain_words(each.meaning),
                "said": each.said if each.text != "not answered" else "unanswered",
            }
        )
    return [{"group": plain_words(group) or "the aid", "rows": rows} for group, rows in groups.items()]


def _cases(design: Design, cited: Cited) -> list[dict[str, Any]]:
    states = Aid(design.spec, design.layout, design.system).states
    return [
        {
            "words": plain_words("; ".join(case.words[:WORDS_SHOWN])),
            "more": max(0, len(case.words) - WORDS_SHOWN),
            "count": len(case.words),
            "down": plain_words(case.down),
            "level": plain_words(case.level),
            "force": plain_words(case.force),
            "rests_on": plain_words(case.rests_on),
            "source": cited(case.source),
        }
        for case in load_cases(states, design.spec, design.system)
    ]


def _limits(design: Design, cited: Cited) -> list[dict[str, Any]]:
    return [
        {
            "name": each.name,
            "text": plain_words(each.text),
            "meaning": plain_words(each.meaning),
            "set": "set by the shop" if each.set_by_shop else "usual",
            "source": cited(each.source),
        }
        for each in adopted(design.spec, design.system)
    ]


def _parts(parts: Sequence[Part], system: UnitSystem) -> list[dict[str, str]]:
    return [
        {
            "count": str(part.count),
            "name": plain_words(part.name),
            "material": plain_words(part.material),
            "length": "" if part.length_m is None else length_text(part.length_m, system),
        }
        for part in parts
    ]


def _rating(design: Design) -> dict[str, Any]:
    rating, system = design.rating, design.system
    return {
        "given": rating.given,
        "total": "" if rating.total_kg is None else Quantity(rating.total_kg, MASS).text(system),
        "tiers": [
            {"name": plain_words(name), "load": Quantity(mass, MASS).text(system)}
            for name, mass in rating.by_tier_kg.items()
        ],
        "why_not": [plain_words(each) for each in rating.why_not]
        or ([] if rating.given else ["nothing lies on it"]),
        "conditions": [_sentence(each) for each in rating.conditions],
        "plate": [plain_words(each) for each in rating.plate],
        "proof": [plain_words(each) for each in rating.proof] if rating.given else [],
        "look_for": [_sentence(each) for each in rating.look_for] if rating.given else [],
        "inspection_days": rating.inspection_days,
    }


def _sentence(text: str) -> str:
    words = plain_words(text)
    return f"{capital(words)}{'' if words.endswith('.') else '.'}"
