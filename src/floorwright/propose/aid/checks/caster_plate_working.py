"""How the use of a caster's plate came about; N and mm."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.joints.caster_plate import (
    OMEGA_BENDING,
    CasterLoads,
    CasterPlate,
    caster_plate_limits,
    plate_moment_n,
    turning_n_m,
)

_MM: Final = 1e3


def plate_working(plate: CasterPlate, down_n: float, side_n: float, words: str) -> Working:
    """The working of one plate under one load; its strength must be known."""
    return Working(
        title="Plate of a caster",
        given=(*_given(plate, down_n, side_n, words),),
        assumptions=(
            "the blow goes through the axle of the wheel, which turns freely",
            "the wheel turns to where it hurts most; the pressed line of bolts (or edge) takes half the load and "
            "all of the moment",
            "the plate spans from the frame on it to that line; that the frame presses straight on is not counted",
        ),
        steps=(*_steps(plate, CasterLoads.of(down_n, side_n)),),
    )


def _given(plate: CasterPlate, down_n: float, side_n: float, words: str) -> Iterator[Given]:
    yield Given("P", down_n, "N", f"load on the wheel ({words})")
    yield Given("H", side_n, "N", "blow on the wheel: mass times speed squared over twice the way to stop")
    yield Given("e", _MM * plate.trail_m, "mm", "trail")
    yield Given("h", _MM * (plate.blow_height_m or 0.0), "mm", "plate above the axle")
    yield Given("a", _MM * plate.bolts_along_m, "mm", "between bolts (or edges) along")
    yield Given("b", _MM * plate.bolts_across_m, "mm", "between them across")
    yield Given("la", _MM * plate.leg_along_m, "mm", "frame on the plate, along")
    yield Given("lb", _MM * plate.leg_across_m, "mm", "frame on the plate, across")
    yield Given("Lp", _MM * plate.length_m, "mm", "length of the plate")
    yield Given("Wp", _MM * plate.width_m, "mm", "width of the plate")
    yield Given("t", _MM * plate.thickness_m, "mm", "thickness of the plate")
    yield Given("Fy", (plate.Fy_pa or 0.0) / 1e6, "MPa", "its yield strength")
    if plate.bolt is not None:
        yield Given("Rt", plate.bolt.tension_n(), "N", "allowable tension of a bolt (AISC 360 J3.6)")
        yield Given("Rv", plate.bolt.shear_n(), "N", "allowable shear of a bolt")


def _steps(plate: CasterPlate, loads: CasterLoads) -> Iterator[Step]:
    yield Step("M", "P * e + H * h", _MM * float(turning_n_m(plate, loads)), "N·mm", "moment on the plate")
    for symbol, spacing, leg, width, along in (("ma", "a", "la", "Wp", True), ("mb", "b", "lb", "Lp", False)):
        formula = f"(P / 2 + M / {spacing}) * max(0, ({spacing} - {leg}) / 2) / {width}"
        value = float(plate_moment_n(plate, loads, along=along))
        yield Step(symbol, formula, value, "N", "bending beside the frame, for each mm of width")
    limits = caster_plate_limits(plate, loads)
    bears = (plate.Fy_pa or 0.0) * plate.thickness_m**2 / 4 / OMEGA_BENDING[0]
    yield Step("mr", "Fy * t**2 / 4 / 1.67", bears, "N", "what the plate bears", "aisc_360", "F11")
    used = [float(limit.use) for limit in limits if limit.use is not None]
    yield Step("u_plate", "max(ma, mb) / mr", used[0], "", "use of the plate")
    if plate.bolt is not None:
        pull = "max(0, M / 2 * sqrt(1 / a**2 + 1 / b**2) - P / 4) / Rt"
        yield Step("u_t", pull, used[1], "", "use of a bolt in tension", "aisc_360_j", "J3.6")
        yield Step("u_v", "H / 4 / Rv", used[2], "", "use of a bolt in shear", "aisc_360_j", "J3.6")
        yield Step(
            "u_tv", "", used[3], "", "use of a bolt in tension with shear", "aisc_360_j",
            "J3.7: tension over 1.3 of its strength less the share that shear takes, at most all of it",
        )  # fmt: skip
