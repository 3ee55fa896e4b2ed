"""How readings become the values that are compared."""

from __future__ import annotations

import datetime as dt

from floorwright.shop.records import Element, Measure, MeasureKind, Observation, Study
from floorwright.shop.series import series_of


def test_cycles_of_two_devices_that_time_at_once_are_not_mixed() -> None:
    """Both count their cycles from 1, nobody gave an operator code, and their laps arrive interleaved."""
    measure = Measure(name="weld", kind=MeasureKind.TIMES)
    study = Study(
        improvement=1,
        measure="weld",
        moment="before",
        kind=MeasureKind.TIMES,
        elements=(Element(name="fetch"), Element(name="place")),
    )
    start = dt.datetime(2026, 11, 20, 9)
    rows = []
    for cycle in (1, 2, 3):
        for step, element in enumerate(("fetch", "place")):
            for session, seconds in (("A", (10.0, 1.0)), ("B", (20.0, 2.0))):
                rows.append(
                    Observation(
                        key=f"{session}-{cycle}-{element}",
                        taken_at=start + dt.timedelta(seconds=40 * cycle + 20 * step),
                        cycle=cycle,
                        element=element,
                        value=seconds[step],
                        detail={"session": session},
                    )
                )
    assert sorted(series_of(measure, study, rows).values) == [11.0, 11.0, 11.0, 22.0, 22.0, 22.0]
