"""The printed page and the charts on it share one look."""

from __future__ import annotations

import re
from importlib.resources import files

from floorwright.draw import ink


def test_paper_and_charts_use_the_same_inks() -> None:
    template = (files("floorwright.report") / "templates" / "common.typ").read_text(encoding="utf-8")
    named = dict(re.findall(r'^#let (\w+) = rgb\("(#\w+)"\)', template, re.MULTILINE))
    assert (named["ink"], named["soft"], named["accent"]) == (ink.INK, ink.SOFT_INK, ink.ACCENT)


def test_the_licence_of_the_typeface_is_in_the_package() -> None:
    licence = (files("floorwright.draw") / "fonts" / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
