"""From the cells of a row to readings: direct values, start and stop, the running watch, routes, lifts, areas.

Each shape takes the values that the readers made of some rows and gives one value a row (or `Bad`), with what
it was worked out from.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import Any, Final

from floorwright.basis.errors import InputError, Problem
from floorwright.catalogue import calculation
from floorwright.exchange.readers import Bad
from floorwright.shop.records import LONGEST_TIME_S, MeasureKind, Settings

Block = Mapping[str, Sequence[Any]]
Worked = tuple[list[Any], list[dict[str, Any] | None] | None]
"""Values (or Bad) of the rows, and what each was worked out from."""

TOTALS: Final = (MeasureKind.COUNTS, MeasureKind.SHARES)
PAUSES: Final = frozenset({"pause", "break", "lunch", "coffee", "stopped", "watch stopped"})
FOREIGN: Final = frozenset({"foreign", "foreign element", "interruption", "interrupted", "disturbance"})
STARTS: Final = frozenset({"start", "begin", "watch started", "start watch"})
_ARROWS: Final = re.compile(r"\s*(?:->|=>|→|➔|⇒|>|;|\r?\n)\s*")


class Skip:
    """A row that is no reading but is rightly there: a pause, the start of the watch."""

    def __init__(self, reason: str) -> None:
        self.reason = reason


def time_value(seconds: Any, *, strict: bool) -> Any:
    """An element time that can be true: above zero and no longer than a shift."""
    if isinstance(seconds, Bad) or not strict:
        return seconds if isinstance(seconds, Bad) or seconds >= 0 else _negative(seconds, "s", "a time")
    if seconds < 0:
        return _negative(seconds, "s", "a time")
    if seconds == 0:
        return Bad("is zero; a time is more than 0 s, or leave the row out")
    if seconds > LONGEST_TIME_S:
        return Bad(
            f"is {seconds:,.6g} s ({seconds / 3600:,.1f} h), longer than a shift of {LONGEST_TIME_S / 3600:.0f} h; "
            "check the unit in the heading"
        )
    return seconds


def _negative(value: float, unit: str, what: str) -> Bad:
    return Bad(f"is {value:,.6g} {unit}".rstrip() + f"; {what} cannot be negative")


def at_least_zero(value: Any, what: str) -> Any:
    """A value that is not negative."""
    if isinstance(value, Bad) or value >= 0:
        return value
    return _negative(value, "", what)


def event_count(value: Any) -> Any:
    """A whole number of events."""
    if isinstance(value, Bad):
        return value
    if value < 0:
        return _negative(value, "", "a count")
    return value if value == int(value) else Bad(f"is {value:g}; a count is a whole number")


def start_stop(block: Block) -> list[Any]:
    """Times from start to stop, less the pause."""
    values: list[Any] = []
    pauses = block.get("pause") or [None] * len(block["start"])
    for start, stop, pause in zip(block["start"], block["stop"], pauses, strict=True):
        fault = next((part for part in (start, stop, pause) if isinstance(part, Bad)), None)
        if fault is not None:
            values.append(fault)
        elif stop < start:
            values.append(
                Bad(
                    f"stops at {clock_text(stop)} before it starts at {clock_text(start)}; "
                    "where it runs past midnight, write how long it took instead"
                )
            )
        else:
            values.append(less_pause(stop - start, pause, strict=True))
    return values


def less_pauses(block: Block) -> list[Any]:
    """Times less the pause of their row."""
    return [
        next((part for part in (value, pause) if isinstance(part, Bad)), None)
        or less_pause(value, pause, strict=True)
        for value, pause in zip(block["value"], block["pause"], strict=True)
    ]


def less_pause(seconds: float, pause: float | None, *, strict: bool) -> Any:
    """A time less the pause in it, if it can be true."""
    if pause is None or pause == 0:
        return time_value(seconds, strict=strict)
    if pause < 0:
        return _negative(pause, "s", "a pause")
    if pause >= seconds:
        return Bad(f"has a pause of {pause:,.6g} s in a time of {seconds:,.6g} s; check the pause and its unit")
    return time_value(seconds - pause, strict=strict)


def clock_text(seconds: float) -> str:
    """Seconds as a watch shows them: 7:15:00, 1:15, 12.5 s."""
    whole, part = divmod(seconds, 60)
    hours, minutes = divmod(int(whole), 60)
    if hours:
        return f"{hours}:{minutes:02d}:{part:02.0f}"
    return f"{minutes}:{part:02.0f}" if minutes and part == int(part) else f"{seconds:,.6g} s"


class Watch:
    """A watch that runs on: each reading less the one before is the time of an element.

    It starts at zero for every day and operator, or where a row says "start". A pause row takes its time out,
    a pause column takes it out of its own row.
    """

    def __init__(self, *, strict: bool) -> None:
        self._strict = strict
        self._last: dict[tuple[Any, ...], tuple[float, int] | None] = {}

    def value(self, series: tuple[Any, ...], row: int, reading: Any, element: str, pause: Any) -> Any:
        """The time of the element whose end the reading is; Skip for a pause or a start; Bad when it goes back."""
        if isinstance(reading, Bad) or reading is None:
            self._last[series] = None
            return reading if reading is not None else Bad("is empty; write what the watch showed")
        if isinstance(pause, Bad):
            self._last[series] = (reading, row)
            return pause
        plain = element.casefold() if isinstance(element, str) else ""
        known = series in self._last
        last = self._last.get(series, (0.0, 0))
        if plain in STARTS:
            self._last[series] = (reading, row)
            return Skip("the start of the watch")
        if last is None:
            self._last[series] = (reading, row)
            return Bad(
                "cannot be told from the one before, whose watch reading is missing; leave it out or fill that in"
            )
        before, at = last
        if reading < before:
            return Bad(
                f"shows {clock_text(reading)} after {clock_text(before)} in row {at}; "
                "a running watch never goes back. Where it was set to zero, put in a row with the element 'start'"
            )
        self._last[series] = (reading, row)
        if plain in PAUSES:
            return Skip("a pause, taken out of the running watch")
        time = less_pause(reading - before, pause, strict=self._strict)
        if isinstance(time, Bad) and not known and reading - before > LONGEST_TIME_S:
            return Bad(
                f"shows {clock_text(reading)} as its first reading; where the watch did not start at zero, "
                "put in a row with the element 'start' and its reading above"
            )
        return time


class Routes:
    """Distances walked along station sequences, by the shop's distance table."""

    def __init__(self, settings: Settings) -> None:
        self._stations: dict[str, str] = {}
        self._legs: dict[tuple[str, str], float] = {}
        for start, end, metres in settings.distances_m:
            for name in (start, end):
                self._stations.setdefault(name.casefold(), name)
            self._legs[start.casefold(), end.casefold()] = metres
        self._done: dict[str, Any] = {}

    def walk(self, text: Any) -> tuple[Any, dict[str, Any] | None]:
        """(metres or Bad, {"route": [...]}) of a sequence such as "rack > bench 2 > rack"."""
        if isinstance(text, Bad):
            return text, None
        if text not in self._done:
            self._done[text] = self._walk(text)
        found: tuple[Any, dict[str, Any] | None] = self._done[text]
        return found

    def _walk(self, text: str) -> tuple[Any, dict[str, Any] | None]:
        stops = [" ".join(stop.split()) for stop in _ARROWS.split(text.strip()) if stop.strip()]
        if len(stops) < 2:
            return Bad(f"'{text}' is not a route; write the stations in order, like 'rack > bench 2 > rack'"), None
        if not self._legs:
            return Bad(
                "needs the shop's distance table, which is empty; import the distances first", each_value=True
            ), None
        for stop in stops:
            if stop.casefold() not in self._stations:
                known = ", ".join(list(self._stations.values())[:8])
                return Bad(
                    f"'{stop}' is not a station of the distance table ({known}); correct it, or add its distances",
                    each_value=True,
                ), None
        names = [self._stations[stop.casefold()] for stop in stops]
        total = 0.0
        for start, end in pairwise(names):
            metres = self._leg(start.casefold(), end.casefold())
            if metres is None:
                return Bad(
                    f"has no distance from '{start}' to '{end}'; add it to the distance table", each_value=True
                ), None
            total += metres
        return total, {"route": names}

    def _leg(self, start: str, end: str) -> float | None:
        if start == end:
            return 0.0
        found = self._legs.get((start, end))
        return found if found is not None else self._legs.get((end, start))


