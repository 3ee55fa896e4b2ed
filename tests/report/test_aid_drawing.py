"""Drawings of shop aids on paper."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from floorwright.basis.proposal import Part
from floorwright.basis.quantity import UnitSystem
from floorwright.draw.aid_dimensions import measures
from floorwright.draw.aid_look import VIEWS
from floorwright.propose.aid.design import parts_of
from floorwright.report.aid_drawing import AidDrawing, drawing_pdf, preview_drawing
from floorwright.report.page import Paper
from scenes import NAMES, layout_of, many_bars, scene

POINTS: dict[Paper, tuple[float, float]] = {"letter": (792, 612), "a4": (841.89, 595.28)}


def drawing(name: str, system: UnitSystem = "us", paper: Paper = "letter") -> AidDrawing:
    layout = layout_of(name)
    return AidDrawing(
        title=layout.title,
        scene=scene(name),
        parts=parts_of(layout),
        date="2026-11-30",
        system=system,
        paper=paper,
        shop="Bay 4",
    )


def pages(pdf: bytes) -> list[str]:
    return [" ".join((page.extract_text() or "").split()) for page in PdfReader(io.BytesIO(pdf)).pages]


@pytest.mark.parametrize(("system", "paper"), [("us", "letter"), ("si", "a4")])
@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_has_the_views_and_the_sizes(name: str, system: UnitSystem, paper: Paper) -> None:
    made = drawing_pdf(drawing(name, system, paper))
    reader = PdfReader(io.BytesIO(made))
    box = reader.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(POINTS[paper], abs=0.1)
    first, *rest = pages(made)
    assert layout_of(name).title in first
    assert "2026-11-30" in first
    assert "1:" in first
    assert len(rest) >= 1
    for view in VIEWS:
        for each in measures(scene(name), view, system):
            if each.home:
                assert each.text.split(" (")[0] in first
    for part in parts_of(layout_of(name)):
        assert part.name.split(",")[0][:18].strip() in " ".join(rest)


def test_lengths_of_a_material_are_added_up() -> None:
    parts = (
        Part(name="rail", count=2, material="tube 2 x 2", length_m=1.0),
        Part(name="post", count=4, material="tube 2 x 2", length_m=0.5),
        Part(name="caster", count=4, material="bought"),
    )
    said = " ".join(pages(drawing_pdf(replace(drawing("bar_cart", "si"), parts=parts))))
    assert "4000 mm" in said  # 2 x 1 m and 4 x 0.5 m


def test_a_drawing_of_nothing_and_of_a_great_deal() -> None:
    empty = replace(drawing("bar_cart"), scene=(), parts=())
    assert "Nothing to draw yet" in pages(drawing_pdf(empty))[0]
    full = replace(
        drawing("bar_cart"),
        title="Wagen für Träger " + "sehr lang " * 40,
        scene=many_bars(150, "Längsträger mit einem langen Namen"),
        parts=tuple(
            Part(name=f"Träger {i} " + "x" * 60, count=1, material="HSS", length_m=1.0) for i in range(150)
        ),
        notes=("Not checked on a slope.",),
    )
    made = pages(drawing_pdf(full))
    assert len(made) > 3
    assert "In full" in made[-1]
    assert "Not checked on a slope." in " ".join(made)


def test_the_preview_has_as_many_pages() -> None:
    made = preview_drawing(drawing("free_frame"), dpi=40)
    assert len(made) == len(pages(drawing_pdf(drawing("free_frame"))))
    assert all(page.startswith(b"\x89PNG") for page in made)
