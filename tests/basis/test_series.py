"""A series of readings: plain numbers or quantities of one kind."""

from __future__ import annotations

import pytest

from floorwright.basis.errors import InputError
from floorwright.basis.quantity import LENGTH, MASS, TIME
from floorwright.basis.series import kind_of, read_series


def test_plain_numbers_have_no_kind() -> None:
    found = read_series([1, 2.5], "data")
    assert found.values == (1.0, 2.5)
    assert found.dimension is None


def test_quantities_of_one_kind_may_mix_their_units() -> None:
    found = read_series(["1 min", "30 s", "1:15"], "data", TIME)
    assert found.values == (60, 30, 75)
    assert read_series(["1 min", "30 s"], "data").dimension is TIME
    assert read_series(["1-1/2 in", "38 mm"], "data").dimension is LENGTH


def test_pounds_are_a_mass_unless_they_are_written_as_a_force() -> None:
    assert kind_of("44 lb") is MASS
    assert kind_of("44 lbf") is not MASS


def test_text_without_a_unit_is_no_quantity() -> None:
    assert kind_of("12.5") is None
    assert kind_of("12 parsecs") is None


@pytest.mark.parametrize(
    ("raw", "field", "message"),
    [
        ([1, "2 s"], "data[0]", "has no unit, but '2 s' has one; give all of them a unit, or none"),
        (["12"], "data[0]", "should be a number without quotes, or a quantity such as '41 s'"),
        (["2 s", "3 kg"], "data[1]", "'kg' is not a unit of time"),
        ([1.0, float("inf")], "data[1]", "should be an ordinary number, or a quantity such as '41 s'"),
        ([True], "data[0]", "should be an ordinary number"),
    ],
)
def test_bad_input(raw: list[object], field: str, message: str) -> None:
    with pytest.raises(InputError) as caught:
        read_series(raw, "data")
    assert caught.value.problems[0].field == field
    assert message in caught.value.problems[0].message
