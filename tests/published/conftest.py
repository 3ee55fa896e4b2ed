"""Collects every comparison with a published value, for docs/proof.md (see tools/proof.py).

pytest hands over each assertion that passed with its values filled in; a comparison with `approx` thus tells
what we computed, what was printed, and how far apart they may be. Without FLOORWRIGHT_PROOF nothing is kept.
"""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import pytest

_NUMBER = r"[-+]?(?:\d[\d_]*\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_COMPARED = re.compile(
    rf"(?P<ours>(?:np\.float64\()?{_NUMBER}\)?) == "
    rf"(?:approx\()?(?P<printed>{_NUMBER})(?: ± (?P<within>{_NUMBER}))?\)?$"
)


def pytest_assertion_pass(item: pytest.Item, lineno: int, orig: str, expl: str) -> None:
    """Write one line for a passed comparison of numbers."""
    target = os.environ.get("FLOORWRIGHT_PROOF")
    found = _COMPARED.match(expl.splitlines()[0].strip())
    if not target or found is None:
        return
    ours = float(found["ours"].removeprefix("np.float64(").rstrip(")"))
    line = {
        "file": Path(item.path).relative_to(item.config.rootpath).as_posix(),
        "test": item.name,
        "line": lineno,
        "expression": orig.split("==")[0].strip(),
        "ours": ours,
        "printed": float(found["printed"]),
        "within": float(found["within"]) if found["within"] else 0.0,
    }
    with Path(target).open("a", encoding="utf-8") as file:
        file.write(json.dumps(line) + "\n")
