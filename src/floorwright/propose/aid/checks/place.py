"""What the places it goes to do to it: booth, oven, wash, weld cell; fork truck, tow and hoist.

A question that is not answered is `unknown` and says which field answers it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from floorwright.basis.check import Check, Verdict
from floorwright.propose.aid.aid import Aid, Finding

PRACTICE: Final = "common practice, no source"


def findings(aid: Aid) -> Iterator[Finding]:
    """Checks of place, those that apply."""
    yield _booth(aid)
    yield _oven(aid)
    yield _wash(aid)
    yield _weld_cell(aid)
    yield from _moved_otherwise(aid)


def _made(name: str, verdict: Verdict, sentence: str, case: str = "the places it goes to") -> Finding:
    return Finding(
        check=Check(
            name=name,
            case=case,
            demand=None,
            capacity=None,
            ratio=None,
            verdict=verdict,
            sentence=sentence,
            source=PRACTICE,
        )
    )


def _booth(aid: Aid) -> Finding:
    place = aid.spec.place
    if place.booth is None:
        return _made(
            "coating booth", "unknown", "Whether it goes into the coating booth is not said: answer place.booth."
        )
    if not place.booth:
        return _made("coating booth", "ok", "It does not go into the coating booth.")
    through = [wheel.conducts for wheel in aid.layout.wheels]
    if place.earthed or (place.earthed is None and through and all(through)):
        return _made(
            "coating booth", "ok", "It is bonded to earth in the booth; measure it (1 megohm at most) each shift."
        )
    if place.earthed is None:
        return _made(
            "coating booth",
            "unknown",
            "Whether it is bonded to earth in the booth is not said: answer place.earthed, or wheels.conducts.",
        )
    return _made("coating booth", "fails", "It has no path to earth in the booth: powder can burn at a spark.")


def _oven(aid: Aid) -> Finding:
    place = aid.spec.place
    if place.oven is None:
        if place.no_oven:
            return _made("oven", "ok", "It goes into no oven.")
        return _made(
            "oven", "unknown", "Whether it goes into an oven is not said: answer place.oven or place.no_oven."
        )
    bears = [wheel.temperature_c for wheel in aid.layout.wheels] + [place.lining_temperature]
    low = [each for each in bears if each is not None and each < place.oven]
    if low:
        return _made(
            "oven",
            "fails",
            f"The oven has {_degrees(aid, place.oven)}; "
            f"wheels, grease, springs or lining bear {_degrees(aid, min(low))}.",
        )
    missing = []
    if any(wheel.temperature_c is None for wheel in aid.layout.wheels):
        missing.append("wheels.temperature (wheel and grease)")
    if place.lining_temperature is None:
        missing.append("place.lining_temperature (lining and springs)")
    if place.vented is None:
        missing.append("place.vented (closed tubes burst or spit when hot)")
    if missing:
        return _made("oven", "unknown", f"What the oven does to it is not known: give {', '.join(missing)}.")
    if not place.vented:
        return _made("oven", "fails", "Closed tubes without a vent hole burst or spit in the oven: drill them.")
    return _made(
        "oven",
        "ok",
        f"Wheels, grease, springs and lining bear the {_degrees(aid, place.oven)} of the oven; tubes are vented.",
    )


def _degrees(aid: Aid, celsius: float) -> str:
    return f"{celsius:.0f} °C" if aid.system == "si" else f"{1.8 * celsius + 32:.0f} °F"


def _wash(aid: Aid) -> Finding:
    place = aid.spec.place
    if place.wash is None:
        return _made("wash", "unknown", "Whether it goes through the wash is not said: answer place.wash.")
    if not place.wash:
        return _made("wash", "ok", "It does not go through the wash.")
    if place.drains is None:
        return _made(
            "wash", "unknown", "Whether water runs out of tubes and trays is not said: answer place.drains."
        )
    if not place.drains:
        return _made(
            "wash", "fails", "Water stays in it and is carried on: open the low ends of tubes, drill trays."
        )
    return _made(
        "wash",
        "ok",
        "Water runs out of it; bare steel rusts from inside all the same: look at it at each inspection.",
    )


def _weld_cell(aid: Aid) -> Finding:
    place = aid.spec.place
    if place.weld_cell is None:
        return _made(
            "weld cell",
            "unknown",
            "Whether welding current can return through it is not said: answer place.weld_cell.",
        )
    if not place.weld_cell:
        return _made("weld cell", "ok", "No welding current returns through it.")
    return _made(
        "weld cell",
        "close",
        "Welding current can return through it: clamp the return lead to the work, or bearings and springs burn.",
    )


def _moved_otherwise(aid: Aid) -> Iterator[Finding]:
    """Fork truck, tow, hoist: no pattern has channels, hitch or lifting points, so that the plate says do not."""
    place = aid.spec.place
    for name, field, asked, does, lacks in (
        (
            "fork truck",
            "forked",
            place.forked,
            "lifts it with a fork truck",
            "no channels that hold it on the forks",
        ),
        ("tow", "towed", place.towed, "tows it", "no hitch, and its casters are for walking pace"),
        ("hoist", "hoisted", place.hoisted, "hoists it", "no lifting points that were designed"),
    ):
        if asked is None:
            yield _made(name, "unknown", f"Whether anybody {does} is not said: answer place.{field}.")
        elif asked:
            yield _made(name, "fails", f"Somebody {does}, and it has {lacks}: do not.")
        else:
            yield _made(name, "ok", f"Nobody {does}; the plate says so.")
