"""What moves a worth most: a bar for each assumption, from the worth at one end of its range to the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from floorwright.draw import ink
from floorwright.draw.picture import Picture, Size, chart
from floorwright.draw.scale import scale_for, tick_labels
from floorwright.draw.text import clean, money_text, shorten

_ROW: Final = 44.0
_EDGE: Final = 16.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """An assumption: what it is, the two ends as text, and the worth at each."""

    label: str
    low: str
    high: str
    worth_low: float
    worth_high: float


def tornado(
    bars: Sequence[Bar], *, middle: float, currency: str = "$", unit: str = "over its life", width: float = 560.0
) -> Picture:
    """Draw the bars in the order given, on one axis with zero on it and a line at the worth as it stands.

    Raises:
        ValueError: when there is no bar.
    """
    if not bars:
        raise ValueError("a tornado chart needs at least one bar")
    plot = Size(width - 2 * _EDGE, _ROW * len(bars))
    scale = scale_for(
        [middle, *(x for b in bars for x in (b.worth_low, b.worth_high))],
        length=plot.width,
        zero=True,
        most_ticks=5 if width > 400 else 3,
    )
    layers: list[dict[str, Any]] = []
    for i, bar in enumerate(bars):
        # The lines stand beside the bars alone, so that they never run through words.
        top = i * _ROW + 19
        layers += [_rule(0.0, top, 1.25, []), _rule(middle, top, 1.5, [4, 3])]
        layers += _bar(bar, top=i * _ROW, left=scale.low, currency=currency, most=int(plot.width / 6.6))
    spec = {
        "padding": {"left": _EDGE, "right": _EDGE, "top": 2, "bottom": 2},
        "encoding": {
            "x": {
                "field": "x",
                "type": "quantitative",
                "scale": {"domain": [scale.low, scale.high], "nice": False, "zero": False},
                "axis": {
                    "title": f"{currency} {clean(unit)}".strip(),
                    "grid": False,
                    "tickSize": 5,
                    **tick_labels(scale),
                },
            },
            "y": {
                "field": "y",
                "type": "quantitative",
                "scale": {"domain": [plot.height, 0], "nice": False, "zero": False},
                "axis": None,
            },
        },
        "layer": layers,
    }
    text = f"As it stands {money_text(middle, currency)} {clean(unit)}. " + " ".join(
        _say(b, currency) for b in bars
    )
    return chart(spec, size=Size(width, plot.height + 40), title="What moves the worth most", text=text)


def _say(bar: Bar, currency: str) -> str:
    low, high = money_text(bar.worth_low, currency), money_text(bar.worth_high, currency)
    return f"{clean(bar.label)}: {low} with {clean(bar.low)}, {high} with {clean(bar.high)}."


def _bar(bar: Bar, *, top: float, left: float, currency: str, most: int) -> list[dict[str, Any]]:
    low, high = sorted((bar.worth_low, bar.worth_high))
    words = f"{bar.label}: {bar.low} to {bar.high}"
    label = {"type": "text", "align": "left", "baseline": "middle", "fontWeight": 600, "aria": False}
    return [
        {
            "data": {"values": [{"x": left, "y": top + 12, "t": shorten(clean(words), most)}]},
            "mark": label,
            "encoding": {"text": {"field": "t"}},
        },
        {
            "data": {"values": [{"x": low, "x2": high, "y": top + 22, "y2": top + 38, "d": _say(bar, currency)}]},
            "mark": {"type": "rect", "opacity": 1, "fill": ink.AFTER, "stroke": ink.AFTER, "strokeWidth": 1.5},
            "encoding": {"x2": {"field": "x2"}, "y2": {"field": "y2"}, "description": {"field": "d"}},
        },
    ]


def _rule(x: float, top: float, width: float, dash: list[int]) -> dict[str, Any]:
    return {
        "data": {"values": [{"x": x, "y": top, "y2": top + 23}]},
        "mark": {"type": "rule", "stroke": ink.INK, "strokeWidth": width, "strokeDash": dash, "aria": False},
        "encoding": {"y2": {"field": "y2"}},
    }
