"""The revised NIOSH lifting equation: what weight nearly all healthy workers may lift in a given way.

RWL = LC x HM x VM x DM x AM x FM x CM and LI = load / RWL, in either of its two published forms (metric: cm and
kg, 23 kg; US: inches and pounds, 51 lb). The two forms differ slightly: 25 in is inside the US limit and 63.5 cm
outside the metric one. Multipliers are not rounded; the manual's own examples multiply values rounded to two
decimals.

Source: Waters, Putz-Anderson, Garg: Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH)
Publication 94-110, 1994, revised 2021.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from floorwright.basis.people.lifting_tables import (
    COUPLING,
    FREQUENCY,
    LIFTS_PER_MINUTE,
    Coupling,
    Duration,
)
from floorwright.basis.quantity import ANGLE, LENGTH, MASS

FormName = Literal["metric", "us"]
SOURCE: Final = "niosh_94_110"


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One published form of the equation: its units, constants and limits.

    Attributes:
        load_constant: LC, in `mass_unit`.
        reach: least horizontal distance; HM = reach / H.
        reach_most: H beyond it has no safe weight.
        knuckle: knuckle height, where VM is 1 and the tables change column.
        height_factor: VM = 1 - height_factor |V - knuckle|.
        height_most, travel_least, travel_most: limits of V and D.
        travel_factor: DM = 0.82 + travel_factor / D.
    """

    name: FormName
    length_unit: str
    mass_unit: str
    load_constant: float
    reach: float
    reach_most: float
    knuckle: float
    height_factor: float
    height_most: float
    travel_least: float
    travel_most: float
    travel_factor: float

    def length(self, metres: float) -> float:
        """A length in the unit of the form. Rounded at 1e-9, so that 30 in typed as 0.762 m stays 30 in."""
        return round(metres / LENGTH.units[self.length_unit], 9)

    def mass(self, kilograms: float) -> float:
        """A mass in the unit of the form."""
        return kilograms / MASS.units[self.mass_unit]

    def kilograms(self, mass: float) -> float:
        """A mass of the form in kg."""
        return mass * MASS.units[self.mass_unit]


FORMS: Final[dict[FormName, Form]] = {
    "metric": Form(
        name="metric",
        length_unit="cm",
        mass_unit="kg",
        load_constant=23.0,
        reach=25.0,
        reach_most=63.0,
        knuckle=75.0,
        height_factor=0.003,
        height_most=175.0,
        travel_least=25.0,
        travel_most=175.0,
        travel_factor=4.5,
    ),
    "us": Form(
        name="us",
        length_unit="in",
        mass_unit="lb",
        load_constant=51.0,
        reach=10.0,
        reach_most=25.0,
        knuckle=30.0,
        height_factor=0.0075,
        height_most=70.0,
        travel_least=10.0,
        travel_most=70.0,
        travel_factor=1.8,
    ),
}
ANGLE_MOST: Final = 135.0  # degrees of twist
ANGLE_FACTOR: Final = 0.0032
FREQUENCY_LEAST: Final = LIFTS_PER_MINUTE[0]
FREQUENCY_MOST: Final = float(LIFTS_PER_MINUTE[-1])


@dataclass(frozen=True, slots=True, kw_only=True)
class HandPosition:
    """Where the hands are at one end of a lift.

    Attributes:
        horizontal_m: from the middle between the ankles to the middle between the hands.
        vertical_m: height of the hands above the floor.
        asymmetry_rad: how far the load lies to the side, as the angle from straight ahead.
    """

    horizontal_m: float
    vertical_m: float
    asymmetry_rad: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rating:
    """The equation at one end of a lift, not rounded.

    Attributes:
        form: the form that was used.
        H, V, D, A: what went in, in the form's unit and degrees.
        HM, VM, DM, AM, FM, CM: the multipliers.
        FIRWL_kg: recommended weight limit without the frequency multiplier.
        RWL_kg: recommended weight limit; 0 where the lift is outside the range of the equation.
        outside: why it is outside, one phrase each; empty when it is inside.
    """

    form: Form
    H: float
    V: float
    D: float
    A: float
    HM: float
    VM: float
    DM: float
    AM: float
    FM: float
    CM: float
    FIRWL_kg: float
    RWL_kg: float
    outside: tuple[str, ...]

    @property
    def low(self) -> bool:
        """Whether the hands are below knuckle height, which picks the column of the tables."""
        return self.form.knuckle > self.V

    def index(self, load_kg: float) -> float | None:
        """LI = load / RWL; None where the limit is 0."""
        return load_kg / self.RWL_kg if self.RWL_kg > 0 else None


