"""The part of the working of `weld` that concerns the face of a hollow section."""

from __future__ import annotations

from collections.abc import Iterator
from math import sin
from typing import Final

from floorwright.basis.working import Given, Step
from floorwright.propose.aid.calc.weld_input import Weld, WeldInput
from floorwright.propose.aid.joints import fillet, hollow_face
from floorwright.propose.aid.joints.face_parts import (
    E_PA,
    WIDE,
    Branch,
    Chord,
    Strength,
    Strengths,
    chord_factor,
    effective_width_m,
)
from floorwright.propose.aid.joints.face_round import chord_factor as round_chord_factor

_MM: Final = 1e3
_K: Final = "aisc_360_k"


def face_givens(_given: WeldInput, weld: Weld) -> Iterator[Given]:
    """Sizes of chord and branch."""
    chord, branch = weld.chord, weld.branch
    if chord is None or branch is None:
        return
    yield Given("B", _MM * chord.width_m, "mm", "width of the face, or diameter")
    yield Given("H", _MM * chord.depth_m, "mm", "depth of the hollow section")
    yield Given("tc", _MM * chord.wall_m, "mm", "wall of the hollow section")
    yield Given("rc", _MM * chord.corner_m, "mm", "its outside corner radius")
    yield Given("Fyc", chord.Fy_pa / 1e6, "MPa", "its yield strength")
    yield Given("E", E_PA / 1e6, "MPa", "modulus of elasticity")
    yield Given("Hb", _MM * branch.along_m, "mm", "size of the branch along the hollow section")
    yield Given("Bb", _MM * branch.across_m, "mm", "size of the branch across it")
    yield Given("tb", _MM * _branch_wall_m(branch), "mm", "wall of the branch, or thickness of a plate")
    yield Given("Fyb", (branch.Fy_pa or chord.Fy_pa) / 1e6, "MPa", "yield strength of the branch")
    yield Given("sa", sin(branch.angle_rad), "", "sine of the angle between them")
    if chord.stress_ratio is not None:
        yield Given("U", chord.stress_ratio, "", "stress of the hollow section over what it may have")


def _branch_wall_m(branch: Branch) -> float:
    return branch.wall_m or min(branch.along_m, branch.across_m)


def face_steps(given: WeldInput, weld: Weld) -> Iterator[Step]:
    """Every limit of the face with its clause, what is used of it, and the weld as far as it carries."""
    chord, branch, face = weld.chord, weld.branch, given.hollow_face
    if chord is None or branch is None or face is None or chord.stress_ratio is None:
        return
    (limit,) = hollow_face.face_limits(chord, branch, face.joint, weld.forces, method=given.method)
    if limit.use is None:
        return
    yield from _ratio_steps(chord, branch, chord.stress_ratio)
    found = hollow_face.strengths(chord, branch, face.joint, chord.stress_ratio)
    texts = []
    N = float(weld.forces.N)
    axial = tuple(each for each in found.axial if N < 0 or not each.pressed_only)
    for symbol, own, force, unit, what in (
        ("Na", axial, "N", "N", "axial force"),
        ("Ma", found.in_plane, "My", "N·mm", "moment along"),
        ("Mo", found.out_of_plane, "Mx", "N·mm", "moment across"),
    ):
        if float(getattr(weld.forces, force)) == 0:
            continue
        yield from _strength_steps(given, symbol, own, unit, what)
        squared = found.square and force == "My"
        texts.append(f"(abs({force}) / {symbol})**2" if squared else f"abs({force}) / {symbol}")
    formula = " + ".join(texts) if texts else "0"
    yield Step("u_face", formula, float(limit.use), "", "use of the face", _K, _interaction(found))
    yield from _effective_steps(given, weld, chord, branch)


def _interaction(found: Strengths) -> str:
    return (
        "AISC 360 K4: in-plane moment squared on a round chord" if found.square else "AISC 360 K4: sum of the uses"
    )


