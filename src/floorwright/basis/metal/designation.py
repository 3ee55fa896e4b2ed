"""Sections by the designation of the AISC manual: `HSS2X2X1/8`, `Pipe1-1/2STD`, `L2X2X1/8`, `HSS1.900X0.145`.

Tubes and pipes come with the design wall of the manual: 0.93 of the nominal wall, to a thousandth of an inch,
outside corner radius twice that wall. Angles that the shapes database lists with their values take these; others
are computed with square corners. Small letters, spaces and decimals are read too; a name that no table holds is
answered with the nearest ones.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from types import MappingProxyType

from floorwright.basis.errors import InputError
from floorwright.basis.metal.section import DESIGN_WALL, Section, WallBasis, angle, pipe, rect_tube
from floorwright.basis.metal.tables import INCH, rows
from floorwright.basis.quantity import MASS

_LB_FT = MASS.units["lb"] / (12 * INCH)


def designated(name: str, *, wall_basis: WallBasis = "design") -> Section:
    """The section of this designation.

    Args:
        name: as in the AISC manual.
        wall_basis: design (0.93 of the nominal wall, as the manual) or nominal, for tube that is not
            electric-resistance-welded (A1085, A1065, seamless).

    Raises:
        InputError: when no table holds it; the message names the nearest.
    """
    known = _known()
    label = known.get(_key(name))
    if label is None:
        raise InputError.of("designation", name, _nearest(name))
    family, row = _tables()[label]
    if family == "L":
        return _angle(label, row)
    nominal_in, design_in = _walls(row.get("wall_in") or row["wall"])
    design_m = INCH * (design_in if wall_basis == "design" else nominal_in)
    if family == "HSS":
        return rect_tube(
            INCH * _inches(row["depth"]),
            INCH * _inches(row["width"]),
            INCH * nominal_in,
            design_wall_m=design_m,
            label=label,
        )
    outside = INCH * float(row.get("od_in") or row["outside_diameter"])
    return pipe(
        outside,
        INCH * nominal_in,
        design_wall_m=design_m,
        label=label,
        shape="pipe" if family == "Pipe" else "round_tube",
    )


def designations() -> tuple[str, ...]:
    """Every designation that `designated` knows, as it writes them."""
    return tuple(_tables())


def confirmed(label: str) -> str:
    """How the size was seen: `yes` in a public copy, `memory` recalled from the manual's list."""
    return _tables()[label][1]["confirmed"]


@cache
def _tables() -> Mapping[str, tuple[str, Mapping[str, str]]]:
    found: dict[str, tuple[str, Mapping[str, str]]] = {}
    for row in rows("hss_rect"):
        found[f"HSS{row['depth']}X{row['width']}X{row['wall']}"] = ("HSS", row)
    for row in rows("hss_round"):
        found[f"HSS{row['outside_diameter']}X{row['wall']}"] = ("round", row)
    for row in rows("pipes"):
        if row["weight_class"]:
            found[f"Pipe{row['nps']}{row['weight_class']}"] = ("Pipe", row)
        if row["schedule"]:
            found[f"Pipe{row['nps']}SCH{row['schedule']}"] = ("Pipe", row)
    for row in rows("angles"):
        found[f"L{row['depth']}X{row['width']}X{row['wall']}"] = ("L", row)
    return MappingProxyType(found)


@cache
def _known() -> Mapping[str, str]:
    return MappingProxyType({_key(label): label for label in _tables()})


def _key(name: str) -> str:
    """One spelling of a designation: capitals, no spaces, every size as an exact fraction."""
    text = name.strip().upper().replace("×", "X").replace("*", "X").replace('"', "")
    text = re.sub(r"(?<=\d)\s+(?=\d+/\d)", "-", text)  # 1 1/2 -> 1-1/2
    text = re.sub(r"[\s_]+", "", text)

    def size(match: re.Match[str]) -> str:
        whole, fraction, decimal = match["whole"], match["fraction"], match["decimal"]
        value = Fraction(decimal) if decimal else Fraction(int(whole or 0))
        if fraction:
            top, _, bottom = fraction.partition("/")
            if int(bottom) == 0:
                return match.group(0)
            value += Fraction(int(top), int(bottom))
        return f"<{value}>"

    return re.sub(
        r"(?P<decimal>\d*\.\d+)|(?:(?P<whole>\d+)-)?(?P<fraction>\d+/\d+)|(?P<plain>(?P<whole2>\d+))",
        lambda m: f"<{Fraction(int(m['whole2']))}>" if m["plain"] else size(m),
        text,
    )


def _nearest(name: str) -> str:
    labels = designations()
    by_capitals = {label.upper(): label for label in labels}
    typed = re.sub(r"\s+", "", name).upper().replace("×", "X")
    near = [by_capitals[each] for each in get_close_matches(typed, by_capitals, n=3, cutoff=0.6)]
    if near:
        return f"'{name}' is not in the tables of sections; did you mean {' or '.join(near)}?"
    return f"'{name}' is not in the tables of sections; write it like HSS2X2X1/8, Pipe1-1/2STD or L2X2X1/8"


def _inches(text: str) -> float:
    return float(sum(Fraction(part) for part in text.split("-")))


def _walls(text: str) -> tuple[float, float]:
    """Nominal wall and the manual's design wall, in inches."""
    # The manual writes walls of round tube in decimals: 0.188 is 3/16, 0.313 is 5/16.
    nominal = {"0.188": 0.1875, "0.313": 0.3125}.get(text, _inches(text))
    exact = Decimal(repr(nominal)) * Decimal(repr(DESIGN_WALL))
    return nominal, float(exact.quantize(Decimal("0.001"), ROUND_HALF_UP))


def _angle(label: str, row: Mapping[str, str]) -> Section:
    made = angle(*(INCH * _inches(row[side]) for side in ("depth", "width", "wall")), label=label)
    if not row["A_in2"]:
        return made
    area, second, modulus = (float(row[name]) for name in ("A_in2", "I_in4", "S_in3"))
    smaller = area * float(row["rz_in"]) ** 2
    centroid = INCH * float(row["y_in"])
    return replace(
        made,
        A_m2=area * INCH**2,
        I_y_m4=second * INCH**4,
        I_z_m4=second * INCH**4,
        # Equal legs: the principal axes lie at 45 degrees, I1 + I2 = 2 I, and Iyz is half their difference.
        I_yz_m4=-(second - smaller) * INCH**4,
        S_y_m3=modulus * INCH**3,
        S_z_m3=modulus * INCH**3,
        centroid_y_m=centroid,
        centroid_z_m=centroid,
        mass_per_length_kg_m=float(row["W_lb_ft"]) * _LB_FT,
    )
