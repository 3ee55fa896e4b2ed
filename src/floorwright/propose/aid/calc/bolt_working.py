"""The working of `bolt` in millimetres, newtons and megapascals."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from typing import Final

import numpy as np

from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.joints import bolts
from floorwright.propose.aid.joints.loads import XY, Array, Forces, Limit, Method, design_factor

_J: Final = "aisc_360_j"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BoltAnswer:
    """A bolted joint worked out.

    Attributes:
        use, forces, points, plies, method, reused, lubricated, friction: what was given.
        tension, shear: N on each bolt.
        limits: every way in which it can give.
        preload_n, torque_n_m: how to tighten.
    """

    use: bolts.BoltUse
    forces: Forces
    points: tuple[XY, ...]
    tension: Array
    shear: Array
    plies: tuple[bolts.Ply, ...]
    limits: tuple[Limit, ...]
    method: Method
    reused: bool
    lubricated: bool
    friction: float | None
    preload_n: float
    torque_n_m: float


def working_of(answer: BoltAnswer) -> Working:
    """One bolt, the pattern, the parts, tightening."""
    return Working(
        title=f"Bolted joint, {answer.use.bolt.size} {answer.use.bolt.grade}",
        given=tuple(_givens(answer)),
        assumptions=(
            "elastic pattern: bolts share by their distance from the centre; prying is not in it",
            "strength on the gross area of the shank (AISC 360 Table J3.2), proof on the tensile area",
        ),
        steps=(*_bolt_steps(answer), *_load_steps(answer), *_ply_steps(answer), *_tight_steps(answer)),
    )


def _givens(answer: BoltAnswer) -> Iterator[Given]:
    bolt = answer.use.bolt
    yield Given("pi", pi, "", "circumference of a circle over its diameter")
    yield Given("d", 1e3 * bolt.diameter_m, "mm", "diameter of the bolt")
    yield Given("At", 1e6 * bolt.tensile_area_m2, "mm2", "tensile area")
    yield Given("Sp", bolt.proof_pa / 1e6, "MPa", "proof strength")
    yield Given("Fub", bolt.tensile_pa / 1e6, "MPa", "tensile strength of the bolt")
    for name, scale, unit in (
        ("N", 1, "N"),
        ("Vx", 1, "N"),
        ("Vy", 1, "N"),
        ("Mx", 1e3, "N·mm"),
        ("My", 1e3, "N·mm"),
        ("T", 1e3, "N·mm"),
    ):
        yield Given(name, scale * float(getattr(answer.forces, name)), unit, "on the centre of the bolts")
    for i, ply in enumerate(answer.plies, 1):
        yield Given(f"t{i}", 1e3 * ply.thickness_m, "mm", f"thickness of {ply.name}")
        if ply.Fu_pa is not None:
            yield Given(f"Fu{i}", ply.Fu_pa / 1e6, "MPa", f"tensile strength of {ply.name}")
        if ply.clear_m is not None:
            yield Given(f"lc{i}", 1e3 * ply.clear_m, "mm", f"clear distance in {ply.name}")


def _factor(answer: BoltAnswer, pair: tuple[float, float]) -> str:
    return f"/ {pair[0]:.2f}" if answer.method == "ASD" else f"* {pair[1]:.2f}"


def _bolt_steps(answer: BoltAnswer) -> Iterator[Step]:
    use, factor = answer.use, _factor(answer, bolts.OMEGA)
    yield Step("Ab", "pi / 4 * d**2", 1e6 * use.gross_m2, "mm2", "area of the shank")
    yield Step(
        "Fnt", f"{bolts.TENSION} * Fub", use.tension_pa / 1e6, "MPa", "nominal tensile stress", _J, "Table J3.2"
    )
    share = bolts.SHEAR_THREADS_IN if use.threads_in_plane else bolts.SHEAR_THREADS_OUT
    threads = "threads in the shear plane" if use.threads_in_plane else "threads out of the shear plane"
    yield Step(
        "Fnv", f"{share} * Fub", use.shear_pa / 1e6, "MPa", f"nominal shear stress, {threads}", _J, "Table J3.2"
    )
    yield Step("Ra_t", f"Fnt * Ab {factor}", use.tension_n(answer.method), "N", "available tension", _J, "J3.6")
    formula = f"Fnv * Ab * {use.shear_planes} {factor}"
    yield Step("Ra_v", formula, use.shear_n(answer.method), "N", "available shear", _J, "J3.6")


def _load_steps(answer: BoltAnswer) -> Iterator[Step]:
    at = np.array(answer.points)
    x, y = 1e3 * (at - at.mean(axis=0)).T
    n = len(answer.points)
    sums = {"Sxx": float((x**2).sum()), "Syy": float((y**2).sum()), "Sxy": float((x * y).sum())}
    turns = any(float(getattr(answer.forces, name)) != 0 for name in ("Mx", "My", "T"))
    if turns:
        for symbol, value in sums.items():
            note = "summed over the bolts, from their centre"
            yield Step(symbol, "", value, "mm2", f"sum of {symbol[1]} {symbol[2]}", "definition", note)
    whole = sums["Sxx"] * sums["Syy"] - sums["Sxy"] ** 2
    regular = whole > 1e-9 * (sums["Sxx"] + sums["Syy"]) ** 2
    for i in range(n):
        tension, shear = f"N / {n}", (f"Vx / {n}", f"Vy / {n}")
        note = ""
        if turns:
            px, py = f"({float(x[i])!r})", f"({float(y[i])!r})"
            shear = (f"{shear[0]} - T * {py} / (Sxx + Syy)", f"{shear[1]} + T * {px} / (Sxx + Syy)")
            if regular:
                det = "(Sxx * Syy - Sxy**2)"
                tension += f" + (Sxx * Mx + Sxy * My) / {det} * {py} - (Sxy * Mx + Syy * My) / {det} * {px}"
            else:
                tension, note = "", "bolts in a row: the moment that the row has a lever for"
        if tension:
            tension = f"max(0, {tension})"
        meaning = f"tension of bolt {i + 1}"
        yield Step(f"Tb{i + 1}", tension, float(answer.tension[i]), "N", meaning, "definition", note)
        formula = f"sqrt(({shear[0]})**2 + ({shear[1]})**2)"
        yield Step(f"Vb{i + 1}", formula, float(answer.shear[i]), "N", f"shear of bolt {i + 1}", "definition")
    every = [", ".join(f"{symbol}{i + 1}" for i in range(n)) for symbol in ("Tb", "Vb")]
    for symbol, names, values, what in (
        ("Tmax", every[0], answer.tension, "tension"),
        ("Vmax", every[1], answer.shear, "shear"),
    ):
        formula = names if n == 1 else f"max({names})"
        yield Step(symbol, formula, float(values.max()), "N", f"largest {what} of a bolt")
    yield Step(
        "u_t",
        "Tmax / Ra_t",
        float(answer.tension.max()) / answer.use.tension_n(answer.method),
        "",
        "use in tension",
        _J,
    )
    yield Step(
        "u_v", "Vmax / Ra_v", float(answer.shear.max()) / answer.use.shear_n(answer.method), "", "use in shear", _J
    )
    yield from _both_steps(answer)


def _both_steps(answer: BoltAnswer) -> Iterator[Step]:
    use, factor = answer.use, design_factor(*bolts.OMEGA, answer.method)
    limit = next(each for each in answer.limits if each.name == "bolt in tension with shear")
    if limit.use is None or not np.isfinite(limit.use):
        return
    asked = answer.shear / (use.gross_m2 * use.shear_planes)
    reduced = np.clip(1.3 * use.tension_pa - use.tension_pa / (use.shear_pa * factor) * asked, 0.0, use.tension_pa)
    i = int(np.argmax(np.divide(answer.tension, reduced, out=np.zeros_like(reduced), where=reduced > 0)))
    text = _factor(answer, bolts.OMEGA)
    inverse = "2.00 * Fnt / Fnv" if answer.method == "ASD" else "Fnt / (0.75 * Fnv)"
    formula = f"min(Fnt, max(0, 1.3 * Fnt - {inverse} * Vb{i + 1} / (Ab * {use.shear_planes})))"
    meaning = f"nominal tensile stress beside the shear, bolt {i + 1}"
    yield Step("Fnt_v", formula, float(reduced[i]) / 1e6, "MPa", meaning, _J, "J3.7")
    if reduced[i] > 0:
        formula = f"Tb{i + 1} / (Fnt_v * Ab {text})"
        yield Step("u_tv", formula, float(limit.use), "", "use in tension with shear", _J, "J3.7")


def _ply_steps(answer: BoltAnswer) -> Iterator[Step]:
    for i, ply in enumerate(answer.plies, 1):
        strength = bolts.bearing_n(ply, answer.use.bolt.diameter_m, answer.method)
        if strength is None:
            continue
        formula = (
            f"min({bolts.BEARING} * d, {bolts.EDGE_CLEAR} * lc{i}) * t{i} * Fu{i} {_factor(answer, bolts.OMEGA)}"
        )
        meaning = f"{ply.name}: bearing and tear-out at one bolt"
        yield Step(f"Rp{i}", formula, strength, "N", meaning, _J, "J3.10")
        if strength > 0:
            use = float(answer.shear.max()) / strength
            yield Step(f"u_p{i}", f"Vmax / Rp{i}", use, "", f"use of {ply.name}", _J)


def _tight_steps(answer: BoltAnswer) -> Iterator[Step]:
    bolt, share = answer.use.bolt, bolts.PRELOAD["reused" if answer.reused else "permanent"]
    yield Step("Fp", "Sp * At", bolts.proof_load_n(bolt), "N", "proof load", "bolt_tables")
    yield Step("Fi", f"{share} * Fp", answer.preload_n, "N", "preload", "shigley_bolts")
    factor = bolts.NUT_FACTOR["lubricated" if answer.lubricated else "dry"]
    yield Step("Tq", f"{factor} * Fi * d", 1e3 * answer.torque_n_m, "N·mm", "torque for it, about", "shigley_bolts")
    slip = next((each for each in answer.limits if each.name == "slip"), None)
    if slip is None or slip.use is None or answer.friction is None or not np.isfinite(slip.use):
        return
    left = np.maximum(answer.preload_n - answer.tension, 0.0)
    i = int(np.argmax(np.divide(answer.shear, left, out=np.zeros_like(left), where=left > 0)))
    factor_text = _factor(answer, bolts.OMEGA_SLIP)
    formula = f"{answer.friction!r} * {answer.use.shear_planes} * max(0, Fi - Tb{i + 1}) {factor_text}"
    value = bolts.slip_n(float(left[i]), answer.use.shear_planes, answer.friction, answer.method)
    yield Step("Rs", formula, value, "N", f"what friction holds at bolt {i + 1}", "shigley_bolts")
    if value > 0:
        yield Step("u_s", f"Vb{i + 1} / Rs", float(slip.use), "", "use against slip", "shigley_bolts")
