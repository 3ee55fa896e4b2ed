"""What to do first, as a table: what was chosen, what it is worth and costs, how sure its place is, and why."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from floorwright.exchange.tables import Rows, Table, tidy
from floorwright.prove.order import Option, Placed
from floorwright.shop.choosing import Chosen, why


def chosen_table(found: Chosen, currency: str) -> Table:
    """Every open improvement: those with a worth in their order, then those that lack one."""
    headings = [
        "place", "number", "title", "chosen", "why", f"expected worth a year ({currency})",
        f"for an hour of effort ({currency})", f"worth a year, low ({currency})",
        f"worth a year, likely ({currency})", f"worth a year, high ({currency})", "chance (%)",
        f"cost ({currency})", "effort, low (h)", "effort, likely (h)", "effort, high (h)",
        "ahead of the next (of 100 cases)", "money and time left for it (of 100 cases)",
    ]  # fmt: skip
    titles = {each.filed.id: each.record.title for each in found.told}
    chosen = () if found.outcome is None else found.outcome.results["chosen"]
    rows: Rows = []
    for place, each in enumerate(found.placed, 1):
        number = int(each.name)
        head = [place, number, titles[number], each.name in chosen, why(found, number)]
        rows.append([*head, *_numbers(each, found.asked.options[number])])
    for told in found.asked.without:
        number = told.filed.id
        rows.append([None, number, titles[number], False, why(found, number), *[None] * (len(headings) - 5)])
    return headings, rows


def _numbers(placed: Placed, option: Option) -> list[Any]:
    worth, hours = option.worth, option.hours
    return [
        round(placed.expected, 2), round(placed.an_hour, 2), worth.low, worth.likely, worth.high,
        tidy(100 * option.chance), option.cost, hours.low, hours.likely, hours.high,
        None if placed.ahead is None else round(100 * placed.ahead), round(100 * placed.reached),
    ]  # fmt: skip


def choosing_table(given: Mapping[str, Any], results: Mapping[str, Any]) -> Table:
    """What could be done and what is chosen: input and results of the calculation `choose`."""
    headings = ["name", "chosen", "value", "cost", "hours", "needs", "excludes"]
    rows: Rows = [
        [
            each["name"],
            each["name"] in results["chosen"],
            each["value"],
            each["cost"],
            each.get("hours", 0.0),
            "; ".join(each.get("needs", ())),
            "; ".join(each.get("excludes", ())),
        ]
        for each in given["improvements"]
    ]
    return headings, rows