def rate(
    hands: HandPosition,
    *,
    travel_m: float,
    frequency: float,
    duration: Duration,
    coupling: Coupling,
    form: FormName = "metric",
) -> Rating:
    """Rate one end of a lift.

    Args:
        hands: position of the hands at that end.
        travel_m: vertical distance moved, the same for both ends.
        frequency: lifts a minute, averaged over 15 minutes.
        duration: class of the lifting time.
        coupling: how well the hands hold the load.
        form: the published form to use.
    """
    f = FORMS[form]
    H, V, D = f.length(hands.horizontal_m), f.length(hands.vertical_m), f.length(travel_m)
    A = round(hands.asymmetry_rad / ANGLE.units["deg"], 9)
    low = f.knuckle > V
    multipliers = (
        0.0 if f.reach_most < H else f.reach / max(f.reach, H),
        0.0 if f.height_most < V else 1 - f.height_factor * abs(V - f.knuckle),
        0.0 if f.travel_most < D else 0.82 + f.travel_factor / max(f.travel_least, D),
        0.0 if A > ANGLE_MOST else 1 - ANGLE_FACTOR * A,
    )
    HM, VM, DM, AM = multipliers
    FM, CM = frequency_multiplier(frequency, duration, low=low), COUPLING[coupling][0 if low else 1]
    FIRWL_kg = f.kilograms(f.load_constant * HM * VM * DM * AM * CM)
    return Rating(
        form=f,
        H=H,
        V=V,
        D=D,
        A=A,
        HM=HM,
        VM=VM,
        DM=DM,
        AM=AM,
        FM=FM,
        CM=CM,
        FIRWL_kg=FIRWL_kg,
        RWL_kg=f.kilograms(f.load_constant * HM * VM * DM * AM * FM * CM),
        outside=_outside(f, H, V, D, A, FM, frequency, duration),
    )


def _outside(
    f: Form, H: float, V: float, D: float, A: float, FM: float, frequency: float, duration: Duration
) -> tuple[str, ...]:
    unit = f.length_unit
    found = [
        f"{what} is {value:g} {of}, beyond {most:g} {of}"
        for what, value, most, of in (
            ("the hands' distance from the ankles", H, f.reach_most, unit),
            ("the hands' height", V, f.height_most, unit),
            ("the vertical travel", D, f.travel_most, unit),
            ("the twist", A, ANGLE_MOST, "degrees"),
        )
        if value > most
    ]
    if FM == 0:
        found.append(f"{frequency:g} lifts a minute is too many for {duration} lifting at that height")
    return tuple(found)


def frequency_bracket(
    frequency: float, duration: Duration, *, low: bool
) -> tuple[tuple[float, float], tuple[float, float]]:
    """The two rows of table 5 around a frequency, each (lifts a minute, multiplier); equal ones on a row."""
    column = FREQUENCY[duration][0 if low else 1]
    place = min(max(frequency, FREQUENCY_LEAST), FREQUENCY_MOST)
    for i, row in enumerate(LIFTS_PER_MINUTE):
        if row == place:
            return (row, column[i]), (row, column[i])
        if row > place:
            return (LIFTS_PER_MINUTE[i - 1], column[i - 1]), (row, column[i])
    raise AssertionError("the place lies within the table")  # pragma: no cover


def frequency_multiplier(frequency: float, duration: Duration, *, low: bool) -> float:
    """FM of table 5: linear between rows, 0.2 lifts a minute at least, 0 above 15 lifts a minute.

    Args:
        frequency: lifts a minute.
        duration: class of the lifting time.
        low: whether the hands are below knuckle height at the end that is rated.
    """
    if frequency > FREQUENCY_MOST:
        return 0.0
    (f1, fm1), (f2, fm2) = frequency_bracket(frequency, duration, low=low)
    if f1 == f2:
        return fm1
    return fm1 + (fm2 - fm1) * (frequency - f1) / (f2 - f1)


def frequency_of_bouts(lifts_per_minute: float, lifting_min: float) -> float:
    """Average lifts a minute over 15 minutes, for a bout of up to 15 minutes followed by light work.

    The manual's special adjustment: lifts a minute while lifting x minutes of lifting / 15.
    """
    if not 0 < lifting_min <= 15:
        raise ValueError(f"a bout lasts up to 15 minutes, not {lifting_min:g}")
    return lifts_per_minute * lifting_min / 15


def reach_of_container(depth_m: float, vertical_m: float, form: FormName = "metric") -> float:
    """Horizontal distance in metres where it could not be measured, from the depth of the container.

    20 cm (8 in) plus half the depth with the hands at 25 cm (10 in) or more, else 25 cm (10 in) plus half.
    """
    f = FORMS[form]
    near, low = (20.0, 25.0) if form == "metric" else (8.0, 10.0)
    body = near if f.length(vertical_m) >= low else low
    return body * LENGTH.units[f.length_unit] + depth_m / 2
