"""The worst way of loading an aid, pile by pile, is the worst of all ways tried one by one."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorwright.propose.aid.subsets import Piles

SHARE = st.floats(-100, 100, allow_nan=False)


@st.composite
def piles(draw: st.DrawFn) -> Piles:
    """Up to nine pieces in piles of one to four, in any order."""
    heights = draw(st.lists(st.integers(1, 4), min_size=1, max_size=4).filter(lambda each: sum(each) <= 9))
    places = draw(st.permutations(range(sum(heights))))
    ends = np.cumsum([0, *heights])
    return Piles(tuple(tuple(places[a:b]) for a, b in pairwise(ends)))


@given(piles(), st.data())
def test_the_highest_sum_is_that_of_all_ways(found: Piles, data: st.DataObject) -> None:
    shares = np.array(data.draw(st.lists(SHARE, min_size=found.n, max_size=found.n)))
    every = [float(shares[mask].sum()) for mask in found.all()]
    assert float(found.highest(shares)) == pytest.approx(max(every), abs=1e-9)
    assert float(shares[found.choice(shares)].sum()) == pytest.approx(max(every), abs=1e-9)


@given(piles(), st.data())
def test_the_lowest_quotient_is_that_of_all_ways(found: Piles, data: st.DataObject) -> None:
    top = np.array(data.draw(st.lists(SHARE, min_size=found.n, max_size=found.n)))
    bottom = np.array(data.draw(st.lists(st.floats(0, 100), min_size=found.n, max_size=found.n)))
    top_0, bottom_0 = data.draw(SHARE), data.draw(st.floats(0.1, 100))
    every = [float((top_0 + top[mask].sum()) / (bottom_0 + bottom[mask].sum())) for mask in found.all()]
    quotient, mask = found.lowest_quotient(top, bottom, top_0, bottom_0)
    assert quotient == pytest.approx(min(every), rel=1e-9, abs=1e-9)
    assert float((top_0 + top[mask].sum()) / (bottom_0 + bottom[mask].sum())) == pytest.approx(quotient)


@given(piles())
def test_every_way_is_counted_once(found: Piles) -> None:
    every = [tuple(mask) for mask in found.all()]
    assert len(every) == len(set(every)) == found.count()


def test_a_piece_in_two_piles_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="exactly one pile"):
        Piles(((0, 1), (1,)))


def test_what_stands_below_must_be_positive() -> None:
    with pytest.raises(ValueError, match="must be positive"):
        Piles(((0,),)).lowest_quotient(np.array([1.0]), np.array([1.0]), 1.0, 0.0)
