"""Levels and differences of measures in words and units: one place, so that page, paper and terminal agree."""

from __future__ import annotations

from typing import Final

from floorwright.basis.outcome import Span
from floorwright.basis.quantity import (
    AREA,
    DENSITY_ON_FLOOR,
    DISTANCE,
    FORCE,
    MASS,
    TIME,
    Dimension,
    Quantity,
    UnitSystem,
    plain_number,
)
from floorwright.basis.sentence import said
from floorwright.shop.records import Measure, MeasureKind, Proposed

DIMENSION: Final[dict[MeasureKind, Dimension]] = {
    MeasureKind.TIMES: TIME,
    MeasureKind.DISTANCE: DISTANCE,
    MeasureKind.SPACE: AREA,
    MeasureKind.DENSITY: DENSITY_ON_FLOOR,
    MeasureKind.FORCE: FORCE,
    MeasureKind.WEIGHT: MASS,
}
BY_SI_UNIT: Final = {dimension.si: dimension for dimension in DIMENSION.values()}
_PRINTED: Final = {"ft2": "ft²", "m2": "m²", "1/ft2": said("per ft²"), "1/m2": said("per m²")}
_LONG_TIME_S: Final = 600.0  # from ten minutes on, minutes read better than seconds


def unit_of(measure: Measure, system: UnitSystem, *, size: float = 0.0) -> tuple[str, float]:
    """Unit of a measure and the factor from SI to it; `size` is the largest value that will be shown."""
    if measure.kind is MeasureKind.SHARES:
        return "%", 100.0
    if measure.kind is MeasureKind.COUNTS:
        return said("per {what}", what=measure.per) if measure.per else said("per unit"), 1.0
    if measure.kind is MeasureKind.LIFT:
        return "LI", 1.0
    dimension = DIMENSION[measure.kind]
    unit, factor = dimension.shown_unit(system), 1 / dimension.units[dimension.shown_unit(system)]
    if measure.kind is MeasureKind.TIMES and size >= _LONG_TIME_S:
        unit, factor = "min", 1 / 60
    unit = _PRINTED.get(unit, unit)
    return (
        said("{unit} a {what}", unit=unit, what=measure.per)
        if measure.kind is MeasureKind.TIMES and measure.per
        else unit
    ), factor


def printed_unit(dimension: Dimension, system: UnitSystem) -> str:
    """The unit in which a dimension is shown, as it is printed: "ft²", "per ft²"."""
    unit = dimension.shown_unit(system)
    return _PRINTED.get(unit, unit)


def number_text(value: float) -> str:
    """A measured number: three figures, and no more than one decimal from ten on."""
    return plain_number(value, 3)


def exact_text(value: float) -> str:
    """A number as it was typed: up to six figures, no zeros after them."""
    text = plain_number(value, 6)
    return text.rstrip("0").rstrip(".") if "." in text else text


def level_text(measure: Measure, level: float | None, system: UnitSystem) -> str:
    """A level with its unit: "48.2 s"."""
    if level is None:
        return said("not measured")
    unit, factor = unit_of(measure, system, size=abs(level))
    return said("{number} {unit}", number=number_text(level * factor), unit=unit)


def measure_text(measure: Measure, system: UnitSystem) -> str:
    """A measure in words: "fetch clamps (times, lower is better, 5 s matters)"."""
    return said("{name} ({asked})", name=measure.name, asked=asked_of(measure, system))


def asked_of(measure: Measure, system: UnitSystem) -> str:
    """What is asked of a measure: "times, lower is better, 5 s matters"."""
    kind = said(measure.kind.value)
    asked = (
        said("{kind}, lower is better", kind=kind)
        if measure.better == "lower"
        else said("{kind}, higher is better", kind=kind)
    )
    if not measure.smallest_that_matters:
        return asked
    unit, factor = unit_of(measure, system, size=measure.smallest_that_matters)
    number = exact_text(measure.smallest_that_matters * factor)
    return said("{asked}, {number} {unit} matters", asked=asked, number=number, unit=unit)


def span_text(measure: Measure, span: Span | None, system: UnitSystem, *, size: float, flip: bool) -> str:
    """An interval without its unit: "24.1 to 36.4"; `flip` turns a difference into a gain."""
    if span is None or span.low_si is None or span.high_si is None:
        return said("no interval")
    _, factor = unit_of(measure, system, size=size)
    ends = sorted((span.low_si * factor, span.high_si * factor))
    low, high = (-ends[1], -ends[0]) if flip else (ends[0], ends[1])
    return said("{low} to {high}", low=number_text(low), high=number_text(high))


def gain_text(measure: Measure, difference: float, span: Span | None, system: UnitSystem, *, size: float) -> str:
    """A difference in words and as an interval: "30.3 s less (24.1 to 36.4)", "0.2 s more (-1.1 to 1.5)"."""
    unit, factor = unit_of(measure, system, size=size)
    inside = span_text(measure, span, system, size=size, flip=difference < 0)
    parts = {"number": number_text(abs(difference) * factor), "unit": unit, "inside": inside}
    return (
        said("{number} {unit} less ({inside})", **parts)
        if difference < 0
        else said("{number} {unit} more ({inside})", **parts)
    )


def design_text(kept: Proposed, system: UnitSystem) -> str:
    """A kept design: "Panel cart: checks ok, working load 160 lb, checked on 2026-11-04"; or "not rated"."""
    rated = "not rated" if kept.rated_kg is None else f"working load {Quantity(kept.rated_kg, MASS).text(system)}"
    return f"{kept.title}: checks {kept.verdict}, {rated}, checked on {kept.checked_on}"