def routes(block: Block, book: Routes) -> Worked:
    """Metres walked along the routes of some rows; where a row has no route, the distance it gives."""
    given = block.get("value") or [None] * len(block["route"])
    pairs = [
        (metres, None) if metres is not None and text == "" else book.walk(text)
        for text, metres in zip(block["route"], given, strict=True)
    ]
    return [value for value, _ in pairs], [detail for _, detail in pairs]


def areas(block: Block) -> Worked:
    """Length times width."""
    values: list[Any] = []
    details: list[dict[str, Any] | None] = []
    for length, width in zip(block["length"], block["width"], strict=True):
        fault = next((part for part in (length, width) if isinstance(part, Bad)), None)
        if fault is None and (length <= 0 or width <= 0):
            fault = Bad("is not more than zero; measure length and width of the space taken up")
        values.append(fault if fault is not None else length * width)
        details.append(None if fault is not None else {"length_m": length, "width_m": width})
    return values, details


def densities(block: Block) -> Worked:
    """Pieces over the area they take up."""
    if "area" in block:
        spaces: list[Any] = list(block["area"])
    else:
        spaces = areas(block)[0]
    values: list[Any] = []
    details: list[dict[str, Any] | None] = []
    for pieces, area in zip(block["pieces"], spaces, strict=True):
        fault = next((part for part in (pieces, area) if isinstance(part, Bad)), None)
        if fault is None and (area <= 0 or pieces < 0):
            fault = Bad("needs an area of more than zero and pieces of zero or more")
        values.append(fault if fault is not None else pieces / area)
        details.append(None if fault is not None else {"pieces": pieces, "area_m2": area})
    return values, details


