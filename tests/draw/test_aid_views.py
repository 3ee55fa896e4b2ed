"""Drawings of shop aids: what they say in numbers, and that nothing lies over anything that has to be read."""

from __future__ import annotations

import re
import tomllib
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorwright.basis.metal.section import angle
from floorwright.basis.proposal import Shape
from floorwright.basis.quantity import UnitSystem
from floorwright.draw.aid_dimensions import Measure, extent, measures
from floorwright.draw.aid_lengths import length_text
from floorwright.draw.aid_look import FRONT, ISO, SIDE, TOP, VIEWS, in_order, outside, overlap, seen
from floorwright.draw.aid_rows import rows
from floorwright.draw.aid_sheet import aid_sheet
from floorwright.draw.aid_solids import bar_axes, joined, solids_of
from floorwright.draw.aid_strokes import strokes
from floorwright.draw.aid_views import NARROW, WIDE, aid_pictures, dimension_lines, picture_box, views
from floorwright.draw.picture import Size
from floorwright.propose.aid.design import scene_of
from floorwright.propose.aid.frame.element import axes_of
from floorwright.propose.aid.registry import PATTERNS
from scenes import NAMES, ONE_ANGLE, ONE_PIPE, ONE_TUBE, layout_of, many_bars, mirrored, scene

SVG = "{http://www.w3.org/2000/svg}"
SYSTEMS: tuple[UnitSystem, UnitSystem] = ("us", "si")


def texts(svg: str) -> list[str]:
    return [each.text or "" for each in ET.fromstring(svg).iter(f"{SVG}text")]  # noqa: S314  our own file


def values(name: str, view: str) -> dict[str, float]:
    (chosen,) = (each for each in VIEWS if each.name == view)
    return {each.name: each.value_m for each in measures(scene(name), chosen, "us")}


@pytest.mark.parametrize(
    ("metres", "us", "si"),
    [
        # 47-3/4 in by hand: 47.75 x 25.4 = 1212.85 mm.
        (1.21285, "47-3/4 in", "1213 mm"),
        (0.0254, "1 in", "25 mm"),
        (0.0047625, "3/16 in", "5 mm"),
        (0.999 * 0.0254, "1 in", "25 mm"),
        (0.0, "0 in", "0 mm"),
        (-0.0127, "−1/2 in", "−13 mm"),
    ],
)
def test_lengths_as_a_shop_writes_them(metres: float, us: str, si: str) -> None:
    assert (length_text(metres, "us"), length_text(metres, "si")) == (us, si)


@given(st.floats(0.001, 50))
def test_an_inch_text_reads_back_to_within_half_a_sixteenth(metres: float) -> None:
    whole, _, fraction = length_text(metres, "us").removesuffix(" in").rpartition("-")
    top, _, bottom = (fraction or "0").partition("/")
    read = float(whole or 0) + float(top) / float(bottom or 1)
    assert abs(read - metres / 0.0254) <= 1 / 32 + 1e-9


@pytest.mark.parametrize("name", NAMES)
def test_dimensions_are_those_of_the_layout(name: str) -> None:
    layout = layout_of(name)
    kingpins = np.array([wheel.at for wheel in layout.wheels])
    wheelbase, track = np.ptp(kingpins, axis=0)
    assert values(name, "side")["wheelbase"] == pytest.approx(wheelbase)
    assert values(name, "top")["wheelbase"] == pytest.approx(wheelbase)
    assert values(name, "front")["track"] == pytest.approx(track)
    low = min(piece.centre[2] - piece.size[2] / 2 for piece in layout.pieces)
    assert values(name, "front")["load height"] == pytest.approx(low)
    if any(bar.role == "handle" for bar in layout.bars.values()):
        assert layout.handle is not None
        assert values(name, "side")["handle height"] == pytest.approx(layout.handle.height_m)


@pytest.mark.parametrize("name", NAMES)
def test_overall_sizes_hold_every_bar_with_its_thickness(name: str) -> None:
    """Nodes of the layout lie within, and the overall size is beyond them by half a bar or a wheel at most."""
    layout = layout_of(name)
    nodes = np.array(list(layout.nodes.values()))
    found = values(name, "side")["length"], values(name, "front")["width"], values(name, "front")["height"]
    # Ends of bars at nodes carry half a section; wheels trail behind their kingpin and are half a wheel long.
    thick = max(max(bar.section.depth_m, bar.section.width_m) for bar in layout.bars.values())
    wheel = max(each.diameter_m + each.trail_m + each.width_m for each in layout.wheels)
    spans = [*np.ptp(nodes, axis=0)[:2], nodes[:, 2].max()]
    for size, span in zip(found, spans, strict=True):
        assert span - 1e-9 <= size <= span + max(thick, 2 * wheel)


