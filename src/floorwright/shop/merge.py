"""Two people changed the same record from the same version: what of it goes together, and what does not.

Works on records as plain JSON values. A field that only one side changed takes that side's value. In lists the
items are told apart by their name, so that what both added is kept.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from json import dumps
from typing import Any, Final

_PARTS: Final = frozenset({"cost", "watch"})
"""Fields whose own fields say things apart from one another; an approval, say, is one thing as a whole."""
_NAMES: Final[Mapping[str, Callable[[Any], Any]]] = {
    "photos": lambda photo: photo["hash"],
    "measures": lambda measure: measure["name"],
    "elements": lambda element: element["name"],
    "rates": lambda rate: rate["name"],
    "shifts": lambda shift: shift["name"],
    "distances_m": lambda leg: tuple(leg[:2]),
}
"""What tells the items of a list apart; elsewhere it is all that they say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldClash:
    """A field that both sides changed, and not alike.

    Attributes:
        field: its name; "cost.material" is the field of a field.
        base: what stood there when both began.
        yours: what the author of the change wants there.
        theirs: what stands there now.
    """

    field: str
    base: Any
    yours: Any
    theirs: Any


@dataclass(frozen=True, slots=True)
class Merged:
    """The body with both changes, and what could not be put together; there it holds what stands now."""

    body: dict[str, Any]
    clashes: tuple[FieldClash, ...]


def merge(base: Mapping[str, Any], yours: Mapping[str, Any], theirs: Mapping[str, Any]) -> Merged:
    """Put the changes from `base` to `yours` on top of `theirs`."""
    clashes: list[FieldClash] = []
    body = {
        name: _field(name, name, base.get(name), yours.get(name), theirs.get(name), clashes)
        for name in dict.fromkeys((*theirs, *yours))
    }
    return Merged(body, tuple(clashes))


def _field(path: str, name: str, base: Any, yours: Any, theirs: Any, clashes: list[FieldClash]) -> Any:
    if yours in (base, theirs):
        return theirs
    if theirs == base:
        return yours
    three = (base, yours, theirs)
    if name in _PARTS and all(isinstance(each, dict) for each in three):
        return {
            part: _field(f"{path}.{part}", part, base.get(part), yours.get(part), theirs.get(part), clashes)
            for part in dict.fromkeys((*theirs, *yours))
        }
    if all(isinstance(each, list) for each in three):
        found = _list(_keyed(name, base), _keyed(name, yours), _keyed(name, theirs))
        if found is not None:
            return found
    clashes.append(FieldClash(field=path, base=base, yours=yours, theirs=theirs))
    return theirs


def _list(base: dict[Any, Any], yours: dict[Any, Any], theirs: dict[Any, Any]) -> list[Any] | None:
    """Both lists of changes in one; None where they do not go together."""
    order = _order(list(base), list(yours), list(theirs))
    if order is None:
        return None
    found = []
    for key in order:
        before, mine, other = (side.get(key) for side in (base, yours, theirs))
        if mine != before and other not in (before, mine):
            return None  # the same item, changed in two ways or taken away by one and changed by the other
        kept = other if mine == before else mine
        if kept is not None:
            found.append(kept)
    return found


def _order(base: list[Any], yours: list[Any], theirs: list[Any]) -> list[Any] | None:
    """All keys in an order that both sides can live with; None where they put them in two different orders."""
    if theirs == base or yours == theirs:
        return [*yours, *(key for key in theirs if key not in yours)]
    added = [key for key in yours if key not in theirs]
    if yours == base:
        return [*theirs, *added]
    common = set(yours) & set(theirs)
    if [key for key in yours if key in common] != [key for key in theirs if key in common]:
        return None
    return [*theirs, *added]


def _keyed(name: str, items: Sequence[Any]) -> dict[Any, Any]:
    return dict(zip(_keys(name, items), items, strict=True))


def _whole(item: Any) -> str:
    return dumps(item, sort_keys=True)


def _keys(name: str, items: Sequence[Any]) -> Iterator[Any]:
    """What tells every item apart; the second of two alike is another one."""
    seen: Counter[Any] = Counter()
    named: Callable[[Any], Any] = _NAMES.get(name, _whole)
    for item in items:
        key = named(item)
        seen[key] += 1
        yield key, seen[key]
