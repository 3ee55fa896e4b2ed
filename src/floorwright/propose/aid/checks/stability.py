"""Tipping over every edge, in every loading: tilt, sideways push, a person leaning, a foot, an obstacle, stopping.

Statics of `checks.tipping`; the limits are those of the spec. The worst of all loadings is found without trying
each where the question is linear (`Piles`); for an obstacle the loadings are compared one by one up to
`MOST_TRIED`, and beyond it the tilt and the height that are worst each for itself are taken together, which errs on
the safe side. Wheels that swivel stand where they are worst.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import degrees, hypot, sqrt
from typing import Final

import numpy as np

from floorwright.basis.check import Check, judge
from floorwright.basis.mechanics import MOMENT
from floorwright.basis.quantity import ANGLE, FORCE, LENGTH, SPEED, Dimension, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.checks.rolling import over_step_n
from floorwright.propose.aid.checks.tipping import Edge, G, Mass, Support, Worst, edges, worst_tilt
from floorwright.propose.aid.frame.stability import Floats
from floorwright.propose.aid.subsets import Mask
from floorwright.propose.aid.worst import all_masks

PRACTICE: Final = "common practice, no source"
IEC: Final = "iec_62368_1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Over:
    """An edge to tip over, with what lies over it.

    Attributes:
        name: in words ("the left side").
        brim: whether the pieces count with the most that can lie there instead of what is declared.
        pieces: the pieces as masses.
        inside_m: distance of the empty aid (0) and of every piece from the edge, positive inside.
        mass_kg, height_m: of the same.
    """

    edge: Edge
    name: str
    brim: bool
    pieces: tuple[Mass, ...]
    inside_m: Floats
    mass_kg: Floats
    height_m: Floats

    @property
    def holding(self) -> Floats:
        """What each adds against tipping, N·m on the level."""
        return np.asarray(G * self.mass_kg * self.inside_m)


def findings(aid: Aid) -> Iterator[Finding]:
    """Tipping checks; none for an aid whose wheels give way (its pattern looks at its own states)."""
    if any(wheel.sprung for wheel in aid.layout.wheels):
        return
    over = edges_of(aid)
    worst = [worst_tilt(each.edge, [aid.fixed], each.pieces, aid.layout.piles) for each in over]
    yield _tilt(aid, over, worst)
    yield _push(aid, over)
    yield from _lean(aid, over)
    yield from _step(aid, over)
    if aid.layout.wheels:
        yield _obstacle(aid, over, worst)
        yield _stop(aid, over, worst)
        yield from _turn(aid, over, worst)
        yield from _threshold(aid, over)


def edges_of(aid: Aid) -> list[Over]:
    """Every edge of the worst support; twice where more can lie on it than is declared.

    A rack filled to its brim on one side, or high up, tips before one that carries what it should.
    """
    supports = [Support(at=each.at, trail_m=each.trail_m if each.swivel else 0.0) for each in aid.layout.wheels]
    supports += [Support(at=each.at) for each in aid.layout.feet]
    found, outline = [], edges(supports)
    more = any(piece.strength_kg > piece.mass_kg for piece in aid.layout.pieces)
    for brim in (False, True) if more else (False,):
        pieces = aid.brimful if brim else aid.removable
        masses = (aid.fixed, *pieces)
        found += [
            Over(
                edge=edge,
                name=side_name(edge),
                brim=brim,
                pieces=pieces,
                inside_m=np.array([edge.inside_m(each.at[0], each.at[1]) for each in masses]),
                mass_kg=np.array([each.mass_kg for each in masses]),
                height_m=np.array([each.at[2] for each in masses]),
            )
            for edge in outline
        ]
    return found


def side_name(edge: Edge) -> str:
    """Where an edge lies."""
    x, y = edge.normal
    if abs(x) >= 2 * abs(y):
        return "the front" if x > 0 else "the rear"
    if abs(y) >= 2 * abs(x):
        return "the left side" if y > 0 else "the right side"
    return f"the {'front' if x > 0 else 'rear'} {'left' if y > 0 else 'right'} corner"


def _loading(aid: Aid, there: Mask | tuple[bool, ...], over: Over) -> str:
    given = tuple(bool(each) for each in there)
    if not any(given):
        return "empty"
    brim = ", to the brim" if over.brim else ""
    if all(given):
        return f"full{brim}"
    return f"{sum(given)} of {len(given)} pieces on it{brim} ({aid.named(given)})"


def _found(
    aid: Aid,
    name: str,
    case: str,
    demand: float,
    capacity: float,
    dimension: Dimension,
    sentence: str,
    source: str,
    working: Working,
) -> Finding:
    ratio, verdict = judge(demand, capacity)
    return Finding(
        check=Check(
            name=name,
            case=case,
            demand=Quantity(demand, dimension),
            capacity=Quantity(capacity, dimension),
            ratio=ratio,
            verdict=verdict,
            sentence=sentence,
            source=source,
        ),
        working=working,
    )


def _tilt(aid: Aid, over: list[Over], worst: list[Worst]) -> Finding:
    i = min(range(len(over)), key=lambda k: worst[k].tilt_rad)
    least, need = worst[i], aid.spec.limits.tilt
    there = np.array([True, *least.there])
    b = float(np.average(over[i].inside_m[there], weights=over[i].mass_kg[there]))
    h = float(np.average(over[i].height_m[there], weights=over[i].mass_kg[there]))
    angle = max(least.tilt_rad, 0.0)
    unit = LENGTH.shown_unit(aid.system)
    working = Working(
        title="Tilt",
        given=(
            Given("b", aid.shown(b, LENGTH), unit, f"from the centre of mass to {over[i].name}"),
            Given("h", aid.shown(h, LENGTH), unit, "height of the centre of mass"),
        ),
        assumptions=("swivels turned where they are worst", "every loading that the steel does not prevent"),
        steps=(Step("q", "b / h", b / h, "", f"tangent of the tilt, {degrees(angle):.1f} deg"),),
    )
    return _found(
        aid,
        "stands on a tilted floor",
        f"{_loading(aid, least.there, over[i])}; over {over[i].name}",
        need,
        angle,
        ANGLE,
        f"It tips over {over[i].name} at a tilt of {degrees(angle):.1f}°, {_loading(aid, least.there, over[i])}; "
        f"{degrees(need):.0f}° is asked for.",
        IEC,
        working,
    )


def _least(aid: Aid, base: float, shares: Floats) -> tuple[float, Mask]:
    """The smallest sum over the loadings, and the loading."""
    there = aid.layout.piles.choice(-shares)
    return base + float(shares[there].sum()), there


BOTH: Final = "min(s * W, Fm)"


def worst_push(aid: Aid, over: list[Over], height: float) -> tuple[float, float, Over, Mask, str]:
    """Push asked for, push that tips, edge and loading where the one is most of the other; formula of the first.

    The push asked for is a share of the weight up to a top. Loadings are compared one by one up to `MOST_TRIED`;
    beyond, the share alone and the top alone are looked at, each exactly, and the smaller of the two is kept: no
    loading asks for more than either.
    """
    limits, masks = aid.spec.limits, all_masks(aid.layout.piles)
    found: list[tuple[float, float, float, Over, Mask, str]] = []
    for each in over:
        holding, weights = each.holding, G * each.mass_kg
        if masks is not None:
            tried = masks
        else:
            _, by_share = aid.layout.piles.lowest_quotient(
                holding[1:], weights[1:], float(holding[0]), float(weights[0])
            )
            tried = np.array([by_share, aid.layout.piles.choice(-holding[1:])])
        weight = weights[0] + tried @ weights[1:]
        push = np.minimum(limits.push_share * weight, limits.push_most)
        capacity = np.maximum(holding[0] + tried @ holding[1:], 0.0) / height
        if masks is None:
            # Of the loading that is worst by its share the share counts, of the one that holds least the top.
            push = np.array([limits.push_share * weight[0], limits.push_most])
        ratio = np.divide(push, capacity, out=np.full_like(push, np.inf), where=capacity > 0)
        i = int(np.argmax(ratio) if masks is not None else np.argmin(ratio))
        formula = BOTH if masks is not None else ("s * W", "Fm")[i]
        found.append((float(ratio[i]), float(push[i]), float(capacity[i]), each, tried[i], formula))
    _, push_n, capacity_n, edge, there, formula = max(found, key=lambda one: one[0])
    return push_n, capacity_n, edge, there, formula


def _push(aid: Aid, over: list[Over]) -> Finding:
    """The sideways push grows with the weight up to its top."""
    limits = aid.spec.limits
    height = min(limits.push_height, max(aid.layout.size[2], 1e-9))
    push, capacity, edge, there, formula = worst_push(aid, over, height)
    unit, length = FORCE.shown_unit(aid.system), LENGTH.shown_unit(aid.system)
    mask = np.array([True, *there])
    weight = float(G * edge.mass_kg[mask].sum())
    inside = float(np.average(edge.inside_m[mask], weights=edge.mass_kg[mask]))
    working = Working(
        title="Sideways push",
        given=(
            Given("W", aid.shown(weight, FORCE), unit, "weight so loaded"),
            Given("b", aid.shown(inside, LENGTH), length, f"from the centre of mass to {edge.name}"),
            Given("H", aid.shown(height, LENGTH), length, "height of the push, the worst up to the limit"),
            Given("s", limits.push_share, "", "share of the weight"),
            Given("Fm", aid.shown(limits.push_most, FORCE), unit, "at most"),
        ),
        assumptions=(
            "its wheels are blocked",
            "swivels turned where they are worst",
            *(
                ()
                if formula == BOTH
                else ("too many loadings to compare one by one: the figure is on the safe side",)
            ),
        ),
        steps=(
            Step("F", formula, aid.shown(push, FORCE), unit, "push to be borne", IEC),
            Step("Ft", "max(W * b, 0) / H", aid.shown(capacity, FORCE), unit, "push that tips it"),
        ),
    )
    return _found(
        aid,
        "pushed sideways",
        f"{_loading(aid, there, edge)}; over {edge.name}",
        push,
        capacity,
        FORCE,
        f"Pushed at {aid.text(height, LENGTH)} it tips over {edge.name} at "
        f"{aid.text(capacity, FORCE)}, {_loading(aid, there, edge)}; it must bear "
        f"{aid.text(push, FORCE)}.",
        IEC,
        working,
    )


def _lean(aid: Aid, over: list[Over]) -> Iterator[Finding]:
    """A person's weight on the top edge; leaning sideways is what the push is for."""
    if aid.layout.top:
        force = aid.spec.limits.lean
        words = f"a person leaning on the top edge with {aid.text(force, FORCE)}"
        yield _down(aid, over, "a person leaning on it", force, aid.layout.top, words, "weight on the edge")