def test_tiers_and_slots_have_their_pitch() -> None:
    layout = layout_of("bar_cart")
    heights = sorted({round(piece.centre[2] - piece.size[2] / 2, 6) for piece in layout.pieces})
    found = {each.name: each for each in measures(scene("bar_cart"), FRONT, "us")}
    assert found["tier pitch"].value_m == pytest.approx(heights[-1] - heights[0])
    assert found["tier pitch"].text == "12 in (3 × 4 in)"
    centres = sorted(piece.centre[1] for piece in layout_of("panel_cart").pieces)
    slots = {each.name: each for each in measures(scene("panel_cart"), FRONT, "si")}["slot pitch"]
    assert slots.value_m == pytest.approx(centres[-1] - centres[0])
    assert f"{len(centres) - 1} × " in slots.text


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("width", [WIDE, NARROW])
@pytest.mark.parametrize("name", NAMES)
def test_every_dimension_stands_in_its_view(name: str, width: float, system: UnitSystem) -> None:
    drawn = views(scene(name), system, width=width)
    assert list(drawn) == ["side", "front", "top", "iso"]
    for view in VIEWS:
        said = texts(drawn[view.name])
        assert said[0] == view.title
        assert sorted(said[1:]) == sorted(each.text for each in measures(scene(name), view, system))


@pytest.mark.parametrize("width", [WIDE, NARROW])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_leaves_the_picture(name: str, width: float) -> None:
    for svg in views(scene(name), "us", width=width).values():
        root = ET.fromstring(svg)  # noqa: S314
        _, _, wide, tall = map(float, root.attrib["viewBox"].split())
        assert wide == width
        shift = next(root.iter(f"{SVG}g")).attrib["transform"]
        dx, dy = map(float, re.findall(r"-?[\d.]+", shift))
        for shape in root.iter():
            for pair in re.findall(r"(-?[\d.]+),(-?[\d.]+)", shape.attrib.get("points", "")):
                x, y = float(pair[0]) + dx, float(pair[1]) + dy
                assert -1 <= x <= wide + 1
                assert -1 <= y <= tall + 1


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("scale", [60, 120, 250, 600])
def test_no_dimension_text_meets_another_or_an_extension_line(name: str, scale: float) -> None:
    for view in (SIDE, FRONT, TOP):
        found = measures(scene(name), view, "us")
        for lines in dimension_lines(found, *picture_box(scene(name), view), scale).values():
            for one, other in combinations(lines, 2):
                if one.strip == other.strip:
                    assert one.text[1] <= other.text[0] or other.text[1] <= one.text[0]
                for text, line in ((one, other), (other, one)):
                    if text.strip <= line.row:
                        assert not any(text.text[0] < end < text.text[1] for end in (line.low, line.high))


@settings(max_examples=60)
@given(st.lists(st.tuples(st.floats(0, 400), st.floats(1, 400)), min_size=1, max_size=9), st.booleans())
def test_rows_never_put_two_texts_over_one_another(spans: list[tuple[float, float]], level: bool) -> None:
    found = [
        (
            Measure(
                name=f"{i}", start=(0, 0), end=(0, 0), side="below" if level else "left", value_m=1, text="1213 mm"
            ),
            low,
            low + long,
        )
        for i, (low, long) in enumerate(spans)
    ]
    placed = rows(found)
    assert len(placed) == len(found)
    for one, other in combinations(placed, 2):
        if one.strip == other.strip:
            assert one.text[1] <= other.text[0] or other.text[1] <= one.text[0]


@pytest.mark.parametrize("name", NAMES)
def test_a_mirrored_aid_gives_a_mirrored_picture(name: str) -> None:
    plain, turned = scene(name), mirrored(scene(name))

    def outlines(shapes: tuple[Shape, ...], view: str) -> set[tuple[float, ...]]:
        chosen = {"front": FRONT, "side": SIDE}[view]
        boxes = (seen(solid, chosen) for solid in solids_of(shapes))
        return {tuple(round(each, 8) + 0.0 for each in (*box.low, *box.high)) for box in boxes}

    front = {(-c + 0.0, b, -a + 0.0, d) for a, b, c, d in outlines(plain, "front")}
    assert outlines(turned, "front") == front
    assert outlines(turned, "side") == outlines(plain, "side")
    for view in (SIDE, FRONT, TOP):
        sizes = [sorted((each.name, round(each.value_m, 9)) for each in measures(each_scene, view, "us"))
                 for each_scene in (plain, turned)]  # fmt: skip
        assert sizes[0] == sizes[1]


