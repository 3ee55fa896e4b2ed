"""From a spec to a checked proposal: the pattern lays it out, the checks look at it, the rating follows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import dist
from typing import Any, Final

from floorwright.basis.errors import InputError
from floorwright.basis.proposal import Caution, Effect, Part, Proposal, Shape
from floorwright.basis.quantity import LENGTH, MASS, Quantity, UnitSystem
from floorwright.basis.working import Working
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.cautions import cautions
from floorwright.propose.aid.checks import (
    fit,
    handling,
    joints,
    limits,
    members,
    moving,
    place,
    stability,
    staying,
    wheels,
)
from floorwright.propose.aid.layout import Layout, kind_of
from floorwright.propose.aid.rating import Rating, rate
from floorwright.propose.aid.registry import pattern_of
from floorwright.propose.aid.spec import AidSpec

MOST_BARS: Final = 400
MOST_PIECES: Final = 60
"""What the engine takes on, whatever the pattern: more makes a check of minutes, and no aid of a shop needs it."""
CHECKS: Final[tuple[Callable[[Aid], Iterator[Finding]], ...]] = (
    stability.findings,
    wheels.findings,
    staying.findings,
    members.findings,
    joints.findings,
    moving.findings,
    handling.findings,
    fit.findings,
    place.findings,
    limits.findings,
)
"""The checks of every aid, in the order of the sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """A checked aid.

    Attributes:
        spec, layout: what was asked and how it is laid out.
        findings: every check with its working; the pattern's own come first.
        effects: what the pattern says it changes.
        cautions: what can hurt someone.
        rating: working load, proof test, plate.
        system: units of sentences and workings.
        more_workings: what the pattern shows beside its checks.
    """

    spec: AidSpec
    layout: Layout
    findings: tuple[Finding, ...]
    effects: tuple[Effect, ...]
    cautions: tuple[Caution, ...]
    rating: Rating
    system: UnitSystem
    more_workings: tuple[Working, ...] = ()

    @property
    def governing(self) -> Finding | None:
        """The check that comes first when something has to be changed: fails before unknown, then by ratio."""
        order = {"fails": 0, "unknown": 1, "close": 2, "ok": 3}
        return min(
            self.findings, key=lambda each: (order[each.check.verdict], -(each.check.ratio or 0.0)), default=None
        )

    @property
    def workings(self) -> tuple[Working, ...]:
        """How the numbers came about: of the pattern first, then check by check."""
        return (*self.more_workings, *(each.working for each in self.findings if each.working is not None))

    def proposal(self) -> Proposal:
        """What every countermeasure offers."""
        return Proposal(
            title=self.spec.title,
            checks=tuple(each.check for each in self.findings),
            parts=parts_of(self.layout, self.system),
            effects=self.effects,
            scene=scene_of(self.layout),
            cautions=self.cautions,
            workings=self.workings,
        )


def design(raw: Mapping[str, Any], system: UnitSystem = "us") -> Design:
    """Lay out and check an aid.

    Args:
        raw: its spec as plain data, as TOML or a form gives it; `pattern` names the pattern.
        system: units in which sentences and workings are written.

    Raises:
        InputError: listing every field that is wrong.
        UnstableError: when the frame is a mechanism; it says which node moves and how.
    """
    pattern = pattern_of(raw)
    spec = pattern.read(raw)
    return checked(spec, pattern.lay_out(spec), system)


def checked(spec: AidSpec, layout: Layout, system: UnitSystem = "us") -> Design:
    """Check a layout.

    Raises:
        InputError: one with more bars or pieces than can be checked in reasonable time.
        UnstableError: when the frame is a mechanism.
    """
    _bounded(layout)
    aid = Aid(spec, layout, system)
    own = pattern_of({"pattern": spec.pattern}).own(spec, layout)
    found = [Finding(check=check) for check in own.checks]
    for check in CHECKS:
        found += check(aid)
    findings = tuple(found)
    return Design(
        spec=spec,
        layout=layout,
        findings=findings,
        effects=own.effects,
        cautions=(*own.cautions, *cautions(aid)),
        rating=rate(aid, findings),
        system=system,
        more_workings=own.workings,
    )


