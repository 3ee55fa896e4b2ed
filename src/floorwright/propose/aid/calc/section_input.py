"""A section as input: a shape with its sizes, or a designation alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Final, Literal

from pydantic import Field, model_validator

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, Measure
from floorwright.basis.metal.designation import designated
from floorwright.basis.metal.gauge_field import Thickness, read_gauge
from floorwright.basis.metal.section import (
    Section,
    Shape,
    WallBasis,
    angle,
    flat,
    pipe,
    rect_tube,
    round_bar,
)
from floorwright.basis.quantity import LENGTH

LARGEST_M: Final = 100.0
SMALLEST_M: Final = 1e-5
Size = Annotated[float, Measure(LENGTH, above=0, at_least=SMALLEST_M, at_most=LARGEST_M)]
SheetMetal = Literal["steel", "galvanized", "stainless", "aluminium"]
_TUBES: Final = ("pipe", "round_tube", "rect_tube")
NEEDS: Final[Mapping[str, tuple[str, ...]]] = {
    "pipe": ("outside_diameter", "wall"),
    "round_tube": ("outside_diameter", "wall"),
    "rect_tube": ("depth", "width", "wall"),
    "angle": ("depth", "width", "wall"),
    "flat": ("depth", "width"),
    "round_bar": ("outside_diameter",),
}
_SIZES: Final = ("outside_diameter", "depth", "width", "wall", "corner_radius")


class SectionInput(Input):
    """Input of `section`."""

    designation: str | None = Field(
        None,
        description="a section of the tables, in the AISC manual's style, alone: "
        "HSS2X2X1/8, Pipe1-1/2STD, L2X2X1/8",
    )
    shape: Shape | None = Field(None, description="its kind, where no designation is given")
    outside_diameter: Size | None = Field(None, description="of a pipe, round tube or round bar")
    depth: Size | None = Field(
        None, description="along z: height of a tube or flat standing as drawn, upright leg of an angle"
    )
    width: Size | None = Field(None, description="along y")
    wall: Annotated[float, Thickness("tube")] | None = Field(
        None,
        description="nominal wall; a gauge is tube gauge for tubes and pipes, sheet gauge for angles and flats",
    )
    corner_radius: Annotated[float, Measure(LENGTH, at_least=0, at_most=LARGEST_M)] | None = Field(
        None, description="outside corner radius of a rectangular tube; twice the wall unless told"
    )
    wall_basis: WallBasis | None = Field(
        None,
        description="which wall counts for strength: nominal, or design (0.93 of it, AISC 360 B4.2 for "
        "electric-resistance-welded tube); design for a designation, nominal for sizes unless told",
    )
    metal: SheetMetal = Field("steel", description="which sheet gauge is meant where a gauge is given for sheet")

    @model_validator(mode="before")
    @classmethod
    def _sheet_gauge(cls, raw: Any) -> Any:
        """A gauge of an angle or flat is sheet gauge of its metal; the field by itself reads tube gauge."""
        if not isinstance(raw, Mapping) or raw.get("shape") not in ("angle", "flat"):
            return raw
        metal = raw.get("metal", "steel")
        if metal not in ("steel", "galvanized", "stainless", "aluminium"):
            return raw
        found = dict(raw)
        for name in ("wall", "depth", "width"):
            try:
                read = read_gauge(found.get(name), metal)
            except ValueError:
                continue
            if read is not None:
                found[name] = read
        return found

    def section(self) -> Section:
        """The section.

        Raises:
            InputError: when the sizes do not go together.
        """
        if self.designation is not None:
            return designated(self.designation, wall_basis=self.wall_basis or "design")
        basis = self.wall_basis or "nominal"
        match self.shape:
            case "pipe" | "round_tube" as shape:
                return pipe(_given(self.outside_diameter), _given(self.wall), wall_basis=basis, shape=shape)
            case "rect_tube":
                return rect_tube(
                    _given(self.depth),
                    _given(self.width),
                    _given(self.wall),
                    corner_radius_m=self.corner_radius,
                    wall_basis=basis,
                )
            case "angle":
                return angle(_given(self.depth), _given(self.width), _given(self.wall))
            case "round_bar":
                return round_bar(_given(self.outside_diameter))
            case _:
                return flat(_given(self.depth or self.wall), _given(self.width or self.wall))


def _given(size: float | None) -> float:
    assert size is not None  # noqa: S101  `section_problems` came first
    return size


def section_problems(given: Mapping[str, Any]) -> Iterable[Problem]:
    """What is wrong between the fields that can be read."""
    designation, shape = given.get("designation"), given.get("shape")
    sizes = [name for name in _SIZES if given.get(name) is not None]
    if designation is not None:
        extra = [name for name in ("shape", *sizes) if given.get(name) is not None]
        for name in extra:
            yield Problem(name, given.get(name), "should be left out: the designation says it all")
        if not extra:
            yield from _of_making(given)
        return
    if shape is None:
        if "shape" in given and "designation" in given:
            yield Problem("shape", None, f"is missing; give one of {', '.join(NEEDS)}, or a designation")
        return
    needed = NEEDS[shape]
    # A flat is known by two of its three sizes: its thickness may stand for depth or for width.
    if shape == "flat" and given.get("wall") is not None:
        needed = ("width",) if given.get("depth") is None else ("depth",)
        sizes = [name for name in sizes if name != "wall"]
    allowed = {*needed, "corner_radius"} if shape == "rect_tube" else set(needed)
    missing = [name for name in needed if name in given and given[name] is None]
    wrong = [name for name in sizes if name not in allowed]
    for name in missing:
        yield Problem(name, None, f"is missing; a {shape.replace('_', ' ')} needs {' and '.join(needed)}")
    for name in wrong:
        kind = shape.replace("_", " ")
        yield Problem(name, given[name], f"is no size of a {kind}; it has {' and '.join(needed)}")
    if given.get("wall_basis") == "design" and shape not in _TUBES:
        yield Problem("wall_basis", "design", "is for tubes and pipes; leave it out here")
    if not missing and not wrong and all(name in given for name in (*_SIZES, "wall_basis", "metal")):
        yield from _of_making(given)


def _of_making(given: Mapping[str, Any]) -> Iterable[Problem]:
    try:
        SectionInput.model_construct(**dict(given)).section()
    except InputError as error:
        yield from error.problems
