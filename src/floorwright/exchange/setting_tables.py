"""What the settings hold, as tables: single settings, areas, stations, rates, shifts, distances."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from floorwright.basis.quantity import SPEED
from floorwright.exchange.tables import Rows, Table, tidy
from floorwright.shop.records import Settings


def settings_table(held: Settings) -> Table:
    """The settings that are one value each, with their unit."""
    rows: Rows = [
        ["name", held.name, ""],
        ["people", held.people, "people"],
        ["currency", held.currency, ""],
        ["units", "inches and pounds" if held.units == "us" else "metric", ""],
        ["paper", {"letter": "US letter", "a4": "A4"}[held.paper], ""],
        ["walking speed", tidy(SPEED.to_shown(held.walking_speed_m_s, held.units)), SPEED.shown_unit(held.units)],
        ["confidence of intervals", tidy(100 * held.confidence), "%"],
        ["interest a year", tidy(100 * held.interest), "%"],
    ]
    return ["setting", "value", "unit"], rows


def names_table(heading: str, names: Sequence[str]) -> Table:
    """Names alone, such as areas or stations."""
    return [heading], [[name] for name in names]


def rates_table(held: Settings) -> Table:
    """The labour rates; the first is used where an improvement names none."""
    rows: Rows = [[each.name, each.basis.value, each.per_hour, each.note] for each in held.rates]
    return ["name", "what it holds", f"{held.currency} an hour", "where it comes from"], rows


def shifts_table(held: Settings) -> Table:
    """The shifts; one that ends before it starts goes past midnight."""
    rows: Rows = [[each.name, f"{each.starts:%H:%M}", f"{each.ends:%H:%M}"] for each in held.shifts]
    return ["name", "starts (h:mm)", "ends (h:mm)"], rows


def distances_table(held: Settings) -> Table:
    """The distance table of the shop."""
    rows: list[list[Any]] = [[start, end, tidy(metres)] for start, end, metres in held.distances_m]
    return ["from", "to", "distance (m)"], rows
