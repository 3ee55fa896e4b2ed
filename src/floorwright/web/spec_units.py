"""The kinds of quantity that specs hold, by the name that their schema gives them."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from floorwright.basis import mechanics, quantity
from floorwright.basis.quantity import Dimension
from floorwright.propose.aid.calc.casters import RATING

DIMENSIONS: Final[Mapping[str, Dimension]] = MappingProxyType(
    {
        each.name: each
        for each in (*vars(quantity).values(), *vars(mechanics).values(), RATING)
        if isinstance(each, Dimension)
    }
)
"""A bare number of one of these is in the shop's unit; of anything else (a slope, a temperature) it has none."""