def _step(aid: Aid, over: list[Over]) -> Iterator[Finding]:
    if aid.layout.step:
        force = aid.spec.limits.step
        words = f"a foot with {aid.text(force, FORCE)} on the lowest edge"
        yield _down(aid, over, "a foot on its lowest edge", force, aid.layout.step, words, "force of the foot")


def _down(
    aid: Aid, over: list[Over], name: str, force: float, at: tuple[str, ...], words: str, meaning: str
) -> Finding:
    """A weight on nodes of the aid against the least that holds over any edge."""
    places = [aid.layout.nodes[node] for node in at]
    best: tuple[float, float, float, Over, Mask] | None = None
    for each in over:
        held, there = _least(aid, float(each.holding[0]), each.holding[1:])
        outside = max(0.0, max(-each.edge.inside_m(x, y) for x, y, _ in places))
        least, asked = max(0.0, held), force * outside
        ratio = asked / least if least > 0 else np.inf
        if best is None or ratio > best[0]:
            best = (ratio, outside, least, each, there)
    assert best is not None  # noqa: S101  there are always edges
    _, outside, least, edge, there = best
    weight = float(G * edge.mass_kg[np.array([True, *there])].sum())
    numbers = (
        ("F", force, FORCE, meaning),
        ("c", outside, LENGTH, f"how far outside of {edge.name} it acts"),
        ("W", weight, FORCE, "weight so loaded"),
        ("b", least / weight, LENGTH, f"from the centre of mass to {edge.name}"),
    )
    unit = f"{FORCE.shown_unit(aid.system)}*{LENGTH.shown_unit(aid.system)}"
    per = aid.shown(1.0, FORCE) * aid.shown(1.0, LENGTH)
    working = Working(
        title=name.capitalize(),
        given=tuple(
            Given(symbol, dimension.to_shown(value, aid.system), dimension.shown_unit(aid.system), words_)
            for symbol, value, dimension, words_ in numbers
        ),
        assumptions=("swivels turned where they are worst", "every loading that the steel does not prevent"),
        steps=(
            Step("M", "F * c", force * outside * per, unit, "moment that tips"),
            Step("Ms", "W * b", least * per, unit, "moment that holds"),
        ),
    )
    return _found(
        aid,
        name,
        f"{_loading(aid, there, edge)}; over {edge.name}",
        force * outside,
        least,
        MOMENT,
        f"With {words} it {'tips' if force * outside > least else 'does not tip'} over {edge.name}, "
        f"{_loading(aid, there, edge)}.",
        PRACTICE,
        working,
    )


