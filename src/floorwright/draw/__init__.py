"""Charts and drawings: plain values in, an SVG picture and its words out; the same on screen and on paper."""

from floorwright.draw.before_after import Point, Sample, before_after
from floorwright.draw.control_chart import Control, ControlPoint, control_chart
from floorwright.draw.money import LedgerBar, WorthRange, ledger_bars, worth_range
from floorwright.draw.picture import Picture, Size
from floorwright.draw.run_chart import Run, RunPoint, run_chart

__all__ = [
    "Control",
    "ControlPoint",
    "LedgerBar",
    "Picture",
    "Point",
    "Run",
    "RunPoint",
    "Sample",
    "Size",
    "WorthRange",
    "before_after",
    "control_chart",
    "ledger_bars",
    "run_chart",
    "worth_range",
]