def _bounded(layout: Layout) -> None:
    for what, have, most in (
        ("bars", len(layout.bars), MOST_BARS),
        ("pieces", len(layout.pieces), MOST_PIECES),
    ):
        if have > most:
            raise InputError.of(
                what, have, f"come to {have}; at most {most} are checked at once: put together what is alike"
            )


def parts_of(layout: Layout, system: UnitSystem = "us") -> tuple[Part, ...]:
    """What has to be cut, bought or reclaimed, equal parts together."""
    lengths: dict[str, float] = {}
    of: dict[str, str] = {}
    for bar in layout.bars.values():
        lengths[bar.part] = lengths.get(bar.part, 0.0) + dist(layout.nodes[bar.start], layout.nodes[bar.end])
        metal = bar.material.spec if bar.material.certified else bar.material.name
        of[bar.part] = f"{bar.section.label}, {metal}{' (reclaimed)' if bar.reclaimed else ''}"
    cut: dict[tuple[str, float], list[str]] = {}
    for part, length in lengths.items():
        cut.setdefault((of[part], round(length, 4)), []).append(part)
    found = [
        Part(name=_together(names), count=len(names), material=material, length_m=length)
        for (material, length), names in cut.items()
    ]
    panels: dict[tuple[str, str], int] = {}
    for panel in layout.panels:
        alike = (kind_of(panel.part), panel.material)
        panels[alike] = panels.get(alike, 0) + 1
    found += [Part(name=name, count=n, material=material) for (name, material), n in panels.items()]
    wheels: dict[str, int] = {}
    for wheel in layout.wheels:
        brake = "" if wheel.brake == "none" else f", {wheel.brake} brake"
        rated = "no rating" if wheel.rating_kg is None else f"rated {Quantity(wheel.rating_kg, MASS).text(system)}"
        kind = "swivel" if wheel.swivel else "rigid"
        size = Quantity(wheel.diameter_m, LENGTH).text(system)
        name = f"{kind} caster {size}, {wheel.tread.replace('_', ' ')}{brake}, {rated}"
        wheels[name] = wheels.get(name, 0) + 1
    return (*found, *(Part(name=name, count=n, material="bought") for name, n in wheels.items()))


def _together(names: list[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(dict.fromkeys(kind_of(name) for name in names))


def scene_of(layout: Layout) -> tuple[Shape, ...]:
    """What there is to see."""
    nodes = layout.nodes
    shapes = [
        Shape(
            kind="bar",
            points_m=(nodes[bar.start], nodes[bar.end]),
            size_m=(
                bar.section.depth_m,
                bar.section.width_m,
                bar.section.wall_nominal_m if bar.section.closed or bar.section.shape == "angle" else 0.0,
            ),
            round_=bar.section.outside_diameter_m is not None,
            profile="angle" if bar.section.shape == "angle" else "",
            roll_rad=bar.roll_rad,
            label=name,
            part=bar.part,
            role=bar.role,
        )
        for name, bar in layout.bars.items()
    ]
    shapes += [
        Shape(
            kind="plate",
            points_m=panel.corners,
            size_m=(panel.thickness_m,),
            label=panel.part,
            part=panel.part,
            role="deck",
        )
        for panel in layout.panels
    ]
    for wheel in layout.wheels:
        x, y = wheel.at
        centre = (x - (wheel.trail_m if wheel.swivel else 0.0), y, wheel.diameter_m / 2)
        shapes.append(
            Shape(
                kind="wheel",
                points_m=(centre, (x, y, nodes[wheel.node][2])),
                size_m=(wheel.diameter_m, wheel.width_m),
                label=wheel.name,
                role="wheel",
            )
        )
    for foot in layout.feet:
        x, y = foot.at
        shapes.append(
            Shape(kind="line", points_m=((x, y, foot.gap_m), nodes[foot.node]), label=foot.name, role="foot")
        )
    for piece in layout.pieces:
        low = tuple(c - s / 2 for c, s in zip(piece.centre, piece.size, strict=True))
        high = tuple(c + s / 2 for c, s in zip(piece.centre, piece.size, strict=True))
        shapes.append(Shape(kind="box", points_m=(_xyz(low), _xyz(high)), label=piece.name, role="piece"))
    return tuple(shapes)


def _xyz(values: tuple[float, ...]) -> tuple[float, float, float]:
    x, y, z = values
    return x, y, z
