"""The spring of a settling trestle: as given, or chosen among preferred wires."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from floorwright.basis.errors import InputError
from floorwright.basis.mechanics import STIFFNESS
from floorwright.basis.quantity import write
from floorwright.propose.aid.patterns.trestle_spec import (
    SettlingTrestleSpec,
    said_force,
    said_length,
)
from floorwright.propose.aid.springs.rating import Service
from floorwright.propose.aid.springs.search import Searched, Wanted, search
from floorwright.propose.aid.springs.spring import Spring
from floorwright.propose.aid.springs.wire import WireName

_WIRES: Final[tuple[WireName, ...]] = ("music_wire", "hard_drawn", "oil_tempered")
PRELOAD_SHARE: Final = 0.25
"""Preload of a chosen spring over the weight on its wheel: it stays seated (common practice, no source)."""
ROOM: Final = 0.95
"""Coils fill a tube, and a rod fills the coils, by no more than this (common practice, no source)."""
DEEPER: Final = 1.03
"""A chosen spring may go in by so much more than the rise: a wheel beside a foot goes deeper than the foot."""
_LENGTHS: Final = (2.5, 3.0, 4.0, 5.0, 6.0, 8.0)
_WIDEST_M: Final = 0.10


@dataclass(frozen=True, slots=True, kw_only=True)
class Set:
    """Spring of one wheel as it is built in.

    Attributes:
        size: name of the wire size where it was chosen; "" where it was given.
        preload_n: with the wheel hanging out fully; installed_m the length of the spring then.
    """

    spring: Spring
    wire: WireName
    preload_n: float
    installed_m: float
    size: str = ""

    def service(self, spec: SettlingTrestleSpec, most_n: float) -> Service:
        """How it is used: from hanging out fully to the largest force."""
        given = spec.spring
        return Service(
            wire=self.wire,
            loads_n=(self.preload_n, most_n),
            seat="guided",
            cycles=spec.cycles,
            set_removed=False if given == "choose" else given.set_removed,
            peened=False if given == "choose" else given.peened,
        )


def set_of(spec: SettlingTrestleSpec, on_wheel_n: float) -> Set:
    """Spring and preload of each wheel.

    Args:
        spec: of the trestle.
        on_wheel_n: weight of the empty frame on one sprung wheel.

    Raises:
        InputError: where a spring does not fit its guide or its length, or none that is fit can be found.
    """
    if spec.spring == "choose":
        return _chosen(spec, on_wheel_n)
    spring = spec.spring.spring()
    _refuse_room(spec, spring)
    if spec.installed_length is not None:
        if spec.installed_length > spring.free_m * (1 + 1e-9):
            raise InputError.of(
                "installed_length",
                spec.installed_length,
                f"should be no more than the free length of the spring, {said_length(spring.free_m)}",
            )
        preload = spring.rate_n_m * (spring.free_m - spec.installed_length)
    else:
        preload = spec.preload or 0.0
    installed = spring.free_m - preload / spring.rate_n_m
    if installed <= spring.solid_m:
        raise InputError.of(
            "preload" if spec.installed_length is None else "installed_length",
            preload if spec.installed_length is None else spec.installed_length,
            f"presses the spring solid; it is {said_length(spring.solid_m)} long then, at "
            f"{said_force(spring.solid_force_n)}",
        )
    return Set(spring=spring, wire=spec.spring.material, preload_n=preload, installed_m=installed)


def _refuse_room(spec: SettlingTrestleSpec, spring: Spring) -> None:
    size = spec.guides.size
    if spec.guides.kind == "tube" and spring.outside_m >= size:
        raise InputError.of(
            "guides.size",
            size,
            f"is too narrow for a spring {said_length(spring.outside_m)} wide; take a wider tube, or a spring "
            "round a rod",
        )
    if spec.guides.kind == "rod" and spring.inside_m <= size:
        raise InputError.of(
            "guides.size",
            size,
            f"is too thick for a spring {said_length(spring.inside_m)} wide inside; take a thinner rod",
        )


def _chosen(spec: SettlingTrestleSpec, on_wheel_n: float) -> Set:
    """The cheapest spring that lets the empty frame squat by half of the rise: so it cannot leap when unloaded."""
    preload = PRELOAD_SHARE * on_wheel_n if spec.preload is None else spec.preload
    squat = spec.rise / 2
    if preload >= on_wheel_n:
        raise InputError.of(
            "preload",
            preload,
            f"is more than a wheel carries when empty, {said_force(on_wheel_n)}; give less, or your own spring",
        )
    rate = (on_wheel_n - preload) / squat
    outside = ROOM * spec.guides.size if spec.guides.kind == "tube" else _WIDEST_M
    inside = 0.0 if spec.guides.kind == "tube" else spec.guides.size / ROOM
    lengths = [each * spec.rise for each in _LENGTHS] if spec.installed_length is None else [spec.installed_length]
    refused: dict[str, int] = {}
    travel = DEEPER * spec.rise
    for installed in (each for each in lengths if each > travel):
        wanted = Wanted(
            force_1_n=preload,
            length_1_m=installed,
            force_2_n=preload + rate * travel,
            length_2_m=installed - travel,
            outside_most_m=outside,
            inside_least_m=inside,
            wires=_WIRES,
            seat="guided",
            cycles=spec.cycles,
        )
        tried = _search(wanted)
        if tried.found:
            best = tried.found[0]
            return Set(spring=best.spring, wire=best.wire, preload_n=preload, installed_m=installed, size=best.size)
        refused = {str(why): n for why, n in tried.refused.items()}
    most = max(refused, key=lambda why: refused[why]) if refused else "solid"
    raise InputError.of(
        "spring",
        "choose",
        f"finds no spring of {write(rate, STIFFNESS, 'us')} that goes in by {said_length(spec.rise)} "
        f"(most are out for: {most}); change the guide, the rise or the preload, or give a spring",
    )


@lru_cache(maxsize=64)
def _search(wanted: Wanted) -> Searched:
    """A layout and its checks ask the same."""
    return search(wanted)