def obstacle_speed_m_s(b: Floats, h: Floats, inertia: Floats, mass: Floats) -> Floats:
    """Speed at which an aid stopped dead at an edge tips over it: v2 = 2 g I (sqrt(b2 + h2) - h) / (m h2)."""
    lift = np.hypot(b, h) - h
    return np.where(b <= 0, 0.0, np.sqrt(2 * G * inertia * np.maximum(lift, 0.0) / mass) / h)


def _obstacle(aid: Aid, over: list[Over], worst: list[Worst]) -> Finding:
    need = aid.spec.limits.obstacle_speed
    masks = all_masks(aid.layout.piles)
    best: tuple[float, Over, Mask, bool, float, float] | None = None
    for each, tilt in zip(over, worst, strict=True):
        if masks is not None:
            whole = np.concatenate([np.ones((len(masks), 1), dtype=bool), masks], axis=1)
            m = whole @ each.mass_kg
            b, h = whole @ (each.mass_kg * each.inside_m) / m, whole @ (each.mass_kg * each.height_m) / m
            inertia = whole @ (each.mass_kg * (each.inside_m**2 + each.height_m**2))
            speeds = obstacle_speed_m_s(b, h, inertia, m)
            i = int(np.argmin(speeds))
            found = (float(speeds[i]), each, masks[i], True, float(b[i]), float(h[i]))
        else:
            # A point mass has the least inertia: v2 = 2 g r2 (r - h) / h2 grows with b / h and with h.
            low = float(each.height_m.min())
            b0 = max(0.0, np.tan(max(0.0, tilt.tilt_rad))) * low
            r = hypot(b0, low)
            found = (
                sqrt(2 * G * max(0.0, r - low)) * r / low,
                each,
                np.array(tilt.there),
                False,
                b0,
                low,
            )
        if best is None or found[0] < best[0]:
            best = found
    assert best is not None  # noqa: S101  there are always edges
    speed, edge, there, exact, b_, h_ = best
    unit = LENGTH.shown_unit(aid.system)
    working = Working(
        title="Stopped dead by an obstacle",
        given=(
            Given("b", aid.shown(b_, LENGTH), unit, f"from the centre of mass to {edge.name}"),
            Given("h", aid.shown(h_, LENGTH), unit, "height of the centre of mass"),
        ),
        assumptions=(
            "momentum about the edge is kept; the rest of the energy lifts the centre over it; masses as points",
            *(() if exact else ("too many loadings to compare one by one: worst tilt and least height together",)),
        ),
        steps=(
            Step(
                "lift",
                "sqrt(b**2 + h**2) - h",
                aid.shown(hypot(b_, h_) - h_, LENGTH),
                unit,
                "how far the centre must rise",
                note=f"with the inertia about the edge it takes {aid.text(speed, SPEED)}",
            ),
        ),
    )
    return _found(
        aid,
        "stopped dead by an obstacle",
        f"{_loading(aid, there, edge)}; over {edge.name}",
        need**2,
        speed**2,
        _SPEED_2,
        f"Stopped dead it tips over {edge.name} from {aid.text(speed, SPEED)} on, "
        f"{_loading(aid, there, edge)}; it must bear {aid.text(need, SPEED)}.",
        PRACTICE,
        working,
    )


