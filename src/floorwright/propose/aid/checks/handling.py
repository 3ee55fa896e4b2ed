"""People: lifting each piece in and out, reach, the view over the load, room for fingers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from floorwright.basis.check import Check, Verdict, judge
from floorwright.basis.people import lifting, reaching
from floorwright.basis.people.composite_lift import JobTask, composite
from floorwright.basis.quantity import LENGTH, MASS, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.layout import Handle, Piece

NIOSH: Final = "niosh_94_110"
ANSUR: Final = "ansur_ii"
_WAIST_M: Final = 0.9
SEE_OVER: Final = 0.9
EACH_M: Final = 0.5
"""Width of handle for each of several people who push side by side, about their shoulders (common practice)."""
PRACTICE: Final = "common practice, no source"


def findings(aid: Aid) -> Iterator[Finding]:
    """Checks of people."""
    lifted = [piece for piece in aid.layout.pieces if piece.lifted]
    if lifted:
        yield from _lifts(aid, lifted)
        yield _reach(aid, lifted)
    if aid.layout.wheels and aid.layout.handle is not None:
        yield _view(aid)
        yield from _room(aid, aid.layout.handle)


def _grip(piece: Piece) -> float:
    return piece.centre[2] if piece.grip_m is None else piece.grip_m


def _lifts(aid: Aid, lifted: list[Piece]) -> Iterator[Finding]:
    """The worst single lift at each height, and the job of them all."""
    people = aid.spec.people
    per_min = 60 * people.lifts
    other = people.from_height if people.from_height is not None else _WAIST_M
    # One of the two published forms whatever the shop's units, so that they change no verdict.
    form: lifting.FormName = "metric"
    tasks: dict[tuple[float, float, float], list[Piece]] = {}
    for piece in lifted:
        tasks.setdefault((round(_grip(piece), 3), round(piece.reach_m, 3), round(piece.hand_kg, 3)), []).append(
            piece
        )
    jobs, worst = [], None
    for pieces in tasks.values():
        grip, reach, mass = _grip(pieces[0]), pieces[0].reach_m, pieces[0].hand_kg
        share = per_min * len(pieces) / len(lifted)
        ratings = [
            lifting.rate(
                lifting.HandPosition(horizontal_m=max(reach, 0.25), vertical_m=height, asymmetry_rad=0.0),
                travel_m=abs(grip - other),
                frequency=share,
                duration=people.lift_duration,
                coupling="fair",
                form=form,
            )
            for height in (grip, other)
        ]
        rating = min(ratings, key=lambda each: each.RWL_kg)
        jobs.append(JobTask(rating=rating, load_average_kg=mass, load_max_kg=mass, frequency=share))
        index = rating.index(mass)
        if worst is None or (index is None, index or 0.0) > (worst[0] is None, worst[0] or 0.0):
            worst = (index, rating, pieces[0], grip)
    assert worst is not None  # noqa: S101  something is lifted
    index, rating, piece, grip = worst
    ratio, verdict = judge(piece.hand_kg, rating.RWL_kg)
    outside = f" ({'; '.join(rating.outside)})" if rating.outside else ""
    limit = aid.text(rating.RWL_kg, MASS)
    what = piece.name if piece.lift_kg is None else f"one piece of {piece.name}"
    shown = "beyond the equation" if index is None else f"{index:.2f}"
    sentence = (
        f"Lifting {what} ({aid.text(piece.hand_kg, MASS)}) with hands at {aid.text(grip, LENGTH)}: "
        f"{limit} is recommended at most, lifting index {shown}{outside}"
        f"{'' if verdict in ('ok', 'close') else '; lift it with two people or a hoist, or raise it'}."
    )
    working = Working(
        title=f"Lifting {piece.name}",
        given=(
            Given("L", aid.shown(piece.hand_kg, MASS), MASS.shown_unit(aid.system), "mass of the piece"),
            Given("RWL", aid.shown(rating.RWL_kg, MASS), MASS.shown_unit(aid.system), "recommended weight limit"),
        ),
        assumptions=(
            f"hands {aid.text(max(piece.reach_m, 0.25), LENGTH)} out, no twisting, fair grip, one person; "
            f"other end of the lift at {aid.text(other, LENGTH)}",
        ),
        steps=(Step("LI", "L / RWL", index, "", "lifting index", NIOSH),) if index is not None else (),
    )
    yield Finding(
        check=Check(
            name="lifting: heaviest lift",
            case=piece.name,
            demand=Quantity(piece.hand_kg, MASS),
            capacity=Quantity(rating.RWL_kg, MASS),
            ratio=ratio,
            verdict=verdict,
            sentence=sentence,
            source=NIOSH,
        ),
        safety=False,
        working=working,
        about=piece.name,
    )
    if len(jobs) > 1:
        total = composite(jobs, people.lift_duration).CLI
        ratio, verdict = judge(total, 1.0) if total is not None else (None, "fails")
        yield Finding(
            check=Check(
                name="lifting: all heights together",
                case=f"{len(jobs)} kinds of lift, {60 * per_min:.0f} an hour",
                demand=total,
                capacity=1.0,
                ratio=ratio,
                verdict=verdict,
                sentence="All the lifts of a shift together have an index of "
                f"{'more than the equation covers' if total is None else f'{total:.2f}'}; up to 1 nearly everyone "
                "can do it without added risk.",
                source=NIOSH,
            ),
            safety=False,
        )


def _reach(aid: Aid, lifted: list[Piece]) -> Finding:
    """Share of women (the shorter half) who reach the piece that is hardest to reach."""
    shares = [(reaching.reach(_grip(piece), piece.reach_m, "female").share, piece) for piece in lifted]
    share, piece = min(shares, key=lambda each: each[0])
    need, close = 0.95, 0.75
    verdict: Verdict = "ok" if share >= need else "close" if share >= close else "fails"
    zone = reaching.zone(_grip(piece))
    return Finding(
        check=Check(
            name="reach",
            case=piece.name,
            demand=Quantity(_grip(piece), LENGTH),
            capacity=None,
            ratio=None,
            verdict=verdict,
            sentence=f"{share:.0%} of women reach {piece.name}, gripped at {aid.text(_grip(piece), LENGTH)} "
            f"({reaching.ZONE_MEANING[zone]}), without bending or stretching; {need:.0%} should.",
            source=ANSUR,
        ),
        safety=False,
        about=piece.name,
    )


def _room(aid: Aid, handle: Handle) -> Iterator[Finding]:
    """Whoever pushes together needs room at the handle: the effort is shared out among them."""
    pushers = aid.spec.people.pushed_by
    if pushers == 1:
        return
    known = handle.width_m > 0
    need = pushers * EACH_M
    ratio, verdict = judge(need, handle.width_m if known else None)
    yield Finding(
        check=Check(
            name="room at the handle",
            case=f"{pushers} people push together",
            demand=Quantity(need, LENGTH),
            capacity=Quantity(handle.width_m, LENGTH) if known else None,
            ratio=ratio,
            verdict=verdict,
            sentence=f"{pushers} people side by side need {aid.text(need, LENGTH)} of handle"
            + (f"; it is {aid.text(handle.width_m, LENGTH)} wide." if known else ", whose width is not told."),
            source=PRACTICE,
        )
    )


def _view(aid: Aid) -> Finding:
    top = aid.layout.view_over_m if aid.layout.view_over_m is not None else aid.layout.size[2]
    share = reaching.sees_over_share(top, "female")
    verdict: Verdict = "ok" if share >= SEE_OVER else "close" if share >= 0.5 else "fails"
    return Finding(
        check=Check(
            name="view over the load",
            case="full, pushed",
            demand=Quantity(top, LENGTH),
            capacity=None,
            ratio=None,
            verdict=verdict,
            sentence=f"{share:.0%} of women see over it ({aid.text(top, LENGTH)} high)"
            f"{'' if verdict == 'ok' else '; the others push it from the side, or it needs a guide'}.",
            source=ANSUR,
        ),
        safety=False,
    )
