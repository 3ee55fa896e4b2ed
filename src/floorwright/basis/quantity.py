"""Reading and writing physical quantities: SI inside, people's own units at the boundary.

`parse("1-1/2 in", LENGTH)` gives 0.0381. Only this module parses and prints units. Each dimension is a
table of the units that people write for it, with the factor to SI, and the unit shown in either system.
A bare number is SI; an angle needs its unit (a bare 0 is allowed).
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from floorwright.basis.sentence import said

UnitSystem = Literal["si", "us"]

G_STANDARD: Final = 9.80665  # m/s2, standard gravity (CGPM 1901)
LARGEST: Final = 1e15  # beyond it a number is a slip, and squares and products would overflow
SMALLEST: Final = 1e-30  # the same for what must be more than 0, because something is divided by it
_LONGEST: Final = 100  # characters that a quantity may have
_INCH: Final = 0.0254
_FOOT: Final = 0.3048
_POUND: Final = 0.45359237
_LBF: Final = _POUND * G_STANDARD


@dataclass(frozen=True, slots=True, eq=False)
class Dimension:
    """A kind of quantity: the units people write for it and how it is shown.

    Attributes:
        name: as used in schemas and messages ("length").
        units: unit as written -> factor to SI.
        si: unit shown in SI.
        us: unit shown in US customary units.
        bare_unit_ok: whether a number without a unit is read as SI.
        example: how a person would write one, for messages.
    """

    name: str
    units: Mapping[str, float]
    si: str
    us: str
    example: str
    bare_unit_ok: bool = True

    def shown_unit(self, system: UnitSystem) -> str:
        """The unit in which this dimension is shown."""
        return self.us if system == "us" else self.si

    def to_shown(self, value_si: float, system: UnitSystem) -> float:
        """An SI value in the shown unit."""
        unit = self.shown_unit(system)
        return value_si if not unit else value_si / self.units[unit]


def _with_aliases(table: Mapping[str, tuple[float, str]]) -> dict[str, float]:
    """Expand {unit: (factor, "alias alias")} into a flat table."""
    flat: dict[str, float] = {}
    for unit, (factor, aliases) in table.items():
        for name in (unit, *aliases.split()):
            flat[name] = factor
    return flat


_LENGTHS: Final = _with_aliases(
    {
        "m": (1.0, "metre metres meter meters"),
        "mm": (1e-3, "millimetre millimetres millimeter millimeters"),
        "cm": (1e-2, "centimetre centimetres centimeter centimeters"),
        "km": (1e3, "kilometre kilometres kilometer kilometers"),
        "in": (_INCH, 'inch inches " in.'),
        "ft": (_FOOT, "foot feet ' ft."),
        "yd": (0.9144, "yard yards"),
        "mi": (1609.344, "mile miles"),
        "thou": (_INCH / 1000, "mil mils"),
    }
)
_TIMES: Final = _with_aliases(
    {
        "s": (1.0, "sec secs second seconds"),
        "min": (60.0, "mins minute minutes"),
        "h": (3600.0, "hr hrs hour hours"),
        "d": (86400.0, "day days"),
        "wk": (604800.0, "week weeks"),
        "ms": (1e-3, "millisecond milliseconds"),
        "cmin": (0.6, ""),
        "TMU": (0.036, "tmu"),
    }
)
LENGTH = Dimension("length", _LENGTHS, "m", "in", "1-1/2 in")
DISTANCE = Dimension("distance", _LENGTHS, "m", "ft", "120 ft")
TIME = Dimension("time", _TIMES, "s", "s", "1.25 min")
MASS = Dimension(
    "mass",
    _with_aliases(
        {
            "kg": (1.0, "kilogram kilograms kgs"),
            "g": (1e-3, "gram grams"),
            "t": (1e3, "tonne tonnes"),
            "lb": (_POUND, "lbs pound pounds lbm lb."),
            "oz": (_POUND / 16, "ounce ounces"),
            "ton": (2000 * _POUND, "tons"),
        }
    ),
    "kg",
    "lb",
    "44 lb",
)
FORCE = Dimension(
    "force",
    _with_aliases(
        {
            "N": (1.0, "newton newtons"),
            "kN": (1e3, ""),
            "kgf": (G_STANDARD, ""),
            "lbf": (_LBF, "lb lbs pound pounds"),
            "kip": (1e3 * _LBF, "kips"),
            "ozf": (_LBF / 16, "oz"),
        }
    ),
    "N",
    "lbf",
    "45 lbf",
)
ANGLE = Dimension(
    "angle",
    _with_aliases(
        {
            "rad": (1.0, "radian radians"),
            "deg": (math.pi / 180, "degree degrees °"),
            "turn": (2 * math.pi, "turns"),
        }
    ),
    "deg",
    "deg",
    "20 deg",
    bare_unit_ok=False,
)
RATE = Dimension(
    "rate",
    {
        f"{head}{unit}": 1 / factor
        for unit, factor in {**_TIMES, "shift_8h": 28800.0}.items()
        for head in ("1/", "/", "per ")
    }
    | {"Hz": 1.0},
    "1/s",
    "1/h",
    "40/h",
)
AREA = Dimension(
    "area",
    _with_aliases(
        {
            "m2": (1.0, "m² sqm m^2"),
            "mm2": (1e-6, "mm² mm^2"),
            "cm2": (1e-4, "cm² cm^2"),
            "ft2": (_FOOT**2, "ft² sqft ft^2 sf"),
            "in2": (_INCH**2, "in² sqin in^2"),
        }
    ),
    "m2",
    "ft2",
    "12 ft2",
)
DENSITY_ON_FLOOR = Dimension(
    "pieces per area",
    {"1/m2": 1.0, "/m2": 1.0, "1/m²": 1.0, "/m²": 1.0, "1/ft2": 1 / _FOOT**2, "/ft2": 1 / _FOOT**2},
    "1/m2",
    "1/ft2",
    "6 /m2",
)
SPEED = Dimension(
    "speed",
    _with_aliases(
        {
            "m/s": (1.0, "mps"),
            "m/min": (1 / 60, ""),
            "km/h": (1 / 3.6, "kph"),
            "ft/s": (_FOOT, "fps"),
            "ft/min": (_FOOT / 60, "fpm"),
            "mph": (1609.344 / 3600, "mi/h"),
        }
    ),
    "m/s",
    "ft/min",
    "264 ft/min",
)
FRACTION = Dimension("fraction", {"%": 0.01, "percent": 0.01, "": 1.0}, "", "", "5 %")

_UNICODE_FRACTIONS: Final = re.compile(r"(\d?)\s*([¼½¾⅐-⅞])")
_NUMBER: Final = re.compile(
    r"""(?P<whole>\d+)[\s-]+(?P<n1>\d+)/(?P<d1>\d+)(?![\d.])   # 1-1/2 or 1 1/2
      | (?P<n2>\d+)/(?P<d2>\d+)(?![\d.])                       # 5/32
      | (?P<decimal>(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?)  # 12, 1.25, .5, 2e3
    """,
    re.VERBOSE,
)
_UNIT: Final = re.compile(
    r"""(?:1/|/|per\ )?
        (?: [A-Za-zµ°%²³⁴_.]+ [2-4²³⁴]? (?:\^[2-4])?      # m, in4, mm^2
            (?:[*-][A-Za-z]+)*                             # N*m, ft-lb
            (?:/[A-Za-z]+[2-4²³]?(?:\^[2-4])?)*            # lb/in3, N*m/rad
          | [\"'])
    """,
    re.VERBOSE,
)
_COMMA: Final = re.compile(r"^(\d+),(\d+)(?=\D|$)")
_GROUPED: Final = re.compile(r"^\d{1,3}(,\d{3})+(?=[.\s]|$)")
_CLOCK: Final = re.compile(r"^(?:(\d+):)?(\d+):(\d{1,2}(?:\.\d+)?)$")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in SI with its dimension, as it stands in a result."""

    value_si: float
    dimension: Dimension

    def to_record(self, system: UnitSystem = "si") -> dict[str, object]:
        """{"value": x, "unit": "..."} in the chosen unit system."""
        return {
            "value": self.dimension.to_shown(self.value_si, system),
            "unit": self.dimension.shown_unit(system),
        }

    def text(self, system: UnitSystem = "si", digits: int = 3) -> str:
        """For people: "41.3 s"."""
        return write(self.value_si, self.dimension, system, digits)


def _normalise(text: str) -> str:
    def spell(match: re.Match[str]) -> str:
        numeric = unicodedata.normalize("NFKC", match.group(2)).replace("⁄", "/")
        return f"{match.group(1)} {numeric}".strip()

    text = _UNICODE_FRACTIONS.sub(spell, text)
    for odd, plain in (("″", '"'), ("”", '"'), ("′", "'"), ("’", "'"), ("''", '"'), ("−", "-"), ("·", "*")):
        text = text.replace(odd, plain)
    return re.sub(r"\s+", " ", text.replace("\u00a0", " ").replace("\u202f", " ")).strip()


def _drop_commas(text: str) -> str:
    """Read 1,234.5 and 1,5; refuse 1,234, which two readers take for two numbers."""
    sign = "-" if text.startswith("-") else ""
    body = text.lstrip("+-").strip()
    if grouped := _GROUPED.match(body):
        number = grouped.group(0)
        if number.count(",") == 1 and not body[len(number) :].startswith("."):
            raise ValueError(
                said(
                    "'{text}' can be read in two ways; write {plain} or {point}",
                    text=text,
                    plain=number.replace(",", ""),
                    point=number.replace(",", "."),
                )
            )
        return sign + number.replace(",", "") + body[len(number) :]
    return sign + _COMMA.sub(r"\1.\2", body)


def _number(match: re.Match[str]) -> float:
    part = match.groupdict()
    top, bottom = part["n1"] or part["n2"], part["d1"] or part["d2"]
    if top is None:
        return float(part["decimal"])
    if int(bottom) == 0:
        raise ValueError(said("'{text}' divides by zero", text=match.group(0)))
    return float(part["whole"] or 0) + int(top) / int(bottom)


def parse(value: object, dimension: Dimension) -> float:
    """Read a quantity as a person writes it and return it in SI.

    Args:
        value: a string with a unit, or a bare number in SI.
        dimension: what kind of quantity is expected.

    Returns:
        The value in SI (angles in radians, rates per second).

    Raises:
        ValueError: with one sentence that says what is wrong and what would be right.
    """
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        raise ValueError(
            said(
                "should be a {dimension} such as '{example}'",
                dimension=said(dimension.name),
                example=dimension.example,
            )
        )
    if isinstance(value, str):
        return _finite(_parse_text(_normalise(value), dimension), dimension)
    if not dimension.bare_unit_ok and value != 0:
        raise ValueError(
            said("{value} needs its unit, such as '{example}'", value=value, example=dimension.example)
        )
    return _finite(value, dimension)


def _finite(number: float, dimension: Dimension) -> float:
    if not is_ordinary(number):
        raise ValueError(
            said(
                "should be an ordinary number, a {dimension} such as '{example}'",
                dimension=said(dimension.name),
                example=dimension.example,
            )
        )
    return float(number)


def is_ordinary(number: float) -> bool:
    """Whether a number is finite and of a size that people measure: up to 1e15 either way."""
    return abs(number) <= LARGEST


def _parse_text(text: str, dimension: Dimension) -> float:
    if not text:
        raise ValueError(
            said(
                "is empty; write a {dimension} such as '{example}'",
                dimension=said(dimension.name),
                example=dimension.example,
            )
        )
    if dimension.name == "time" and (clock := _CLOCK.match(text)):
        return _clock(clock, text)
    if len(text) > _LONGEST:
        raise ValueError(
            said(
                "is too long to be a {dimension}; write it like '{example}'",
                dimension=said(dimension.name),
                example=dimension.example,
            )
        )
    text = _drop_commas(text)
    sign = -1.0 if text.startswith("-") else 1.0
    rest = text.lstrip("+-").strip()
    total, parts = 0.0, 0
    while rest:
        # "1/day" is a rate of one a day, not a fraction: try the unit first when a number has been read.
        match = _NUMBER.match(rest)
        if match is None:
            raise ValueError(
                said(
                    "'{text}' is not a {dimension}; write it like '{example}'",
                    text=text,
                    dimension=said(dimension.name),
                    example=dimension.example,
                )
            )
        unit, rest = _take_unit(rest[match.end() :].lstrip(), dimension)
        number = _number(match)
        if not unit:
            if parts or rest:
                raise ValueError(
                    said(
                        "'{text}' is not a {dimension}; write it like '{example}'",
                        text=text,
                        dimension=said(dimension.name),
                        example=dimension.example,
                    )
                )
            return sign * parse(number, dimension)
        total += number * dimension.units[unit]
        parts += 1
        rest = rest.lstrip(" ,-")
    return sign * total


def _clock(match: re.Match[str], text: str) -> float:
    hours, minutes, seconds = float(match.group(1) or 0), float(match.group(2)), float(match.group(3))
    if seconds >= 60 or (match.group(1) and minutes >= 60):
        raise ValueError(said("'{text}' is not a time; write minutes and seconds like '1:15' or '75 s'", text=text))
    return hours * 3600 + minutes * 60 + seconds


def _take_unit(rest: str, dimension: Dimension) -> tuple[str, str]:
    """Split a leading unit off; the unit is "" when nothing follows the number."""
    if not rest:
        return "", ""
    match = _UNIT.match(rest)
    found = match.group(0) if match else rest.split(" ")[0]
    # The last try reads 5ft3in: the 3 belongs to the inches, it is no power of the foot.
    for read in (found, re.split(r"(?<=[A-Za-z])[2-4](?=[A-Za-z]|$)", found, maxsplit=1)[0]):
        for name in (read, read.rstrip("."), read.lower()):
            if name in dimension.units:
                return name, rest[len(read) :]
    known = ", ".join(list(dict.fromkeys([dimension.si, dimension.us, *dimension.units]))[:6])
    raise ValueError(
        said(
            "'{found}' is not a unit of {dimension}; write it like '{example}' (units: {known}, ...)",
            found=found,
            dimension=said(dimension.name),
            example=dimension.example,
            known=known,
        )
    )


def write(value_si: float, dimension: Dimension, system: UnitSystem = "si", digits: int = 3) -> str:
    """A quantity for people: `digits` significant figures, never exponent form, with its unit."""
    number = plain_number(dimension.to_shown(value_si, system), digits)
    unit = dimension.shown_unit(system)
    return f"{number} {unit}".strip()


def plain_number(value: float, digits: int = 3) -> str:
    """A number with so many significant figures, thousands separated, without exponent form.

    Whole digits are never cut: 12,345 with three figures stays 12,345.
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:,.{min(decimals, 12)}f}"
    return text if float(text.replace(",", "")) != 0 else "0"
