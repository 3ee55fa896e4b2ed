"""Materials of the shop: strength, stiffness, density, and how much of that may be relied on.

Strengths are the minimum of the standard where the table says so. Steel without a certificate takes the lowest
yield that its form could have, whatever somebody remembers about it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType
from typing import Final, Literal, cast

from floorwright.basis.errors import InputError
from floorwright.basis.metal.section import Shape
from floorwright.basis.metal.tables import rows
from floorwright.basis.quantity import FORCE, LENGTH

Family = Literal["carbon_steel", "stainless", "aluminium"]
Form = Literal["pipe", "round_tube", "rect_tube", "bar", "sheet"]
KSI: Final = 1e3 * FORCE.units["lbf"] / LENGTH.units["in"] ** 2

FORM_OF_SHAPE: Final[MappingProxyType[Shape, Form]] = MappingProxyType(
    {
        "pipe": "pipe",
        "round_tube": "round_tube",
        "rect_tube": "rect_tube",
        "angle": "bar",
        "flat": "bar",
        "round_bar": "bar",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A material.

    Attributes:
        id: name in the table.
        name: what it is.
        spec: standard and grade.
        family: carbon_steel, stainless or aluminium; each has its own design code.
        forms: the forms it is sold in.
        Fy_pa: yield strength.
        Fu_pa: tensile strength.
        E_pa: modulus of elasticity.
        G_pa: shear modulus.
        density_kg_m3: density.
        certified: whether a certificate stands behind the values.
        minimum: whether the strengths are the least of the standard, not typical values.
        note: what a designer should know.
        source: where the values come from.
        confirmed: yes or memory.
    """

    id: str
    name: str
    spec: str
    family: Family
    forms: tuple[str, ...]
    Fy_pa: float
    Fu_pa: float
    E_pa: float
    G_pa: float
    density_kg_m3: float
    certified: bool
    minimum: bool
    note: str
    source: str
    confirmed: str


@cache
def materials() -> MappingProxyType[str, Material]:
    """Every material of the table by id, taken as certified."""
    return MappingProxyType(
        {
            row["id"]: Material(
                id=row["id"],
                name=row["name"],
                spec=row["spec"],
                family=cast("Family", row["family"]),
                forms=tuple(row["forms"].split()),
                Fy_pa=KSI * float(row["Fy_ksi"]),
                Fu_pa=KSI * float(row["Fu_ksi"]),
                E_pa=KSI * float(row["E_ksi"]),
                G_pa=KSI * float(row["G_ksi"]),
                density_kg_m3=float(row["density_kg_m3"]),
                certified=True,
                minimum=row["values"] == "minimum",
                note=row["note"],
                source=row["source"],
                confirmed=row["confirmed"],
            )
            for row in rows("materials")
        }
    )


def material(id_: str) -> Material:
    """The material of this id, as certified.

    Raises:
        InputError: when the table does not hold it; the message names the nearest.
    """
    table = materials()
    if id_ in table:
        return table[id_]
    by_capitals = {name.upper(): name for name in table}
    near = [by_capitals[each] for each in get_close_matches(id_.upper(), by_capitals, n=3, cutoff=0.5)]
    hint = f"did you mean {' or '.join(near)}?" if near else f"the table holds {', '.join(table)}"
    raise InputError.of("material", id_, f"'{id_}' is not in the table of materials; {hint}")


def uncertified(form: Form, family: Family = "carbon_steel") -> Material:
    """What steel of this form has to be taken for without a certificate: the lowest yield in the table.

    Raises:
        InputError: when the table has no minimum for such a form (aluminium: temper and welds decide).
    """
    fitting = [
        each for each in materials().values() if each.family == family and form in each.forms and each.minimum
    ]
    if family != "carbon_steel" or not fitting:
        raise InputError.of(
            "material",
            family,
            f"{family} of unknown grade has no strength to rely on; find its certificate or have a piece tested",
        )
    lowest = min(fitting, key=lambda each: (each.Fy_pa, each.Fu_pa))
    return replace(
        lowest,
        id=f"uncertified_{form}",
        name=f"steel of unknown grade, {form.replace('_', ' ')}",
        certified=False,
        note=f"taken for {lowest.spec}, the lowest yield of its form in the table; measure its wall",
    )
