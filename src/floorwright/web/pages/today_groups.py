"""What needs someone, in groups by the kind of thing that is to be done, each improvement once in a group."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from floorwright.basis.sentence import Sentence
from floorwright.report.assemble_numbers import mark_of
from floorwright.report.page import Mark
from floorwright.shop.due import Due
from floorwright.shop.improvements import MINIMUM_CYCLES
from floorwright.shop.proof import Proof, Side
from floorwright.shop.records import Phase
from floorwright.shop.series import TOTALS
from floorwright.shop.story import Story
from floorwright.web.words import N_

Name = Literal["lost", "decide", "time", "show", "again", "look", "step", "soon"]
HEADINGS: Final[tuple[tuple[Name, str], ...]] = (
    ("lost", N_("No longer there")),
    ("decide", N_("To decide")),
    ("time", N_("To time")),
    ("again", N_("To measure again")),
    ("show", N_("To show to the people")),
    ("look", N_("To look at")),
    ("step", N_("To carry on")),
    ("soon", N_("Soon")),
)
TIMED: Final = ("time", "again")


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One improvement in a group, with all that it asks for there.

    Attributes:
        number, title: of the improvement.
        things: what is due, earliest first.
        more: how many readings are lacking; 0 where that is not what it is about.
        since: the earliest day that is past; None where nothing is late.
        mark: the verdict of its main measure.
        timed: whether a watch helps.
    """

    number: int
    title: str
    things: tuple[Due, ...]
    more: int
    since: dt.date | None
    mark: Mark
    timed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Things of one kind: its name, heading and items."""

    name: Name
    heading: str
    items: tuple[Item, ...]

    @property
    def late(self) -> int:
        """How many of them are late."""
        return sum(1 for each in self.items if each.since is not None)


def groups_of(things: Iterable[Due], told: Sequence[Story], today: dt.date) -> list[Group]:
    """The groups that hold anything, the most pressing first."""
    stories = {each.filed.id: each for each in told}
    sorted_in: dict[Name, dict[int, list[Due]]] = {name: {} for name, _ in HEADINGS}
    for each in things:
        name = _group(each, stories[each.improvement], today)
        sorted_in[name].setdefault(each.improvement, []).append(each)
    return [
        Group(
            name=name,
            heading=heading,
            items=tuple(_item(name, stories[number], dues) for number, dues in sorted_in[name].items()),
        )
        for name, heading in HEADINGS
        if sorted_in[name]
    ]


def _group(each: Due, story: Story, today: dt.date) -> Name:
    if each.on > today:
        return "soon"
    for key, name in (("again", "again"), ("show", "show"), ("watch", "look")):
        if each.key.startswith(key):
            return name  # type: ignore[return-value]
    if any(proof.held is False for proof in story.proofs):
        return "lost"
    if missing(story):
        return "time"
    return "decide" if story.phase is Phase.CHECK else "step"


def missing(story: Story) -> int:
    """How many readings the main measure lacks at the moment that is being measured; 0 where enough is there."""
    if not story.proofs or story.phase not in (Phase.PLAN, Phase.CHECK) or story.record.dropped:
        return 0
    main = story.proofs[0]
    if story.phase is Phase.PLAN:
        return 0 if story.record.countermeasure else _lacking(main, main.before)
    lacking = _lacking(main, main.after)
    if lacking or main.outcome is None:
        return lacking
    advice = main.outcome.results["advice"]
    more = advice["more"]
    return round(more) if advice["state"] == "keep timing" and isinstance(more, int | float) else 0


def _lacking(main: Proof, side: Side | None) -> int:
    have = 0 if side is None else side.n
    planned = None if side is None else side.study.record.planned
    if planned is not None:
        return max(0, planned - have)
    least = 1 if main.measure.kind in TOTALS else MINIMUM_CYCLES
    return max(0, least - have)


def _item(name: Name, story: Story, dues: Sequence[Due]) -> Item:
    late = [each.on for each in dues if each.late]
    return Item(
        number=story.filed.id,
        title=story.record.title,
        things=tuple(dues),
        more=missing(story) if name == "time" else 0,
        since=min(late) if late else None,
        mark=mark_of(story.proofs[0]) if story.proofs else "waiting",
        timed=name in TIMED,
    )


def said_once(things: Sequence[Due]) -> list[Sentence]:
    """The sentences of an item, each once."""
    return list({str(each.what): each.what for each in things}.values())
