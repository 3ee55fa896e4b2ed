"""What a spring bears: strength of its wire, yield, reserve before solid, buckling and life."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from floorwright.propose.aid.springs.fatigue import STATIC_BELOW, Fatigue, fatigue
from floorwright.propose.aid.springs.spring import Spring, StressFactor
from floorwright.propose.aid.springs.stability import (
    Seat,
    buckles,
    critical_deflection_m,
    stable_free_m,
)
from floorwright.propose.aid.springs.wire import ConstantSet, WireName, allowable, strength_law

CLASH: Final = 0.15
"""Force kept free before solid, over the largest load (Shigley, eq. 10-17)."""
SOLID_SAFETY: Final = 1.2
"""Safety against yield when pressed solid (Shigley, eq. 10-21, from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """What a spring is wound from and how it is used.

    Attributes:
        wire: name of the wire.
        loads_n: forces it works at.
        constants: the set that the strength constants come from.
        tensile_pa: strength of the wire where a certificate tells it.
        set_removed: whether it was pressed beyond yield by the maker.
        factor: stress factor before set removal.
        seat: how its ends are held.
        cycles: movements in its life; below 10,000 counts as steady load.
        peened: whether it was shot-peened.
    """

    wire: WireName
    loads_n: tuple[float, ...]
    constants: ConstantSet = "shigley"
    tensile_pa: float | None = None
    set_removed: bool = False
    factor: StressFactor = "bergstraesser"
    seat: Seat = "fixed_fixed"
    cycles: float | None = None
    peened: bool = False

    @property
    def most_n(self) -> float:
        """The largest load; 0 where none is given."""
        return max(self.loads_n, default=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rating:
    """A spring under given loads.

    Attributes:
        tensile_pa: strength of the wire.
        in_range: whether the constants hold for this size of wire.
        fraction: allowable shear over tensile strength.
        factor: which stress factor the static stress has: direct after set removal, else as asked.
        stress_pa: at each load.
        solid_stress_pa: pressed solid.
        yield_safety: allowable over the stress at the largest load; None without a load.
        solid_yield_safety: the same pressed solid.
        life: safety against fatigue; None where one steady load is given.
        critical_m: deflection at which it buckles; None where it never does.
        stable_m: free length below which it never buckles; None where guided.
        buckles: whether it buckles under the largest load, or before it is solid where no load is given.
    """

    tensile_pa: float
    in_range: bool
    fraction: float
    factor: StressFactor
    stress_pa: tuple[float, ...]
    solid_stress_pa: float
    yield_safety: float | None
    solid_yield_safety: float
    life: Fatigue | None
    critical_m: float | None
    stable_m: float | None
    buckles: bool

    @property
    def allowable_pa(self) -> float:
        """Allowable shear stress under steady load."""
        return self.fraction * self.tensile_pa


def rated(spring: Spring, service: Service) -> Rating:
    """Rate a spring.

    Raises:
        ValueError: where the set of constants lacks the wire.
    """
    law, in_range = strength_law(service.wire, spring.wire_m, service.constants)
    Sut = service.tensile_pa or law.tensile_pa(spring.wire_m)
    fraction = allowable(service.wire, set_removed=service.set_removed).fraction
    used: StressFactor = "direct" if service.set_removed else service.factor
    solid = spring.stress_pa(spring.solid_force_n, used)
    most = spring.stress_pa(service.most_n, used)
    deflection = (service.most_n or spring.solid_force_n) / spring.rate_n_m
    return Rating(
        tensile_pa=Sut,
        in_range=in_range or service.tensile_pa is not None,
        fraction=fraction,
        factor=used,
        stress_pa=tuple(spring.stress_pa(load, used) for load in service.loads_n),
        solid_stress_pa=solid,
        yield_safety=fraction * Sut / most if most > 0 else None,
        solid_yield_safety=fraction * Sut / solid,
        life=_life(spring, service, Sut),
        critical_m=critical_deflection_m(spring, service.seat),
        stable_m=stable_free_m(spring, service.seat),
        buckles=buckles(spring, service.seat, deflection),
    )


def _life(spring: Spring, service: Service, tensile_pa: float) -> Fatigue | None:
    """Fatigue between the smallest and the largest load; from 0 where one load comes and goes."""
    if service.most_n <= 0:
        return None
    alone = len(service.loads_n) == 1
    if alone and (service.cycles is None or service.cycles < STATIC_BELOW):
        return None
    low = 0.0 if alone else min(service.loads_n)
    return fatigue(spring, low, service.most_n, tensile_pa, peened=service.peened)