def _stop(aid: Aid, over: list[Over], worst: list[Worst]) -> Finding:
    """Stopping in the way that is allowed: deceleration over g against the tangent of the tilt left on a slope."""
    limits = aid.spec.limits
    a = limits.obstacle_speed**2 / (2 * limits.stop_distance)
    i = min(range(len(over)), key=lambda k: worst[k].tilt_rad)
    tan = max(0.0, float(np.tan(max(0.0, worst[i].tilt_rad - aid.spec.route.slope))))
    ratio, verdict = judge(a / G, tan)
    working = Working(
        title="Stopped by hand",
        given=(
            Given("v", limits.obstacle_speed, "m/s", "walking pace"),
            Given("d", limits.stop_distance, "m", "way in which it is stopped"),
            Given("g", G, "m/s2", "gravity"),
        ),
        steps=(
            Step("a", "v**2 / (2 * d)", a, "m/s2", "deceleration"),
            Step("q", "a / g", a / G, "", "tangent of the tilt that has the same effect"),
        ),
    )
    check = Check(
        name="stopped short",
        case=f"{_loading(aid, worst[i].there, over[i])}; over {over[i].name}; on the steepest floor",
        demand=a / G,
        capacity=tan,
        ratio=ratio,
        verdict=verdict,
        sentence=f"Stopped within {aid.text(limits.stop_distance, LENGTH)} it "
        f"{'stays on its wheels' if a / G <= tan else f'tips over {over[i].name}'}, "
        f"{_loading(aid, worst[i].there, over[i])}.",
        source=PRACTICE,
    )
    return Finding(check=check, working=working)


