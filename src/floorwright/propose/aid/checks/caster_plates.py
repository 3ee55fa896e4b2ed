"""Plates under the casters: bending and bolts under the worst load and a struck wheel, and their weld."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from floorwright.basis.check import Check, judge
from floorwright.basis.metal.tables import Bolt, bolts
from floorwright.basis.quantity import FORCE, LENGTH
from floorwright.propose.aid.aid import Aid, Finding
from floorwright.propose.aid.checks.caster_plate_working import plate_working
from floorwright.propose.aid.checks.joint_ends import Places
from floorwright.propose.aid.joints.bolts import BoltUse
from floorwright.propose.aid.joints.caster_plate import CasterLoads, CasterPlate, caster_plate_limits, turning_n_m
from floorwright.propose.aid.joints.fillet import spread, throat_strength_pa
from floorwright.propose.aid.joints.loads import Forces, worst
from floorwright.propose.aid.joints.weld_group import Group, Line, line_group, rectangular_group
from floorwright.propose.aid.layout import Plate, Wheel
from floorwright.propose.aid.states import shock_factor

_ALONG: Final = 0.9  # a bar that runs within 25 degrees of an axis covers the plate along it
_SAME: Final = 0.01
NAME: Final = "caster plates"


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """What stands on a plate: its outside sizes along x and y, and along which of them it runs right over."""

    sizes: tuple[float, float]
    covered: tuple[bool, bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One load case of a wheel: N down, N sideways, and in words."""

    down: float
    side: float
    words: str


def findings(aid: Aid) -> Iterator[Finding]:
    """The plate of the worst wheel, and its weld; none for an aid without wheels.

    Sprung wheels carry the empty aid alone; their pattern looks at them.
    """
    wheels = [wheel for wheel in aid.layout.wheels if not wheel.sprung]
    if not wheels:
        return
    bare = next((wheel for wheel in wheels if wheel.plate is None), None)
    if bare is not None:
        yield _unknown(
            "Whether the plates under the casters hold is not known. Give wheels.plate: length, width, thickness, "
            "bolts.",
            bare,
        )
        return
    places = Places(aid.layout)
    looked = [_Plate(aid, places, wheel) for wheel in wheels]
    open_ = next((each for each in looked if each.missing), None)
    if open_ is not None:
        yield _unknown(f"Whether the plates under the casters hold is not known: {open_.missing}.", open_.wheel)
    else:
        yield max(looked, key=lambda each: each.use).finding()
    yield from _weld(aid, looked)


def _unknown(sentence: str, wheel: Wheel, name: str = NAME) -> Finding:
    check = Check(
        name=name,
        case="a wheel struck, and over a threshold",
        demand=None,
        capacity=None,
        ratio=None,
        verdict="unknown",
        sentence=sentence,
        source="aisc_360",
    )
    return Finding(check=check, about=wheel.name)


def loads_of(aid: Aid, wheel: Wheel) -> list[Load]:
    """The most on a wheel over a threshold, swivels turned; and for every blow on it, the most that presses on it.

    A blow is what stops all masses: mass times speed squared over twice the way in which tyre and frame give.
    """
    supports = [support.name for support in aid.causes.supports]
    k = supports.index(wheel.name)
    factor = shock_factor(aid.layout, aid.spec)
    found = [Load(down=factor * aid.turned_loads[k].value, side=0.0, words="over a threshold")]
    mass = float(aid.causes.masses.sum())
    for state in aid.states:
        if state.blow is None or state.blow[0] != k:
            continue
        responses = [(stand, stand.contact[:, k]) for stand in aid.causes.stands if k in stand.on]
        pressed = aid.search.largest(responses, state)
        down = aid.turned_loads[k].value if pressed is None else max(0.0, pressed.value)
        side = mass * abs(state.level[0] + state.level[1])
        found.append(Load(down=down, side=side, words=state.words))
    return found