_LIFT_FIELDS: Final = {
    "load": "load",
    "horizontal": "origin.horizontal",
    "vertical": "origin.vertical",
    "asymmetry": "origin.asymmetry",
    "destination_horizontal": "destination.horizontal",
    "destination_vertical": "destination.vertical",
    "destination_asymmetry": "destination.asymmetry",
    "travel": "travel",
    "frequency": "frequency",
    "duration": "duration",
    "coupling": "coupling",
}
_LIFT_UNITS: Final = {
    "load": "load_kg",
    "horizontal": "horizontal_m",
    "vertical": "vertical_m",
    "travel": "travel_m",
}


def lifts(block: Block, *, form: str) -> Worked:
    """The lifting index of single lifts by the revised NIOSH lifting equation."""
    run = calculation("lift")
    values: list[Any] = []
    details: list[dict[str, Any] | None] = []
    seen: dict[tuple[Any, ...], tuple[Any, dict[str, Any] | None]] = {}
    names = [name for name in _LIFT_FIELDS if name in block]
    for cells in zip(*(block[name] for name in names), strict=True):
        if (fault := next((cell for cell in cells if isinstance(cell, Bad)), None)) is not None:
            values.append(fault)
            details.append(None)
            continue
        if cells not in seen:
            seen[cells] = _lift(run, {n: c for n, c in zip(names, cells, strict=True) if c is not None}, form)
        value, detail = seen[cells]
        values.append(value)
        details.append(detail)
    return values, details


def _lift(run: Callable[[object], Any], given: dict[str, Any], form: str) -> tuple[Any, dict[str, Any] | None]:
    question: dict[str, Any] = {"form": form, "origin": {}}
    for name, value in given.items():
        place, _, field = _LIFT_FIELDS[name].rpartition(".")
        target = question.setdefault(place, {}) if place else question
        target[field] = f"{value!r} rad" if field == "asymmetry" else value
    if "destination" in question and "horizontal" not in question["destination"]:
        # where the hands end up is asked for its height alone unless control is needed there
        question["travel"] = abs(question.pop("destination")["vertical"] - question["origin"].get("vertical", 0.0))
    try:
        outcome = run(question)
    except InputError as error:
        return Bad("; ".join(_lift_problem(problem) for problem in error.problems)), None
    index = outcome.results.get("LI")
    detail = {f"{name}_m" if name.startswith("dest") and "asym" not in name else _LIFT_UNITS.get(name, name): value
              for name, value in given.items()} | {"form": form}  # fmt: skip
    if index is None:
        failing = next((check.sentence for check in outcome.checks if check.verdict != "ok"), "")
        return Bad(f"lies outside the lifting equation, so it has no index. {failing}".strip()), None
    return float(index), detail


def _lift_problem(problem: Problem) -> str:
    """A problem of the calculation in the words of the columns."""
    names = {field: name.replace("_", " ") for name, field in _LIFT_FIELDS.items()}
    name = names.get(problem.field, problem.field)
    return f"lacks a column '{name}'" if problem.value is None else f"{name} {problem.message}"


def value_check(kind: MeasureKind, *, strict: bool) -> Callable[[Any], Any]:
    """What a direct value of a kind has to be."""
    if kind is MeasureKind.TIMES:
        return lambda value: time_value(value, strict=strict)
    if kind is MeasureKind.COUNTS:
        return event_count if strict else lambda value: at_least_zero(value, "a count")
    names = {
        MeasureKind.DISTANCE: "a distance",
        MeasureKind.LIFT: "a lifting index",
        MeasureKind.SPACE: "an area",
        MeasureKind.DENSITY: "a density",
        MeasureKind.FORCE: "a force",
        MeasureKind.WEIGHT: "a weight",
        MeasureKind.SHARES: "a number of hits",
    }
    return lambda value: at_least_zero(value, names[kind])
