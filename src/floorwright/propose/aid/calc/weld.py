"""`weld`: what a fillet weld bears, and the walls and the hollow face beside it; which of them gives first."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, isfinite
from typing import Any

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError
from floorwright.basis.mechanics import MOMENT, SECTION_AREA, STRESS
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FORCE, LENGTH, Quantity
from floorwright.propose.aid.calc.weld_checks import checks_of
from floorwright.propose.aid.calc.weld_input import Weld, WeldInput, between_fields, meant
from floorwright.propose.aid.calc.weld_parts import Kind, PartUse, load_size, parts_of
from floorwright.propose.aid.calc.weld_working import working_of
from floorwright.propose.aid.joints import fillet, weld_group


def run(given: WeldInput) -> Outcome:
    """The least of throat, base metal and face."""
    if problems := tuple(between_fields({n: getattr(given, n) for n in WeldInput.model_fields})):
        raise InputError(problems)
    weld = meant(given)
    parts = parts_of(given, weld)
    return Outcome(
        results=_results(given, weld, parts),
        working=working_of(given, weld, parts),
        checks=checks_of(given, weld, parts),
        warnings=tuple(_warnings(given, weld)),
        sources=tuple(_sources(given, weld)),
    )


def _results(given: WeldInput, weld: Weld, parts: tuple[PartUse, ...]) -> dict[str, Any]:
    known = all(part.use is not None for part in parts)
    worst = min(parts, key=lambda part: inf if part.share is None else part.share)
    use = max((part.use for part in parts if part.use is not None), default=None)
    ratio = None if not known or use is None or not isfinite(use) else use if weld.loaded else 0.0
    strengths = [each.Fu_pa for each in weld.walls if each.Fu_pa is not None]
    leg_m = float(weld.group.legs_m.max())
    return {
        "available": _available(weld, worst.share) if known else None,
        "governs": worst.kind if known else "unknown",
        "governs_part": worst.name if known else None,
        "ratio": ratio,
        "throat": _least(weld, parts, "throat"),
        "base_metal": _least(weld, parts, "base_metal"),
        "hollow_face": _least(weld, parts, "hollow_face"),
        "effective_weld": _least(weld, parts, "effective_weld"),
        "throat_strength": Quantity(fillet.throat_strength_pa(weld.electrode_pa, given.method), STRESS),
        "direction_factor": float(weld.factor),
        "weld_length": Quantity(weld.group.length_m, LENGTH),
        "throat_area": Quantity(weld.group.area_m2, SECTION_AREA),
        "matching_wall": (
            Quantity(fillet.matching_wall_m(leg_m, weld.electrode_pa, min(strengths)), LENGTH)
            if strengths
            else None
        ),
    }


def _available(weld: Weld, share: float | None) -> Quantity | None:
    """A load of the kind given, as large as the share of it allows; None where nothing limits it."""
    if share is None or not isfinite(share):
        return None
    size, force = load_size(weld.forces)
    return Quantity(share * size, FORCE if force else MOMENT)


def _least(weld: Weld, parts: tuple[PartUse, ...], kind: Kind) -> Quantity | None:
    own = [part.share for part in parts if part.kind == kind]
    if not own or any(share is None for share in own):
        return None
    return _available(weld, min(share for share in own if share is not None))


def _warnings(given: WeldInput, weld: Weld) -> Iterator[str]:
    if given.hollow_face is None:
        yield "Where one part is the face of a tube or pipe, give hollow_face: a thin face gives before the weld."
    lines = weld.group.lines
    sizes = [line.leg_m for line in lines] or [given.size or 0.0]
    if any(leg < own * (1 - 1e-9) for leg, own in zip(weld.group.legs_m.tolist(), sizes, strict=True)):
        yield "A weld shorter than four legs counts with a leg of a quarter of its length."
    throats = (weld_group.THROAT * weld.group.legs_m).tolist()
    if any(own < full * (1 - 1e-9) for own, full in zip(weld.group.throats_m.tolist(), throats, strict=True)):
        yield "A weld longer than 100 legs, loaded at its end, counts for less than its length."
    if weld.walls and any(wall.Fy_pa is None or wall.Fu_pa is None for wall in weld.walls):
        yield "Aluminium and stainless steel need a code of their own; these formulas are for carbon steel."


def _sources(given: WeldInput, weld: Weld) -> Iterator[str]:
    yield "aisc_360_j2"
    yield "aisc_360_j"
    if weld.group.straight is False:
        yield "blodgett"
    if given.hollow_face is not None:
        yield "aisc_360_k"
        if (
            weld.branch is not None
            and weld.branch.shape == "round"
            and given.hollow_face.chord.shape == "rectangular"
        ):
            yield "cidect_3"
    if weld.walls and min(wall.thickness_m for wall in weld.walls) < 0.003:
        yield "aws_d1_1"


CALCULATION = Calculation(
    name="weld",
    title="Fillet weld",
    question="What does this weld bear, and what gives first: weld, wall or hollow face?",
    input=WeldInput,
    run=run,
    cross_checks=between_fields,
    example={
        "around": {"along": "1-1/2 in", "across": "1-1/2 in"},
        "size": "1/8 in",
        "electrode": "E70",
        "walls": [
            {"name": "post", "thickness": "0.116 in", "Fy": "46 ksi", "Fu": "58 ksi"},
            {"name": "arm", "thickness": "0.116 in", "material": "A500B_shaped"},
        ],
        "hollow_face": {
            "chord": {"shape": "rectangular", "width": "2 in", "wall": "0.116 in", "material": "A500B_shaped"},
            "branch": {"shape": "rectangular", "along": "1-1/2 in", "wall": "0.116 in", "Fy": "46 ksi"},
            "joint": "T",
            "chord_stress_ratio": 0.3,
        },
        "forces": {"N": "300 lb", "V": "200 lb", "M": "150 ft-lb"},
    },
)
