"""Where the stations of the demo shop stand, and the distances between them along the aisles."""

from __future__ import annotations

from typing import Final

STATIONS_FT: Final[dict[str, tuple[float, float]]] = {
    "Stores": (18, 22),
    "Saw": (18, 58),
    "Bar skids": (34, 74),
    "Laser": (62, 20),
    "Laser rack": (74, 34),
    "Press brake": (98, 24),
    "Weld bay 1": (132, 78),
    "Weld bay 2": (150, 78),
    "Weld bay 3": (168, 78),
    "Clamp wall": (104, 96),
    "Clamp rack": (143, 84),
    "Tool crib": (96, 62),
    "Grinder": (190, 66),
    "Wash stand": (196, 40),
    "Powder line": (166, 22),
    "Assembly bench": (214, 26),
    "Packing": (232, 48),
    "Dock": (246, 70),
}
"""Across and along the building, in feet. People walk along the aisles, so across plus along is walked."""


def walked_ft(start: str, end: str) -> int:
    """Feet from one station to another along the aisles, as somebody with a measuring wheel noted them."""
    (x1, y1), (x2, y2) = STATIONS_FT[start], STATIONS_FT[end]
    return round(abs(x1 - x2) + abs(y1 - y2))


def square_table() -> list[list[str]]:
    """The distance table with a row and a column for each station."""
    names = list(STATIONS_FT)
    rows = [[name, *(str(walked_ft(name, other)) for other in names)] for name in names]
    return [["from \\ to (ft)", *names], *rows]
