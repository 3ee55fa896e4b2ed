"""Handbook tables of beams: AISC Manual Table 3-23, Roark Table 8.1, from memory unless said.

E I, spans and loads with numbers of no special shape; the handbook's figure beside ours. Uniform load on a
simple beam and the settlement of supports were seen in public copies.
"""

from __future__ import annotations

from math import cos, sqrt, tan

import pytest

from floorwright.propose.aid.frame import HELD, Member, Settlement, analyse
from floorwright.propose.aid.frame.results import Combination
from frames import FIXED, along, at_node, bar, beam, frame, point

E, SECOND, L, P, W, A = 200e9, 3.1e-7, 1.7, 830.0, 460.0, 0.6
EI = E * SECOND
SECTION = bar(E=E, A=1.0, Iy=SECOND, J=1e-6, G=77e9)
B = L - A
PIN, CLAMP, FREE = {"dz": HELD}, {"dz": HELD, "ry": HELD}, {}


def solved(
    left: dict[str, float], right: dict[str, float], *loads: object, spans: tuple[float, ...] = (L,)
) -> Combination:
    middle = [PIN] * (len(spans) - 1)
    return analyse(beam(spans, [left, *middle, right], loads, section=SECTION))["L"]


def moments(found: Combination, member: str = "m0") -> tuple[float, float, float]:
    """At the start, the largest between the ends, at the end: sagging positive."""
    inside = -found.along(member, 41).forces[:, 4]
    return float(inside[0]), float(max(inside, key=abs)), float(inside[-1])


def deflection_at(found: Combination, x: float, member: str = "m0") -> float:
    shape = found.along(member, 41)
    nearest = min(range(len(shape.x_m)), key=lambda i: abs(shape.x_m[i] - x))
    assert shape.x_m[nearest] == pytest.approx(x, abs=1e-9)
    return float(-shape.moved_m[nearest, 2])


def test_cantilever_with_end_load() -> None:
    found = solved(CLAMP, FREE, at_node("1", 0, 0, -P))
    assert moments(found)[0] == pytest.approx(-P * L, rel=1e-9)
    assert -float(found.displacement("1")[2]) == pytest.approx(P * L**3 / (3 * EI), rel=1e-9)


def test_cantilever_with_uniform_load() -> None:
    found = solved(CLAMP, FREE, along("m0", 0, 0, -W))
    assert moments(found)[0] == pytest.approx(-W * L**2 / 2, rel=1e-9)
    assert -float(found.displacement("1")[2]) == pytest.approx(W * L**4 / (8 * EI), rel=1e-9)


def test_cantilever_with_a_load_between() -> None:
    found = solved(CLAMP, FREE, point("m0", A / L, 0, 0, -P))
    assert moments(found)[0] == pytest.approx(-P * A, rel=1e-9)
    assert -float(found.displacement("1")[2]) == pytest.approx(P * A**2 * (3 * L - A) / (6 * EI), rel=1e-9)


def test_simple_beam_with_centre_load() -> None:
    found = solved(PIN, PIN, point("m0", 0.5, 0, 0, -P))
    assert moments(found)[1] == pytest.approx(P * L / 4, rel=1e-9)
    assert found.along("m0").sag_m == pytest.approx(P * L**3 / (48 * EI), rel=1e-9)


def test_simple_beam_with_uniform_load() -> None:
    found = solved(PIN, PIN, along("m0", 0, 0, -W))
    assert moments(found)[1] == pytest.approx(W * L**2 / 8, rel=1e-9)
    assert found.along("m0").sag_m == pytest.approx(5 * W * L**4 / (384 * EI), rel=1e-9)


def test_simple_beam_with_a_load_anywhere() -> None:
    found = solved(PIN, PIN, point("m0", A / L, 0, 0, -P))
    assert moments(found)[1] == pytest.approx(P * A * B / L, rel=1e-9)
    assert deflection_at(found, A) == pytest.approx(P * A**2 * B**2 / (3 * EI * L), rel=1e-9)


def test_simple_beam_with_two_equal_loads() -> None:
    found = solved(PIN, PIN, point("m0", A / L, 0, 0, -P), point("m0", B / L, 0, 0, -P))
    assert moments(found)[1] == pytest.approx(P * A, rel=1e-9)
    assert deflection_at(found, L / 2) == pytest.approx(P * A * (3 * L**2 - 4 * A**2) / (24 * EI), rel=1e-9)


def test_simple_beam_with_an_end_moment() -> None:
    found = solved(PIN, PIN, at_node("1", 0, 0, 0, 0, P, 0))
    assert abs(moments(found)[2]) == pytest.approx(P, rel=1e-9)
    assert found.along("m0", 2001).sag_m == pytest.approx(P * L**2 / (9 * sqrt(3) * EI), rel=1e-6)


def test_fixed_beam_with_centre_load() -> None:
    found = solved(CLAMP, CLAMP, point("m0", 0.5, 0, 0, -P))
    start, _, end = moments(found)
    assert start == pytest.approx(-P * L / 8, rel=1e-9)
    assert end == pytest.approx(-P * L / 8, rel=1e-9)
    assert found.along("m0").sag_m == pytest.approx(P * L**3 / (192 * EI), rel=1e-9)


