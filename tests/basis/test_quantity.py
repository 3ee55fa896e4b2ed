"""Quantities as people write them. Factors: NIST SP 811 (exact definitions of inch, pound, standard gravity)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorwright.basis.quantity import (
    ANGLE,
    AREA,
    FORCE,
    FRACTION,
    LENGTH,
    MASS,
    RATE,
    SPEED,
    TIME,
    Dimension,
    parse,
    plain_number,
    write,
)


@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [
        ("1-1/2 in", LENGTH, 0.0381),
        ("1 1/2 in", LENGTH, 0.0381),
        ("5'-3 1/2\"", LENGTH, 1.6129),
        ("5' 3-1/2\"", LENGTH, 1.6129),
        ("6 ft 2 in", LENGTH, 1.8796),
        ("5/32 in", LENGTH, 0.00396875),
        ("3½ in", LENGTH, 0.0889),
        (".5 in", LENGTH, 0.0127),
        ("0.9 m", LENGTH, 0.9),
        ("38 mm", LENGTH, 0.038),
        ("1,5 m", LENGTH, 1.5),
        ("1,234.5 mm", LENGTH, 1.2345),
        ("-3 ft", LENGTH, -0.9144),
        ("−3 ft", LENGTH, -0.9144),
        ("44 lb", MASS, 44 * 0.45359237),
        ("5 lb 3 oz", MASS, 5.1875 * 0.45359237),
        ("44 lb", FORCE, 44 * 4.4482216152605),
        ("225 N", FORCE, 225.0),
        ("1.25 min", TIME, 75.0),
        ("1:15", TIME, 75.0),
        ("1:00:05", TIME, 3605.0),
        ("1 h 20 min", TIME, 4800.0),
        ("7-1/2 h", TIME, 27000.0),
        ("40 1/h", RATE, 40 / 3600),
        ("40/h", RATE, 40 / 3600),
        ("1/day", RATE, 1 / 86400),
        ("40 per hour", RATE, 40 / 3600),
        ("2 %", FRACTION, 0.02),
        ("20 deg", ANGLE, math.radians(20)),
        ("20°", ANGLE, math.radians(20)),
        (0, ANGLE, 0.0),
        ("12 ft²", AREA, 12 * 0.3048**2),
        ("264 ft/min", SPEED, 1.34112),
        (2.5, LENGTH, 2.5),
    ],
)
def test_reads_what_people_write(text: object, dimension: Dimension, si: float) -> None:
    assert parse(text, dimension) == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    ("value", "dimension", "says"),
    [
        ("1,234 m", LENGTH, "can be read in two ways"),
        ("3 in", MASS, "'in' is not a unit of mass"),
        ("", MASS, "is empty; write a mass such as '44 lb'"),
        ("abc", TIME, "'abc' is not a time; write it like '1.25 min'"),
        (3, ANGLE, "3 needs its unit, such as '20 deg'"),
        ("3 4 in", LENGTH, "'4' is not a unit of length"),
        ("1/0 in", LENGTH, "divides by zero"),
        ("1e999 s", TIME, "should be an ordinary number"),
        (math.nan, TIME, "should be an ordinary number"),
        (True, TIME, "should be a time"),
        (None, TIME, "should be a time"),
        ("1:75", TIME, "write minutes and seconds like '1:15'"),
        ("5 in 3", LENGTH, "is not a length"),
    ],
)
def test_refuses_in_one_plain_sentence(value: object, dimension: Dimension, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        parse(value, dimension)


@given(st.integers(0, 40), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_mixed_numbers_add_up(whole: int, top: int, bottom: int) -> None:
    expected = (whole + top / bottom) * 0.0254
    for text in (f"{whole}-{top}/{bottom} in", f'{whole} {top}/{bottom}"', f"{whole} {top}/{bottom} inches"):
        assert parse(text, LENGTH) == pytest.approx(expected, rel=1e-12)


@given(
    st.floats(1e-3, 1e6), st.sampled_from([LENGTH, MASS, TIME, FORCE, AREA, SPEED]), st.sampled_from(["si", "us"])
)
def test_written_is_read_back(value: float, dimension: Dimension, system: str) -> None:
    shown = write(value, dimension, system, digits=12)  # type: ignore[arg-type]
    assert parse(shown.replace(",", ""), dimension) == pytest.approx(value, rel=1e-9)


@given(st.text(max_size=30))
def test_any_text_is_a_number_or_a_sentence(text: str) -> None:
    for dimension in (LENGTH, TIME, ANGLE, RATE, FRACTION):
        try:
            value = parse(text, dimension)
        except ValueError:
            continue
        assert math.isfinite(value)


def test_numbers_for_people() -> None:
    assert plain_number(41.2837, 3) == "41.3"
    assert plain_number(12345.6, 3) == "12,346"
    assert plain_number(0.00123, 3) == "0.00123"
    assert plain_number(-0.0, 3) == "0"
