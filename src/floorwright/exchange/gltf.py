"""An aid as a GLB file (binary glTF 2.0) for viewers: y up, metres, one named node for every part.

Every mesh is closed. Tubes are hollow, with open ends; the corners of rectangular tubes are square, as sections are
sold with radii that vary. The load is a part of its own for each piece, seen through.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from floorwright.basis.errors import InputError
from floorwright.basis.proposal import Shape
from floorwright.draw.aid_solids import Solid, angle_ring, bar_axes, joined, near, solid_of

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from trimesh import Trimesh

_SIDES: Final = 48  # of a round tube; its area is then 0.3 % below that of the circle, and is made up for
_UP: Final = ((1.0, 0.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, -1.0, 0.0, 0.0), (0.0, 0.0, 0.0, 1.0))
_COLOURS: Final = {
    "bar": (0.62, 0.69, 0.71, 1.0),
    "plate": (0.85, 0.82, 0.76, 1.0),
    "wheel": (0.25, 0.24, 0.23, 1.0),
    "box": (0.85, 0.72, 0.45, 0.35),
}


def glb(scene: Sequence[Shape]) -> bytes:
    """The scene as a GLB file.

    Args:
        scene: what there is to see, z up; the file has y up, as glTF asks.

    Raises:
        InputError: when the scene has nothing solid in it.
    """
    import trimesh

    whole = trimesh.Scene()
    taken: set[str] = set()
    for shape in joined(scene):
        mesh = mesh_of(shape)
        if mesh is None:
            continue
        name = unique(shape.part if shape.kind in ("bar", "plate") and shape.part else shape.label, taken)
        colour = [round(255 * part) for part in _COLOURS[shape.kind]]
        material = trimesh.visual.material.PBRMaterial(  # type: ignore[no-untyped-call]
            baseColorFactor=colour,
            metallicFactor=0.1,
            roughnessFactor=0.8,
            alphaMode="BLEND" if colour[3] < 255 else "OPAQUE",
        )
        mesh.visual = trimesh.visual.TextureVisuals(material=material)  # type: ignore[no-untyped-call]
        mesh.apply_transform(np.array(_UP))
        whole.add_geometry(mesh, node_name=name, geom_name=name)
    if not whole.geometry:
        raise nothing_solid()
    made = whole.export(file_type="glb")  # type: ignore[no-untyped-call]
    return bytes(made)


def nothing_solid() -> InputError:
    """The refusal of a scene without bars, plates, wheels or load."""
    return InputError.of("scene", None, "has nothing solid in it; lay out an aid with at least one bar first")


def unique(name: str, taken: set[str]) -> str:
    """The name, with a number behind it where it is taken; a nameless one is called part."""
    base = name.strip() or "part"
    found, number = base, 2
    while found in taken:
        found, number = f"{base} ({number})", number + 1
    taken.add(found)
    return found


def mesh_of(shape: Shape) -> Trimesh | None:
    """The closed mesh of a shape, z up; None for a line and for a shape without extent."""
    import trimesh

    if shape.kind == "bar" and not near(*shape.points_m):
        points, faces = _tube(shape)
    elif (solid := solid_of(shape)) is not None and shape.kind != "bar":
        points, faces = np.array(solid.points), _triangles(solid)
    else:
        return None
    return trimesh.Trimesh(vertices=points, faces=faces, process=False)


def _triangles(solid: Solid) -> NDArray[np.int64]:
    """Faces of a convex solid as fans."""
    return np.array([(face[0], b, c) for face in solid.faces for b, c in pairwise(face[1:])])


def _tube(shape: Shape) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """A bar with its bore, square to its axis at both ends."""
    start, end = (np.array(point) for point in shape.points_m)
    _, y, z = (np.array(axis) for axis in bar_axes(shape))
    rings = rings_of(shape)
    n = len(rings[0])
    points = np.concatenate(
        [middle + ring[:, :1] * y + ring[:, 1:] * z for ring in rings for middle in (start, end)]
    )
    faces: list[tuple[int, int, int]] = []

    def quad(a: int, b: int, c: int, d: int) -> None:
        faces.extend(((a, b, c), (a, c, d)))

    for i in range(n):
        k = (i + 1) % n
        quad(i, k, n + k, n + i)
        if len(rings) == 2:
            quad(2 * n + k, 2 * n + i, 3 * n + i, 3 * n + k)
            quad(k, i, 2 * n + i, 2 * n + k)
            quad(n + i, n + k, 3 * n + k, 3 * n + i)
    if len(rings) == 1:
        faces += [(0, i + 1, i) for i in range(1, n - 1)]
        faces += [(n, n + i, n + i + 1) for i in range(1, n - 1)]
    return points, np.array(faces)


def rings_of(shape: Shape) -> list[NDArray[np.float64]]:
    """Outline of a bar's section, and of its bore where it has one.

    Across its width and depth, in metres, counterclockwise seen from its end; all corners are seen from the first.
    """
    if shape.profile == "angle":
        return [np.array(angle_ring(shape))]
    return [_ring(shape, 0.0)] + ([_ring(shape, shape.size_m[2])] if shape.size_m[2] > 0 else [])


def _ring(shape: Shape, off: float) -> NDArray[np.float64]:
    b, d = shape.size_m[1] / 2 - off, shape.size_m[0] / 2 - off
    if shape.round_:
        turn = 2 * np.pi * np.arange(_SIDES) / _SIDES
        # A polygon of the circle's area, so that volume and mass are right.
        grow = float(np.sqrt(2 * np.pi / (_SIDES * np.sin(2 * np.pi / _SIDES))))
        return np.stack([b * grow * np.cos(turn), d * grow * np.sin(turn)], axis=1)
    return np.array([(-b, -d), (b, -d), (b, d), (-b, d)])
