"""An aid as a STEP file (ISO 10303-21, AP214) for CAD programs: one product a part, each a valid closed solid.

Tubes are hollow with ends cut square to their axis; round ones are true cylinders, the corners of rectangular ones
are square. A part that is cut as one piece is one solid.
Wheels are plain cylinders; the load is left out. Lengths are in millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from floorwright.basis.proposal import Shape
from floorwright.draw.aid_solids import Solid, bar_axes, joined, minus, near, plus, solid_of, times, unit
from floorwright.exchange.gltf import nothing_solid, rings_of, unique
from floorwright.exchange.step_solids import Solids
from floorwright.exchange.step_text import StepText, quoted

_MM: Final = 1e3


def step(scene: Sequence[Shape], *, name: str = "shop aid", written: str = "") -> bytes:
    """The scene as the text of a STEP file.

    Args:
        scene: what there is to see; pieces of the load and lines are left out.
        name: of the file, in its header.
        written: date and time in its header (ISO 8601); left empty where not given.

    Raises:
        InputError: when the scene has no bar, plate or wheel.
    """
    text = StepText()
    solids = Solids(text)
    context = _context(text)
    taken: set[str] = set()
    for shape in joined(scene):
        if shape.role == "piece" or shape.kind == "line":
            continue
        brep = _brep(solids, shape)
        if brep:
            _product(text, context, unique(shape.part or shape.label, taken), brep)
    if not taken:
        raise nothing_solid()
    return text.file(name=name, written=written).encode("ascii")


def _brep(solids: Solids, shape: Shape) -> str:
    """The solid of a shape; "" for one without extent."""
    if shape.kind == "wheel":
        diameter, width = shape.size_m
        x, y, z = shape.points_m[0]
        middle = (_MM * x, _MM * (y - width / 2), _MM * z)
        return solids.tube(middle, (0.0, 1.0, 0.0), (1.0, 0.0, 0.0), _MM * width, _MM * diameter / 2, 0.0)
    if shape.kind == "bar":
        return "" if near(*shape.points_m) else _bar(solids, shape)
    solid = solid_of(shape)
    return "" if solid is None else _prism(solids, solid)


def _bar(solids: Solids, shape: Shape) -> str:
    start, end = (times(point, _MM) for point in shape.points_m)
    x, y, z = bar_axes(shape)
    depth, width, wall = (_MM * size for size in shape.size_m)
    along = minus(end, start)
    if shape.round_ and depth == width:
        length = sum(part * part for part in along) ** 0.5
        return solids.tube(start, x, y, length, depth / 2, depth / 2 - wall if wall else 0.0)
    rings = [
        [plus(start, plus(times(y, _MM * float(a)), times(z, _MM * float(b)))) for a, b in ring]
        for ring in rings_of(shape)
    ]
    return solids.prism(rings, along)


def _prism(solids: Solids, solid: Solid) -> str:
    n = len(solid.points) // 2
    ring = [times(point, _MM) for point in solid.points[:n]]
    return solids.prism([ring], minus(times(solid.points[n], _MM), ring[0]))


def _context(text: StepText) -> str:
    """Units and what all products share; gives the geometric context, with the product context before it."""
    application = text.add("APPLICATION_CONTEXT('core data for automotive mechanical design processes')")
    text.add(f"APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,{application})")
    text.product_context = text.add(f"PRODUCT_CONTEXT('',{application},'mechanical')")
    text.definition_context = text.add(f"PRODUCT_DEFINITION_CONTEXT('part definition',{application},'design')")
    length = text.add("(LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.))")
    angle = text.add("(NAMED_UNIT(*) PLANE_ANGLE_UNIT() SI_UNIT($,.RADIAN.))")
    solid_angle = text.add("(NAMED_UNIT(*) SI_UNIT($,.STERADIAN.) SOLID_ANGLE_UNIT())")
    near_enough = text.add(
        f"UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-05),{length},'distance_accuracy_value','')"
    )
    return text.add(
        "(GEOMETRIC_REPRESENTATION_CONTEXT(3)"
        f" GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT(({near_enough}))"
        f" GLOBAL_UNIT_ASSIGNED_CONTEXT(({length},{angle},{solid_angle}))"
        " REPRESENTATION_CONTEXT('',''))"
    )


def _product(text: StepText, context: str, name: str, brep: str) -> None:
    label = quoted(name)
    product = text.add(f"PRODUCT({label},{label},'',({text.product_context}))")
    text.add(f"PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,({product}))")
    formation = text.add(f"PRODUCT_DEFINITION_FORMATION('','',{product})")
    definition = text.add(f"PRODUCT_DEFINITION('design','',{formation},{text.definition_context})")
    shape = text.add(f"PRODUCT_DEFINITION_SHAPE('','',{definition})")
    place = text.placement((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), unit((1.0, 0.0, 0.0)))
    representation = text.add(f"ADVANCED_BREP_SHAPE_REPRESENTATION({label},({place},{brep}),{context})")
    text.add(f"SHAPE_DEFINITION_REPRESENTATION({shape},{representation})")
