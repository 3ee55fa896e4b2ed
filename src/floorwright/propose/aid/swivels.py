"""Swivels turned away from their kingpins: where they touch the floor then, and what that does.

A swivel's wheel stands its trail beside the kingpin, whichever way it was last rolled. Its load is not under the
kingpin then: the other wheels get more or less, and the frame bends about the mount.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from floorwright.propose.aid.frame.stability import Floats
from floorwright.propose.aid.stands import Causes, Stand

TURNS: Final = (
    ("ahead", (1.0, 0.0)),
    ("back", (-1.0, 0.0)),
    ("to the left", (0.0, 1.0)),
    ("to the right", (0.0, -1.0)),
)
"""All swivels turned one way: words, and the direction from kingpin to wheel."""


def turned(causes: Causes) -> Iterator[tuple[str, Stand]]:
    """The stands on three supports with every swivel turned one way; none where nothing trails.

    Only what the floor does to the supports is that of the turned swivels; three forces follow from equilibrium.
    """
    if not any(support.trail_m for support in causes.supports):
        return
    for words, (x, y) in TURNS:
        at = np.array([(s.at[0] + x * s.trail_m, s.at[1] + y * s.trail_m) for s in causes.supports])
        for stand in causes.stands:
            if len(stand.on) != 3:
                continue
            on = list(stand.on)
            before = _equilibrium(np.array([causes.supports[i].at for i in on]))
            after = _equilibrium(at[on])
            if abs(np.linalg.det(after)) < 1e-3 * abs(np.linalg.det(before)):
                continue  # brought onto one line: it does not stand on these
            contact = np.zeros_like(stand.contact)
            contact[:, on] = stand.contact[:, on] @ np.linalg.solve(after, before).T
            yield words, replace(stand, contact=contact)


def _equilibrium(at: Floats) -> Floats:
    return np.array([np.ones(len(at)), at[:, 0], at[:, 1]])