def _turn(aid: Aid, over: list[Over], worst: list[Worst]) -> Iterator[Finding]:
    """In the tightest turn at walking pace, on the steepest floor, falling outwards."""
    route = aid.spec.route
    if route.turn_radius is None:
        yield Finding(
            check=Check(
                name="in a turn",
                case="at walking pace",
                demand=None,
                capacity=None,
                ratio=None,
                verdict="unknown",
                sentence="Whether it tips in a turn is not known: give route.turn_radius, the tightest turn taken "
                "at walking pace.",
                source="definition",
            )
        )
        return
    i = min(range(len(over)), key=lambda k: worst[k].tilt_rad)
    asked = route.speed**2 / (route.turn_radius * G)
    tan = max(0.0, float(np.tan(max(0.0, worst[i].tilt_rad - route.slope))))
    ratio, verdict = judge(asked, tan)
    working = Working(
        title="In a turn",
        given=(
            Given("v", route.speed, "m/s", "walking pace"),
            Given("r", route.turn_radius, "m", "radius of the turn"),
            Given("g", G, "m/s2", "gravity"),
        ),
        assumptions=("swivels turned where they are worst", "every loading that the steel does not prevent"),
        steps=(Step("q", "v**2 / (r * g)", asked, "", "sideways acceleration over gravity"),),
    )
    does = "stays on its wheels" if asked <= tan else f"tips over {over[i].name}"
    check = Check(
        name="in a turn",
        case=f"{_loading(aid, worst[i].there, over[i])}; over {over[i].name}; on the steepest floor",
        demand=asked,
        capacity=tan,
        ratio=ratio,
        verdict=verdict,
        sentence=f"In a turn of {aid.text(route.turn_radius, LENGTH)} at walking pace it {does}, "
        f"{_loading(aid, worst[i].there, over[i])}.",
        source="definition",
    )
    yield Finding(check=check, working=working)


