"""Present worth of an economizer with and without salvage: Guide to energy management, appendix A, examples 37-38.

Seen in a public copy. The printed answers use four-figure interest factors, hence the tolerance.
"""

from __future__ import annotations

import pytest

from floorwright.prove.worth import CALCULATION


@pytest.mark.parametrize(("salvage", "present_worth"), [(0.0, -1566.2), (5000.0, 361.3)])
def test_economizer(salvage: float, present_worth: float) -> None:
    flows = [-20_000.0] + [3_500.0 - 500.0] * 9 + [3_000.0 + salvage]
    found = CALCULATION({"cash_flows": flows, "rate": "10 %"})
    assert found.results["npv"] == pytest.approx(present_worth, abs=1)
