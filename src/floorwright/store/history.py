"""What a version of a record changed, field by field."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Final

from floorwright.shop.ports import Change

_PLAIN: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_]*\Z")


def changes(before: dict[str, Any], after: dict[str, Any]) -> tuple[Change, ...]:
    """The fields that differ between two bodies, in the order of the fields.

    Paths read like `cost.material` and `measures[1].better`. The change is given at the deepest place that
    exists on both sides. A list that only grew or shrank at its end gives one change for each item, with None
    for the side that has none; a list that changed in another way is given as a whole. A field of the body
    itself that is missing on one side counts as None there.
    """
    found: list[Change] = []
    for name in {**before, **after}:
        found.extend(_differences(name, before.get(name), after.get(name)))
    return tuple(found)


def _differences(path: str, before: Any, after: Any) -> Iterator[Change]:
    if isinstance(before, dict) and isinstance(after, dict) and _same_fields(before, after):
        for name in before:
            yield from _differences(f"{path}.{name}", before[name], after[name])
    elif isinstance(before, list) and isinstance(after, list):
        yield from _in_list(path, before, after)
    elif not same(before, after):
        yield Change(path=path, before=before, after=after)


def _same_fields(before: dict[str, Any], after: dict[str, Any]) -> bool:
    return before.keys() == after.keys() and all(_PLAIN.match(name) for name in before)


def _in_list(path: str, before: list[Any], after: list[Any]) -> Iterator[Change]:
    shared = min(len(before), len(after))
    # Beside an item, None says that it is not there; a list with null in it is therefore told as a whole.
    by_item = None not in before and None not in after
    if by_item and len(before) == len(after):
        for index in range(shared):
            yield from _differences(f"{path}[{index}]", before[index], after[index])
    elif by_item and same(before[:shared], after[:shared]):
        for index in range(shared, len(before)):
            yield Change(path=f"{path}[{index}]", before=before[index], after=None)
        for index in range(shared, len(after)):
            yield Change(path=f"{path}[{index}]", before=None, after=after[index])
    elif not same(before, after):
        yield Change(path=path, before=before, after=after)


def same(one: Any, other: Any) -> bool:
    """Whether two JSON values are the same; 1, 1.0 and true are three different ones."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(value, other[name]) for name, value in one.items())
    if isinstance(one, list):
        return len(one) == len(other) and all(map(same, one, other))
    return bool(one == other)
