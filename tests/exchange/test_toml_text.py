"""Values as TOML text: the reader of the standard library gives the same values back."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorwright.basis.errors import InputError
from floorwright.exchange.toml_text import toml_text
from floorwright.propose.aid.registry import PATTERNS

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
ONE = st.booleans() | st.integers(-(2**63), 2**63 - 1) | st.floats(allow_nan=False, allow_infinity=False) | TEXT
VALUES = st.recursive(ONE, lambda inside: st.lists(inside, max_size=4) | st.dictionaries(TEXT, inside, max_size=4))


@given(st.dictionaries(TEXT, VALUES, max_size=6))
def test_every_document_comes_back_as_it_was(document: dict[str, Any]) -> None:
    assert tomllib.loads(toml_text(document)) == document


@pytest.mark.parametrize("name", PATTERNS)
def test_the_example_of_every_pattern_comes_back(name: str) -> None:
    raw = tomllib.loads(PATTERNS[name].example)
    assert tomllib.loads(toml_text(raw)) == raw


def test_what_toml_has_no_form_for_is_refused_by_name() -> None:
    with pytest.raises(InputError, match="has no form in a TOML file"):
        toml_text({"wheels": {"rating": None}})
