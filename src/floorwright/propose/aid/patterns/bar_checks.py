"""What only a cart for long bars is asked: do bars fit, can people reach, do ends stand out, do bars sag."""

from __future__ import annotations

from typing import Final

from floorwright.basis.check import Check, Verdict, judge
from floorwright.basis.people.reaching import SHOE_M, body_size, zones_m
from floorwright.basis.quantity import G_STANDARD, LENGTH, Quantity, write
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.pattern import Findings
from floorwright.propose.aid.patterns.bar_spec import BarCart
from floorwright.propose.aid.patterns.continuous import Lying, lying
from floorwright.propose.aid.patterns.density import density_check, density_effects

OVERHANG_SHARE: Final = 0.25
"""Most of a bar's length that may stand out at each end (common practice, no source)."""


def own(spec: BarCart, layout: Layout) -> Findings:
    """The checks, the working of the pile's thrust, and bars on a square metre against today."""
    bars = spec.cradles * spec.bars_per_tier
    rest = lying(spec.frames, spec.span_m, spec.overhang)
    return Findings(
        checks=(
            _fits(spec),
            *(_reach(spec, layout, tier) for tier in range(spec.tiers)),
            _overhang(spec),
            _sag(spec, rest),
            _aisle(spec, layout),
            density_check(bars, layout, spec.today),
        ),
        workings=(_thrust(spec),) if spec.is_round and spec.pile(spec.bars_per_tier).thrust > 0 else (),
        effects=density_effects(bars, layout, spec.today),
    )


def _fits(spec: BarCart) -> Check:
    most = spec.most_bars(spec.cradle.depth)
    ratio, verdict = judge(spec.bars_per_tier, most)
    if verdict == "close":
        verdict = "ok"  # a count: a full cradle is full, not near a limit
    return Check(
        name="bars in a cradle",
        case="each tier",
        demand=float(spec.bars_per_tier),
        capacity=float(most),
        ratio=ratio,
        verdict=verdict,
        sentence=f"{most} bars fit into a cradle of {_both(spec.cradle.width)} by {_both(spec.cradle.depth)}; "
        f"{spec.bars_per_tier} are to lie in it.",
        source="definition",
    )


def _reach(spec: BarCart, layout: Layout, tier: int) -> Check:
    """Between a tall man's knee, below which he bends deeply, and what a small woman can grip."""
    piece = next(piece for piece in layout.pieces if piece.tier == f"tier {tier + 1}")
    grip = piece.grip_m or 0.0
    knee = body_size("knee_height_midpatella", "male").percentiles_m[95] + SHOE_M
    edges = zones_m()
    verdict: Verdict = "ok"
    limit, side = edges["shoulder"], "up to"
    ratio: float | None = grip / limit
    text = "between a tall man's knuckles and a small woman's shoulders"
    if grip < edges["knuckle"]:
        limit, side, ratio = knee, "from", knee / grip if grip > 0 else None
        verdict, text = "close", "below a tall man's knuckles: he stoops"
        if grip < knee:
            verdict, text = "fails", "below a tall man's knees: deep bending; raise the lowest tier"
    elif grip > edges["grip"]:
        verdict, text = "fails", "higher than a small woman can grip; lower the top tier"
    elif grip > edges["shoulder"]:
        verdict, text = "close", "above a small woman's shoulders: light bars alone"
        limit, ratio = edges["grip"], grip / edges["grip"]
    return Check(
        name="height of the tier",
        case=f"tier {tier + 1}",
        demand=Quantity(grip, LENGTH),
        capacity=Quantity(limit, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=f"Hands at {_both(grip)}, {text} ({side} {_both(limit)}).",
        source="ansur_ii",
    )


def _overhang(spec: BarCart) -> Check:
    most = OVERHANG_SHARE * spec.bar.length
    ratio, verdict = judge(spec.overhang, most)
    return Check(
        name="overhang",
        case="each end",
        demand=Quantity(spec.overhang, LENGTH),
        capacity=Quantity(most, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=f"Bars stand out {_both(spec.overhang)} beyond the end frames; up to a quarter of their length, "
        f"{_both(most)}, they lie steady when one is drawn.",
        source="practice",
    )


def _sag(spec: BarCart, rest: Lying) -> Check:
    section = spec.bar_section()
    _, material = spec.bar.stock.made("bar.stock")
    stiffness = material.E_pa * min(section.I_y_m4, section.I_z_m4)
    q = spec.bar_kg / spec.bar.length * G_STANDARD
    # Ends that hang down are held to the same share of twice their length, as cantilevers are.
    pairs = ((q * rest.sag / stiffness, spec.span_m), (q * abs(rest.end) / stiffness, 2 * spec.overhang))
    sag, length = max(pairs, key=lambda pair: pair[0] / pair[1] if pair[1] > 0 else 0.0)
    most = length / spec.limits.sag
    ratio, verdict = judge(sag, most)
    return Check(
        name="sag of a bar",
        case="lying at rest",
        demand=Quantity(sag, LENGTH),
        capacity=Quantity(most, LENGTH),
        ratio=ratio,
        verdict=verdict,
        sentence=f"A bar sags {1e3 * sag:.1f} mm where it sags most; up to {1e3 * most:.1f} mm it lies straight "
        "enough not to stay bent and to slide over the arms.",
        source="practice",
    )


def _aisle(spec: BarCart, layout: Layout) -> Check:
    end = spec.loaded == "end"
    needed = layout.size[0] + (spec.bar.length if end else 0.0)
    why = "cart and a bar drawn out of its end" if end else "the cart; bars go in over its sides"
    ratio, verdict = judge(needed, spec.aisle_length)
    sentence = f"The aisle has to be {_both(needed)} long: {why}."
    if spec.aisle_length is None:
        sentence += " Tell how long it is (aisle_length)."
    else:
        sentence += f" It is {_both(spec.aisle_length)} long."
    return Check(
        name="length of the aisle",
        case="where bars go in and out",
        demand=Quantity(needed, LENGTH),
        capacity=None if spec.aisle_length is None else Quantity(spec.aisle_length, LENGTH),
        ratio=ratio,
        verdict="ok" if verdict == "close" else verdict,
        sentence=sentence,
        source="definition",
    )


def _thrust(spec: BarCart) -> Working:
    pile = spec.pile(spec.bars_per_tier)
    d = spec.bar_section().depth_m
    return Working(
        title="Thrust of a pile of rounds",
        given=(
            Given("d", d, "m", "diameter of a bar"),
            Given("W", spec.cradle.width, "m", "clear width of the cradle"),
            Given("c", pile.spacing_m, "m", "between the middles of neighbours in a row"),
            Given("rows", tuple(float(row) for row in pile.rows), "", "bars in each row from the bottom up"),
            Given("N", spec.bars_per_tier, "", "bars in the cradle"),
        ),
        assumptions=("no friction", "bars of a row are spread evenly from wall to wall"),
        steps=(
            Step("slant", "c / (2 * d)", pile.spacing_m / 2 / d, "", "cosine of the lines of contact"),
            Step("step", "sqrt(d**2 - c**2 / 4)", pile.step_m, "m", "from row to row"),
            Step(
                "F",
                "",
                pile.thrust,
                "N/N",
                "on each side for each newton of weight",
                "definition",
                "equilibrium of each bar, from the top row down; one bar on two gives W / (2 tan 60 deg)",
            ),
        ),
    )


def _both(value_m: float) -> str:
    return f"{write(value_m, LENGTH, 'us')} ({1e3 * value_m:.0f} mm)"
