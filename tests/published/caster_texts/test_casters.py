"""Casters and rolling: a textbook problem, a rule of practice, a regression value.

Halliday, Resnick, Walker, Fundamentals of Physics, chapter 12: wheel drawn over a step (seen). Common practice of
caster makers: a third of the total on each of four casters, or 1.33 / 4 of it (seen). Statics of a stiff frame on
three wheels and of a push at hand height: derived in the reference, not printed in a book. Rolling force: a
regression value from the printed lever arm.
"""

from __future__ import annotations

import pytest

from floorwright.propose.aid.checks.casters import by_thirds_n, stiff_loads_n
from floorwright.propose.aid.checks.rolling import over_step_n, rolling_force_n, step_at_axle_n

LB, G = 0.45359237, 9.80665
CORNERS = [(0.5, 0.3), (0.5, -0.3), (-0.5, -0.3), (-0.5, 0.3)]


def test_wheel_drawn_over_a_step() -> None:
    """0.8 kg, radius 60 mm, step 30 mm, g = 9.8."""
    assert step_at_axle_n(0.8 * 9.8, 0.06, 0.03) == pytest.approx(13.6, abs=0.05)


def test_common_practice_for_3000_lb() -> None:
    """The 1.33 / 4 rule gives 997.5, printed as 1000."""
    assert by_thirds_n(3000) == pytest.approx(1000)
    assert pytest.approx(1000, abs=5) == 3000 * 1.33 / 4


def test_stiff_frame_with_the_load_in_the_middle() -> None:
    """Derived: half of it on each of two diagonal wheels."""
    loads = stiff_loads_n(1000, (0, 0), CORNERS)
    assert loads is not None
    assert max(loads) == pytest.approx(500)


def test_stiff_frame_with_the_load_20_per_cent_off_both_ways() -> None:
    """Derived: 0.6 of it on one wheel."""
    loads = stiff_loads_n(1000, (0.1, 0.06), CORNERS)
    assert loads is not None
    assert loads[0] == pytest.approx(600)


def test_rolling_force_of_nylon_on_concrete() -> None:
    """Regression: 3000 N on wheels of 100 mm with a lever arm of 5 mm."""
    assert rolling_force_n(3000, 0.100, 0.005) == pytest.approx(300)


@pytest.mark.parametrize(("wheelbase", "times"), [(1.0, 1.8), (0.6, 4.1)])
def test_push_at_hand_height_loads_the_front_wheels(wheelbase: float, times: float) -> None:
    """Derived: step of a tenth of the radius (62 mm), hands at 1 m."""
    R, h = 0.062, 0.0062
    over = over_step_n(1000, R, h, hand_m=1.0, wheelbase_m=wheelbase)
    assert over is not None
    assert over / step_at_axle_n(1000, R, h) == pytest.approx(times, abs=0.05)


def test_step_of_a_tenth_of_the_radius() -> None:
    """Derived: F = 0.48 W."""
    assert step_at_axle_n(1.0, 0.1, 0.01) == pytest.approx(0.48, abs=0.005)
