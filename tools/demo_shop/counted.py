"""The counted, walked, weighed, pushed and lifted studies of the demo shop."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from demo_shop.chance import Chance, number_text, spread_over, working_days
from demo_shop.files import csv_bytes
from demo_shop.plant import square_table
from demo_shop.timed import FRAMES, WELDERS

Rows = list[Sequence[object]]


def distances() -> bytes:
    """The distance table of the shop."""
    return csv_bytes(square_table())


# -- 1: walked for clamps ---------------------------------------------------------------------


def clamp_routes(moment: str) -> bytes:
    """The way of one welder for the clamps of one frame, as stations in order."""
    before = moment == "before"
    chance = Chance(126 if before else 122)
    rows: Rows = [("date", "cycle", "operator", "part", "route", "note")]
    days = working_days(dt.date(2026, 6, 23) if before else dt.date(2026, 8, 10), 3)
    parts, operators = chance.dealt(FRAMES, 12), chance.dealt(WELDERS, 12)
    for place, (day, number) in enumerate(spread_over(12, days)):
        bay = "Weld bay 1" if operators[place] == "W2" else "Weld bay 2"
        stops, note = _way_before(chance, bay, place) if before else _way_after(chance, bay, place)
        shown = (day.isoformat(), number, operators[place], parts[place])
        rows.append((*shown, " > ".join(stops), note))
    return csv_bytes(rows)


def _way_before(chance: Chance, bay: str, place: int) -> tuple[list[str], str]:
    if place == 7:
        return [bay, "Weld bay 3", "Clamp wall", bay], "the long clamps were lent to bay 3"
    way = [bay, "Clamp wall", bay]
    if chance.random() < 0.3:
        return [*way, "Clamp wall", bay], "second trip, hands were full"
    if chance.random() < 0.2:
        return [bay, "Tool crib", "Clamp wall", bay], "past the crib for a wrench"
    return way, ""


def _way_after(chance: Chance, bay: str, place: int) -> tuple[list[str], str]:
    if place == 8:
        return [bay, "Tool crib", bay], "a clamp screw was bent, took a new one from the crib"
    return [bay, "Clamp rack", bay] * 1 if chance.random() < 0.75 else [
        bay,
        "Clamp rack",
        bay,
        "Clamp rack",
        bay,
    ], ""


# -- 5: scratches on slats --------------------------------------------------------------------


def scratches(moment: str) -> bytes:
    """Scratched slats a cart; the heading row is in the coater's words, saved by an old spreadsheet (CP1252)."""
    before = moment == "before"
    chance = Chance(531 if before else 533)
    rows: Rows = [("date", "cart", "part", "pieces", "scratches", "note")]
    days = working_days(dt.date(2026, 7, 13) if before else dt.date(2026, 9, 8), 6)
    parts = chance.dealt(("Harbor bench slat", "Séville bench slat"), 12)
    for place, (day, _) in enumerate(spread_over(12, days)):
        found, note = chance.count(24 * (0.17 if before else 0.045)), ""
        if (before, place) == (True, 3):
            note = "slats loaded at 140 °F, straight from the oven"
        if (before, place) == (False, 6):
            note = "one slot had lost its felt – glued again"
        rows.append((day.strftime("%m/%d/%Y"), place + 1, parts[place], 24, found, note))
    return csv_bytes(rows, encoding="cp1252", newline="\r\n")


# -- 6: sheet blanks lifted to the press brake ------------------------------------------------

_BLANKS = (("bench end blank", 38), ("bin body blank", 43), ("shelter gusset blank", 46))


def lifts(moment: str) -> bytes:
    """Twelve lifts, measured with a tape and the bench scale."""
    before = moment == "before"
    chance = Chance(612 if before else 613)
    rows: Rows = [
        ("date", "operator", "part", "load (lb)", "horizontal (in)", "vertical (in)", "destination vertical (in)",
         "asymmetry (deg)", "lifts per minute", "duration", "coupling", "note")
    ]  # fmt: skip
    days = working_days(dt.date(2026, 8, 3) if before else dt.date(2026, 10, 14), 2)
    blanks = [_BLANKS[place % 3] for place in range(12)]
    heights = chance.sample(range(5, 29, 2), 12)
    operators = chance.dealt(("B1", "B2"), 12)
    for place, (day, _) in enumerate(spread_over(12, days)):
        name, load = blanks[place]
        if before:
            hands = (chance.near(16.5, 1.2, 0.5), heights[place], 38.0, chance.choice((30, 45, 45)))
        else:
            hands = (chance.near(12.5, 0.8, 0.5), chance.near(36, 1, 0.5), 38.0, chance.choice((0, 0, 15)))
        across, low, high, twist = hands
        note = "bottom of the pallet" if before and low <= 5 else ""
        shown = (day.isoformat(), operators[place], name, number_text(chance.near(load, 0.8)))
        lengths = (_inches(across), _inches(low), _inches(high))
        rows.append((*shown, *lengths, twist, "0.5", "moderate", "fair", note))
    return csv_bytes(rows)


def _inches(value: float) -> str:
    """Inches as a tape is read: 16 1/2."""
    whole = int(value)
    return f"{whole} 1/2" if value - whole >= 0.5 else str(whole)


# -- 7: long bars on the floor ----------------------------------------------------------------


def bars(moment: str) -> bytes:
    """Bars that lie there and the floor they take up, with the walkway that has to stay free."""
    before = moment == "before"
    chance = Chance(702 if before else 703)
    rows: Rows = [("date", "pieces", "length (ft)", "width (ft)", "note")]
    for place, day in enumerate(working_days(dt.date(2026, 7, 27) if before else dt.date(2026, 10, 12), 10)):
        pieces = chance.randrange(38, 56)
        wide = chance.near(4.6, 0.5, 0.25) if before else chance.near(2.5, 0.2, 0.25)
        note = "delivery in the morning, third skid put down" if (before, place) == (True, 5) else ""
        if note:
            pieces, wide = 71, 6.5
        rows.append((day.isoformat(), pieces, "21" if before else "20.5", number_text(wide, 2), note))
    return csv_bytes(rows)


