"""Top plate of a caster: bending between its bolts (or weld) and the leg, under load and a struck wheel.

Statics. The wheel stands off the kingpin by its trail and turns to where it hurts most; a blow acts at the height
of what it strikes. The plate spans from the leg's wall to the bolt line; that the leg also presses straight on the
caster is not counted.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from floorwright.propose.aid.joints.bolts import BoltUse, bolt_limits
from floorwright.propose.aid.joints.loads import Array, Limit, Method, design_factor

OMEGA_BENDING: Final = (1.67, 0.90)


@dataclass(frozen=True, slots=True, kw_only=True)
class CasterPlate:
    """The plate and what it is fixed to.

    Attributes:
        mount: plate or stem; of a stem nothing is known here.
        length_m, width_m: of the plate; the bolts lie along both.
        thickness_m: of the plate that bends.
        Fy_pa: its yield strength; None where it is not known.
        bolts_along_m, bolts_across_m: spacing of the four bolts (or of the two weld lines).
        leg_along_m, leg_across_m: outside sizes of the leg that stands on it.
        bolt: the bolts; None where it is welded.
        trail_m: of the swivel.
        blow_height_m: where a struck wheel is hit, below the plate; None where it is not known.
    """

    mount: str
    length_m: float
    width_m: float
    thickness_m: float
    Fy_pa: float | None
    bolts_along_m: float
    bolts_across_m: float
    leg_along_m: float
    leg_across_m: float
    bolt: BoltUse | None
    trail_m: float
    blow_height_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CasterLoads:
    """Forces on one wheel for each load case: N down on it, and N sideways where it strikes something."""

    down: Array
    side: Array

    @classmethod
    def of(cls, down: ArrayLike, side: ArrayLike) -> CasterLoads:
        """Loads from numbers or arrays, brought to one shape."""
        both = np.broadcast_arrays(np.asarray(down, dtype=np.float64), np.asarray(side, dtype=np.float64))
        return cls(down=both[0], side=both[1])


def plate_moment_n(plate: CasterPlate, loads: CasterLoads, *, along: bool) -> Array:
    """Bending moment of the plate at the leg's wall, for each metre of its width, N (N·m/m).

    The bolt line on the pressed side takes half the load and the whole of the turning moment.
    """
    spacing = plate.bolts_along_m if along else plate.bolts_across_m
    leg = plate.leg_along_m if along else plate.leg_across_m
    width = plate.width_m if along else plate.length_m
    line = loads.down / 2 + np.abs(turning_n_m(plate, loads)) / spacing
    arm = max(0.0, (spacing - leg) / 2)
    found: Array = line * arm / width
    return found


def turning_n_m(plate: CasterPlate, loads: CasterLoads) -> Array:
    """Moment on the plate: the load on its trail and the blow on its height, both at their worst."""
    found: Array = loads.down * plate.trail_m + loads.side * (plate.blow_height_m or 0.0)
    return found


def caster_plate_limits(plate: CasterPlate, loads: CasterLoads, *, method: Method = "ASD") -> tuple[Limit, ...]:
    """Use of the plate in bending (F11, plastic) and of the bolts in tension with shear."""
    if plate.mount != "plate":
        missing = "A stem bends in its socket in a way that is not covered here; have it rated by its maker."
        return (Limit(name="stem of the caster", clause="", use=None, missing=missing),)
    if plate.blow_height_m is None and np.any(loads.side != 0):
        missing = "How far below the plate the wheel is struck is not given; enter the height."
        return (Limit(name="plate of the caster", clause="", use=None, missing=missing),)
    limits = [_bending(plate, loads, method)]
    if plate.bolt is not None:
        # Turned towards a corner, both spacings add to the pull of that bolt.
        lever = 2 / hypot(1 / plate.bolts_along_m, 1 / plate.bolts_across_m)
        pull = np.maximum(0.0, np.abs(turning_n_m(plate, loads)) / lever - loads.down / 4)[..., None]
        limits += bolt_limits(plate.bolt, pull, np.abs(loads.side)[..., None] / 4, method=method)
    return tuple(limits)


def _bending(plate: CasterPlate, loads: CasterLoads, method: Method) -> Limit:
    name, clause = "plate of the caster in bending", "AISC 360 F11"
    if plate.Fy_pa is None:
        return Limit(name=name, clause=clause, use=None, missing="The yield strength of the plate is not given.")
    asked = np.maximum(plate_moment_n(plate, loads, along=True), plate_moment_n(plate, loads, along=False))
    available = plate.Fy_pa * plate.thickness_m**2 / 4 * design_factor(*OMEGA_BENDING, method)
    return Limit(name=name, clause=clause, use=asked / available)
