"""What a version changed: the examples a reader meets, and the law that the changes rebuild the next version."""

from __future__ import annotations

import copy
import itertools
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorwright.shop.ports import Change
from floorwright.store.history import changes, same


@pytest.mark.parametrize(
    ("before", "after", "found"),
    [
        ({"title": "a", "n": 1}, {"title": "a", "n": 1}, []),
        ({"title": "a"}, {"title": "b"}, [("title", "a", "b")]),
        ({"cost": {"hours": 4, "note": ""}}, {"cost": {"hours": 6, "note": ""}}, [("cost.hours", 4, 6)]),
        ({"cost": None}, {"cost": {"hours": 6}}, [("cost", None, {"hours": 6})]),
        ({"m": [{"x": 1}, {"x": 2}]}, {"m": [{"x": 1}, {"x": 3}]}, [("m[1].x", 2, 3)]),
        ({"tags": ["a"]}, {"tags": ["a", "b", "c"]}, [("tags[1]", None, "b"), ("tags[2]", None, "c")]),
        ({"tags": ["a", "b"]}, {"tags": ["a"]}, [("tags[1]", "b", None)]),
        ({"tags": ["a", "b"]}, {"tags": ["b"]}, [("tags", ["a", "b"], ["b"])]),
        ({}, {"new": 1}, [("new", None, 1)]),
        ({"old": 1}, {}, [("old", 1, None)]),
        ({"p": {"a": 1}}, {"p": {"b": 1}}, [("p", {"a": 1}, {"b": 1})]),
        ({"p": {"a b": 1}}, {"p": {"a b": 2}}, [("p", {"a b": 1}, {"a b": 2})]),
        ({"tags": ["a", None]}, {"tags": ["b", None]}, [("tags", ["a", None], ["b", None])]),
        ({"n": 1}, {"n": True}, [("n", 1, True)]),
        ({"n": 1}, {"n": 1.0}, [("n", 1, 1.0)]),
    ],
)
def test_changes_read_as_a_person_would_tell_them(
    before: dict[str, Any], after: dict[str, Any], found: list[tuple[str, Any, Any]]
) -> None:
    assert changes(before, after) == tuple(Change(path=path, before=b, after=a) for path, b, a in found)


names = st.sampled_from(["title", "cost", "a b", "x.y", "n"])
values = st.recursive(
    st.none() | st.booleans() | st.integers(-3, 3) | st.sampled_from([1.0, 0.5, "", "a", "b"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3),
    max_leaves=8,
)
bodies = st.fixed_dictionaries({"title": values, "cost": values, "measures": st.lists(values, max_size=4)})


def applied(body: dict[str, Any], found: tuple[Change, ...]) -> dict[str, Any]:
    """The body after a version's changes, by the words of `changes`: None at an item of a list is no item."""
    body = copy.deepcopy(body)
    shortened: list[tuple[list[Any], int]] = []
    for change in found:
        *way, last = [int(i) if i else name for name, i in re.findall(r"([A-Za-z_]\w*)|\[(\d+)\]", change.path)]
        place: Any = body
        for step in way:
            place = place[step]
        if isinstance(place, list) and change.before is None:
            place.append(change.after)
        elif isinstance(place, list) and change.after is None:
            shortened.append((place, last))
        else:
            place[last] = change.after
    for place, index in reversed(shortened):
        del place[index]
    return body


@given(st.lists(bodies, min_size=2, max_size=5))
def test_changes_of_every_version_rebuild_the_next(versions: list[dict[str, Any]]) -> None:
    for before, after in itertools.pairwise(versions):
        assert same(applied(before, changes(before, after)), after)


@given(bodies)
def test_nothing_changed_gives_no_change(body: dict[str, Any]) -> None:
    assert changes(body, copy.deepcopy(body)) == ()