def leg_on(aid: Aid, places: Places, wheel: Wheel, plate: Plate) -> Leg:
    """What of the frame stands on a plate."""
    bars = [
        (bar, end)
        for bar, each in aid.layout.bars.items()
        for end in (0, 1)
        if (each.start, each.end)[end] == wheel.node
    ]
    sizes, covered = [], []
    for i, own in enumerate((plate.length_m, plate.width_m)):
        ways = [float(places.away(*each)[i]) for each in bars]
        over = max(ways) > _ALONG and min(ways) < -_ALONG
        across = []
        for bar, _ in bars:
            section, axes = aid.layout.bars[bar].section, places.axes[places.number[bar]]
            if abs(axes[0, i]) > _ALONG:
                across.append(min(section.width_m, section.depth_m))
            else:
                across.append(float(section.width_m * abs(axes[1, i]) + section.depth_m * abs(axes[2, i])))
        covered.append(over)
        sizes.append(own if over else min(own, max(across)))
    return Leg(sizes=(sizes[0], sizes[1]), covered=(covered[0], covered[1]))


def bolt_of(plate: Plate) -> Bolt | None:
    """The bolt of the table with this diameter and grade; None where there is none."""
    wanted = (plate.bolt_grade or "").lower()
    return next(
        (
            each
            for each in bolts()
            if plate.bolt_m is not None
            and abs(each.diameter_m - plate.bolt_m) <= _SAME * each.diameter_m
            and (each.grade.lower() == wanted or each.grade.lower().endswith(f" {wanted}"))
            and wanted
        ),
        None,
    )


class _Plate:
    """The plate of one wheel, worked out."""

    def __init__(self, aid: Aid, places: Places, wheel: Wheel) -> None:
        assert wheel.plate is not None  # noqa: S101  asked only where it is given
        self.aid, self.wheel, self.given = aid, wheel, wheel.plate
        self.leg = leg_on(aid, places, wheel, self.given)
        self.cases = loads_of(aid, wheel)
        self.loads = CasterLoads.of([each.down for each in self.cases], [each.side for each in self.cases])
        self.bolt = bolt_of(self.given)
        self.plate = self._plate()
        self.limits = caster_plate_limits(self.plate, self.loads)
        use, known = worst(self.limits)
        self.at = int(np.argmax(use))
        self.use = float(use[self.at])
        self.missing = "" if known else "the strength of the plate is not known; give wheels.plate.material"
        if self.given.bolt_m is not None and self.bolt is None:
            self.missing = (
                "the table holds no bolt of this size and grade; give wheels.plate.bolt_grade as on its head "
                "(Grade 2, Grade 5, Grade 8, 8.8)"
            )

    def _plate(self) -> CasterPlate:
        plate, wheel = self.given, self.wheel
        steel = plate.material
        top = self.aid.layout.nodes[wheel.node][2]
        return CasterPlate(
            mount="plate",
            length_m=plate.length_m,
            width_m=plate.width_m,
            thickness_m=plate.thickness_m,
            Fy_pa=None if steel is None else steel.Fy_pa,
            bolts_along_m=plate.length_m if plate.bolts_x_m is None else plate.bolts_x_m,
            bolts_across_m=plate.width_m if plate.bolts_y_m is None else plate.bolts_y_m,
            leg_along_m=self.leg.sizes[0],
            leg_across_m=self.leg.sizes[1],
            bolt=None if self.bolt is None else BoltUse(bolt=self.bolt),
            trail_m=wheel.trail_m,
            blow_height_m=max(0.0, top - wheel.diameter_m / 2),
        )

    def finding(self) -> Finding:
        """Plate and bolts, whichever is used more."""
        aid, case = self.aid, self.cases[self.at]
        limit = max(self.limits, key=lambda each: -1.0 if each.use is None else float(each.use[self.at]))
        ratio, verdict = judge(self.use, 1.0)
        thick = aid.text(self.given.thickness_m, LENGTH)
        struck = f" and is struck with {aid.text(case.side, FORCE)}" if case.side else ""
        what = f"its {thick} plate" if "plate" in limit.name else "its bolts"
        help_ = (
            "; take a thicker plate" if "plate" in limit.name else "; take larger bolts, or set them wider apart"
        )
        check = Check(
            name=NAME,
            case=f"{case.words}; {self.wheel.name}",
            demand=self.use,
            capacity=1.0,
            ratio=ratio,
            verdict=verdict,
            sentence=f"When the {self.wheel.name} caster carries {aid.text(case.down, FORCE)}{struck}, "
            f"{100 * self.use:.0f} % of what {what} can take is used{help_ if self.use > 1 else ''}.",
            source="aisc_360" if "plate" in limit.name else "aisc_360_j",
        )
        return Finding(
            check=check,
            working=plate_working(self.plate, case.down, case.side, case.words),
            about=self.wheel.name,
        )

    def weld(self, leg_m: float) -> Group:
        """All round the leg, or along both sides of a part that runs right over the plate."""
        x, y = self.leg.sizes
        over_x, over_y = self.leg.covered
        if over_x == over_y:
            return rectangular_group(x, y, leg_m)
        half = (x / 2, y / 2)
        ends = [(-half[0], -half[1]), (half[0], half[1])]
        if over_x:
            lines = [Line(start=(ends[0][0], v), end=(ends[1][0], v), leg_m=leg_m) for v in (-half[1], half[1])]
        else:
            lines = [Line(start=(u, ends[0][1]), end=(u, ends[1][1]), leg_m=leg_m) for u in (-half[0], half[0])]
        return line_group(lines, end_loaded=False)