def test_bar_axes_are_those_of_the_frame() -> None:
    """The frame engine has its own axes of a member; drawing turned otherwise would show a bar on its side."""
    for end in ((1, 0, 0), (0, 0, 1), (0, 0, -1), (0.3, -0.4, 0.5), (-1, 2, 0), (0, 1, 0)):
        for roll in (0.0, 0.7, -1.2):
            shape = replace(ONE_TUBE, points_m=((0.0, 0.0, 0.0), end), roll_rad=roll)
            start, stop = np.zeros((1, 1, 3)), np.array(end, dtype=float)[None, None]
            _, axes = axes_of(start, stop, np.array([[roll]]))
            assert np.allclose(bar_axes(shape), axes[0, 0], atol=1e-12)


def test_what_is_nearer_is_painted_later() -> None:
    far = replace(ONE_TUBE, points_m=((0.0, 1.0, 0.5), (1.0, 1.0, 0.5)), label="far", part="far")
    near = replace(ONE_TUBE, points_m=((0.5, 0.0, 0.0), (0.5, 0.0, 1.0)), label="near", part="near")
    for shapes in ((far, near), (near, far)):
        drawn = in_order([seen(solid, SIDE) for solid in solids_of(shapes)])
        assert [each.solid.shape.label for each in drawn] == ["far", "near"]


def test_hidden_edges_are_left_out_of_the_lines() -> None:
    far = replace(ONE_TUBE, points_m=((0.1, 1.0, 0.5), (1.0, 1.0, 0.5)), label="far", part="far")
    wall = Shape(
        kind="plate", points_m=((0, 0, 0), (0.5, 0, 0), (0.5, 0, 1), (0, 0, 1)), size_m=(0.01,), role="deck"
    )
    (behind,) = (each for each in strokes((far, wall), SIDE) if each.shape.label == "far")
    assert behind.lines
    assert min(u for line in behind.lines for u, _ in line) == pytest.approx(0.5, abs=1e-6)


def test_cutting_a_line_at_a_window() -> None:
    square = ((1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0))
    assert outside((0.0, 1.5), (3.0, 1.5), square) == [
        ((0.0, 1.5), pytest.approx((1.0, 1.5))),
        (pytest.approx((2.0, 1.5)), (3.0, 1.5)),
    ]
    assert outside((1.2, 1.2), (1.8, 1.8), square) == []
    assert outside((0.0, 0.0), (3.0, 0.0), square) == [((0.0, 0.0), (3.0, 0.0))]
    shared = overlap(square, [(u + 0.5, v + 0.5) for u, v in square])
    assert {(round(u, 9), round(v, 9)) for u, v in shared} == {(1.5, 1.5), (2.0, 1.5), (2.0, 2.0), (1.5, 2.0)}


def test_an_angle_shows_its_legs_round_its_centroid() -> None:
    """The section of the metal tables knows where its centroid lies: 50 x 40 x 5 mm."""
    legs = [seen(solid, FRONT) for solid in solids_of((ONE_ANGLE,))]
    assert len(legs) == 2
    section = angle(0.05, 0.04, 0.005)
    # A bar along x has its width along y, which runs to the right from the front.
    assert min(leg.low[0] for leg in legs) == pytest.approx(-section.centroid_y_m)
    assert min(leg.low[1] for leg in legs) == pytest.approx(0.5 - section.centroid_z_m)
    assert max(leg.high[1] for leg in legs) == pytest.approx(0.55 - section.centroid_z_m)
    assert extent((ONE_ANGLE,)).high[2] == pytest.approx(0.55 - section.centroid_z_m)  # type: ignore[union-attr]


