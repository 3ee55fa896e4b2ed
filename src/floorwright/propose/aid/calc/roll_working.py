"""Working of `roll`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import sin
from typing import Protocol

from floorwright.basis.quantity import G_STANDARD
from floorwright.basis.working import Given, Step, Working


@dataclass(frozen=True, slots=True, kw_only=True)
class Rolled:
    """Forces in newtons; None where not asked, not known, or not possible.

    Attributes:
        arm_m: lever arm of rolling friction.
        front_n: load on the front wheels standing still.
        drop_m: how far a wheel sinks into the gap; None where it falls in.
        pitch_n: push that lifts the rear wheels with the front ones held.
        needed_n: starting plus slope.
    """

    arm_m: float | None
    rolling_n: float | None
    starting_n: float | None
    slope_n: float
    front_n: float | None
    step_n: float | None
    drop_m: float | None
    gap_n: float | None
    pitch_n: float | None
    needed_n: float | None
    turning_n: float | None
    stopping_n: float


class Asked(Protocol):
    """What was asked, as far as the working needs it."""

    @property
    def mass(self) -> float:
        """Mass of it all."""

    @property
    def weight_n(self) -> float:
        """Weight of it all."""

    @property
    def radius_m(self) -> float:
        """Radius of the wheels."""

    @property
    def slope(self) -> float:
        """Angle of the slope."""

    @property
    def step(self) -> float:
        """Height of a step."""

    @property
    def gap(self) -> float:
        """Width of a gap."""

    @property
    def hand_height(self) -> float | None:
        """Height of the hands."""

    @property
    def wheelbase(self) -> float | None:
        """Between the axles."""

    @property
    def speed(self) -> float:
        """Walking speed."""

    @property
    def stopping_distance(self) -> float:
        """Within which it is stopped."""

    @property
    def starting_factor(self) -> float:
        """Starting over rolling force."""


def working_of(given: Asked, rolled: Rolled, arm_source: str) -> Working:
    """The working in newtons and metres."""
    return Working(
        title="Rolling an aid",
        given=tuple(_given(given)),
        assumptions=(
            "the largest lever arm that the tables print for this tread and floor",
            "stopping without the help of rolling friction",
            "a step is crossed from a standstill, both front wheels at once",
        ),
        steps=(
            Step("W", "m * g", given.weight_n, "N", "weight"),
            *_rolling(given, rolled, arm_source),
            *_step(given, rolled, "step", "h", given.step, rolled.step_n),
            *_gap(given, rolled),
            Step(
                "F_stop",
                "m * v**2 / (2 * d) + W * sin_s",
                rolled.stopping_n,
                "N",
                "force that stops it within the distance, downhill",
                "definition",
            ),
        ),
    )


def _given(given: Asked) -> Iterator[Given]:
    yield Given("m", given.mass, "kg", "mass")
    yield Given("g", G_STANDARD, "m/s2", "standard gravity")
    yield Given("R", given.radius_m, "m", "radius of the wheels")
    yield Given("sin_s", sin(given.slope), "", "sine of the slope")
    yield Given("v", given.speed, "m/s", "speed")
    yield Given("d", given.stopping_distance, "m", "stopping distance")
    if given.hand_height is not None:
        yield Given("H", given.hand_height, "m", "height of the hands")
    if given.wheelbase is not None:
        yield Given("L", given.wheelbase, "m", "wheelbase")


def _rolling(given: Asked, rolled: Rolled, arm_source: str) -> Iterator[Step]:
    yield Step("F_s", "W * sin_s", rolled.slope_n, "N", "force up the slope, or to hold it", "definition")
    if rolled.arm_m is None or rolled.rolling_n is None or rolled.starting_n is None or rolled.needed_n is None:
        return
    yield Step("f", f"{rolled.arm_m!r}", rolled.arm_m, "m", "lever arm of rolling friction", arm_source)
    yield Step("F_r", "f * W / R", rolled.rolling_n, "N", "force that keeps it rolling", arm_source)
    factor = f"{given.starting_factor!r} * F_r"
    yield Step("F_0", factor, rolled.starting_n, "N", "force that starts it", "lippert_spektor_2012")
    yield Step("F", "F_0 + F_s", rolled.needed_n, "N", "force needed to start it on the slope")


def _step(
    given: Asked, rolled: Rolled, name: str, symbol: str, height_m: float, force: float | None
) -> Iterator[Step]:
    if height_m <= 0 or rolled.front_n is None:
        return
    if name == "step":
        yield Step("W1", "", rolled.front_n, "N", "load on the front wheels", "definition", "by the centre of mass")
        yield Step(symbol, f"{height_m!r}", height_m, "m", "height of the step")
    if force is None:
        return
    c = f"c_{name}"
    radius = given.radius_m
    value = (height_m * (2 * radius - height_m)) ** 0.5 / (radius - height_m)
    formula = f"sqrt({symbol} * (2 * R - {symbol})) / (R - {symbol})"
    yield Step(c, formula, value, "", "pull over load at the axle", "halliday")
    formula = f"W1 * {c} / (1 - {c} * (H - R) / L)"
    yield Step(f"F_{name}", formula, force, "N", f"push at hand height that crosses the {name}", "definition")


def _gap(given: Asked, rolled: Rolled) -> Iterator[Step]:
    if given.gap <= 0 or rolled.drop_m is None or rolled.front_n is None:
        return
    if given.step <= 0:
        note = "by the centre of mass"
        yield Step("W1", "", rolled.front_n, "N", "load on the front wheels", "definition", note)
    yield Step("w", f"{given.gap!r}", given.gap, "m", "width of the gap")
    yield Step("z", "R - sqrt(R**2 - w**2 / 4)", rolled.drop_m, "m", "how far a wheel sinks in", "definition")
    yield from _step(given, rolled, "gap", "z", rolled.drop_m, rolled.gap_n)
