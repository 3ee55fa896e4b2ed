"""How the checks of a settling trestle are put together and said."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from floorwright.basis.check import Check, Verdict
from floorwright.basis.quantity import G_STANDARD, MASS, write
from floorwright.propose.aid.checks.tipping import XY
from floorwright.propose.aid.layout import Layout
from floorwright.propose.aid.patterns.trestle_layout import Trestle
from floorwright.propose.aid.patterns.trestle_spec import SettlingTrestleSpec
from floorwright.propose.aid.springs.seating import Seated, landing_n, seat
from floorwright.propose.aid.springs.settling import SprungWheels


def said_load(force_n: float) -> str:
    """A load for people, as the mass that weighs so much."""
    mass = force_n / G_STANDARD
    return f"{write(mass, MASS, 'us')} ({write(mass, MASS)})"


def told(
    name: str, case: str, yes: bool | None, sentences: tuple[str, str, str], source: str = "practice"
) -> Check:
    """A check that is a yes or no.

    Args:
        name, case: as in `Check`.
        yes: whether it is so; None where nobody told.
        sentences: where it is so, where it is not, where nobody told.
    """
    verdict: Verdict = "unknown" if yes is None else "ok" if yes else "fails"
    return Check(
        name=name,
        case=case,
        demand=None,
        capacity=None,
        ratio=None,
        verdict=verdict,
        sentence=sentences[2] if yes is None else sentences[0 if yes else 1],
        source=source,
    )


@dataclass(frozen=True, kw_only=True)
class Standing:
    """A trestle with the loads at which it changes how it stands.

    Attributes:
        spec, made, layout: the trestle.
    """

    spec: SettlingTrestleSpec
    made: Trestle
    layout: Layout

    @cached_property
    def level(self) -> SprungWheels:
        """The same with the load in the middle; two wheels carry half of everything, as four carry all of it."""
        return SprungWheels(
            count=4,
            rate_n_m=self.made.set.spring.rate_n_m,
            preload_n=self.made.set.preload_n,
            rise_m=self.spec.rise,
            empty_n=self.made.weight_n,
        )

    @property
    def working_n(self) -> float:
        """Weight of the heaviest work."""
        return self.spec.working_load * G_STANDARD

    @cached_property
    def corners(self) -> tuple[XY, ...]:
        """Where the centre of the work may lie: off centre along the beam, at the edge of the beam across."""
        x = self.spec.off_centre * self.spec.length
        y = self.spec.made("beam")[0].width_m / 2
        return tuple(dict.fromkeys((a * x, b * y) for a in (1, -1) for b in (1, -1)))

    def stands(self, load_n: float, at: XY) -> Seated | None:
        """How it stands with a load there; None where it tips."""
        total = self.made.weight_n + load_n
        return seat(
            self.made.wheels, self.made.feet, total, (load_n * at[0] / total, load_n * at[1] / total)
        )  # its own centre is over the origin

    @cached_property
    def landings(self) -> tuple[tuple[float | None, float | None], ...]:
        """For every corner the loads at which the first foot that was up and the last one stand."""
        return tuple(
            (self._landing(corner, first=True), self._landing(corner, first=False)) for corner in self.corners
        )

    def _landing(self, corner: XY, *, first: bool) -> float | None:
        made = self.made
        return landing_n(
            made.wheels, made.feet, own_n=made.weight_n, own_at=(0.0, 0.0), load_at=corner, first=first
        )

    @cached_property
    def last_n(self) -> float | None:
        """The load from which on all feet stand wherever it lies; None where it tips before."""
        found = [last for _, last in self.landings if last is not None]
        return max(found) if len(found) == len(self.landings) else None

    @cached_property
    def first_n(self) -> float:
        """The smallest load that brings a foot down."""
        return min((first for first, _ in self.landings if first is not None), default=0.0)

    @cached_property
    def most_sunk_m(self) -> float:
        """The deepest that a wheel is pressed in: under the heaviest work, or as the last foot lands."""
        found = [self.spec.rise]
        for corner, (_, last) in zip(self.corners, self.landings, strict=True):
            for load in (last, self.working_n):
                there = None if load is None else self.stands(load, corner)
                found += [] if there is None else list(there.sunk_m)
        return max(found)
