"""3D files of shop aids, read back by programs of others: GLB by trimesh, STEP by Open CASCADE (in cascadio)."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from dataclasses import replace
from math import dist, pi
from pathlib import Path

import cascadio
import numpy as np
import pytest
import trimesh

from floorwright.basis.errors import InputError
from floorwright.basis.proposal import Shape
from floorwright.draw.aid_dimensions import extent
from floorwright.draw.aid_solids import joined
from floorwright.exchange.gltf import glb
from floorwright.exchange.step import step
from scenes import NAMES, ONE_ANGLE, ONE_PIPE, ONE_TUBE, layout_of, many_bars, scene


def of_glb(content: bytes) -> Mapping[str, trimesh.Trimesh]:
    found = trimesh.load_scene(io.BytesIO(content), file_type="glb")
    return {str(node): found.geometry[found.graph[node][1]] for node in found.graph.nodes_geometry}


def of_step(content: bytes, folder: Path) -> dict[str, trimesh.Trimesh]:
    """Solids by product name, as a CAD kernel reads and meshes them; in metres."""
    source, made = folder / "aid.step", folder / "aid.glb"
    source.write_bytes(content)
    cascadio.step_to_glb(str(source), str(made), 0.01, 0.02)
    found = trimesh.load_scene(made)
    meshes = {}
    for node in found.graph.nodes_geometry:
        transform, name = found.graph[node]
        mesh = found.geometry[name].copy()
        mesh.apply_transform(transform)
        mesh.merge_vertices(merge_norm=True, merge_tex=True)
        meshes[str(node)] = mesh
    return meshes


def steel_m3(shapes: tuple[Shape, ...]) -> dict[str, float]:
    """Volume of each part by hand: area of its section times its length, square corners."""
    found: dict[str, float] = {}
    for each in shapes:
        if each.kind != "bar":
            continue
        depth, width, wall = each.size_m
        if each.round_:
            area = pi / 4 * (depth**2 - ((depth - 2 * wall) ** 2 if wall else 0))
        else:
            area = depth * width - ((depth - 2 * wall) * (width - 2 * wall) if wall else 0)
        found[each.part] = found.get(each.part, 0.0) + area * dist(*each.points_m)
    return found


@pytest.mark.parametrize("name", NAMES)
def test_glb_has_every_part_closed_and_of_the_right_volume(name: str) -> None:
    shapes = scene(name)
    meshes = of_glb(glb(shapes))
    solid = [each for each in joined(shapes) if each.kind != "line"]
    assert len(meshes) == len(solid)
    for mesh in meshes.values():
        assert mesh.is_watertight
        assert mesh.volume > 0
    for part, volume in steel_m3(shapes).items():
        assert meshes[part].volume == pytest.approx(volume, rel=1e-4)


@pytest.mark.parametrize("name", NAMES)
def test_glb_stands_upright_in_metres(name: str) -> None:
    box = extent(each for each in scene(name) if each.kind != "line")
    assert box is not None
    points = np.concatenate([mesh.vertices for mesh in of_glb(glb(scene(name))).values()])
    # y is up in glTF: its y is our z, its z points away from our y (glTF 2.0, 3.4).
    assert points.min(axis=0) == pytest.approx([box.low[0], box.low[2], -box.high[1]], abs=1e-3)
    assert points.max(axis=0) == pytest.approx([box.high[0], box.high[2], -box.low[1]], abs=1e-3)


@pytest.mark.parametrize("name", NAMES)
def test_step_is_read_by_a_cad_kernel_with_the_right_volume(name: str, tmp_path: Path) -> None:
    shapes = scene(name)
    meshes = of_step(step(shapes), tmp_path)
    made = [each for each in joined(shapes) if each.kind != "line" and each.role != "piece"]
    assert len(meshes) == len(made)
    for part, volume in steel_m3(shapes).items():
        assert meshes[part].is_watertight, part
        # Round faces come back as flats within 0.01 mm.
        assert meshes[part].volume == pytest.approx(volume, rel=5e-3), part
    box = extent(made)
    assert box is not None
    points = np.concatenate([mesh.vertices for mesh in meshes.values()])
    low, high = points.min(axis=0), points.max(axis=0)
    # The kernel writes metres; whether it turns z up to y up is its own affair, so compare sizes along all axes.
    sizes = sorted(np.array(box.high) - np.array(box.low))
    assert sorted(high - low) == pytest.approx(sizes, abs=2e-4)


def test_step_of_tubes_and_pipes_by_hand(tmp_path: Path) -> None:
    """60 x 40 x 3 mm, 1 m long: (60 x 40 - 54 x 34) mm2 x 1 m = 564 cm3; pipe 42.2 x 3.6: 436.56 cm3."""
    meshes = of_step(
        step((ONE_TUBE, ONE_PIPE, replace(ONE_TUBE, part="solid", size_m=(0.06, 0.04, 0.0)))), tmp_path
    )
    assert meshes["rail"].volume == pytest.approx(564e-6, rel=1e-4)
    assert meshes["pipe"].volume == pytest.approx(436.56e-6, rel=2e-3)
    assert meshes["solid"].volume == pytest.approx(2400e-6, rel=1e-4)


def test_an_angle_is_an_angle_about_its_centroid(tmp_path: Path) -> None:
    """50 x 40 x 5 mm, 1 m long: 5 x (50 + 40 - 5) mm2 x 1 m = 425 cm3; the ends of a bar are its centroid."""
    upright = replace(ONE_ANGLE, part="post", points_m=((0.0, 0.0, 0.0), (0.0, 0.0, 1.0)), roll_rad=0.3)
    made = of_glb(glb((ONE_ANGLE, upright)))
    for meshes in (made, of_step(step((ONE_ANGLE, upright)), tmp_path)):
        assert meshes["angle"].is_watertight
        assert meshes["angle"].volume == pytest.approx(425e-6, rel=1e-4)
        assert meshes["post"].volume == pytest.approx(425e-6, rel=1e-4)
    assert made["angle"].center_mass == pytest.approx([0.5, 0.5, 0.0], abs=1e-6)  # y up
    assert made["post"].center_mass == pytest.approx([0.0, 0.5, 0.0], abs=1e-6)


def test_step_names_every_product_once() -> None:
    text = step(scene("bar_cart")).decode("ascii")
    names = re.findall(r"=PRODUCT\('([^']*)'", text)
    assert len(names) == len(set(names))
    assert {bar.part for bar in layout_of("bar_cart").bars.values()} <= set(names)
    assert text.count("MANIFOLD_SOLID_BREP") == len(names) == text.count("CLOSED_SHELL")
    assert "SI_UNIT(.MILLI.,.METRE.)" in text


def test_step_uses_every_edge_once_each_way() -> None:
    """In a closed shell every edge has a face on either side that passes it in the other direction."""
    text = step((*scene("panel_cart"), ONE_PIPE)).decode("ascii")
    passes: dict[str, list[str]] = {}
    for edge, way in re.findall(r"ORIENTED_EDGE\('',\*,\*,(#\d+),\.([TF])\.\)", text):
        passes.setdefault(edge, []).append(way)
    assert all(sorted(ways) == ["F", "T"] for ways in passes.values())
    assert len(passes) == text.count("EDGE_CURVE")


def test_any_name_can_stand_in_the_files(tmp_path: Path) -> None:
    odd = replace(ONE_TUBE, part="Träger 'A' \\ 横梁 \U0001f527 ); ENDSEC;")
    text = step((odd, odd)).decode("ascii")
    assert "Tr\\X2\\00E4\\X0\\ger ''A'' \\\\ " in text
    assert "\\X4\\0001F527\\X0\\" in text
    assert len(of_step(step((odd,)), tmp_path)) == 1
    assert len(of_glb(glb((odd, replace(odd, points_m=((0, 0, 0), (0, 1, 0))))))) == 2


def test_a_hundred_and_fifty_bars_are_as_many_solids(tmp_path: Path) -> None:
    assert len(of_glb(glb(many_bars(150)))) == 150
    assert len(of_step(step(many_bars(150)), tmp_path)) == 150


def test_an_empty_scene_is_refused_with_what_to_do() -> None:
    foot = Shape(kind="line", points_m=((0, 0, 0), (0, 0, 1)), role="foot")
    for make in (glb, step):
        for shapes in ((), (foot,)):
            with pytest.raises(InputError, match="nothing solid"):
                make(shapes)
