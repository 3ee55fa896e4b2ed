"""Rounding to cents once, so that the parts add up to the total."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction


def to_cents(amounts: Sequence[Fraction]) -> list[Decimal]:
    """Amounts in cents that add up to their exact total rounded to cents.

    The total is rounded once; every part is rounded down, and the cents left over go to the largest
    remainders, to the earlier part where two are alike.
    """
    cents = [amount * 100 for amount in amounts]
    total = round(sum(cents, Fraction(0)))
    down = [part.numerator // part.denominator for part in cents]
    by_remainder = sorted(range(len(cents)), key=lambda i: (down[i] - cents[i], i))
    for i in by_remainder[: total - sum(down)]:
        down[i] += 1
    return [Decimal(part).scaleb(-2) for part in down]
