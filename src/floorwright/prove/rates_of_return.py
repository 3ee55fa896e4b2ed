"""All rates at which a series of yearly flows is worth nothing: counted exactly, then worked out.

With x = 1/(1 + rate) the worth is the polynomial sum c_t x^t, and every rate above -100 % is one positive root.
Floats are exact binary fractions, so the polynomial is taken in whole numbers and its roots are separated by
Descartes' rule of signs with bisection (Collins and Akritas, SYMSAC 1976): no root is missed, invented or counted
twice, whatever the size of the flows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from math import gcd, nextafter

Poly = list[int]  # coefficients from the constant term up
_BITS = 64
_LARGEST = 10**300  # a rate beyond it is no number that a float can hold
_LOWEST = nextafter(-1.0, 0.0)
_PRIME = 2**61 - 1


def rates_of_return(flows: Sequence[float]) -> tuple[float, ...]:
    """Every rate above -1 with net present value 0, the one nearest zero first.

    Empty where there is none, and also where all flows are 0 (then every rate would do).
    """
    poly = _trimmed(_whole(flows))
    if _sign_changes(poly) == 0:
        return ()
    if _sign_changes(poly) > 1 and _may_repeat(poly):
        poly = _without_repeats(poly)
    growth = [1 / x for x in _roots_below_one(poly)]
    if sum(poly) == 0:
        growth.append(Fraction(1))
    growth += list(_roots_below_one(poly[::-1]))
    rates = [max(float(each - 1), _LOWEST) for each in growth if each < _LARGEST]
    return tuple(sorted(rates, key=lambda rate: (abs(rate), -rate)))


def _whole(flows: Sequence[float]) -> Poly:
    fractions = [Fraction(flow) for flow in flows]
    scale = max((each.denominator for each in fractions), default=1)  # all are powers of two
    return [int(each * scale) for each in fractions]


def _trimmed(poly: Poly) -> Poly:
    """Without zero flows at either end, and without a common divisor."""
    filled = [i for i, c in enumerate(poly) if c]
    if not filled:
        return []
    kept = poly[filled[0] : filled[-1] + 1]
    common = gcd(*kept)
    return [c // common for c in kept]


def _sign_changes(poly: Poly) -> int:
    signs = [c > 0 for c in poly if c]
    return sum(a != b for a, b in pairwise(signs))


def _may_repeat(poly: Poly) -> bool:
    """Whether a root may occur twice: False is certain, found quickly in arithmetic modulo a prime."""
    a = [c % _PRIME for c in poly]
    b = [i * c % _PRIME for i, c in enumerate(a)][1:]
    if not a[-1] or not b[-1]:
        return True
    while b := _trimmed_top(b):
        inverse = pow(b[-1], -1, _PRIME)
        while len(a) >= len(b):
            lead, shift = a[-1] * inverse % _PRIME, len(a) - len(b)
            for i, c in enumerate(b):
                a[i + shift] = (a[i + shift] - lead * c) % _PRIME
            a = _trimmed_top(a)
        a, b = b, a
    return len(a) > 1


def _without_repeats(poly: Poly) -> Poly:
    """The polynomial with the same roots, each of them once: divided by its common divisor with its slope."""
    a, b = poly, _trimmed_top([i * c for i, c in enumerate(poly)][1:])
    while b:
        a, b = b, _primitive(_remainder(a, b))
    return poly if len(a) == 1 else _primitive(_quotient(poly, a))


def _trimmed_top(poly: Poly) -> Poly:
    while poly and poly[-1] == 0:
        poly = poly[:-1]
    return poly


def _primitive(poly: Poly) -> Poly:
    common = gcd(*poly) if poly else 1
    return [c // common for c in poly]


def _remainder(a: Poly, b: Poly) -> Poly:
    """A multiple of the remainder of a / b, in whole numbers."""
    a = list(a)
    while len(a) >= len(b):
        lead, shift = a[-1], len(a) - len(b)
        a = [c * b[-1] for c in a]
        for i, c in enumerate(b):
            a[i + shift] -= lead * c
        a = _primitive(_trimmed_top(a))
    return a


def _quotient(a: Poly, b: Poly) -> Poly:
    """A multiple of a / b, which leaves no remainder."""
    rest = [Fraction(c) for c in a]
    found = [Fraction(0)] * (len(a) - len(b) + 1)
    for shift in range(len(found) - 1, -1, -1):
        found[shift] = rest[shift + len(b) - 1] / b[-1]
        for i, c in enumerate(b):
            rest[i + shift] -= found[shift] * c
    scale = 1
    for each in found:
        scale = scale * each.denominator // gcd(scale, each.denominator)
    return [int(each * scale) for each in found]


def _roots_below_one(poly: Poly) -> Iterator[Fraction]:
    """The roots strictly between 0 and 1, each to about 64 bits."""
    todo: list[tuple[Poly, int, int]] = [(poly, 0, 0)]  # the roots of p in (0, 1) stand for (k, k + 1) / 2^depth
    while todo:
        part, k, depth = todo.pop()
        changes = _sign_changes(_shifted(part[::-1]))
        if changes == 1:
            yield _narrowed(poly, Fraction(k, 1 << depth), Fraction(k + 1, 1 << depth))
        elif changes > 1:
            top = len(part) - 1
            left = [c << (top - i) for i, c in enumerate(part)]
            right = _shifted(left)
            if right[0] == 0:
                yield Fraction(2 * k + 1, 1 << (depth + 1))
                right = right[1:]
            todo += [(_primitive(right), 2 * k + 1, depth + 1), (_primitive(left), 2 * k, depth + 1)]


def _shifted(poly: Poly) -> Poly:
    """p(x + 1)."""
    found = list(poly)
    for i in range(len(found) - 1):
        for j in range(len(found) - 2, i - 1, -1):
            found[j] += found[j + 1]
    return found


def _narrowed(poly: Poly, low: Fraction, high: Fraction) -> Fraction:
    """Halve an interval with exactly one root strictly inside until it is as narrow as a float can tell."""
    falls = _just_after(poly, low) > 0
    while (high - low) * (1 << _BITS) > high:
        middle = (low + high) / 2
        value = _sign_at(poly, middle)
        if value == 0:
            return middle
        if (value > 0) == falls:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _sign_at(poly: Poly, x: Fraction) -> int:
    total, power = 0, 1
    for c in reversed(poly):
        total = total * x.numerator + c * power
        power *= x.denominator
    return (total > 0) - (total < 0)


def _just_after(poly: Poly, x: Fraction) -> int:
    """The sign just above x, where x itself may be a root (each root occurs once)."""
    sign = _sign_at(poly, x)
    return sign if sign else _sign_at([i * c for i, c in enumerate(poly)][1:], x)
