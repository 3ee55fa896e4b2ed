"""Open datasets that tests read where they lie: the folder named by FLOORWRIGHT_DATASETS, or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest


def dataset(name: str, published: str) -> Path:
    """The file `name` (such as "nist_strd/Lew.dat"); `published` says where it comes from.

    Without the folder the test is skipped with one sentence; in CI that is a failure.
    """
    folder = os.environ.get("FLOORWRIGHT_DATASETS")
    if not folder:
        sentence = (
            f"{name} ({published}) is read from the folder that FLOORWRIGHT_DATASETS names, which is not set."
        )
        if os.environ.get("CI"):
            pytest.fail(sentence)
        pytest.skip(sentence)
    path = Path(folder) / name
    assert path.is_file(), f"{path} is missing; it holds {published}"
    return path
