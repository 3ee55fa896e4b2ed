"""What only a cart for flat parts is asked: do parts and fingers fit, is paint untouched, can a part fall."""

from __future__ import annotations

from math import cos, sin, tan
from typing import Final

from floorwright.basis.check import Check, Verdict, judge
from floorwright.basis.quantity import G_STANDARD, LENGTH, Quantity, write
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.pattern import Findings
from floorwright.propose.aid.patterns.density import density_check, density_effects
from floorwright.propose.aid.patterns.panel_spec import INCH, PanelCart
from floorwright.propose.aid.patterns.slots import Slot, divider_needed

BARE_FINGER_M: Final = 1.0 * INCH
GLOVED_FINGER_M: Final = 1.5 * INCH
"""Room beside a part for fingers (common practice, no source)."""
OVERHANG_SHARE: Final = 0.25
"""Most of a part's length that may stand out at each end (common practice, no source)."""


def own(spec: PanelCart, layout: Layout) -> Findings:
    """The checks, the working of the divider's height, and parts on a square metre against today."""
    slot = spec.slot()
    parts = spec.slots * spec.per_slot
    return Findings(
        checks=(
            _width(spec, slot),
            _fingers(spec, slot),
            _paint(spec),
            _lining(spec),
            _divider(spec, slot),
            _overhang(spec),
            density_check(parts, layout, spec.today),
        ),
        workings=(_working(spec, slot),),
        effects=density_effects(parts, layout, spec.today),
    )


def sideways(spec: PanelCart) -> float | None:
    """Worst acceleration across the slots as a share of gravity; None where the tightest turn is not told.

    Across the cart: slope and turn at walking pace. Along it: slope and a dead stop against an obstacle.
    """
    slope = tan(spec.route.slope)
    if spec.loaded == "side":
        return slope + spec.limits.obstacle_speed**2 / (2 * spec.limits.obstacle_stop * G_STANDARD)
    if spec.route.turn_radius is None:
        return None
    return slope + spec.route.speed**2 / (G_STANDARD * spec.route.turn_radius)


