"""What programs read: the same JSON values from the command line and over HTTP.

Money is text with its digits kept, a day or a time has no zone (it is the shop's own), and physical values are SI
with the unit in the name, except inside `compare` and `gain`, which carry their own units.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

from pydantic import BaseModel

from floorwright.basis.stat.intervals import Interval
from floorwright.prove.ledger import Ledger, Month
from floorwright.shop.baseline import Baseline
from floorwright.shop.due import Due
from floorwright.shop.filed import Filed
from floorwright.shop.improvements import Overview
from floorwright.shop.ports import HistoryEntry
from floorwright.shop.proof import Proof, Side
from floorwright.shop.records import Observation, Study
from floorwright.shop.story import Story


def as_plain(value: Any) -> Any:
    """Values that JSON has: text for money, days and times; records as objects."""
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, (dt.date, dt.time)):
        return value.isoformat()
    if isinstance(value, BaseModel):
        return value.model_dump(mode="json")
    if isinstance(value, dict):
        return {str(name): as_plain(each) for name, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [as_plain(each) for each in value]
    return value


def improvement_json(each: Overview | Story) -> dict[str, Any]:
    """An improvement: its number, version, phase and next step, and every field of its record."""
    return {
        "number": each.filed.id,
        "version": each.filed.version,
        "phase": each.phase.value,
        "next_step": str(each.next_step),
        **each.filed.record.model_dump(mode="json"),
    }


def history_json(entries: Iterable[HistoryEntry]) -> list[dict[str, Any]]:
    """Who changed what, when and why, oldest first."""
    return [
        {
            "version": entry.version,
            "at": entry.at.isoformat(),
            "who": entry.who,
            "role": entry.role,
            "reason": entry.reason,
            "replaces": entry.replaces,
            "changes": [{"path": each.path, "before": each.before, "after": each.after} for each in entry.changes],
        }
        for entry in entries
    ]


def story_json(story: Story) -> dict[str, Any]:
    """What an improvement shows: every proof as the calculation gave it, and what the gain is worth."""
    money = story.money
    return {
        "number": story.filed.id,
        "title": story.record.title,
        "phase": story.phase.value,
        "next_step": str(story.next_step),
        "measures": [_proof_json(proof) for proof in story.proofs],
        "standing": money.standing,
        "reason": money.reason,
        "one_off": as_plain(money.one_off),
        "rate": as_plain(money.rate),
        "gain": money.outcome.to_record("gain", story.settings.units) if money.outcome else None,
    }


def _proof_json(proof: Proof) -> dict[str, Any]:
    return {
        "measure": proof.measure.name,
        "kind": proof.measure.kind.value,
        "verdict": proof.verdict,
        "held": proof.held,
        "before": _side_json(proof.before),
        "after": _side_json(proof.after),
        "again": _side_json(proof.again),
        "compare": proof.outcome.to_record("compare") if proof.outcome else None,
        "compared_on": list(proof.compared_on),
        "notes": list(proof.notes),
        "due": [
            {"on": as_plain(each.due_on), "state": each.state, "measured_on": as_plain(each.measured_on)}
            for each in (proof.follow_up.dates if proof.follow_up else ())
        ],
    }


def _side_json(side: Side | None) -> dict[str, Any] | None:
    return None if side is None else {"n": side.n, "level": side.level}


def study_json(filed: Filed[Study], readings: int) -> dict[str, Any]:
    """A study: its number, version and how many readings it holds, and every field of its record."""
    return {
        "number": filed.id,
        "version": filed.version,
        "readings": readings,
        **filed.record.model_dump(mode="json"),
    }


def baseline_json(said: Baseline) -> dict[str, Any]:
    """What a study says so far."""
    return {
        "study": said.study.id,
        "measure": said.measure.name,
        "values": said.series.values,
        "level": said.level,
        "low": said.low,
        "high": said.high,
        "left_out": list(said.series.left_out),
        "foreign": len(said.series.foreign),
        "time_study": said.times.to_record("time_study") if said.times else None,
        "sample_size": as_plain(dict(said.sample.results)) if said.sample else None,
    }


def readings_json(rows: Iterable[Observation]) -> list[dict[str, Any]]:
    """Readings with every field."""
    return [row.model_dump(mode="json") for row in rows]


def due_json(things: Iterable[Due]) -> list[dict[str, Any]]:
    """What needs someone, earliest first."""
    return [
        {
            "improvement": each.improvement,
            "title": each.title,
            "on": each.on.isoformat(),
            "what": str(each.what),
            "late": each.late,
        }
        for each in things
    ]


def ledger_json(book: Ledger) -> dict[str, Any]:
    """The gains of a shop: by standing, by work element, and line by line."""
    return {
        "sums": {
            each.standing: {
                "hours_per_year": as_plain(each.hours),
                "money_per_year": as_plain(each.money),
                "at_rate_per_year": as_plain(each.at_rate),
                "hours_interval": _ends(each.hours_interval),
                "money_interval": _ends(each.money_interval),
            }
            for each in book.sums
        },
        "elements": [
            {
                "element": each.element,
                "column": each.column.name,
                "unit": each.column.unit,
                "first": each.first / 1e6,
                "last": each.last / 1e6,
                "gain": each.gain / 1e6,
                "improvements": list(each.improvements),
            }
            for each in book.elements
        ],
        "lines": [
            {
                "improvement": line.entry.improvement,
                "element": line.entry.element,
                "column": line.entry.column.name,
                "standing": line.standing,
                "gain": line.gain / 1e6,
                "hours_per_year": as_plain(line.hours_per_year),
                "money_per_year": as_plain(line.money_per_year),
                "hours_interval": _ends(line.hours_interval),
            }
            for line in book.lines
        ],
        "rates": book.rate_sentence(),
        "notes": list(book.notes),
    }


def _ends(interval: Interval | None) -> dict[str, float] | None:
    return None if interval is None else {"low": interval.low, "high": interval.high}


def months_json(months: Sequence[Month]) -> list[dict[str, Any]]:
    """What has come in, month by month."""
    return [
        {"month": f"{each.first_day:%Y-%m}"}
        | {one.standing: {"hours": as_plain(one.hours), "money": as_plain(one.money)} for one in each.sums}
        for each in months
    ]
