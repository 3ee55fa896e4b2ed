"""The working of `weld` in millimetres, newtons and megapascals."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, pi
from typing import Final

import numpy as np

from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.calc.weld_face_working import face_givens, face_steps
from floorwright.propose.aid.calc.weld_input import Weld, WeldInput
from floorwright.propose.aid.calc.weld_parts import PartUse, load_size
from floorwright.propose.aid.joints import fillet, weld_group
from floorwright.propose.aid.joints.loads import design_factor

_MM: Final = 1e3
_FORCES: Final = (
    ("N", 1.0, "N", "force out of the plane, tension positive"),
    ("Vx", 1.0, "N", "force along x"),
    ("Vy", 1.0, "N", "force along y"),
    ("Mx", 1e3, "N·mm", "moment about x"),
    ("My", 1e3, "N·mm", "moment about y"),
    ("T", 1e3, "N·mm", "torsion, about z"),
)


def working_of(given: WeldInput, weld: Weld, parts: tuple[PartUse, ...]) -> Working:
    """Throat, walls, face, and what is left of them."""
    return Working(
        title="Fillet weld",
        given=tuple(_givens(given, weld)),
        assumptions=tuple(_assumptions(given, weld)),
        steps=(
            *_shape_steps(given, weld),
            *_stress_steps(given, weld),
            *face_steps(given, weld),
            *_answer_steps(weld, parts),
        ),
    )


def _givens(given: WeldInput, weld: Weld) -> Iterator[Given]:
    group = weld.group
    yield Given("pi", pi, "", "circumference of a circle over its diameter")
    if group.ring_radius_m is not None:
        yield Given("D", 2 * _MM * group.ring_radius_m, "mm", "outside diameter of the tube")
        yield Given("w1", _MM * (given.size or 0.0), "mm", "leg")
    for i, line in enumerate(group.lines, 1):
        for end, at in (("a", line.start), ("b", line.end)):
            yield Given(f"x{i}{end}", _MM * at[0], "mm", f"x of {'start' if end == 'a' else 'end'} of weld {i}")
            yield Given(f"y{i}{end}", _MM * at[1], "mm", f"y of {'start' if end == 'a' else 'end'} of weld {i}")
        yield Given(f"w{i}", _MM * line.leg_m, "mm", f"leg of weld {i}")
    yield Given("FEXX", weld.electrode_pa / 1e6, "MPa", f"tensile strength of the filler, {given.electrode}")
    for name, scale, unit, meaning in _FORCES:
        text = meaning if weld.loaded else f"{meaning} (a unit force; none is given)"
        yield Given(name, scale * float(getattr(weld.forces, name)), unit, text)
    for i, wall in enumerate(weld.walls, 1):
        yield Given(f"tw{i}", _MM * wall.thickness_m, "mm", f"thickness of {wall.name}")
        if wall.Fy_pa is not None:
            yield Given(f"Fy{i}", wall.Fy_pa / 1e6, "MPa", f"yield strength of {wall.name}")
        if wall.Fu_pa is not None:
            yield Given(f"Fu{i}", wall.Fu_pa / 1e6, "MPa", f"tensile strength of {wall.name}")
    yield from face_givens(given, weld)


def _assumptions(given: WeldInput, weld: Weld) -> Iterator[str]:
    yield "elastic (vector) method: the weld is a line as wide as its throat; contact in compression is not counted"
    yield "forces act at the centre of the weld"
    if weld.cosine is None and not weld.group.closed and weld.group.axis is not None:
        yield "no direction factor: its angle is not told, a moment acts, or the weld ends a rectangular tube"
    if given.length is not None and given.angle is None:
        yield "the load is taken along the weld, where it is weakest"
    if weld.group.straight and bool(fillet.spread(weld.group, weld.forces).hinges):
        yield "the weld lies on the line that the moment turns about: it bears none of it"
    if weld.group.ring_radius_m is not None:
        yield "the place of a ring that is strained most is searched all round"
    if any(wall.sides == 2 for wall in weld.walls):
        yield "half of a wall's thickness for each of two welds on either side of it"


def _shape_steps(given: WeldInput, weld: Weld) -> Iterator[Step]:
    group = weld.group
    if group.ring_radius_m is not None:
        yield from _ring_steps(weld)
        return
    count = range(1, len(group.lines) + 1)
    runs = weld_group.run_lengths_m(group.lines)
    straights = weld_group.run_lengths_m(group.lines, straight=True)
    for i, line in enumerate(group.lines, 1):
        formula = f"sqrt((x{i}b - x{i}a)**2 + (y{i}b - y{i}a)**2)"
        yield Step(f"L{i}", formula, _MM * line.length_m, "mm", f"length of weld {i}")
        leg, throat = float(group.legs_m[i - 1]), float(group.throats_m[i - 1])
        short = leg < line.leg_m
        note = "shorter than four legs: a quarter of the length that hangs together" if short else ""
        formula = f"{_MM * runs[i - 1]!r} / 4" if short else f"w{i}"
        yield Step(f"e{i}", formula, _MM * leg, "mm", f"leg of weld {i} that counts", "aisc_360_j2", note)
        factor = f"0.707 * e{i}"
        if not given.whole_length and not group.closed and straights[i - 1] / leg > 100:
            long = f"{_MM * straights[i - 1]!r} / e{i}"
            factor += f" * (1.2 - 0.002 * {long})" if straights[i - 1] / leg <= 300 else f" * 180 / ({long})"
        yield Step(f"t{i}", factor, _MM * throat, "mm", f"throat of weld {i} that counts", "aisc_360_j2")

    def summed(inner: str) -> str:
        return " + ".join(inner.replace("#", str(i)) for i in count)

    area, centre = 1e6 * group.area_m2, group.centre
    yield Step("A", summed("t# * L#"), area, "mm2", "area of the throats")
    if not _turns(weld):
        return
    yield Step(
        "xc", f"({summed('t# * L# * (x#a + x#b) / 2')}) / A", _MM * centre[0], "mm", "centre of the welds, x"
    )
    yield Step(
        "yc", f"({summed('t# * L# * (y#a + y#b) / 2')}) / A", _MM * centre[1], "mm", "centre of the welds, y"
    )
    for symbol, axis, value in (("Ixx", "y", group.Ixx_m4), ("Iyy", "x", group.Iyy_m4)):
        one, other = f"({axis}#a - {axis}c)", f"({axis}#b - {axis}c)"
        formula = summed(f"t# * L# / 3 * ({one}**2 + {one} * {other} + {other}**2)")
        yield Step(symbol, formula, 1e12 * value, "mm4", f"sum of t {axis}² along the welds", "blodgett")
    ax, bx, ay, by = "(x#a - xc)", "(x#b - xc)", "(y#a - yc)", "(y#b - yc)"
    formula = summed(f"t# * L# / 6 * (2 * {ax} * {ay} + {ax} * {by} + {bx} * {ay} + 2 * {bx} * {by})")
    yield _product(formula, group)
    yield Step("Ip", "Ixx + Iyy", 1e12 * group.polar_m4, "mm4", "second moment about z", "blodgett")


def _product(formula: str, group: weld_group.Group) -> Step:
    value = 1e12 * group.Ixy_m4
    if abs(group.Ixy_m4) > 1e-9 * group.polar_m4:
        return Step("Ixy", formula, value, "mm4", "sum of t x y along the welds", "blodgett")
    note = "nought by symmetry, but for rounding"
    return Step("Ixy", "", value, "mm4", "sum of t x y along the welds", "blodgett", note)


def _ring_steps(weld: Weld) -> Iterator[Step]:
    group = weld.group
    leg, throat = float(group.legs_m[0]), float(group.throats_m[0])
    yield Step("e1", "min(w1, pi * D / 4)", _MM * leg, "mm", "leg that counts", "aisc_360_j2")
    yield Step("t1", "0.707 * e1", _MM * throat, "mm", "throat", "aisc_360_j2")
    yield Step("A", "pi * D * t1", 1e6 * group.area_m2, "mm2", "area of the throat", "blodgett")
    if _turns(weld):
        yield Step(
            "Ixx", "pi * D**3 / 8 * t1", 1e12 * group.Ixx_m4, "mm4", "second moment about any axis", "blodgett"
        )
        yield Step("Iyy", "Ixx", 1e12 * group.Iyy_m4, "mm4", "the same about y", "blodgett")
        yield Step("Ixy", "0", 0.0, "mm4", "nought by symmetry")
        yield Step("Ip", "2 * Ixx", 1e12 * group.polar_m4, "mm4", "second moment about z", "blodgett")


def _turns(weld: Weld) -> bool:
    return any(float(getattr(weld.forces, name)) != 0 for name in ("Mx", "My", "T"))


def _stress_steps(given: WeldInput, weld: Weld) -> Iterator[Step]:
    found = fillet.spread(weld.group, weld.forces)
    factor = design_factor(*fillet.OMEGA_WELD, given.method)
    text = "0.60 * FEXX / 2.00" if given.method == "ASD" else "0.75 * 0.60 * FEXX"
    strength = fillet.SHEAR * weld.electrode_pa * factor / 1e6
    yield Step("Fw", text, strength, "MPa", "strength of the throat along the weld", "aisc_360_j2")
    if weld.cosine is not None:
        formula = _cosine_text(given, weld)
        note = "" if formula else "of the angle between load and weld, as told"
        yield Step("c", formula, weld.cosine, "", "cosine of the angle between load and weld", "", note)
        formula = "1 + 0.5 * max(0, 1 - c**2)**0.75"
        yield Step("kd", formula, float(weld.factor), "", "direction factor, 1 + 0.5 sin^1.5", "aisc_360_j2")
    if bool(found.hinges):
        return
    worst = int(np.argmax(found.size))
    yield from _point_steps(weld, found, worst, "")
    use = float(found.size.max()) / 1e6 / (strength * float(weld.factor))
    formula = "f / (Fw * kd)" if weld.cosine is not None else "f / Fw"
    yield Step("u_throat", formula, use, "", "use of the throat", "aisc_360_j2")
    if weld.walls:
        yield from _wall_steps(given, weld, found, worst)


def _cosine_text(given: WeldInput, weld: Weld) -> str:
    axis = weld.group.axis
    if axis is None or (float(weld.forces.Vx) == 0 and float(weld.forces.Vy) == 0):
        return ""
    if given.angle is not None and float(weld.forces.N) == 0 and not weld.loaded:
        return ""
    return f"min(1, abs(Vx * {axis[0]!r} + Vy * {axis[1]!r}) / sqrt(N**2 + Vx**2 + Vy**2))"


def _point_steps(weld: Weld, found: fillet.Spread, at: int, mark: str) -> Iterator[Step]:
    """Stress at one point; `mark` keeps the symbols of a second point apart."""
    fx, fy, fz = (
        float(part[at]) / 1e6 for part in np.broadcast_arrays(found.fx, found.fy, found.fz, found.size)[:3]
    )
    x, y = (float(np.broadcast_to(part, found.size.shape)[at]) * _MM for part in (found.x, found.y))
    if not _turns(weld):
        yield Step(f"fx{mark}", "Vx / A", fx, "MPa", "stress along x")
        yield Step(f"fy{mark}", "Vy / A", fy, "MPa", "stress along y")
        yield Step(f"fz{mark}", "N / A", fz, "MPa", "stress out of the plane")
    else:
        yield from _place(weld, at, x, y, mark)
        formula = f"Vx / A - T * yg{mark} / Ip"
        yield Step(f"fx{mark}", formula, fx, "MPa", "stress along x", "blodgett")
        formula = f"Vy / A + T * xg{mark} / Ip"
        yield Step(f"fy{mark}", formula, fy, "MPa", "stress along y", "blodgett")
        formula = f"N / A + {_bending_text(weld, mark)}"
        yield Step(f"fz{mark}", formula, fz, "MPa", "stress out of the plane", "blodgett")
    size = float(found.size[at]) / 1e6
    formula = f"sqrt(fx{mark}**2 + fy{mark}**2 + fz{mark}**2)"
    yield Step(f"f{mark}", formula, size, "MPa", "stress on the throat", "blodgett")


def _place(weld: Weld, at: int, x: float, y: float, mark: str) -> Iterator[Step]:
    if weld.group.ring_radius_m is not None:
        note = "the place of the ring that is strained most"
        yield Step(f"xg{mark}", "", x, "mm", "x of the worst place, from the centre", "", note)
        yield Step(f"yg{mark}", "", y, "mm", "y of the worst place, from the centre", "", note)
        return
    line, end = at // 2 + 1, "ab"[at % 2]
    for axis, value in (("x", x), ("y", y)):
        meaning = f"{axis} of the worst place, from the centre"
        yield Step(f"{axis}g{mark}", f"{axis}{line}{end} - {axis}c", value, "mm", meaning)


def _bending_text(weld: Weld, mark: str) -> str:
    if weld.group.straight:
        u, v = weld.group.axis or (1.0, 0.0)
        return f"({v!r} * Mx - {u!r} * My) * ({u!r} * xg{mark} + {v!r} * yg{mark}) / Ip"
    whole = "(Ixx * Iyy - Ixy**2)"
    return f"(Iyy * Mx + Ixy * My) / {whole} * yg{mark} - (Ixy * Mx + Ixx * My) / {whole} * xg{mark}"


def _wall_steps(given: WeldInput, weld: Weld, found: fillet.Spread, worst: int) -> Iterator[Step]:
    pull = np.broadcast_to(found.per_length(), found.size.shape)
    at = int(np.argmax(pull))
    same = bool(pull[worst] >= pull[at] * (1 - 1e-12))
    mark = "" if same else "b"
    if not same:
        yield from _point_steps(weld, found, at, mark)
    at = worst if same else at
    line = 1 if weld.group.ring_radius_m is not None else int(weld.group.of_line[at]) + 1
    formula = f"0.707 * e{line} * f{mark}"
    yield Step("q", formula, float(pull[at]) / 1e3, "N/mm", "force for each length of weld, on the walls")
    for i, wall in enumerate(weld.walls, 1):
        yielding, rupture = fillet.wall_strengths_n_m(wall, given.method)
        for symbol, strength, stress, factors, called in (
            (f"ry{i}", yielding, f"Fy{i}", fillet.OMEGA_YIELD, "yield"),
            (f"ru{i}", rupture, f"Fu{i}", fillet.OMEGA_RUPTURE, "rupture"),
        ):
            if strength is None:
                continue
            factor = f"/ {factors[0]:.2f}" if given.method == "ASD" else f"* {factors[1]:.2f}"
            formula = f"0.60 * {stress} * tw{i} / {wall.sides} {factor}"
            meaning = f"shear {called} of {wall.name}"
            yield Step(symbol, formula, strength / 1e3, "N/mm", meaning, "aisc_360_j", "AISC 360 J4.2")
        known = [s for s, strength in ((f"ry{i}", yielding), (f"ru{i}", rupture)) if strength is not None]
        if known:
            least = min(each for each in (yielding, rupture) if each is not None)
            inner = known[0] if len(known) == 1 else f"min({', '.join(known)})"
            meaning = f"use of {wall.name} beside the weld"
            yield Step(f"u_wall{i}", f"q / {inner}", float(pull[at]) / least, "", meaning, "aisc_360_j")


def _answer_steps(weld: Weld, parts: tuple[PartUse, ...]) -> Iterator[Step]:
    size, force = load_size(weld.forces)
    names = ("N", "Vx", "Vy") if force else ("Mx", "My", "T")
    formula = f"sqrt({' + '.join(f'{name}**2' for name in names)})"
    value, unit = (size, "N") if force else (1e3 * size, "N·mm")
    yield Step("R", formula, value, unit, "size of the load")
    shares = [part.share for part in parts if part.share is not None]
    if len(shares) < len(parts) or not 0 < min(shares) < inf:
        return
    formula, note = f"R / max({', '.join(_uses(parts))})", ""
    if any(part.use and part.share and part.kind == "hollow_face" and not part.linear for part in parts):
        formula, note = (
            "",
            "where the weakest part is used in full; the in-plane moment of a round chord goes in squared",
        )
    yield Step("available", formula, min(shares) * value, unit, "load of this kind that all parts bear", "", note)


def _uses(parts: tuple[PartUse, ...]) -> Iterator[str]:
    walls = 0
    for part in parts:
        if part.kind == "base_metal":
            walls += 1
            yield f"u_wall{walls}"
        else:
            yield {"throat": "u_throat", "hollow_face": "u_face", "effective_weld": "u_eff"}[part.kind]
