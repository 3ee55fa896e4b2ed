"""Time study: rating, frequency, both allowance bases, foreign readings, outliers, set-up apart."""

from __future__ import annotations

from typing import Any

import pytest

from asking import complaints, outcome, results
from floorwright.basis.errors import InputError
from floorwright.observe.time_study import allowance_on, standard_time, summarise
from formula import check_working


def study(*elements: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"elements": list(elements), "allowance": 0.1, "allowance_basis": "work_time"} | more


def element(*times: Any, **more: Any) -> dict[str, Any]:
    return {"name": "tack", "times": list(times), "rating": 1} | more


def test_frequency_scales_the_normal_time_of_a_cycle() -> None:
    found = results("time_study", study(element(10, 12), element(60, frequency=0.05, name="change wire")))
    assert [part["normal_time"]["value"] for part in found["elements"]] == pytest.approx([11, 3])
    assert found["normal_time"]["value"] == pytest.approx(14)
    assert found["standard_time"]["value"] == pytest.approx(15.4)


def test_the_two_bases_differ_and_convert() -> None:
    """15 % of the shift is 17.647 % of the work."""
    assert allowance_on("shift_time", 0.15) == pytest.approx(0.17647, abs=5e-6)
    assert allowance_on("work_time", allowance_on("shift_time", 0.15)) == pytest.approx(0.15)
    assert standard_time(100, 0.15, "shift_time") == pytest.approx(
        standard_time(100, allowance_on("shift_time", 0.15), "work_time")
    )


def test_setup_is_summed_apart() -> None:
    given = study(element(10), element(600, work="setup", name="change tool"))
    found = results("time_study", given)
    assert found["normal_time"]["value"] == pytest.approx(10)
    assert found["setup_normal_time"]["value"] == pytest.approx(600)
    assert found["setup_standard_time"]["value"] == pytest.approx(660)
    assert check_working(outcome("time_study", given).working) == 8


def test_foreign_readings_are_shown_and_left_out() -> None:
    given = study(element(10, 300, 12, foreign=[2]))
    found = results("time_study", given)["elements"][0]
    assert found["mean"]["value"] == pytest.approx(11)
    assert found["foreign_time"]["value"] == pytest.approx(300)
    assert found["n"] == 2
    assert "1 foreign reading (300.0 s) left out" in outcome("time_study", given).warnings[0]


def test_an_outlier_is_shown_and_kept() -> None:
    given = study(element(10, 11, 10, 12, 11, 40))
    found = outcome("time_study", given)
    part = found.to_record("time_study")["results"]["elements"][0]
    assert part["outliers"] == [6]
    assert part["mean"]["value"] == pytest.approx(94 / 6)
    assert "reading 6 (40.00 s) lies far from the others; it was kept" in found.warnings[0]


def test_position_of_an_outlier_counts_foreign_readings() -> None:
    found = summarise([10, 500, 11, 10, 12, 11, 40], foreign=[2])
    assert found.odd == (7,)


def test_a_single_reading_has_no_spread_and_says_so() -> None:
    found = outcome("time_study", study(element(10)))
    part = found.to_record("time_study")["results"]["elements"][0]
    assert part["sd"] is None
    assert part["interval"] is None
    assert "time more" in found.warnings[0]


def test_interval_of_the_mean_is_students() -> None:
    """Mean 10, s 1, n 4: 10 +/- 3.182446 / 2."""
    found = summarise([9.0, 9.5, 10.5, 11.0])
    assert found.interval_s is not None
    assert found.sd_s is not None
    assert found.interval_s.high - 10 == pytest.approx(3.182446 * found.sd_s / 2, rel=1e-6)


@pytest.mark.parametrize(
    ("given", "field", "message"),
    [
        (study(element(10, rating=110)), "elements[0].rating", "is 110; it should be 2 or less"),
        (study(element(0)), "elements[0].times[0]", "is 0 s; it should be more than 0 s"),
        (study(element("12 kg")), "elements[0].times[0]", "'kg' is not a unit of time"),
        (study(element()), "elements[0].times", "has 0 entries; it needs at least 1"),
        (study(), "elements", "has 0 entries; it needs at least 1"),
        (study(element(10, foreign=[2])), "elements[0].foreign", "is 2; there are readings 1 to 1"),
        (study(element(10, foreign=[1])), "elements[0].foreign", "marks every reading; at least one must count"),
        (study(element(10), allowance_basis="day"), "allowance_basis", "it should be 'work_time' or 'shift_time'"),
        (study(element(10), allowance=1.2), "allowance", "is 1.2; it should be 1 or less"),
        (
            study(element(10), allowance=1, allowance_basis="shift_time"),
            "allowance",
            "it should be below 100 % of the shift",
        ),
    ],
)
def test_bad_input(given: dict[str, Any], field: str, message: str) -> None:
    assert message in complaints("time_study", given)[field]


def test_all_faults_are_named_at_once() -> None:
    found = complaints("time_study", study(element(10, foreign=[3]), element(10, foreign=[1]), allowance="10 kg"))
    assert set(found) == {"allowance"}
    found = complaints("time_study", study(element(10, foreign=[3]), element(10, foreign=[1])))
    assert set(found) == {"elements[0].foreign", "elements[1].foreign"}


def test_summary_refuses_only_foreign_readings() -> None:
    with pytest.raises(InputError, match="marks every reading"):
        summarise([5.0, 6.0], foreign=[1, 2])