def test_fixed_beam_with_uniform_load() -> None:
    found = solved(CLAMP, CLAMP, along("m0", 0, 0, -W))
    assert moments(found)[0] == pytest.approx(-W * L**2 / 12, rel=1e-9)
    assert -float(found.along("m0").forces[10, 4]) == pytest.approx(W * L**2 / 24, rel=1e-9)
    assert found.along("m0").sag_m == pytest.approx(W * L**4 / (384 * EI), rel=1e-9)


def test_fixed_beam_with_a_load_anywhere() -> None:
    found = solved(CLAMP, CLAMP, point("m0", A / L, 0, 0, -P))
    start, _, end = moments(found)
    assert start == pytest.approx(-P * A * B**2 / L**2, rel=1e-9)
    assert end == pytest.approx(-P * A**2 * B / L**2, rel=1e-9)
    assert deflection_at(found, A) == pytest.approx(P * A**3 * B**3 / (3 * EI * L**3), rel=1e-9)


def test_settling_supports() -> None:
    s = 0.004
    fixed = solved(CLAMP, CLAMP, Settlement(case="L", node="1", by={"dz": -s}))
    propped = solved(CLAMP, PIN, Settlement(case="L", node="1", by={"dz": -s}))
    assert abs(moments(fixed)[0]) == pytest.approx(6 * EI * s / L**2, rel=1e-9)
    assert abs(moments(propped)[0]) == pytest.approx(3 * EI * s / L**2, rel=1e-9)


def test_propped_beam_with_centre_load() -> None:
    found = solved(CLAMP, PIN, point("m0", 0.5, 0, 0, -P))
    assert moments(found)[0] == pytest.approx(-3 * P * L / 16, rel=1e-9)
    assert deflection_at(found, L / 2) < found.along("m0", 4001).sag_m
    assert found.along("m0", 4001).sag_m == pytest.approx(0.009317 * P * L**3 / EI, rel=1e-4)


def test_propped_beam_with_uniform_load() -> None:
    """The handbook's 185 is 184.6 rounded."""
    found = solved(CLAMP, PIN, along("m0", 0, 0, -W))
    assert moments(found)[0] == pytest.approx(-W * L**2 / 8, rel=1e-9)
    assert float(max(-found.along("m0").forces[:, 4])) == pytest.approx(9 * W * L**2 / 128, rel=1e-9)
    assert float(found.reaction("1")[2]) == pytest.approx(3 * W * L / 8, rel=1e-9)
    assert found.along("m0", 4001).sag_m == pytest.approx(W * L**4 / (185 * EI), rel=3e-3)


def test_overhang() -> None:
    made = beam([L, A], [PIN, PIN, FREE], [at_node("2", 0, 0, -P)], section=SECTION)
    found = analyse(made)["L"]
    assert moments(found)[2] == pytest.approx(-P * A, rel=1e-9)
    assert -float(found.displacement("2")[2]) == pytest.approx(P * A**2 * (L + A) / (3 * EI), rel=1e-9)


def test_two_equal_spans() -> None:
    found = solved(PIN, PIN, along("m0", 0, 0, -W), along("m1", 0, 0, -W), spans=(L, L))
    assert moments(found)[2] == pytest.approx(-W * L**2 / 8, rel=1e-9)
    assert float(found.reaction("1")[2]) == pytest.approx(1.25 * W * L, rel=1e-9)


def test_torsion_of_a_bar() -> None:
    found = analyse(
        frame(
            {"a": (0, 0, 0), "b": (0.7, 0.4, 0.2)},
            {"m": Member(start="a", end="b", bar=SECTION)},
            {"a": FIXED},
            [at_node("b", 0, 0, 0, 70, 40, 20)],
        )
    )["L"]
    length = sqrt(0.7**2 + 0.4**2 + 0.2**2)
    torque = 100 * length
    twist = float(found.displacement("b")[3:] @ [0.7, 0.4, 0.2]) / length
    assert twist == pytest.approx(torque * length / (77e9 * 1e-6), rel=1e-9)


def test_simple_beam_column_with_uniform_load() -> None:
    """AISC 360 Commentary: M = (w L²/8) 2 (sec u - 1)/u², u = (L/2) sqrt(P/EI); and the cantilever's tan a/a."""
    thrust = 0.4 * EI
    u = L / 2 * sqrt(thrust / EI)
    made = beam([L], [PIN, PIN], [along("m0", 0, 0, -W), at_node("1", -thrust, 0, 0)], section=SECTION)
    found = analyse(made, second_order=True)["L"].along("m0")
    assert found.largest_moment()[0] == pytest.approx(W * L**2 / 8 * 2 * (1 / cos(u) - 1) / u**2, rel=1e-9)
    made = beam([L], [CLAMP, FREE], [at_node("1", -thrust, 0, -P)], section=SECTION)
    tip = analyse(made, second_order=True)["L"]
    a = L * sqrt(thrust / EI)
    assert moments(tip)[0] == pytest.approx(-P * L * tan(a) / a, rel=1e-9)
    assert -float(tip.displacement("1")[2]) == pytest.approx(
        P * L**3 / (3 * EI) * 3 * (tan(a) - a) / a**3, rel=1e-9
    )
