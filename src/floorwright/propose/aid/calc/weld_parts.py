"""What a weld can give at, how far each is used, and what it would bear of the same load."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, inf, isinf
from typing import Final, Literal

import numpy as np

from floorwright.propose.aid.calc.weld_input import Weld, WeldInput
from floorwright.propose.aid.joints import fillet, hollow_face
from floorwright.propose.aid.joints.face_parts import JointKind
from floorwright.propose.aid.joints.loads import Forces, Limit, Method

Kind = Literal["throat", "base_metal", "hollow_face", "effective_weld"]
SOURCE: Final[dict[Kind, str]] = {
    "throat": "aisc_360_j2",
    "base_metal": "aisc_360_j",
    "hollow_face": "aisc_360_k",
    "effective_weld": "aisc_360_k",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PartUse:
    """One thing that can give.

    Attributes:
        kind: throat, base_metal, hollow_face or effective_weld.
        name: for people.
        use: of the load given; None where it is not known, infinite where it bears nothing of it.
        share: how many times the load given it would bear; None where it is not known.
        missing: what is missing, where it is not known.
    """

    kind: Kind
    name: str
    use: float | None
    share: float | None
    missing: str = ""

    @property
    def linear(self) -> bool:
        """Whether the use grows with the load."""
        return not self.use or not self.share or abs(self.use * self.share - 1) <= 1e-9


def parts_of(given: WeldInput, weld: Weld) -> tuple[PartUse, ...]:
    """Everything that the weld can give at."""
    method = given.method
    found = [
        _linear(
            "throat",
            fillet.throat_limit(weld.group, weld.forces, weld.electrode_pa, method=method, factor=weld.factor),
        )
    ]
    limits = fillet.base_limits(weld.group, weld.forces, weld.walls, method=method)
    if not weld.walls:
        found.append(_linear("base_metal", limits[0]))
    for i, wall in enumerate(weld.walls):
        found.append(_wall(wall.name, limits[2 * i : 2 * i + 2]))
    if given.hollow_face is not None:
        found += _on_face(given, weld, given.hollow_face.joint, method)
    return tuple(found)


def load_size(forces: Forces) -> tuple[float, bool]:
    """Length of the force in N, or of the moment in N·m where there is no force; whether it is a force."""
    force = hypot(float(forces.N), float(forces.Vx), float(forces.Vy))
    if force > 0:
        return force, True
    return hypot(float(forces.Mx), float(forces.My), float(forces.T)), False


def _linear(kind: Kind, limit: Limit) -> PartUse:
    use = None if limit.use is None else float(limit.use)
    return PartUse(kind=kind, name=limit.name, use=use, share=_inverse(use), missing=limit.missing)


def _wall(name: str, limits: tuple[Limit, ...]) -> PartUse:
    """The lower of yield and rupture. One of them alone tells only that the wall fails."""
    known = [float(limit.use) for limit in limits if limit.use is not None]
    missing = " ".join(limit.missing for limit in limits if limit.missing)
    use = max(known, default=None)
    if missing and (use is None or use <= 1):
        use = None
    return PartUse(
        kind="base_metal", name=name, use=use, share=_inverse(use), missing=missing if use is None else ""
    )


def _on_face(given: WeldInput, weld: Weld, joint: JointKind, method: Method) -> list[PartUse]:
    if weld.chord is None or weld.branch is None:
        return [
            PartUse(
                kind="hollow_face", name="face of the hollow section", use=None, share=None, missing=weld.no_face
            )
        ]
    chord, branch = weld.chord, weld.branch
    (once,) = hollow_face.face_limits(chord, branch, joint, weld.forces, method=method)
    if once.use is None:
        return [_linear("hollow_face", once)]
    (twice,) = hollow_face.face_limits(chord, branch, joint, _times(weld.forces, 2.0), method=method)
    assert twice.use is not None  # noqa: S101  the range does not depend on the size of the load
    use = float(once.use)
    # On a round chord one term grows with the square: use = a s + b s², from two points of it.
    square = (float(twice.use) - 2 * use) / 2
    line = use - square
    if use == 0:
        share = inf
    elif square <= 1e-9 * use:
        share = 1 / use
    else:
        share = 2 / (line + (line**2 + 4 * square) ** 0.5)
    found = [PartUse(kind="hollow_face", name=once.name, use=use, share=share)]
    throat = fillet.throat_strength_pa(weld.electrode_pa, method)
    limit = hollow_face.effective_weld_limit(
        chord, branch, joint, weld.forces, throat, float(weld.group.throats_m.min())
    )
    return found if limit is None else [*found, _linear("effective_weld", limit)]


def _times(forces: Forces, factor: float) -> Forces:
    return Forces(**{name: factor * getattr(forces, name) for name in ("N", "Vx", "Vy", "Mx", "My", "T")})


def _inverse(use: float | None) -> float | None:
    if use is None:
        return None
    if isinf(use):
        return 0.0
    return inf if use == 0 else float(np.divide(1.0, use))
