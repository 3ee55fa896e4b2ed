"""How slim the walls of a section are: flat widths and their limits (AISC 360, tables B4.1a and B4.1b)."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final, Literal

from floorwright.basis.metal.section import Section
from floorwright.propose.aid.steel.basis import Lines, Steel

WallClass = Literal["compact", "noncompact", "slender"]
Axis = Literal["y", "z"]
CLASSES: Final[tuple[WallClass, ...]] = ("compact", "noncompact", "slender")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """One wall in bending about one axis, or in compression.

    Attributes:
        part: flange, web, wall, leg.
        use: y or z (bending about it), or compression.
        ratio: width over thickness.
        compact: limit of a compact wall; in compression the limit of a wall that does not buckle first.
        noncompact: limit above which the wall is slender.
    """

    part: str
    use: Literal["y", "z", "compression"]
    ratio: float
    compact: float
    noncompact: float

    @property
    def kind(self) -> WallClass:
        """compact, noncompact or slender."""
        if self.ratio <= self.compact:
            return "compact"
        return "noncompact" if self.ratio <= self.noncompact else "slender"


def worst(walls: tuple[Wall, ...]) -> WallClass:
    """The slimmest class among them; compact where there are none (solid bars)."""
    return max((wall.kind for wall in walls), key=CLASSES.index, default="compact")


def flat_m(section: Section, outside_m: float) -> float:
    """Flat width of a tube's wall: outside less three walls (B4.1b(d)), more where the corners are sharper."""
    return max(outside_m - 3 * section.wall_m, outside_m - 2 * section.corner_radius_m, 0.0)


def root(steel: Steel) -> float:
    """sqrt(E/Fy)."""
    return sqrt(steel.E_pa / steel.Fy_pa)


def describe_walls(section: Section, steel: Steel, lines: Lines) -> None:
    """The widths over thickness that later lines use."""
    lines.add("q", "sqrt(E / Fy)", root(steel), "plain", "scale of the limits for walls", "B4.1")
    if section.shape == "rect_tube":
        for symbol, side, outside in (("B", "width", section.width_m), ("H", "depth", section.depth_m)):
            flat = flat_m(section, outside)
            name = symbol.lower()
            lines.add(
                name,
                f"max({symbol} - 3 * t, {symbol} - 2 * ro, 0)",
                flat,
                "length",
                f"flat part of the {side}",
                "B4.1b(d)",
            )
            lines.add(
                f"w{name}", f"{name} / t", flat / section.wall_m, "plain", f"how slim the wall of the {side} is"
            )
    elif section.closed:
        lines.add("w", "D / t", section.depth_m / section.wall_m, "plain", "how slim the wall is", "B4.1b")
    elif section.shape == "angle":
        lines.add("wb", "B / t", section.width_m / section.wall_m, "plain", "how slim the lying leg is")
        lines.add("wh", "H / t", section.depth_m / section.wall_m, "plain", "how slim the upright leg is")


def walls_of(section: Section, steel: Steel) -> tuple[Wall, ...]:
    """Every wall with its limits, in bending about y and z and in compression."""
    q, t = root(steel), section.wall_m
    if section.shape == "rect_tube":
        b, h = flat_m(section, section.width_m) / t, flat_m(section, section.depth_m) / t
        return (
            Wall(part="flange", use="y", ratio=b, compact=1.12 * q, noncompact=1.40 * q),
            Wall(part="web", use="y", ratio=h, compact=2.42 * q, noncompact=5.70 * q),
            Wall(part="flange", use="z", ratio=h, compact=1.12 * q, noncompact=1.40 * q),
            Wall(part="web", use="z", ratio=b, compact=2.42 * q, noncompact=5.70 * q),
            Wall(part="wall", use="compression", ratio=max(b, h), compact=1.40 * q, noncompact=1.40 * q),
        )
    if section.closed:
        ratio, e = section.depth_m / t, steel.E_pa / steel.Fy_pa
        return (
            Wall(part="wall", use="y", ratio=ratio, compact=0.07 * e, noncompact=0.31 * e),
            Wall(part="wall", use="z", ratio=ratio, compact=0.07 * e, noncompact=0.31 * e),
            Wall(part="wall", use="compression", ratio=ratio, compact=0.11 * e, noncompact=0.11 * e),
        )
    if section.shape == "angle":
        ratio = max(section.depth_m, section.width_m) / t
        return (
            Wall(part="leg", use="y", ratio=ratio, compact=0.54 * q, noncompact=0.91 * q),
            Wall(part="leg", use="z", ratio=ratio, compact=0.54 * q, noncompact=0.91 * q),
            Wall(part="leg", use="compression", ratio=ratio, compact=0.45 * q, noncompact=0.45 * q),
        )
    return ()
