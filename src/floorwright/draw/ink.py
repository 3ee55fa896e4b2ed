"""The colours, type sizes and line weights shared by every chart and every printed page.

The series colours are those of Okabe and Ito's colour-blind safe set ("Color Universal Design", 2008, as
commonly printed: vermillion #D55E00, blue #0072B2, sky blue #56B4E9). No series is told apart by colour
alone: each has a mark of its own, and the two bars that touch differ clearly in grey.
"""

from __future__ import annotations

from typing import Final

INK: Final = "#1d1b18"
SOFT_INK: Final = "#57524a"  # 7.6 : 1 on white, still black enough for a tired toner cartridge
HAIRLINE: Final = "#d8d3ca"
ACCENT: Final = "#1f5660"  # the one quiet accent

BEFORE: Final = "#D55E00"
AFTER: Final = "#0072B2"
LIGHT: Final = "#56B4E9"

BEFORE_SHAPE: Final = "circle"
AFTER_SHAPE: Final = "diamond"
SIGNAL_SHAPE: Final = "triangle-up"

FONT: Final = "Inter"
LABEL_SIZE: Final = 12
HEAD_SIZE: Final = 13
AXIS_SIZE: Final = 12
THICK: Final = 4.0

# Inter's lower-case letters and figures are on average this wide, as a fraction of the type size.
LETTER_WIDTH: Final = 0.55


def text_width(text: str, size: float = LABEL_SIZE) -> float:
    """About how wide a label will be, in px; good enough to keep labels apart."""
    return len(text) * size * LETTER_WIDTH
