"""Box, Hunter and Hunter, Statistics for Experimenters (1978), pages 97 to 101: wear of shoe soles.

Two materials, one on each foot of ten boys. Data seen in a public copy (distributed by NIST); printed results from
memory, reproduced.
"""

from __future__ import annotations

import pytest

from floorwright.basis.stat.intervals import paired_differences
from floorwright.basis.stat.summary import moments
from floorwright.basis.stat.tests import paired, welch

A = [13.2, 8.2, 10.9, 14.3, 10.7, 6.6, 9.5, 10.8, 8.8, 13.3]
B = [14.0, 8.8, 11.2, 14.2, 11.8, 6.4, 9.8, 11.3, 9.3, 13.6]


def test_paired_t() -> None:
    result = paired(A, B)
    assert result.difference == pytest.approx(0.41, abs=5e-3)
    assert moments(paired_differences(A, B)).sd == pytest.approx(0.387, abs=5e-4)
    assert result.standard_error == pytest.approx(0.12, abs=5e-3)
    assert result.t == pytest.approx(3.35, abs=5e-3)
    assert result.df == 9.0
    assert result.p_value == pytest.approx(0.0085, abs=5e-5)


def test_leaving_the_pairing_out_hides_the_difference() -> None:
    assert welch(A, B).p_value > 0.7
