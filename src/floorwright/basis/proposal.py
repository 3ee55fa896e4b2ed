"""What every countermeasure offers, whatever its kind, so that no page has to ask which kind it is.

A kind of countermeasure is a folder under `floorwright.propose` with a function `design(spec) -> Proposal`.
An improvement holds either plain text for its countermeasure or the record of a proposal.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from floorwright.basis.check import Check
from floorwright.basis.estimate import Estimate
from floorwright.basis.working import Working

Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Something to cut, buy or reclaim: what, how many, and its length in metres where it is cut from bar."""

    name: str
    count: int
    material: str
    length_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What a countermeasure changes ("walking", "lift index"), per event, with its range."""

    measure: str
    per_event: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """What can hurt someone, the signal word (ANSI Z535), and who must approve before use."""

    signal: Signal
    text: str
    approval: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A piece of plain geometry in metres: x along, y across, z up.

    Attributes:
        kind: bar (two ends, straight), plate (its corners in order), wheel (centre of the axle, and
            the top of its kingpin where told), box (two opposite corners), line (a polyline).
        points_m: see `kind`.
        size_m: bar: depth (along its z), width (along its y), wall (0 for a solid one); plate: thickness; wheel:
            diameter and width; else empty.
        round_: whether a bar is round.
        profile: "angle" for a bar of two legs, upright and lying, with the heel at the lower left; its size is then
            the upright leg, the lying leg and their thickness, and its ends are the centroid's. Else "".
        roll_rad: of a bar about its axis.
        label: what it is; part: name of the part that it belongs to; role: leg, rail, piece, wheel ...
    """

    kind: Literal["bar", "plate", "wheel", "box", "line"]
    points_m: tuple[tuple[float, float, float], ...]
    size_m: tuple[float, ...] = ()
    round_: bool = False
    profile: Literal["", "angle"] = ""
    roll_rad: float = 0.0
    label: str = ""
    part: str = ""
    role: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A checked countermeasure."""

    title: str
    checks: tuple[Check, ...] = ()
    parts: tuple[Part, ...] = ()
    effects: tuple[Effect, ...] = ()
    scene: tuple[Shape, ...] = ()
    cautions: tuple[Caution, ...] = ()
    workings: tuple[Working, ...] = field(default=())
