"""Charts of money: the range of what a change may be worth, and the ledger of what is banked, freed and hoped."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from floorwright.basis.sentence import said
from floorwright.draw import ink
from floorwright.draw.picture import Picture, Size, chart
from floorwright.draw.scale import Scale, axis_words, scale_for, tick_labels
from floorwright.draw.text import Say, clean, money_text, shorten

A_YEAR: Final = said("a year")
RANGE_WIDTH: Final = 346.0
LEDGER_SIZE: Final = Size(520, 150)
_ROW: Final = 46.0
_EDGE: Final = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WorthRange:
    """One range of money: nine tenths of the draws lie between `p05` and `p95`; `mean` is of them all."""

    label: str
    p05: float
    mean: float
    p95: float


def worth_range(
    ranges: Sequence[WorthRange],
    *,
    currency: str = "$",
    unit: str = A_YEAR,
    width: float = RANGE_WIDTH,
    say: Say = str,
) -> Picture:
    """Draw ranges of worth as bars on one axis with zero on it; `say` puts the words into another language.

    Raises:
        ValueError: when there is none, or one is not in order.
    """
    if not ranges:
        raise ValueError("a range chart needs at least one range")
    for item in ranges:
        if not item.p05 <= item.p95:
            raise ValueError(f"{item.label}: p05 must not be above p95, got {item.p05} and {item.p95}")
    size = Size(width, _ROW * len(ranges) + 40)
    plot = Size(width - 2 * _EDGE, _ROW * len(ranges))
    scale = scale_for(
        [x for r in ranges for x in (r.p05, r.mean, r.p95)], length=plot.width, zero=True, most_ticks=5
    )
    unit = clean(say(unit))
    named = [replace(item, label=clean(say(item.label))) for item in ranges]
    layers: list[dict[str, Any]] = []
    for i, item in enumerate(named):
        layers += _range_layers(item, top=i * _ROW, scale=scale, currency=currency, say=say)
    title = f"{currency} {unit}".strip()
    axes = _flat(scale, plot, title=title)
    axes["x"]["axis"]["description"] = say(axis_words(title, scale.low, scale.high))
    spec = {
        "padding": {"left": _EDGE, "right": _EDGE, "top": 2, "bottom": 2},
        "encoding": axes,
        "layer": layers,
    }
    text = " ".join(
        say(
            said(
                "{label}: {mean} {unit} on average, nine times in ten between {low} and {high}.",
                label=each.label,
                mean=money_text(each.mean, currency),
                unit=unit,
                low=money_text(each.p05, currency),
                high=money_text(each.p95, currency),
            )
        )
        for each in named
    )
    return chart(spec, size=size, title=say(said("What it may be worth")), text=text)


def _range_layers(item: WorthRange, *, top: float, scale: Scale, currency: str, say: Say) -> list[dict[str, Any]]:
    y = top + 31
    low, mean, high = (money_text(x, currency) for x in (item.p05, item.mean, item.p95))
    label = shorten(item.label, 26)
    words = say(said("{label}: {mean} ({low} to {high})", label=label, mean=mean, low=low, high=high))
    inside = said("{label}: nine in ten between {low} and {high}", label=item.label, low=low, high=high)
    head = {"type": "text", "align": "left", "baseline": "middle", "fontSize": ink.HEAD_SIZE, "fontWeight": 600}
    return [
        _zero_line(top + 19, top + 43),
        {
            "data": {"values": [{"x": scale.low, "y": top + 9, "t": words}]},
            "mark": head,
            "encoding": {"text": {"field": "t"}, "description": {"value": words}},
        },
        {
            "data": {"values": [{"x": item.p05, "x2": item.p95, "y": y}]},
            "mark": {"type": "rule", "strokeWidth": 14, "stroke": ink.AFTER},
            "encoding": {
                "x2": {"field": "x2"},
                "description": {"value": say(inside)},
            },
        },
        {
            "data": {"values": [{"x": item.mean, "y": y}]},
            "mark": {
                "type": "tick",
                "orient": "vertical",
                "size": 24,
                "thickness": 5,
                "color": ink.INK,
                "opacity": 1,
            },
            "encoding": {"description": {"value": say(said("{label}: mean {mean}", label=item.label, mean=mean))}},
        },
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerBar:
    """Money of one month, or of all time: banked, freed but not yet money, and hoped for.

    The three are different things and are never added up.
    """

    label: str
    banked: float = 0.0
    freed: float = 0.0
    hoped: float = 0.0


_KINDS: Final = (
    ("Banked", ink.AFTER, True),
    ("Freed", ink.LIGHT, True),
    ("Hoped for", ink.INK, False),
)


def ledger_bars(
    bars: Sequence[LedgerBar], *, currency: str = "$", unit: str = "a year", size: Size = LEDGER_SIZE
) -> Picture:
    """Draw the ledger: for one bar its three amounts as rows, for several a group of columns a month.

    Raises:
        ValueError: when there is no bar.
    """
    if not bars:
        raise ValueError("a ledger chart needs at least one bar")
    text = " ".join(
        f"{clean(b.label)}: banked {money_text(b.banked, currency)}, freed {money_text(b.freed, currency)}, "
        f"hoped for {money_text(b.hoped, currency)}{' ' + clean(unit) if unit else ''}."
        for b in bars
    )
    spec = (
        _totals(bars[0], currency=currency, unit=unit, size=size)
        if len(bars) == 1
        else _months(bars, currency=currency, unit=unit, size=size)
    )
    return chart(spec, size=size, title="Banked, freed and hoped for", text=text)


def _amounts(bar: LedgerBar) -> tuple[float, float, float]:
    return bar.banked, bar.freed, bar.hoped


def _totals(bar: LedgerBar, *, currency: str, unit: str, size: Size) -> dict[str, Any]:
    amounts = _amounts(bar)
    said = [f"{name} {money_text(amount, currency)}" for (name, _, _), amount in zip(_KINDS, amounts, strict=True)]
    left = max(ink.text_width(words) for words in said) + 12
    plot = Size(size.width - left - _EDGE, size.height - 40)
    row = plot.height / 3
    scale = scale_for(amounts, length=plot.width, zero=True, most_ticks=5 if plot.width > 250 else 3)
    layers: list[dict[str, Any]] = []
    for i, ((_, colour, filled), amount, words) in enumerate(zip(_KINDS, amounts, said, strict=True)):
        label = {"type": "text", "align": "right", "baseline": "middle", "fontWeight": 600, "aria": False, "dx": -8}
        layers.append(
            {
                "data": {"values": [{"x": scale.low, "y": (i + 0.5) * row, "t": words}]},
                "mark": label,
                "encoding": {"text": {"field": "t"}},
            }
        )
        low, high = sorted((0.0, amount))
        layers.append(
            _bar(
                {"x": low, "x2": high, "y": (i + 0.18) * row, "y2": (i + 0.82) * row, "d": words},
                colour,
                filled=filled,
            )
        )
    layers.append(_zero_line(0, plot.height))
    return {
        # The engine makes room for the words at the left by itself.
        "padding": {"left": 2, "right": _EDGE, "top": 2, "bottom": 2},
        "encoding": _flat(scale, plot, title=f"{currency} {clean(unit)}".strip()),
        "layer": layers,
    }


def _months(bars: Sequence[LedgerBar], *, currency: str, unit: str, size: Size) -> dict[str, Any]:
    left, right, top, bottom = 58.0, 4.0, 40.0, 24.0
    plot = Size(size.width - left - right, size.height - top - bottom)
    scale = scale_for([x for b in bars for x in _amounts(b)], length=plot.height, zero=True, most_ticks=4)
    layers: list[dict[str, Any]] = []
    for k, (name, colour, filled) in enumerate(_KINDS):
        rows = [
            {
                "x": i + 0.12 + 0.26 * k,
                "x2": i + 0.12 + 0.26 * k + 0.22,
                "y": min(0.0, _amounts(bar)[k]),
                "y2": max(0.0, _amounts(bar)[k]),
                "d": f"{clean(bar.label)}: {name.lower()} {money_text(_amounts(bar)[k], currency)}",
            }
            for i, bar in enumerate(bars)
            if _amounts(bar)[k] != 0
        ]
        layers.append(_bar(rows, colour, filled=filled) if rows else _zero_rule(len(bars)))
    layers += [_zero_rule(len(bars)), *_month_names(bars, scale, plot), *_key(scale, plot, len(bars))]
    axis = {
        "title": f"{currency} {clean(unit)}".strip(),
        "titleAngle": 0,
        "titleAlign": "left",
        "titleAnchor": "end",
    }
    axis |= {"titleBaseline": "bottom", "titleX": -left + 4, "titleY": -24, "grid": False, **tick_labels(scale)}
    return {
        "autosize": {"type": "none"},
        "padding": {"left": left, "right": right, "top": top, "bottom": bottom},
        "width": plot.width,
        "height": plot.height,
        "encoding": {
            "x": {
                "field": "x",
                "type": "quantitative",
                "scale": {"domain": [0, len(bars)], "nice": False},
                "axis": None,
            },
            "y": {
                "field": "y",
                "type": "quantitative",
                "scale": {"domain": [scale.low, scale.high], "nice": False, "zero": False},
                "axis": axis,
            },
        },
        "layer": layers,
    }


def _month_names(bars: Sequence[LedgerBar], scale: Scale, plot: Size) -> list[dict[str, Any]]:
    most = max(int(plot.width / len(bars) / (ink.LABEL_SIZE * ink.LETTER_WIDTH)) - 1, 3)
    data = [{"x": i + 0.5, "y": scale.low, "t": shorten(clean(b.label), most)} for i, b in enumerate(bars)]
    mark = {"type": "text", "baseline": "top", "dy": 7, "aria": False}
    return [{"data": {"values": data}, "mark": mark, "encoding": {"text": {"field": "t"}}}]


def _key(scale: Scale, plot: Size, count: int) -> list[dict[str, Any]]:
    """The three names above the columns, each behind a piece of its own bar."""
    layers: list[dict[str, Any]] = []
    # Beside the name of the axis where there is room, else as far left as they need.
    width = sum(18 + ink.text_width(name) for name, _, _ in _KINDS) + 22 * (len(_KINDS) - 1)
    left = min(90.0, max(0.0, plot.width - width))
    for name, colour, filled in _KINDS:
        to_x = count / plot.width
        over = scale.value(plot.height + 23)
        under = scale.value(plot.height + 35)
        layers.append(
            _bar(
                {"x": left * to_x, "x2": (left + 12) * to_x, "y": over, "y2": under, "d": name},
                colour,
                filled=filled,
            )
        )
        layers.append(
            {
                "data": {"values": [{"x": (left + 18) * to_x, "y": (over + under) / 2, "t": name}]},
                "mark": {"type": "text", "align": "left", "baseline": "middle", "fontWeight": 600, "aria": False},
                "encoding": {"text": {"field": "t"}},
            }
        )
        left += 18 + ink.text_width(name) + 22
    return layers


def _bar(data: dict[str, Any] | list[dict[str, Any]], colour: str, *, filled: bool) -> dict[str, Any]:
    look: dict[str, Any] = {"type": "rect", "opacity": 1, "fill": colour if filled else "transparent"}
    look |= {"stroke": colour if filled else ink.INK, "strokeWidth": 1.5, "strokeDash": [] if filled else [4, 3]}
    rows = data if isinstance(data, list) else [data]
    encoding = {"x2": {"field": "x2"}, "y2": {"field": "y2"}, "description": {"field": "d"}}
    return {"data": {"values": rows}, "mark": look, "encoding": encoding}


def _flat(scale: Scale, plot: Size, *, title: str) -> dict[str, Any]:
    """Amounts across, px down: rows are laid out by hand."""
    return {
        "x": {
            "field": "x",
            "type": "quantitative",
            "scale": {"domain": [scale.low, scale.high], "nice": False, "zero": False},
            "axis": {"title": title, "grid": False, "tickSize": 5, **tick_labels(scale)},
        },
        "y": {
            "field": "y",
            "type": "quantitative",
            "scale": {"domain": [plot.height, 0], "nice": False, "zero": False},
            "axis": None,
        },
    }


def _zero_line(top: float, bottom: float) -> dict[str, Any]:
    """Zero, drawn beside the bars alone so that it never runs through their words."""
    return {
        "data": {"values": [{"x": 0, "y": top, "y2": bottom}]},
        "mark": {"type": "rule", "stroke": ink.INK, "strokeWidth": 1.25, "aria": False},
        "encoding": {"y2": {"field": "y2"}},
    }


def _zero_rule(count: int) -> dict[str, Any]:
    return {
        "data": {"values": [{"x": 0, "x2": count, "y": 0}]},
        "mark": {"type": "rule", "stroke": ink.INK, "strokeWidth": 1.25, "aria": False},
        "encoding": {"x2": {"field": "x2"}},
    }
