"""The list of improvements as somebody wants to see it: filtered, sorted, and kept under a name."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal

from pydantic import StringConstraints

from floorwright.basis.errors import InputError
from floorwright.basis.sentence import said
from floorwright.shop.filed import checked
from floorwright.shop.improvements import Overview, matching, overviews
from floorwright.shop.ports import Shop
from floorwright.shop.records import Phase, Record, Waste
from floorwright.shop.story import Story, stories

Sort = Literal["number", "title", "area", "waste", "phase", "noticed", "changed"]
Verdict = Literal["proven", "likely", "not shown", "worse", "none"]
VERDICTS: Final[tuple[Verdict, ...]] = ("proven", "likely", "not shown", "worse", "none")
SORTS: Final[tuple[Sort, ...]] = ("number", "title", "area", "waste", "phase", "noticed", "changed")
MOST_VIEWS: Final = 50
SHOP: Final = "shop"
"""The owner of views that everybody sees."""
_KIND: Final = "view"


class Filter(Record):
    """What of the list is shown, and in which order.

    Attributes:
        search: words that all have to be in title, waste, area, place, question or change.
        phase, waste, area: only these; all where empty.
        verdict: only these; "none" where the main measure shows nothing yet.
        sort: by what it is sorted; "noticed" is the day it was seen, "changed" the last change.
        direction: "up" from small to large, from A to Z, from old to new; or "down".
    """

    search: Annotated[str, StringConstraints(max_length=200)] = ""
    phase: Phase | None = None
    waste: Waste | None = None
    area: Annotated[str, StringConstraints(max_length=200)] = ""
    verdict: Verdict | None = None
    sort: Sort = "number"
    direction: Literal["up", "down"] = "up"

    @property
    def everything(self) -> bool:
        """Whether nothing is left out."""
        return not (self.search or self.phase or self.waste or self.area or self.verdict)


def filter_of(given: Mapping[str, str]) -> Filter:
    """A filter from the fields of a form or an address; what is blank or unknown is left out.

    Raises:
        InputError: listing every field that is wrong.
    """
    return checked(Filter, {name: given[name] for name in Filter.model_fields if given.get(name, "").strip()})


def filtered(
    found: Iterable[Overview],
    wanted: Filter,
    changed_at: Mapping[int, dt.datetime] | None = None,
    verdicts: Mapping[int, str] | None = None,
) -> list[Overview]:
    """Those that are wanted, in the order that is wanted; what is alike stays in order of its number.

    Args:
        found: the list.
        wanted: what of it.
        changed_at: when each was changed last, by number; only asked for that order.
        verdicts: of the main measure, by number; only asked for where a verdict is wanted.
    """
    kept = [
        each
        for each in matching(found, phase=wanted.phase, search=wanted.search)
        if wanted.waste in (None, each.filed.record.waste)
        and wanted.area.casefold() in ("", each.filed.record.area.casefold())
        and wanted.verdict in (None, (verdicts or {}).get(each.filed.id) or "none")
    ]
    kept.sort(key=lambda each: each.filed.id)
    kept.sort(key=_key(wanted.sort, changed_at or {}), reverse=wanted.direction == "down")
    return kept


def _key(sort: Sort, changed_at: Mapping[int, dt.datetime]) -> Callable[[Overview], Any]:
    keys: Mapping[Sort, Callable[[Overview], Any]] = {
        "number": lambda each: each.filed.id,
        "title": lambda each: each.filed.record.title.casefold(),
        "area": lambda each: each.filed.record.area.casefold(),
        "waste": lambda each: list(Waste).index(each.filed.record.waste),
        "phase": lambda each: list(Phase).index(each.phase),
        "noticed": lambda each: each.filed.record.noticed_on,
        "changed": lambda each: _moment(changed_at.get(each.filed.id)),
    }
    return keys[sort]


def _moment(at: dt.datetime | None) -> str:
    # One that came in after the times were read is the newest.
    return "9999" if at is None else at.isoformat()


def listed(shop: Shop, wanted: Filter) -> list[Overview]:
    """The improvements that are wanted, in the order that is wanted."""
    changed_at = last_changes(shop) if wanted.sort == "changed" else None
    verdicts = main_verdicts(stories(shop)) if wanted.verdict else None
    return filtered(overviews(shop), wanted, changed_at, verdicts)


def main_verdicts(told: Iterable[Story]) -> dict[int, str]:
    """The verdict of the main measure of each improvement that has one; a gain that was lost is "worse"."""
    found: dict[int, str] = {}
    for each in told:
        main = each.proofs[0] if each.proofs else None
        if main is not None and main.verdict is not None:
            found[each.filed.id] = "worse" if main.held is False else main.verdict
    return found


def last_changes(shop: Shop) -> dict[int, dt.datetime]:
    """When each improvement was changed last, by number."""
    with shop.work() as work:
        return work.records.changed_at("improvement")


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A filter under a name."""

    name: str
    filter: Filter


class _Name(Record):
    name: Annotated[str, StringConstraints(min_length=1, max_length=60)]


def save_view(shop: Shop, name: str, wanted: Filter, *, owner: str = SHOP) -> View:
    """Keep a filter under a name, in place of what was kept under it.

    Raises:
        InputError: a name that is missing or too long, or too many views.
    """
    name = checked(_Name, {"name": name}).name
    with shop.work() as work:
        held = {each for each, _ in work.keepsakes.all(owner, _KIND)}
        if name not in held and len(held) >= MOST_VIEWS:
            raise InputError.of(
                "name",
                name,
                said("would be one view more than {most_views}; remove one first", most_views=MOST_VIEWS),
            )
        work.keepsakes.put(owner, _KIND, name, wanted.model_dump(mode="json"), shop.clock.now())
        work.commit()
    return View(name=name, filter=wanted)


def views(shop: Shop, *, owner: str = SHOP) -> list[View]:
    """The saved views of an owner, by name."""
    with shop.work() as work:
        held = work.keepsakes.all(owner, _KIND)
    found = [View(name=name, filter=Filter.model_validate(body)) for name, body in held]
    return sorted(found, key=lambda view: view.name.casefold())


def remove_view(shop: Shop, name: str, *, owner: str = SHOP) -> None:
    """Forget a saved view; nothing happens when there is none of this name."""
    with shop.work() as work:
        work.keepsakes.remove(owner, _KIND, name)
        work.commit()