def _ratio_steps(chord: Chord, branch: Branch, stress_ratio: float) -> Iterator[Step]:
    s, beta = sin(branch.angle_rad), min(branch.across_m / chord.width_m, 1.0)
    yield Step("beta", "min(Bb / B, 1)", beta, "", "width of the branch over the face's", _K)
    yield Step("bn", f"min(beta, {WIDE})", min(beta, WIDE), "", "the same, up to where the side walls share", _K)
    yield Step(
        "eta", "Hb / sa / B", branch.along_m / s / chord.width_m, "", "length of the branch over the width", _K
    )
    yield Step("gamma", "B / (2 * tc)", chord.half_slenderness, "", "half the width over the wall", _K)
    width = effective_width_m(chord, branch)
    formula = "min(10 * tc / B * Fyc * tc / (Fyb * tb), 1) * Bb"
    yield Step("be", formula, _MM * width, "mm", "part of a side across the face that carries", _K)
    if chord.shape == "round":
        formula, value = "max(0, 1 - 0.3 * U * (1 + U))", round_chord_factor(stress_ratio)
    elif branch.shape == "plate" and branch.across_m < branch.along_m:
        formula, value = "sqrt(max(0, 1 - U**2))", max(0.0, 1 - stress_ratio**2) ** 0.5
    else:
        formula, value = "min(1, max(0, 1.3 - 0.4 * U / beta))", chord_factor(beta, stress_ratio)
    yield Step("Qf", formula, value, "", "what the stress of the hollow section itself leaves", _K)


def _strength_steps(
    given: WeldInput, symbol: str, own: tuple[Strength, ...], unit: str, what: str
) -> Iterator[Step]:
    scale = 1.0 if unit == "N" else 1e3
    for i, each in enumerate(own, 1):
        factor = f"/ {each.omega:.2f}" if given.method == "ASD" else f"* {each.phi:.2f}"
        value = scale * each.available(given.method)
        meaning = f"{what}: {each.name}"
        yield Step(f"{symbol}{i}", f"{each.formula} {factor}", value, unit, meaning, _K, each.clause)
    least = scale * min(each.available(given.method) for each in own)
    names = ", ".join(f"{symbol}{i}" for i in range(1, len(own) + 1))
    formula = names if len(own) == 1 else f"min({names})"
    yield Step(symbol, formula, least, unit, f"{what}: the least", _K)


def _effective_steps(given: WeldInput, weld: Weld, chord: Chord, branch: Branch) -> Iterator[Step]:
    face = given.hollow_face
    throat_m = float(weld.group.throats_m.min())
    strength = fillet.throat_strength_pa(weld.electrode_pa, given.method)
    limit = None
    if face is not None:
        limit = hollow_face.effective_weld_limit(chord, branch, face.joint, weld.forces, strength, throat_m)
    if limit is None or limit.use is None:
        return
    found = hollow_face.effective_weld(chord, branch)
    wide = branch.across_m > WIDE * chord.width_m or sin(branch.angle_rad) > hollow_face.STEEP_SINE
    formula = "min(be, Bb / 2)" if wide else "be"
    yield Step("bw", formula, _MM * found.width_m, "mm", "part of each side across that carries weld", _K, "K5")
    yield Step("le", "2 * Hb / sa + 2 * bw", _MM * found.length_m, "mm", "length of weld that carries", _K, "K5")
    formula = "(Hb / sa)**2 / 3 + bw * Hb / sa"
    yield Step("Si", formula, 1e6 * found.in_plane_m2, "mm2", "its modulus along, over the throat", _K, "K5")
    formula = "Hb / sa * Bb + Bb**2 / 3 - (Bb - bw)**3 / (3 * Bb)"
    yield Step("So", formula, 1e6 * found.out_of_plane_m2, "mm2", "its modulus across, over the throat", _K, "K5")
    yield Step("tw", _throat_text(weld), _MM * throat_m, "mm", "thinnest throat")
    formula = "(abs(N) / le + abs(My) / Si + abs(Mx) / So) / (Fw * tw)"
    yield Step("u_eff", formula, float(limit.use), "", "use of the weld as far as it carries", _K, "K5")


def _throat_text(weld: Weld) -> str:
    count = len(weld.group.throats_m)
    return "t1" if count == 1 else f"min({', '.join(f't{i}' for i in range(1, count + 1))})"
