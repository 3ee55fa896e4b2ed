"""The gain ledger: what improvements changed, with no minute counted twice.

Everything on one work element is one line of levels in time; each level after the first change is a posting,
the step from the level before it. So the gains of an element always add up to its first level minus its last
one, whatever was entered first, and two improvements that touch the same minutes share them. Levels are whole
millionths (of a second, a lifting index, a newton, a square metre ...); money is exact until it is rounded to
cents once, in such a way that the parts add up to the total.
"""

from floorwright.prove.ledger.book import ElementSum, Ledger, Line, Sum, ledger
from floorwright.prove.ledger.cents import to_cents
from floorwright.prove.ledger.entries import (
    MONEY_USES,
    STANDINGS,
    TIME,
    Column,
    Entry,
    Moment,
    Rate,
    RateBasis,
    Reading,
    Standing,
    UseOfTime,
    VerdictWord,
    millionths,
)
from floorwright.prove.ledger.months import Month, by_month
from floorwright.prove.ledger.postings import Posting
from floorwright.prove.ledger.reach import Reach

__all__ = [
    "MONEY_USES",
    "STANDINGS",
    "TIME",
    "Column",
    "ElementSum",
    "Entry",
    "Ledger",
    "Line",
    "Moment",
    "Month",
    "Posting",
    "Rate",
    "RateBasis",
    "Reach",
    "Reading",
    "Standing",
    "Sum",
    "UseOfTime",
    "VerdictWord",
    "by_month",
    "ledger",
    "millionths",
    "to_cents",
]
