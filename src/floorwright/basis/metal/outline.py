"""Pieces of outlines that sections are put together from."""

from __future__ import annotations

from math import pi


class Rounded:
    """A solid rectangle H high and B wide with corners of radius r: quarter circles instead of corner squares."""

    __slots__ = ("A", "I_y", "I_z", "Z_y", "Z_z")

    def __init__(self, H: float, B: float, r: float) -> None:
        r = max(r, 0.0)
        self.A = B * H - (4 - pi) * r**2
        self.I_y, self.I_z = second_moment(H, B, r), second_moment(B, H, r)
        self.Z_y, self.Z_z = plastic_modulus(H, B, r), plastic_modulus(B, H, r)


def second_moment(h: float, b: float, r: float) -> float:
    """Of a rounded rectangle h high and b wide, about its middle."""
    square = r**4 / 12 + r**2 * (h / 2 - r / 2) ** 2
    # Quarter circle: centroid 4r/(3 pi) from its flats, own second moment (pi/16 - 4/(9 pi)) r^4.
    quarter = (pi / 16 - 4 / (9 * pi)) * r**4 + pi * r**2 / 4 * (h / 2 - r + 4 * r / (3 * pi)) ** 2
    return b * h**3 / 12 - 4 * (square - quarter)


def plastic_modulus(h: float, b: float, r: float) -> float:
    """Of a rounded rectangle h high and b wide: twice the first moment of its upper half."""
    square = r**2 * (h / 2 - r / 2)
    quarter = pi * r**2 / 4 * (h / 2 - r + 4 * r / (3 * pi))
    return b * h**2 / 4 - 4 * (square - quarter)


def plastic_of_angle(depth: float, width: float, t: float) -> float:
    """Plastic modulus of an angle with square corners about the axis along its width."""
    area, lying = t * (depth + width - t), width * t
    line = area / (2 * width) if lying >= area / 2 else t + (area / 2 - lying) / t
    strips = ((0.0, t, width), (t, depth, t))
    return sum(w * (_signed(z1 - line) - _signed(z0 - line)) for z0, z1, w in strips)


def _signed(z: float) -> float:
    """Integral of the distance from the line, up to z."""
    return z * abs(z) / 2