def worst_threshold(aid: Aid, over: list[Over], handle_m: float) -> tuple[float, float, float, float, Over, Mask]:
    """Push against the threshold, push that lifts the rear, weight, centre to front axle; edge and loading.

    What it takes over the threshold grows with the weight up to the most that people push, and what lifts the rear
    grows with it too. Loadings are compared one by one up to `MOST_TRIED`; beyond, the one whose centre lies
    farthest ahead counts without that top, and the one that holds least with it: the smaller of the two is kept.
    """
    most, masks = aid.spec.limits.push_most, all_masks(aid.layout.piles)
    radius = min(wheel.diameter_m for wheel in aid.layout.wheels) / 2
    base = max(w.at[0] for w in aid.layout.wheels) - min(w.at[0] for w in aid.layout.wheels)
    each_n = over_step_n(1.0, radius, aid.spec.route.bump, hand_m=handle_m, wheelbase_m=max(base, 1e-6))
    ahead = max(each.edge.normal[0] for each in over)
    found: list[tuple[float, float, float, float, float, Over, Mask]] = []
    for front in (each for each in over if each.edge.normal[0] >= ahead - 1e-9):
        mass, top = front.mass_kg, front.mass_kg * front.inside_m
        tried = masks
        if tried is None:
            _, far = aid.layout.piles.lowest_quotient(top[1:], mass[1:], float(top[0]), float(mass[0]))
            tried = np.array([far, aid.layout.piles.choice(-top[1:])])
        weight = G * (mass[0] + tried @ mass[1:])
        inside = np.maximum(G * (top[0] + tried @ top[1:]) / weight, 0.0)
        on_front = np.clip(1 - inside / base, 0.0, 1.0) * weight if base > 0 else weight
        needed = np.full_like(weight, np.inf) if each_n is None else each_n * on_front
        push = np.minimum(needed, most) if masks is not None or each_n is None else np.array([needed[0], most])
        capacity = weight * inside / (handle_m - radius)
        ratio = np.divide(push, capacity, out=np.full_like(push, np.inf), where=capacity > 0)
        i = int(np.argmax(ratio) if masks is not None else np.argmin(ratio))
        values = (float(ratio[i]), float(push[i]), float(capacity[i]), float(weight[i]), float(inside[i]))
        found.append((*values, front, tried[i]))
    return max(found, key=lambda one: one[0])[1:]


def _threshold(aid: Aid, over: list[Over]) -> Iterator[Finding]:
    """Its front wheels held by a threshold, a push at the handle turns it about their axle."""
    handle = aid.layout.handle
    radius = min(wheel.diameter_m for wheel in aid.layout.wheels) / 2
    if handle is None or aid.spec.route.bump <= 0 or handle.height_m <= radius:
        return
    push, capacity, weight, inside, front, there = worst_threshold(aid, over, handle.height_m)
    unit, length = FORCE.shown_unit(aid.system), LENGTH.shown_unit(aid.system)
    working = Working(
        title="Pushed against a threshold",
        given=(
            Given("W", aid.shown(weight, FORCE), unit, "weight so loaded"),
            Given("b", aid.shown(inside, LENGTH), length, "from the front axle to the centre of mass"),
            Given("H", aid.shown(handle.height_m, LENGTH), length, "height of the hands"),
            Given("R", aid.shown(radius, LENGTH), length, "radius of the wheels"),
        ),
        steps=(Step("F", "W * b / (H - R)", aid.shown(capacity, FORCE), unit, "push that lifts the rear wheels"),),
    )
    yield _found(
        aid,
        "pushed against a threshold",
        f"{_loading(aid, there, front)}; over {front.name}",
        push,
        capacity,
        FORCE,
        f"Pushed with {aid.text(push, FORCE)} against a threshold it "
        f"{'stays down' if push <= capacity else 'tips over its front wheels'}, {_loading(aid, there, front)}; it "
        f"takes {aid.text(capacity, FORCE)} to lift the rear.",
        "definition",
        working,
    )


_SPEED_2: Final = Dimension("speed squared", {"m2/s2": 1.0, "ft2/s2": 0.3048**2}, "m2/s2", "ft2/s2", "1.44 m2/s2")