def test_bars_cut_as_one_are_drawn_as_one() -> None:
    halves = (
        replace(ONE_TUBE, points_m=((0.0, 0.0, 0.5), (0.4, 0.0, 0.5)), label="rail 1"),
        replace(ONE_TUBE, points_m=((0.4, 0.0, 0.5), (1.0, 0.0, 0.5)), label="rail 2"),
    )
    (one,) = joined(halves)
    assert one.points_m == ONE_TUBE.points_m
    bent = replace(halves[1], points_m=((0.4, 0.0, 0.5), (0.4, 1.0, 0.5)))
    assert len(joined((halves[0], bent))) == 2


@pytest.mark.parametrize("name", NAMES)
def test_what_a_check_is_about_stands_out(name: str) -> None:
    for label in (scene(name)[0].label, scene(name)[0].part):
        for picture in aid_pictures(scene(name), "us", label).values():
            assert "Marked: " in picture.text
            assert picture.svg.count("#8a3b00") > 1
    assert views(scene(name), "us", "no such bar") == views(scene(name), "us")


def test_an_empty_scene_says_so() -> None:
    for svg in views((), "us").values():
        assert "Nothing to draw yet" in " ".join(texts(svg))
    assert "Nothing to draw yet" in aid_sheet((), "us", Size(700, 400)).picture.svg


def test_any_words_can_stand_on_a_drawing() -> None:
    label = "Träger <b>№ 4</b> & 横梁 \u202e\x00 " + "x" * 400
    shapes = (replace(ONE_TUBE, label=label, part=label),)
    for svg in views(shapes, "us", label, width=NARROW).values():
        ET.fromstring(svg)  # noqa: S314
        assert "<b>" not in svg
        assert max(len(text) for text in texts(svg)) < 60


def test_a_hundred_and_fifty_bars_are_drawn() -> None:
    shapes = many_bars(150)
    for picture in aid_pictures(shapes, "si", "bar 77").values():
        assert "a frame of 150 bars" in picture.text
    box = extent(shapes)
    assert box is not None
    # By hand: bars at 0 to 1.4 m along, 25 mm thick.
    assert {m.name: m.value_m for m in measures(shapes, SIDE, "si")}["length"] == pytest.approx(1.425)


@pytest.mark.parametrize("name", NAMES)
def test_the_page_allows_what_is_in_the_svg(name: str) -> None:
    """No style, script or link: the content policy of the app would drop them."""
    for svg in views(scene(name), "us", scene(name)[0].label).values():
        assert not re.search(r"style=|<style|<script|href|onload", svg)
        root = ET.fromstring(svg)  # noqa: S314
        assert [child.tag for child in list(root)[:2]] == [f"{SVG}title", f"{SVG}desc"]
        assert root.attrib["role"] == "graphics-document"


@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_is_to_the_scale_that_it_states(name: str) -> None:
    sheet = aid_sheet(scene(name), "us", Size(712, 440))
    ratio = float(sheet.scale.removeprefix("1:"))
    wheel = next(each for each in scene(name) if each.kind == "wheel")
    shrunk = float(re.findall(r"scale\(([\d.]+)\)", sheet.picture.svg)[0])
    drawn = max(float(r) for r in re.findall(r'<circle [^>]* r="([\d.]+)"', sheet.picture.svg)) * shrunk
    assert drawn * 0.0254 / 72 * ratio == pytest.approx(wheel.size_m[0] / 2, rel=0.02)
    # Every dimension once on the sheet.
    said = texts(sheet.picture.svg)
    for measure in ("wheelbase", "track"):
        assert sum(f"({measure})" in text for text in said) == 1


def test_round_things_are_round() -> None:
    svg = views(scene("bar_cart"), "us")["side"]
    assert svg.count("<circle") == 8  # four wheels with their axles
    assert len(seen(solids_of((ONE_PIPE,))[0], ISO).outline) > 8


def test_a_frame_of_angle_iron_comes_out_as_angles() -> None:
    """Otherwise they would be drawn, and handed to CAD, as solid bars."""
    pattern = PATTERNS["free_frame"]
    raw = tomllib.loads(pattern.example)
    for stock in raw["stocks"].values():
        stock |= {"section": "L2X2X1/4", "material": "A36"}
    shapes = scene_of(pattern.lay_out(pattern.read(raw)))
    bars = [each for each in shapes if each.kind == "bar"]
    assert {each.profile for each in bars} == {"angle"}
    # AISC shapes database: L2X2X1/4 has legs of 2 in and is 1/4 in thick.
    assert {tuple(round(size / 0.0254, 6) for size in each.size_m) for each in bars} == {(2.0, 2.0, 0.25)}
