"""An improvement's record and its history as text for the terminal."""

from __future__ import annotations

import re
from typing import Any

from floorwright.cli.screen import plain
from floorwright.shop.records import Cost, Improvement
from floorwright.shop.showing import design_text, measure_text
from floorwright.shop.story import Story


def story_facts(each: Story) -> dict[str, str]:
    """An improvement from what was seen to what holds it, as names and texts."""
    record, system = each.record, each.settings.units
    return {
        "Phase": each.phase.value,
        "Waste": f"{record.waste.value}, {record.area}" + (f", {record.place}" if record.place else ""),
        "Noticed": f"{record.noticed_on} by {record.noticed_by}",
        "Question": record.question,
        "Seen": record.seen,
        "Measures": "; ".join(measure_text(each, system) for each in record.measures),
        "Change": record.countermeasure,
        "Design": "" if record.proposal is None else design_text(record.proposal, system),
        "Cautions": " ".join(f"{caution.signal}: {caution.text.rstrip('.')}." for caution in record.cautions),
        "Cost": "" if record.cost is None else _cost(record.cost, each.settings.currency),
        "Trial": f"since {record.trial_started_on}" if record.trial_started_on else "",
        "Notes": " ".join(f"{note.on}, {note.who}: {note.text}" for note in record.trial_notes),
        "Time saved": record.use_of_time.value if record.use_of_time else "",
        "Approved": _approved(record),
        "Standard": record.standard_work,
        "Watch": ""
        if record.watch is None
        else f"{record.watch.what}, every {record.watch.every_days} days, {record.watch.chart} chart",
        "Elsewhere": record.elsewhere,
        "Ask": record.ask,
        "Photos": "; ".join(f"{p.hash[:12]} {p.moment} {p.caption}".strip() for p in record.photos),
        "Next": each.next_step,
    }


def _cost(cost: Cost, currency: str) -> str:
    parts = [
        f"{cost.building_hours:g} h building",
        f"{cost.downtime_hours:g} h standing still" if cost.downtime_hours else "",
        f"{currency}{cost.material:,.2f} material",
        f"{currency}{cost.upkeep_per_year:,.2f} a year upkeep" if cost.upkeep_per_year else "",
    ]
    return ", ".join(part for part in parts if part)


def _approved(record: Improvement) -> str:
    parts = [
        f"{label} by {approval.by} ({approval.role}) on {approval.on}"
        for label, approval in (("for use", record.approval), ("for safety", record.safety_approval))
        if approval is not None
    ]
    return "; ".join(parts)


def field_text(path: str) -> str:
    """The name of a field in a history; numbers that are kept in SI say so."""
    return f"{path} (SI)" if path.endswith("smallest_that_matters") else path


def change_text(value: Any) -> str:
    """A value in a history, on one line."""
    text = plain(_in_words(value))
    return text if len(text) <= 70 else text[:67] + "..."


def _in_words(value: Any) -> str:
    """A value of a record as a person reads it: no brackets, no empty fields, hashes cut."""
    if value in (None, "", [], {}):
        return "nothing"
    if isinstance(value, dict):
        held = {name: each for name, each in value.items() if each not in (None, "", [], {}, False)}
        return ", ".join(f"{field_text(name).replace('_', ' ')} {_in_words(each)}" for name, each in held.items())
    if isinstance(value, list):
        return "; ".join(map(_in_words, value))
    text = str(value)
    return text[:12] if re.fullmatch(r"[0-9a-f]{64}", text) else text
