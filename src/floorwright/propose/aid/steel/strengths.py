"""Every strength of a member, worked out once; `interaction` then serves any number of load cases."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin
from typing import Literal

from floorwright.basis.metal.section import Section
from floorwright.propose.aid.steel.angle_flexure import angle_flexure
from floorwright.propose.aid.steel.axial import compression, tension
from floorwright.propose.aid.steel.bar_flexure import flat_flexure, round_bar_flexure
from floorwright.propose.aid.steel.basis import Bracing, Line, Lines, Method, Steel, Strength, unknown
from floorwright.propose.aid.steel.shear_torsion import shear, torsion
from floorwright.propose.aid.steel.tube_flexure import rect_tube_flexure, round_tube_flexure
from floorwright.propose.aid.steel.walls import Wall, describe_walls, walls_of

Bending = Literal["axes", "resultant", "principal"]


@dataclass(frozen=True, slots=True, kw_only=True)
class MemberStrengths:
    """What a member can bear.

    Attributes:
        section: its section.
        steel: what it is made of.
        bracing: how it is held.
        method: ASD or LRFD; the available strengths and the forces compared with them go by it.
        tension, compression: N.
        flexure_1, flexure_2: N·m; about y and z, or about the principal axes of an angle.
        shear_y, shear_z: N, forces along y and z.
        torsion: N·m.
        bending: how moments about two axes go together: added (axes), added in the principal axes (principal;
            angles), or as one moment (resultant; round sections, equally strong about every axis).
        turn_rad: from y to axis 1; 0 but for angles.
        slenderness: Lc/r in compression.
        slimness: L/r in tension, about the weakest axis.
        walls: every wall with its limits.
        lines: how the strengths came about.
    """

    section: Section
    steel: Steel
    bracing: Bracing
    method: Method
    tension: Strength
    compression: Strength
    flexure_1: Strength
    flexure_2: Strength
    shear_y: Strength
    shear_z: Strength
    torsion: Strength
    bending: Bending
    turn_rad: float
    slenderness: float
    slimness: float
    walls: tuple[Wall, ...]
    lines: tuple[Line, ...]

    @property
    def flexure_y(self) -> Strength:
        """For bending about y alone."""
        return self._about(abs(cos(self.turn_rad)), abs(sin(self.turn_rad)))

    @property
    def flexure_z(self) -> Strength:
        """For bending about z alone."""
        return self._about(abs(sin(self.turn_rad)), abs(cos(self.turn_rad)))

    def _about(self, on_1: float, on_2: float) -> Strength:
        if self.bending != "principal":
            return self.flexure_1 if on_1 > on_2 else self.flexure_2
        one, two = self.flexure_1, self.flexure_2
        if one.available is None or two.available is None or one.nominal is None or two.nominal is None:
            return one if one.available is None else two
        return Strength(
            nominal=1 / (on_1 / one.nominal + on_2 / two.nominal),
            available=1 / (on_1 / one.available + on_2 / two.available),
            clause=f"H2-1 with {one.clause} and {two.clause}",
        )


def strengths(section: Section, steel: Steel, bracing: Bracing, method: Method = "ASD") -> MemberStrengths:
    """Every strength of the member; what no clause covers is unknown, with the reason."""
    if steel.uncovered:
        return _not_steel(section, steel, bracing, method)
    lines = Lines()
    describe_walls(section, steel, lines)
    pulled = tension(section, steel, bracing, method, lines)
    pushed, slenderness = compression(section, steel, bracing, method, lines)
    bending: Bending = "axes"
    turn = 0.0
    match section.shape:
        case "pipe" | "round_tube":
            bending = "resultant"
            first = second = round_tube_flexure(section, steel, method, lines)
        case "round_bar":
            bending = "resultant"
            first = second = round_bar_flexure(section, steel, method, lines)
        case "rect_tube":
            first = rect_tube_flexure(section, steel, bracing, "y", method, lines)
            second = rect_tube_flexure(section, steel, bracing, "z", method, lines)
        case "flat":
            first = flat_flexure(section, steel, bracing, "y", method, lines)
            second = flat_flexure(section, steel, bracing, "z", method, lines)
        case "angle":
            bending = "principal"
            first, second, own = angle_flexure(section, steel, bracing, method, lines)
            turn = own.turn_rad
    along_y = shear(section, steel, bracing, "y", method, lines)
    along_z = shear(section, steel, bracing, "z", method, lines)
    twisted = torsion(section, steel, bracing, method, lines)
    return MemberStrengths(
        section=section,
        steel=steel,
        bracing=bracing,
        method=method,
        tension=pulled,
        compression=pushed,
        flexure_1=first,
        flexure_2=second,
        shear_y=along_y,
        shear_z=along_z,
        torsion=twisted,
        bending=bending,
        turn_rad=turn,
        slenderness=slenderness,
        slimness=bracing.length_m / section.r_min_m,
        walls=walls_of(section, steel),
        lines=lines.all(),
    )


def _not_steel(section: Section, steel: Steel, bracing: Bracing, method: Method) -> MemberStrengths:
    none = unknown(steel.uncovered)
    slim = bracing.length_m / section.r_min_m
    lines = Lines()
    lines.add("s", "max(Ky, Kz) * L / rmin", max(bracing.K_y, bracing.K_z) * slim, "plain", "slenderness, at most")
    return MemberStrengths(
        section=section,
        steel=steel,
        bracing=bracing,
        method=method,
        tension=none,
        compression=none,
        flexure_1=none,
        flexure_2=none,
        shear_y=none,
        shear_z=none,
        torsion=none,
        bending="axes",
        turn_rad=0.0,
        slenderness=max(bracing.K_y, bracing.K_z) * slim,
        slimness=slim,
        walls=(),
        lines=lines.all(),
    )
