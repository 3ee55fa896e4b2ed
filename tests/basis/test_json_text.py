"""JSON as programs send it: what passes, and the sentence for what does not."""

from __future__ import annotations

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorwright.basis.errors import InputError
from floorwright.basis.json_text import read_json

PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=20,
)


@given(PLAIN)
def test_what_json_can_hold_is_read_as_it_was_written(value: object) -> None:
    assert read_json(json.dumps(value)) == value
    assert read_json(json.dumps(value, ensure_ascii=False).encode(), finite=True) == value


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b"\xff\xfe", "UTF-8"),
        ("{", "is not JSON"),
        ("", "is not JSON"),
        ("[" * 100_000, "nested too deeply"),
        ('{"a": 1, "a": 2}', "stands twice"),
        (r'["\ud800"]', "half a character"),
        (r'{"\udfff": 1}', "half a character"),
        ("1" * 5_000, "is not JSON"),
    ],
)
def test_what_cannot_be_used_is_said_in_a_sentence(text: str | bytes, said: str) -> None:
    with pytest.raises(InputError, match=said):
        read_json(text)


@pytest.mark.parametrize("text", ["NaN", "[Infinity]", '{"a": -Infinity}', "1e999"])
def test_numbers_that_are_none_pass_only_where_a_field_can_be_named(text: str) -> None:
    read_json(text)
    with pytest.raises(InputError, match="ordinary number"):
        read_json(text, finite=True)


def test_a_whole_character_written_in_two_halves_is_whole() -> None:
    assert read_json(r'"\ud83d\ude00"') == "😀"
    assert math.isinf(read_json("1e999"))
