"""The one place where a series of readings is taken in and looked at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
Readings: TypeAlias = Sequence[float] | FloatArray


def readings(values: Readings, least: int = 1) -> FloatArray:
    """Return the series as a one-dimensional array of finite numbers.

    Raises ValueError when it has fewer than `least` values or holds a NaN or an infinity.
    """
    array = np.asarray(values, dtype=np.float64)
    if array.ndim != 1:
        raise ValueError(f"a series of readings has one dimension, this one has {array.ndim}")
    if array.size < least:
        raise ValueError(f"{least} or more readings are needed, there are {array.size}")
    if not np.isfinite(array).all():
        raise ValueError("every reading must be a finite number")
    return array


def check_confidence(confidence: float) -> None:
    """Raise ValueError unless the confidence lies strictly between 0 and 1."""
    if not 0.0 < confidence < 1.0:
        raise ValueError(f"confidence is a fraction between 0 and 1, not {confidence}")


def check_exposure(exposure: float) -> None:
    """Raise ValueError unless the exposure (hours, pieces, metres) is a positive finite number."""
    if not 0.0 < exposure < float("inf"):
        raise ValueError(f"exposure is a positive number, not {exposure}")


def check_count(count: int, most: float = float("inf")) -> None:
    """Raise ValueError unless the count is a whole number from 0 to `most`."""
    if count != int(count) or not 0 <= count <= most:
        raise ValueError(f"a count is a whole number from 0 to {most}, not {count}")