def _weld(aid: Aid, looked: list[_Plate]) -> Iterator[Finding]:
    """The weld between plate and frame, where the frame is welded."""
    name, end = "weld of the caster plates", aid.spec.joints.end()
    if end.kind != "welded":
        if any(each.given.bolt_m is None for each in looked):
            yield _unknown(
                "Whether the casters stay on is not known: the plates have no bolts and the frame is not welded. "
                "Give wheels.plate.bolt, bolts_along, bolts_across and bolt_grade.",
                looked[0].wheel,
                name,
            )
        return
    if end.weld_leg_m is None:
        yield _unknown(
            "Whether the welds of the plates hold is not known. Say the leg of the fillet (joints.weld_leg).",
            looked[0].wheel,
            name,
        )
        return
    throat = throat_strength_pa(end.electrode_pa)
    uses = []
    for each in looked:
        moment, down, side = turning_n_m(each.plate, each.loads), each.loads.down, each.loads.side
        group = each.weld(end.weld_leg_m)
        asked = []
        for along in (True, False):
            # The wheel turns to where it hurts most; pressure goes into the weld too.
            forces = Forces.of(
                N=-down,
                Vx=side if along else 0.0,
                Vy=0.0 if along else side,
                Mx=0.0 if along else moment,
                My=moment if along else 0.0,
            )
            found = spread(group, forces)
            asked.append(found.most(found.size) / throat)
        use = np.max(asked, axis=0)
        uses.append((float(use.max()), int(np.argmax(use)), each))
    use, at, plate = max(uses, key=lambda each: each[0])
    ratio, verdict = judge(use, 1.0)
    case = plate.cases[at]
    check = Check(
        name=name,
        case=f"{case.words}; {plate.wheel.name}",
        demand=use,
        capacity=1.0,
        ratio=ratio,
        verdict=verdict,
        sentence=f"The weld between the frame and the plate of the {plate.wheel.name} caster, a "
        f"{aid.text(end.weld_leg_m, LENGTH)} fillet, uses {100 * use:.0f} % of what it can take"
        f"{'; a larger leg or a longer plate helps' if use > 1 else ''}.",
        source="aisc_360_j2",
    )
    yield Finding(check=check, about=plate.wheel.name)