# -- 8: offcuts thrown away -------------------------------------------------------------------


def offcuts() -> bytes:
    """Friday weighing of the scrap tub; four weeks so far."""
    rows: Rows = [("date", "weight (lb)", "note")]
    weights = ((412, ""), (365, ""), (498, "two shelters re-cut"), (388, ""))
    for week, (weight, note) in enumerate(weights):
        rows.append(((dt.date(2026, 10, 30) + dt.timedelta(weeks=week)).isoformat(), weight, note))
    return csv_bytes(rows)


# -- 9: touches between welding and coating ---------------------------------------------------


_TOUCHED = {
    # moment: seed, first day, days, lots, touches of a frame
    "before": (921, dt.date(2026, 8, 24), 5, 15, (6, 7, 7, 8, 9)),
    "after": (922, dt.date(2026, 9, 28), 5, 15, (3, 3, 4)),
    "again": (923, dt.date(2026, 11, 2), 4, 12, (3, 3, 4)),
}


def touches(moment: str) -> bytes:
    """How often frames of a lot were picked up, put down or turned between the weld bay and the coating line."""
    seed, first, days, lots, often = _TOUCHED[moment]
    chance = Chance(seed)
    rows: Rows = [("date", "lot no.", "part", "touches", "pieces", "note")]
    parts = chance.dealt(FRAMES, lots)
    for place, (day, _) in enumerate(spread_over(lots, working_days(first, days))):
        frames = chance.choice((4, 6, 8))
        touched = sum(chance.choice(often) for _ in range(frames))
        note = "pallet in the way, all moved twice" if (moment, place) == ("before", 10) else ""
        rows.append((day.isoformat(), place + 1, parts[place], touched + (frames if note else 0), frames, note))
    return csv_bytes(rows)


# -- 11: looking for hardware at assembly -----------------------------------------------------


def hardware_rounds() -> bytes:
    """Rounds at random times: of the people at assembly, how many were looking for hardware."""
    chance = Chance(1104)
    rows: Rows = [("date", "time of day", "looks", "hits", "note")]
    for day, number in spread_over(20, working_days(dt.date(2026, 10, 19), 5)):
        at = dt.datetime.combine(day, dt.time(7)) + dt.timedelta(minutes=115 * (number - 1) + chance.randrange(115))
        looks = chance.choice((5, 6, 6))
        hits = sum(chance.random() < 0.19 for _ in range(looks))
        rows.append((day.isoformat(), at.strftime("%H:%M"), looks, hits, ""))
    return csv_bytes(rows)


# -- 12: bigger wheels under the powder cart --------------------------------------------------


def pushes(moment: str) -> bytes:
    """Push to get the loaded powder cart over the drain grate, with a luggage scale."""
    before = moment == "before"
    chance = Chance(1202 if before else 1203)
    rows: Rows = [("date", "operator", "push force (lbf)", "note")]
    days = working_days(dt.date(2026, 7, 6) if before else dt.date(2026, 7, 20), 2)
    operators = chance.dealt(("P1", "P2"), 10)
    for place, (day, _) in enumerate(spread_over(10, days)):
        force = chance.near(39 if before else 47, 3.5, 0.5)
        note = "" if before or place != 4 else "one wheel turned sideways in the grate"
        rows.append((day.isoformat(), operators[place], number_text(force), note))
    return csv_bytes(rows)


# -- 13: scratched panels ---------------------------------------------------------------------


def panel_scratches() -> bytes:
    """Scratched panels a day, counted where they are unpacked for the shelter."""
    chance = Chance(1301)
    rows: Rows = [("date", "pieces", "scratches", "note")]
    for place, day in enumerate(working_days(dt.date(2026, 10, 5), 10)):
        note = "cardboard was out, paper between them" if place == 6 else ""
        pieces = 4 * chance.randrange(5, 8)
        rows.append((day.isoformat(), pieces, chance.count(pieces * (0.4 if note else 0.22)), note))
    return csv_bytes(rows)


# -- 14: short tube in front of the saw -------------------------------------------------------


def short_tube() -> bytes:
    """Tubes that lie in front of the saw and the floor they take up, every morning at seven."""
    chance = Chance(1401)
    rows: Rows = [("date", "pieces", "length (ft)", "width (ft)", "note")]
    for day in working_days(dt.date(2026, 10, 5), 10):
        rows.append(
            (day.isoformat(), chance.randrange(17, 29), "8.5", number_text(chance.near(4.8, 0.4, 0.25), 2), "")
        )
    return csv_bytes(rows)


# -- 16: the way to the notcher ---------------------------------------------------------------


def notcher_routes() -> bytes:
    """The way of one welder for the notched braces of one frame, as stations in order."""
    chance = Chance(1602)
    rows: Rows = [("date", "cycle", "operator", "part", "route", "note")]
    parts, operators = chance.dealt(FRAMES, 12), chance.dealt(WELDERS, 12)
    for place, (day, number) in enumerate(spread_over(12, working_days(dt.date(2026, 10, 27), 3))):
        bay = "Weld bay 1" if operators[place] == "W2" else "Weld bay 2"
        way, note = [bay, "Tool crib", bay], ""
        if chance.random() < 0.3:
            way, note = [*way, "Tool crib", bay], "one brace did not fit, notched again"
        rows.append((day.isoformat(), number, operators[place], parts[place], " > ".join(way), note))
    return csv_bytes(rows)
