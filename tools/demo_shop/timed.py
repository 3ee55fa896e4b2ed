"""The timed studies of the demo shop: clamps, laser parts, the grinder, loading a cart, frames on the move."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from demo_shop.chance import Chance, number_text, spread_over, working_days
from demo_shop.files import Sheet, csv_bytes, workbook_bytes

FRAMES = ("SF-200 shelter frame", "SF-300 shelter frame")
WELDERS = ("W2", "W3")
IN_THE_WAY = "forklift in the aisle"

Rows = list[Sequence[object]]


# -- 1: clamps fetched across the shop --------------------------------------------------------


def clamps_before() -> bytes:
    """Watch left running; two pauses, one forklift in the way, and one long fetch that is explained."""
    chance = Chance(118)
    heading = ("date", "cycle", "operator", "part", "lot size", "element", "watch (s)", "rating", "foreign", "note")
    rows: Rows = [heading]
    days = working_days(dt.date(2026, 6, 23), 3)
    parts = chance.dealt(FRAMES, 24)
    for session, (day, operator) in enumerate((day, operator) for day in days for operator in WELDERS):
        watch = 0.0
        for cycle in range(1, 5):
            part = parts[4 * session + cycle - 1]
            for element, seconds, note in _clamp_cycle(chance, session, cycle):
                watch = round(watch + seconds, 1)
                foreign = "yes" if element == IN_THE_WAY else ""
                pace = "" if element in ("pause", IN_THE_WAY) else f"{chance.choice((95, 100, 100, 105))} %"
                shown = (day.isoformat(), cycle, operator, part, 8, element, number_text(watch))
                rows.append((*shown, pace, foreign, note))
    return csv_bytes(rows)


def _clamp_cycle(chance: Chance, session: int, cycle: int) -> Iterator[tuple[str, float, str]]:
    """The elements of one frame in their order, with what came between them."""
    if cycle == 1:
        yield "set the fixture", chance.time(310, 0.12), ""
    if (session, cycle) == (3, 2):
        yield IN_THE_WAY, 96.4, "truck unloaded at the dock, the way was blocked"
    if (session, cycle) == (2, 3):
        yield "fetch clamps", 263.8, "the long clamps were lent to bay 3; went there first, then to the wall"
    else:
        yield "fetch clamps", chance.time(117, 0.24), ""
    yield "clamp up", chance.time(205, 0.15), ""
    yield "tack", chance.time(160, 0.12), ""
    if (session, cycle) == (0, 2):
        yield "pause", 600 + chance.time(40, 0.3), "break"
    if (session, cycle) == (4, 3):
        yield "pause", 600 + chance.time(40, 0.3), "fire drill"


def clamps_after() -> bytes:
    """Watch set back after each element, one frame a row."""
    chance = Chance(31)
    rows: Rows = [("date", "cycle", "operator", "part", "fetch clamps (s)", "clamp up (s)", "tack (s)", "note")]
    parts = chance.dealt(FRAMES, 40)
    sessions = [(day, who) for day in working_days(dt.date(2026, 8, 10), 4) for who in WELDERS]
    for place, part in enumerate(parts):
        day, operator = sessions[place // 5]
        times = [chance.time(mean, spread) for mean, spread in ((30, 0.3), (198, 0.15), (158, 0.12))]
        note = ""
        if place == 27:
            times[0], note = 74.2, "rack was parked at bay 1; brought it back first"
        rows.append((day.isoformat(), place % 5 + 1, operator, part, *map(number_text, times), note))
    return csv_bytes(rows)


def clamps_again() -> bytes:
    """Thirty days later, the fetch alone."""
    chance = Chance(33)
    rows: Rows = [("date", "cycle", "operator", "part", "element", "time (s)", "note")]
    parts = chance.dealt(FRAMES, 20)
    sessions = [(day, who) for day in (dt.date(2026, 9, 14), dt.date(2026, 9, 15)) for who in WELDERS]
    for place, part in enumerate(parts):
        day, operator = sessions[place // 5]
        time = number_text(chance.time(31, 0.3))
        rows.append((day.isoformat(), place % 5 + 1, operator, part, "fetch clamps", time, ""))
    return csv_bytes(rows)


# -- 2: a clamp tray on the frame -------------------------------------------------------------


def tray(moment: str) -> bytes:
    """Timed from a film: when the hand left the frame, when the first clamp was on it."""
    before = moment == "before"
    chance = Chance(230 if before else 231)
    rows: Rows = [("date", "cycle", "operator", "part", "start (m:ss)", "stop (m:ss)", "note")]
    days = working_days(dt.date(2026, 9, 21) if before else dt.date(2026, 10, 26), 2)
    parts = chance.dealt(FRAMES, 20)
    sessions = [(day, who) for day in days for who in WELDERS]
    clock = 0
    for place, part in enumerate(parts):
        day, operator = sessions[place // 5]
        clock = round(chance.time(40, 0.5)) if place % 5 == 0 else clock + round(chance.time(390, 0.1))
        seconds = max(round(chance.time(31 if before else 13, 0.28)), 4)
        start, clock = clock, clock + seconds
        rows.append((day.isoformat(), place % 5 + 1, operator, part, minutes(start), minutes(clock), ""))
    return csv_bytes(rows)


def minutes(seconds: int) -> str:
    """Seconds as 4:07."""
    return f"{seconds // 60}:{seconds % 60:02d}"


# -- 3: which sheet holds which job's parts ---------------------------------------------------


def searching() -> bytes:
    """A workbook with a sheet before and a sheet after, each under a merged title."""
    return workbook_bytes((_search_before(), _search_after()))


_PRODUCTS = ("bench", "shelter", "litter bin")


def _search_before() -> Sheet:
    chance = Chance(314)
    rows = _search_rows(chance, dt.date(2026, 7, 20), 14, mean=205, variation=0.5)
    rows[5][6] = "two jobs on one sheet"
    rows.insert(9, list(rows[8]))
    return Sheet(
        name="before",
        title="Looking for a job's parts at the laser rack (before)",
        remark="Time runs from reading the traveler until the last part is in hand.",
        headings=("Date", "At", "Traveler", "Product", "Operator", "Time (m:ss)", "Note"),
        formats=("date", "clock", "text", "text", "text", "m:ss", "text"),
        widths=(12, 11, 11, 12, 10, 12, 46),
        rows=rows,
    )


def _search_after() -> Sheet:
    chance = Chance(332)
    rows = _search_rows(chance, dt.date(2026, 9, 21), 16, mean=128, variation=0.6)
    for row in rows:
        row[5] = round(row[5] / 60, 2)
    rows.insert(11, [rows[10][0], dt.time(14, 5), "T-26611", *rows[10][3:5], None, "forgot to start the watch"])
    rows[4][6] = "list was one sheet behind"
    return Sheet(
        name="after",
        title="Looking for a job's parts at the laser rack (with the list on the rack)",
        remark="Same start and end as before; decimal minutes, the new watch shows them so.",
        headings=("Date", "At", "Traveler", "Product", "Operator", "Time (min)", "Note"),
        formats=("date", "clock", "text", "text", "text", "number", "text"),
        widths=(12, 11, 11, 12, 10, 12, 46),
        rows=rows,
    )


def _search_rows(chance: Chance, first: dt.date, size: int, *, mean: float, variation: float) -> list[list[object]]:
    products, operators = chance.dealt(_PRODUCTS, size), chance.dealt(("L1", "L2"), size)
    traveler, rows = 26000 + chance.randrange(300, 400), []
    for place, (day, number) in enumerate(spread_over(size, working_days(first, 4))):
        at = dt.datetime.combine(day, dt.time(7)) + dt.timedelta(minutes=70 * number + chance.randrange(45))
        traveler += chance.randrange(2, 9)
        seconds = chance.time(mean, variation, 0)
        rows.append([day, at.time(), f"T-{traveler}", products[place], operators[place], seconds, ""])
    return rows


# -- 4: waiting for the grinder ---------------------------------------------------------------


def grinder(moment: str) -> bytes:
    """Semicolons and decimal commas: the laptop at the grinder is set to Spanish."""
    before = moment == "before"
    chance = Chance(402 if before else 424)
    rows: Rows = [("date", "time of day", "operator", "part", "wait for the grinder (min)", "note")]
    days = working_days(dt.date(2026, 9, 14) if before else dt.date(2026, 10, 12), 5)
    parts, operators = chance.dealt(FRAMES, 20), chance.dealt(("G1", "G2"), 20)
    for place, (day, number) in enumerate(spread_over(20, days)):
        at = dt.datetime.combine(day, dt.time(7, 10)) + dt.timedelta(
            minutes=105 * (number - 1) + chance.randrange(60)
        )
        wait = chance.time(7.6 if before else 6.9, 0.75)
        note = "disc change" if place == 6 else ""
        if (before, place) == (False, 13):
            wait, note = 24.5, "both grinders on the same rush order"
        shown = (day.strftime("%d/%m/%Y"), at.strftime("%H:%M"), operators[place], parts[place])
        rows.append((*shown, f"{wait:.1f}".replace(".", ","), note))
        if (before, place) == (True, 11):
            rows.append(rows[-1])
        if (before, place) == (False, 8):
            later = (at + dt.timedelta(minutes=20)).strftime("%H:%M")
            rows.append((shown[0], later, shown[2], shown[3], "", "called away, no time noted"))
    return csv_bytes(rows, delimiter=";", newline="\r\n")


# -- 5: loading a cart with slats (the times; the scratches are counted in `counted`) ---------


def load_cart(moment: str) -> bytes:
    """Seconds to load a cart, divided by the slats on it."""
    before = moment == "before"
    chance = Chance(511 if before else 512)
    rows: Rows = [("date", "cycle", "operator", "part", "driver", "driver amount", "time (s)", "note")]
    days = working_days(dt.date(2026, 7, 13) if before else dt.date(2026, 9, 8), 4)
    parts = chance.dealt(("Harbor bench slat", "Séville bench slat"), 16)
    operators = chance.dealt(("P1", "P2"), 16)
    for place, (day, number) in enumerate(spread_over(16, days)):
        slats = chance.choice((20, 24, 24, 28))
        time, note = slats * chance.time(3.1 if before else 4.6, 0.15, 2), ""
        if (before, place) == (True, 9):
            time, note = 121.0, "cart rolled off, brought it back; brake is worn"
        shown = (day.isoformat(), number, operators[place], parts[place], "piece", slats)
        rows.append((*shown, number_text(time), note))
    return csv_bytes(rows, encoding="utf-8-sig")


# -- 9: frames from welding to coating (the times; the touches are counted in `counted`) ------


_CARRIED = {
    # moment: seed, first day, days, lots, minutes a frame
    "before": (907, dt.date(2026, 8, 24), 5, 15, 2.9),
    "after": (908, dt.date(2026, 9, 28), 5, 15, 1.5),
    "again": (909, dt.date(2026, 11, 2), 4, 12, 1.5),
}


def carry_frames(moment: str) -> bytes:
    """Minutes with a frame in hands on its way to coating, a lot a row, divided by the frames of the lot."""
    seed, first, days, lots, mean = _CARRIED[moment]
    chance = Chance(seed)
    rows: Rows = [
        ("date", "cycle", "operator", "part", "lot size", "driver", "driver amount", "time (min)", "note")
    ]
    parts, operators = chance.dealt(FRAMES, lots), chance.dealt(("G1", "P2"), lots)
    for place, (day, number) in enumerate(spread_over(lots, working_days(first, days))):
        frames = chance.choice((4, 6, 8))
        time = frames * chance.time(mean, 0.22, 3)
        note = "helped by a second pair of hands" if (moment, place) == ("before", 4) else ""
        shown = (day.isoformat(), number, operators[place], parts[place], frames, "piece", frames)
        rows.append((*shown, f"{time:.2f}", note))
    return csv_bytes(rows)
