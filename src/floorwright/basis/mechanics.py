"""Dimensions of mechanics: stress, moment, stiffness, section values. Read and written by `quantity`.

Factors: NIST SP 811 (exact definitions of inch, foot, pound and standard gravity). Pounds are pounds-force wherever
a force is meant.
"""

from __future__ import annotations

from math import pi
from typing import Annotated, Final

from floorwright.basis.fields import Measure
from floorwright.basis.quantity import AREA, FORCE, LENGTH, MASS, Dimension

_FORCES: Final = FORCE.units
_LBF: Final = _FORCES["lbf"]
_INCH: Final = LENGTH.units["in"]
_FOOT: Final = LENGTH.units["ft"]
_POUND: Final = MASS.units["lb"]


def _powers(power: int) -> dict[str, float]:
    """mm3, cm^3, in³ and so on for a power of length."""
    raised = {2: "²", 3: "³", 4: "⁴"}[power]
    return {
        f"{unit}{mark}": LENGTH.units[unit] ** power
        for unit in ("m", "mm", "cm", "in", "ft")
        for mark in (str(power), f"^{power}", raised)
    }


def _per_length(tops: dict[str, float], lengths: tuple[str, ...]) -> dict[str, float]:
    return {f"{top}/{unit}": factor / LENGTH.units[unit] for top, factor in tops.items() for unit in lengths}


_SOME_FORCES: Final = {name: _FORCES[name] for name in ("N", "kN", "lbf", "lb", "lbs", "kip", "kips", "kgf")}
_ARMS: Final = {"m": 1.0, "mm": 1e-3, "in": _INCH, "ft": _FOOT}
_MOMENTS: Final = (
    {
        f"{force}{joint}{arm}": f * a
        for force, f in _SOME_FORCES.items()
        for arm, a in _ARMS.items()
        for joint in ("*", "-", "·")
    }
    | {f"{arm}-{force}": f * a for force, f in _SOME_FORCES.items() for arm, a in _ARMS.items()}
    | {"Nm": 1.0, "kNm": 1e3, "Nmm": 1e-3}
)

STRESS: Final = Dimension(
    "stress",
    {"Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "GPa": 1e9, "N/mm2": 1e6, "N/mm²": 1e6, "N/m2": 1.0}
    | {"psi": _LBF / _INCH**2, "ksi": 1e3 * _LBF / _INCH**2, "Msi": 1e6 * _LBF / _INCH**2},
    "Pa",
    "ksi",
    "29000 ksi",
)
MOMENT: Final = Dimension("moment", _MOMENTS, "N·m", "lbf*ft", "60 N*m")
STIFFNESS: Final = Dimension(
    "stiffness", _per_length(_SOME_FORCES, ("m", "mm", "in", "ft")), "N/m", "lbf/in", "120 lb/in"
)
LINE_LOAD: Final = Dimension(
    "load per length",
    _per_length(_SOME_FORCES, ("m", "mm", "in", "ft")) | {"plf": _LBF / _FOOT},
    "N/m",
    "lbf/ft",
    "40 lb/ft",
)
ROTATIONAL_STIFFNESS: Final = Dimension(
    "rotational stiffness",
    {f"{name}/rad": factor for name, factor in _MOMENTS.items()}
    | {f"{name}/deg": factor * 180 / pi for name, factor in _MOMENTS.items()},
    "N·m/rad",
    "lbf*in/rad",
    "25000 N*m/rad",
)
DENSITY: Final = Dimension(
    "density",
    {"kg/m3": 1.0, "kg/m^3": 1.0, "kg/m³": 1.0, "g/cm3": 1e3, "g/cm^3": 1e3, "t/m3": 1e3}
    | {f"lb/{name}": _POUND / factor for name, factor in _powers(3).items() if name[:2] in ("in", "ft")},
    "kg/m3",
    "lb/in3",
    "7850 kg/m3",
)
MASS_PER_LENGTH: Final = Dimension(
    "mass per length",
    _per_length({"kg": 1.0, "g": 1e-3, "lb": _POUND, "lbs": _POUND}, ("m", "in", "ft")),
    "kg/m",
    "lb/ft",
    "3.05 lb/ft",
)
SECTION_AREA: Final = Dimension("section area", AREA.units, "m2", "in2", "0.84 in2")
SECTION_MODULUS: Final = Dimension("section modulus", _powers(3), "m3", "in3", "0.486 in3")
INERTIA: Final = Dimension("second moment of area", _powers(4), "m4", "in4", "0.486 in4")

Force = Annotated[float, Measure(FORCE)]
Moment = Annotated[float, Measure(MOMENT)]
LineLoad = Annotated[float, Measure(LINE_LOAD)]
Stress = Annotated[float, Measure(STRESS, above=0)]
PositiveLength = Annotated[float, Measure(LENGTH, above=0)]
Coordinate = Annotated[float, Measure(LENGTH)]
