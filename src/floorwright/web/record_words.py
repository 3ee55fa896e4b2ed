"""Fields and values of an improvement in words, for its history and for two versions side by side."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any, Final

from floorwright.basis.errors import Problem
from floorwright.shop.records import Measure, Settings
from floorwright.shop.showing import exact_text, measure_text
from floorwright.web.words import N_, day, gettext, said

_NAMES: Final = {
    "title": N_("Title"),
    "waste": N_("Kind of waste"),
    "area": N_("Area"),
    "place": N_("Where in the area"),
    "noticed_by": N_("Who saw it"),
    "noticed_on": N_("When it was seen"),
    "question": N_("The question"),
    "seen": N_("What was seen"),
    "photos": N_("Photos"),
    "work_element": N_("The piece of work"),
    "events_per_year": N_("How often a year"),
    "measures": N_("What is measured"),
    "countermeasure": N_("The change"),
    "proposal": N_("The design"),
    "cautions": N_("Cautions"),
    "cost": N_("Cost"),
    "trial_started_on": N_("Start of the trial"),
    "trial_notes": N_("Notes"),
    "use_of_time": N_("What happens with the time"),
    "labour_rate": N_("Labour rate"),
    "approval": N_("Approval for use"),
    "safety_approval": N_("Safety sign-off"),
    "standard_work": N_("Standard work"),
    "watch": N_("What is watched"),
    "elsewhere": N_("Where else"),
    "ask": N_("Who to ask"),
    "dropped": N_("Why it was dropped"),
    "building_hours": N_("hours of building"),
    "downtime_hours": N_("hours of standing still"),
    "material": N_("material"),
    "upkeep_per_year": N_("upkeep a year"),
    "life_years": N_("years it lasts"),
    "note": N_("note"),
    "smallest_that_matters": N_("smallest change that matters"),
    "caption": N_("caption"),
    "moment": N_("before or after"),
    "taken_on": N_("taken on"),
    "marks": N_("marks"),
    "what": N_("what"),
    "every_days": N_("every so many days"),
    "chart": N_("chart"),
    "who": N_("who"),
    "hash": N_("picture"),
    "people_asked_on": N_("Day on which the people were asked"),
    "shown_to_people_on": N_("Day on which the people saw the result"),
    "taken_at": N_("Taken at"),
    "value": N_("Reading"),
    "exposure": N_("Out of"),
    "element": N_("Element"),
    "elements": N_("Elements"),
    "rating": N_("Pace rating"),
    "part": N_("Part or job"),
    "reason": N_("Reason"),
    "cycle": N_("Cycle"),
    "rows": N_("Reading"),
    "measure": N_("Measure"),
    "text": N_("Text"),
    "jpeg": N_("Photo"),
    "photo": N_("Photo"),
    "improvement": N_("Improvement"),
    "study": N_("Study"),
    "version": N_("Version"),
    "operator": N_("Operator code"),
    "planned": N_("Readings fixed beforehand"),
    "allowance": N_("Allowance"),
    "timing": N_("The watch"),
    "areas": N_("Areas"),
    "made_at": N_("Time on the device"),
    "device_time": N_("Time on the device"),
    "key": N_("Mark of this entry"),
    "shop": N_("Shop"),
    "owner": N_("Who recorded it"),
    "name": N_("Name"),
}
_MOMENTS: Final = {
    "before": N_("photo before the change"),
    "after": N_("photo after the change"),
    "other": N_("photo"),
}
_CHOSEN: Final = ("waste", "use_of_time", "moment", "kind")  # one of a few words that the catalogue holds
_MONEY: Final = ("material", "upkeep_per_year")
_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}\Z")
_HASH: Final = re.compile(r"[0-9a-f]{64}\Z")
_PART: Final = re.compile(r"([a-z_]+)(?:\[(\d+)\])?")
_PATH: Final = re.compile(rf"{_PART.pattern}(?:\.{_PART.pattern})*")


def field_words(path: str) -> str:
    """The name of a field: `cost.material` is "Cost: material", `photos[1]` is "Photos 2"."""
    words = []
    for name, index in _PART.findall(path):
        text = gettext(_NAMES[name]) if name in _NAMES else name.replace("_", " ")
        words.append(f"{text} {int(index) + 1}" if index else text)
    return ": ".join(words)


def field_names() -> dict[str, str]:
    """Every name of a field that people see, in the language at hand: for the script of a page."""
    return {name: gettext(text) for name, text in _NAMES.items()}


def problem_words(problem: Problem) -> str:
    """What is wrong, as one sentence in the language at hand, the field by the name that people know it by."""
    known = _PATH.fullmatch(problem.field) and all(name in _NAMES for name, _ in _PART.findall(problem.field))
    field = field_words(problem.field) if known else problem.field
    return said(replace(problem, field=field, message=said(problem.message)).sentence())


def value_words(path: str, value: Any, settings: Settings) -> str:
    """A value of a field as people say it; quantities in the shop's units."""
    last = _PART.findall(path)[-1][0] if _PART.findall(path) else ""
    if value in (None, "", [], {}):
        return gettext(N_("nothing"))
    if isinstance(value, bool):
        return gettext(N_("yes")) if value else gettext(N_("no"))
    if isinstance(value, list):
        return "\n".join(value_words(path, each, settings) for each in value)
    if isinstance(value, Mapping):
        return _whole(last, value, settings)
    if last in _MONEY:
        return f"{settings.currency}{Decimal(str(value)):,.2f}"
    if isinstance(value, float):
        return exact_text(value)
    text = str(value)
    if last in _CHOSEN:
        return gettext(text)
    if _HASH.match(text):
        return text[:12]
    return day(dt.date.fromisoformat(text)) if _DAY.match(text) else text


def _whole(name: str, value: Mapping[str, Any], settings: Settings) -> str:
    """An item of a list or a field with fields of its own."""
    if name == "measures":
        return said(measure_text(Measure.model_validate(dict(value)), settings.units))
    if name == "proposal":
        return f"{value['title']} ({value['checked_on']}, {value['verdict']})"
    if name == "cautions":
        return f"{value['signal']}: {value['text']}"
    if name == "trial_notes":
        return f"{value_words('on', value['on'], settings)}, {value['who']}: {value['text']}"
    if name in ("approval", "safety_approval"):
        return f"{value['by']} ({value['role']}), {value_words('on', value['on'], settings)}"
    if name == "photos":
        words = gettext(_MOMENTS[value["moment"]])
        return f"{words}: {value['caption']} ({value['hash'][:12]})" if value["caption"] else words
    held = {key: each for key, each in value.items() if each not in (None, "", [], {}, False)}
    return ", ".join(f"{field_words(key).lower()} {value_words(key, each, settings)}" for key, each in held.items())
