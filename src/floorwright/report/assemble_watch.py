"""A control chart as a picture, the same on page and paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from floorwright.basis.sentence import said
from floorwright.draw.control_chart import Control, ControlPoint, control_chart
from floorwright.draw.picture import Picture, Size
from floorwright.draw.text import Say

NO_LOWER_LIMIT: Final = said("The lower limit comes out below 0, where no reading can be: it is not drawn.")
_SIGNALS: Final = {
    "beyond_limit": said("beyond limit"),
    "two_of_three": said("two of three"),
    "four_of_five": said("four of five"),
    "eight_same_side": said("eight same side"),
    "nine_same_side": said("nine same side"),
    "six_trending": said("six trending"),
    "fourteen_alternating": said("fourteen alternating"),
    "fifteen_within_one_sigma": said("fifteen within one sigma"),
    "eight_outside_one_sigma": said("eight outside one sigma"),
}


def lower_of(results: Mapping[str, Any], scale: float = 1.0) -> Any:
    """The lower limit, one number or one a point; None where it would lie below 0."""
    lower = _scaled(results["lower"], scale)
    ends = lower if isinstance(lower, tuple) else (lower,)
    return None if min(ends) < 0 else lower


def _scaled(line: Any, scale: float) -> Any:
    return tuple(x * scale for x in line) if isinstance(line, (list, tuple)) else line * scale


def control_picture(
    results: Mapping[str, Any],
    values: Sequence[float],
    *,
    measure: str,
    unit: str,
    baseline: int,
    order: str,
    size: Size,
    scale: float = 1.0,
    say: Say = str,
) -> Picture:
    """Draw the outcome of `control_chart`.

    Args:
        results: of the calculation.
        values: the points, in the unit that is shown.
        measure, unit: what is watched.
        baseline: how many points set the limits.
        order: what one step to the right is.
        size: of the picture.
        scale: from the lines of the results to the unit that is shown.
        say: puts the words into another language.
    """
    signals = {each["point"]: _SIGNALS[each["rule"]] for each in results["signals"]}
    return control_chart(
        Control(
            measure=measure,
            unit=unit,
            points=tuple(ControlPoint(value=value, signal=signals.get(i, "")) for i, value in enumerate(values, 1)),
            centre=_scaled(results["centre"], scale),
            lower=lower_of(results, scale),
            upper=_scaled(results["upper"], scale),
            baseline=baseline,
            order=order,
            zero=True,
        ),
        size=size,
        say=say,
    )
