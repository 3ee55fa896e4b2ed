"""Does it hold? The control chart of a watched measure."""

from __future__ import annotations

from typing import Any, Final, cast, get_args

from fastapi import APIRouter, Request
from starlette.responses import Response

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.sentence import said
from floorwright.draw.picture import Size
from floorwright.hold.run_rules import MEANING, RuleName
from floorwright.report.assemble_watch import NO_LOWER_LIMIT, control_picture, lower_of
from floorwright.shop.watching import CALLED, Watched, watched
from floorwright.web.desk import desk
from floorwright.web.forms import Filled
from floorwright.web.guard.visitors import Viewer
from floorwright.web.render import page, settings_of
from floorwright.web.results_view import NARROW
from floorwright.web.workings import of_outcome

router = APIRouter()
MOST_DRAWN: Final = 200
_WIDE: Final = Size(640, 240)
_RULES: Final = cast("tuple[RuleName, ...]", get_args(RuleName))


@router.get("/charts/watch/{number:int}")
def watch(request: Request, number: int, _: Viewer) -> Response:
    """The chart of one measure of an improvement, with the form that chooses how it is drawn."""
    asked = request.query_params
    values = {name: asked.get(name, "")[:200] for name in ("measure", "kind", "baseline")}
    rules = [rule for rule in _RULES if rule in asked.getlist("rules")]
    at = desk(request)
    problems: tuple[Problem, ...] = ()
    found: Watched | None
    try:
        found = watched(
            at.shop,
            number,
            measure=values["measure"],
            kind=values["kind"],
            baseline=_whole(values["baseline"]),
            rules=rules,
        )
    except InputError as error:
        problems = error.problems
        found = watched_or_none(request, number, values["measure"])
    context: dict[str, Any] = {
        "number": number,
        "title": at.teller.story(number).record.title,
        "found": found,
        "filled": Filled(values, problems),
        "rules": [(rule, text, rule in (rules or ("beyond_limit",))) for rule, text in MEANING.items()],
        "measures": [] if found is None else [(m.name, m.name) for m in found.improvement.record.measures],
        "kinds": [] if found is None else [(kind, CALLED[kind]) for kind in found.kinds],
    }
    if found is not None and found.outcome is not None:
        context |= _drawn(found)
        context["working_shown"] = of_outcome(
            f"{found.measure.name}: does it hold?", found.outcome, settings_of(at)
        )
    return page(request, "watch_chart.html", context, status=422 if problems and found is not None else 200)


def watched_or_none(request: Request, number: int, measure: str) -> Watched | None:
    """The chart as it is drawn when nobody asks for anything; None where nothing is measured."""
    for name in (measure, ""):
        try:
            return watched(desk(request).shop, number, measure=name)
        except InputError:
            continue
    return None


def _whole(text: str) -> int | None:
    if not text.strip():
        return None
    try:
        return int(text)
    except ValueError:
        raise InputError.of("baseline", text, said("'{text}' should be a whole number", text=text)) from None


def _drawn(found: Watched) -> dict[str, Any]:
    assert found.outcome is not None  # noqa: S101  the caller has looked
    results, count = found.outcome.results, len(found.values)
    left = max(0, count - MOST_DRAWN)
    # Shares are worked out as shares and shown in per cent.
    scale = 100.0 if found.kind == "p" else 1.0
    shown = {**results, "signals": [each | {"point": each["point"] - left} for each in results["signals"]]}
    for line in ("centre", "upper", "lower"):
        if isinstance(results[line], (list, tuple)):
            shown[line] = results[line][left:]

    def picture(size: Size) -> Any:
        return control_picture(
            shown,
            found.values[left:],
            measure=found.measure.name,
            unit=found.unit,
            baseline=max(found.baseline - left, 0) or count,
            order="since the change, in time",
            size=size,
            scale=scale,
        )

    signals = [
        {
            "point": each["point"],
            "day": found.days[each["point"] - 1],
            "value": found.values[each["point"] - 1],
            "meaning": MEANING[each["rule"]],
        }
        for each in results["signals"]
    ]
    words = [] if lower_of(results) is not None else [NO_LOWER_LIMIT]
    if left:
        words.append(said("Drawn are the last {drawn} of {count} readings.", drawn=MOST_DRAWN, count=f"{count:,}"))
    return {"wide": picture(_WIDE), "narrow": picture(NARROW), "signals": signals, "words": words}
