"""What every drawing gives back, and the one function through which charts are drawn."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from html import escape
from importlib.resources import as_file, files
from typing import Any, Final

from floorwright.draw import ink
from floorwright.draw.text import clean

_ROLE_NAMES: Final = re.compile(r' aria-roledescription="[^"]*"')
KEPT: Final = 200  # drawings kept for the next page that shows the same; about 40 kB each


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing and what it says.

    Attributes:
        svg: one SVG element with a title and a description, for the page and the PDF alike.
        text: what the picture shows, in sentences, for someone who cannot see it.
    """

    svg: str
    text: str


@dataclass(frozen=True, slots=True)
class Size:
    """Width and height of a picture in px; on paper one px is one point."""

    width: float
    height: float


def chart(spec: Mapping[str, Any], *, size: Size, title: str, text: str) -> Picture:
    """Draw a Vega-Lite specification as a picture of exactly `size`, with its title and text inside."""
    whole = {
        "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
        "width": size.width,
        "height": size.height,
        "autosize": {"type": "fit", "contains": "padding"},
        "background": None,
        "config": _config(),
        **spec,
    }
    title, text = clean(title), clean(text)
    return Picture(svg=_described(_axes_told(_svg(whole), whole), title, text), text=text)


def _svg(spec: Mapping[str, Any]) -> str:
    """The only place that knows the chart engine: a Vega-Lite specification in, SVG text out."""
    return _drawn(json.dumps(_cleaned(spec)))


@lru_cache(maxsize=KEPT)
def _drawn(spec: str) -> str:
    _register_fonts()
    import vl_convert

    return str(vl_convert.vegalite_to_svg(spec, vl_version="6.4", allowed_base_urls=[]))


def _cleaned(part: Any) -> Any:
    """The specification with every text in it made safe to draw, wherever people's words ended up."""
    if isinstance(part, str):
        return clean(part)
    if isinstance(part, Mapping):
        return {key: _cleaned(value) for key, value in part.items()}
    if isinstance(part, list):
        return [_cleaned(value) for value in part]
    return part


@cache
def _register_fonts() -> None:
    import vl_convert

    with as_file(files("floorwright.draw") / "fonts") as folder:
        vl_convert.register_font_directory(str(folder))


def _axes_told(svg: str, spec: Mapping[str, Any]) -> str:
    """The engine tells of an axis in English, whatever `description` the axis was given: put that instead."""
    for name, channel in spec.get("encoding", {}).items():
        if words := (channel.get("axis") or {}).get("description"):
            label = f'aria-label="{escape(clean(words))}"'
            svg = re.sub(rf'aria-label="{name.upper()}-axis [^"]*"', label.replace("\\", r"\\"), svg)
    return svg


def _described(svg: str, title: str, text: str) -> str:
    """Put title and description first in the SVG, with ids of their own so that many fit on one page."""
    mark = hashlib.sha256(f"{title}{text}{svg}".encode()).hexdigest()[:10]
    # The names that the engine gives to kinds of marks are English; a screen reader has its own.
    head, rest = _ROLE_NAMES.sub("", svg).split(">", 1)
    head += f' role="graphics-document" aria-labelledby="t{mark}" aria-describedby="d{mark}"'
    # Ink follows the text around it on a dark screen; on paper it is the ink of the page.
    rest = rest.replace(f'"{ink.INK}"', '"currentColor"')
    head += f' color="{ink.INK}"'
    words = f'<title id="t{mark}">{escape(title)}</title><desc id="d{mark}">{escape(text)}</desc>'
    return f"{head}>{words}{rest}"


def _config() -> dict[str, Any]:
    return {
        "font": ink.FONT,
        "view": {"stroke": None},
        "axis": {
            "labelFont": ink.FONT,
            "labelFontSize": ink.AXIS_SIZE,
            "labelColor": ink.INK,
            "titleFont": ink.FONT,
            "titleFontSize": ink.AXIS_SIZE,
            "titleFontWeight": "normal",
            "titleColor": ink.INK,
            "domainColor": ink.INK,
            "domainWidth": 1.25,
            "tickColor": ink.INK,
            "gridColor": ink.HAIRLINE,
            "gridWidth": 0.75,
            "labelOverlap": True,
        },
        "text": {"font": ink.FONT, "fontSize": ink.LABEL_SIZE, "fill": ink.INK},
        "title": {
            "font": ink.FONT,
            "fontSize": ink.HEAD_SIZE,
            "fontWeight": 600,
            "color": ink.INK,
            "anchor": "start",
            "frame": "group",
        },
    }
