"""DXF drawings of shop aids, read back."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from ezdxf import recover
from ezdxf.document import Drawing

from floorwright.basis.proposal import Shape
from floorwright.basis.quantity import UnitSystem
from floorwright.draw.aid_dimensions import measures
from floorwright.draw.aid_look import VIEWS
from floorwright.exchange.dxf_drawing import dxf
from scenes import NAMES, ONE_TUBE, many_bars, scene

PER_METRE: dict[UnitSystem, float] = {"us": 1 / 0.0254, "si": 1000.0}


def read(content: bytes) -> Drawing:
    doc, auditor = recover.read(io.BytesIO(content))
    assert auditor.errors == []
    assert auditor.fixes == []
    return doc


def words(doc: Drawing) -> list[str]:
    return [each.dxf.text for each in doc.modelspace().query("TEXT")]


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("name", NAMES)
def test_dimensions_measure_what_they_say(name: str, system: UnitSystem) -> None:
    doc = read(dxf(scene(name), system))
    found = sorted((each.dxf.text, each.get_measurement()) for each in doc.modelspace().query("DIMENSION"))
    wanted = sorted(
        (each.text, each.value_m * PER_METRE[system])
        for view in VIEWS
        for each in measures(scene(name), view, system)
    )
    assert [text for text, _ in found] == [text for text, _ in wanted]
    for (_, measured), (_, value) in zip(found, wanted, strict=True):
        assert measured == pytest.approx(value, abs=1e-6)


def test_the_file_says_its_units_and_layers() -> None:
    # DXF reference: $INSUNITS 1 is inches, 4 millimetres.
    for system, code in (("us", 1), ("si", 4)):
        doc = read(dxf(scene("bar_cart"), system))
        assert doc.header["$INSUNITS"] == code
        assert {"FRAME", "PIECES", "DIMENSIONS", "TEXT"} <= {layer.dxf.name for layer in doc.layers}
        used = {each.dxf.layer for each in doc.modelspace()}
        assert used == {"FRAME", "PIECES", "DIMENSIONS", "TEXT"}
        assert len(doc.modelspace().query("CIRCLE")) >= 2


def test_one_tube_is_drawn_full_size() -> None:
    """A tube 1 m long, 60 mm deep and 40 mm wide: 1000 by 60 from the side, 40 by 60 from its end."""
    doc = read(dxf((ONE_TUBE,), "si"))
    lines = [(each.dxf.start, each.dxf.end) for each in doc.modelspace().query("LINE")]
    lengths = {round((b - a).magnitude, 3) for a, b in lines}
    assert {1000.0, 60.0, 40.0} <= lengths


def test_views_do_not_overlap() -> None:
    doc = read(dxf(many_bars(150), "us"))
    titles = [each.dxf.insert for each in doc.modelspace().query("TEXT") if each.dxf.text.startswith("From")]
    assert len(titles) == 4
    assert len({(round(at.x, 3), round(at.y, 3)) for at in titles}) == 4


def test_an_empty_scene_gives_a_file_that_says_so() -> None:
    assert any("Nothing to draw yet" in text for text in words(read(dxf((), "si"))))


def test_odd_names_do_no_harm() -> None:
    odd = replace(ONE_TUBE, label="Träger №4 横梁 \n0\nSECTION", part="")
    line = Shape(kind="line", points_m=((0.0, 0.0, 0.0), (0.0, 0.0, 0.4)), label="foot", role="foot")
    assert len(words(read(dxf((odd, line), "us")))) == 5