def _width(spec: PanelCart, slot: Slot) -> Check:
    needed = slot.pitch_m - slot.room_m / cos(slot.lean_rad)
    ratio, verdict = judge(needed, slot.pitch_m)
    if verdict == "close":
        verdict = "ok"  # what is left over is judged as room for fingers
    many = "part" if spec.per_slot == 1 else "parts"
    return Check(
        name="slot width",
        case=f"{spec.per_slot} {many} in a slot",
        demand=Quantity(needed, LENGTH),
        capacity=Quantity(slot.pitch_m, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=f"Divider, linings and {many} take {_both(needed)} of {_both(slot.pitch_m)} from divider to "
        f"divider; {_both(slot.room_m)} are left for fingers.",
        source="definition",
    )


def _fingers(spec: PanelCart, slot: Slot) -> Check:
    needed = GLOVED_FINGER_M if spec.gloves else BARE_FINGER_M
    free = slot.free_above_m
    ratio, verdict = judge(needed, free)
    if verdict == "close":
        verdict = "ok"  # the room asked for is a round number that includes its own reserve
    return Check(
        name="finger room",
        case="gloved hand at the upper edge" if spec.gloves else "bare hand at the upper edge",
        demand=Quantity(needed, LENGTH),
        capacity=Quantity(free, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=f"{_both(free)} stand free beside a part where it is gripped; "
        f"{'gloved' if spec.gloves else 'bare'} fingers need {_both(needed)}.",
        source="practice",
    )


def _said(name: str, case: str, verdict: Verdict, sentence: str) -> Check:
    return Check(
        name=name,
        case=case,
        demand=None,
        capacity=None,
        ratio=None,
        verdict=verdict,
        sentence=sentence,
        source="practice",
    )


def _paint(spec: PanelCart) -> Check:
    """Painted faces must not touch one another."""
    case = "single parts" if spec.per_slot == 1 else "two parts back to back"
    painted = spec.part.painted
    verdict: Verdict = "ok"
    if painted == "none":
        text = "No face is painted; parts may touch."
    elif spec.per_slot == 1:
        text = "One part in a slot: painted faces meet the lining alone."
    elif painted == "one":
        text = "Back to back the unpainted faces touch; put the painted faces outwards."
    elif spec.separator > 0:
        text = f"A separator of {_both(spec.separator)} keeps the painted faces of a pair apart."
    else:
        verdict = "fails"
        text = (
            "Both faces are painted and two parts stand face to face; give a separator, or one part in a slot "
            "(per_slot = 1)."
        )
    return _said("painted faces", case, verdict, text)


def _lining(spec: PanelCart) -> Check:
    """A painted face leans on the lining unless a single part turns its back to it."""
    case = "painted face against the divider"
    if spec.part.painted == "none":
        return _said("lining", case, "ok", "No face is painted; the lining may be hard.")
    if spec.lining.thickness == 0:
        return _said("lining", case, "fails", "Painted parts lean on bare steel; line the dividers.")
    if spec.part.painted == "one" and spec.per_slot == 1:
        return _said("lining", case, "ok", "Turn the unpainted face to the divider that the part leans on.")
    if spec.lining.compressible is None:
        text = "Not told whether the lining gives way (lining.compressible); a hard one can mark paint."
        return _said("lining", case, "unknown", text)
    if spec.lining.compressible:
        return _said("lining", case, "ok", "Painted faces lean on a lining that gives way.")
    return _said("lining", case, "close", "Painted faces lean on a hard lining; try it on one cured part first.")


def _divider(spec: PanelCart, slot: Slot) -> Check:
    asked = sideways(spec)
    # However hard it is pushed, a part held at its middle or above does not tip over the edge.
    needed = slot.height_m / 2 if asked is None else _needed(slot, asked)
    capacity = slot.divider_m
    ratio, verdict = judge(needed, capacity)
    name, case = "divider height", "part leaning, foot at the far lining, on the slope in the turn"
    if spec.loaded == "side":
        case = "part leaning, foot at the far lining, stopped dead"
    if asked is None and verdict == "fails":
        return Check(
            name=name,
            case=case,
            demand=None,
            capacity=Quantity(capacity, LENGTH),
            ratio=None,
            verdict="unknown",
            sentence=f"The divider reaches {_both(capacity)}, less than half of the part: tell the tightest turn "
            "(route.turn_radius) to see whether parts can tip over it.",
            source="definition",
        )
    return Check(
        name=name,
        case=case,
        demand=Quantity(needed, LENGTH),
        capacity=Quantity(capacity, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=f"The divider reaches {_both(capacity)} up the part; below {_both(needed)} a part could tip over "
        "its top edge.",
        source="definition",
    )


def _needed(slot: Slot, asked: float) -> float:
    return divider_needed(slot.height_m, slot.part_m, slot.worst_lean_rad, asked)


def _overhang(spec: PanelCart) -> Check:
    most = OVERHANG_SHARE * spec.part.length
    ratio, verdict = judge(spec.base.overhang, most)
    return Check(
        name="overhang",
        case="each end",
        demand=Quantity(spec.base.overhang, LENGTH),
        capacity=Quantity(most, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=f"Parts stand out {_both(spec.base.overhang)} beyond the frame at each end; up to a quarter of "
        f"their length, {_both(most)}, they lie steady and do not catch on things.",
        source="practice",
    )


def _working(spec: PanelCart, slot: Slot) -> Working:
    asked = sideways(spec) or 0.0
    lean = slot.worst_lean_rad
    side, down = slot.thrust()
    return Working(
        title="Part leaning on its divider",
        given=(
            Given("h", slot.height_m, "m", "height of the part"),
            Given("t", slot.part_m, "m", "its thickness"),
            Given("d", slot.held_at_m, "m", "how far up it the divider reaches"),
            Given("s", sin(lean), "", "sine of the lean, foot at the far lining"),
            Given("c", cos(lean), "", "cosine of it"),
            Given("a", asked, "", "slope with turn or dead stop, share of gravity"),
        ),
        assumptions=(
            "the foot is held from sliding; no friction",
            "tipping: the foot is free to swing out, which is on the safe side",
        ),
        steps=(
            Step(
                "N_side", "h / 2 * s / d * c", side, "N/N", "thrust on the divider's top for each newton of weight"
            ),
            Step("N_down", "h / 2 * s / d * s", down, "N/N", "weight that the divider takes over from the foot"),
            Step(
                "d_needed",
                "max(0, h / 2 - t / 2 * (c - a * s) / (s + a * c))",
                _needed(slot, asked),
                "m",
                "least height of the divider against tipping over its top",
                "definition",
            ),
        ),
    )


def _both(value_m: float) -> str:
    return f"{write(value_m, LENGTH, 'us')} ({1e3 * value_m:.0f} mm)"
