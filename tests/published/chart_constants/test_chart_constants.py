"""Control chart constants for subgroups of 2 to 25 against the usual printed table.

`constants.csv` holds the three- and four-figure values as textbooks and standards print them (A2 ... D4, as in
Montgomery, Introduction to Statistical Quality Control, appendix). Printed tables derive D3 and D4 from
rounded d2 and d3, so that their last figure may be off by one.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from floorwright.basis.stat.constants import chart_constants

with (Path(__file__).parent / "constants.csv").open(newline="") as lines:
    TABLE = list(csv.DictReader(lines))


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"n={row['n']}")
def test_printed_table(row: dict[str, str]) -> None:
    ours = chart_constants(int(row["n"]))
    for name in ("A2", "A3", "c4", "B3", "B4", "d2", "d3", "D3", "D4"):
        figures = len(row[name].partition(".")[2]) or 3
        slack = 1.0 if name in ("d3", "D3", "D4") else 0.51
        assert getattr(ours, name) == pytest.approx(float(row[name]), abs=slack * 10.0**-figures), name


def test_closed_forms_for_two_and_three() -> None:
    """The range of two: 2/sqrt(pi) and sqrt(2 - 4/pi). Of three: mean 3/sqrt(pi) (Tippett, 1925)."""
    two, three = chart_constants(2), chart_constants(3)
    assert two.d2 == pytest.approx(2.0 / math.sqrt(math.pi), rel=1e-11)
    assert two.d3 == pytest.approx(math.sqrt(2.0 - 4.0 / math.pi), rel=1e-11)
    assert two.c4 == pytest.approx(math.sqrt(2.0 / math.pi), rel=1e-12)
    assert three.d2 == pytest.approx(3.0 / math.sqrt(math.pi), rel=1e-11)
    # its second moment is 2 + 3 sqrt(3)/pi
    assert three.d3**2 + three.d2**2 == pytest.approx(2.0 + 3.0 * math.sqrt(3.0) / math.pi, rel=1e-10)
