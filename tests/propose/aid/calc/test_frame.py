"""`frame`: what goes in and comes out by the names of the contract, and what is said of bad frames."""

from __future__ import annotations

import copy
import math
from typing import Any

import pytest

from asking import complaints, outcome, results
from floorwright import catalogue
from formula import check_working

FIXED = ["dx", "dy", "dz", "rx", "ry", "rz"]
STEEL = {"steel": {"E": "29000 ksi", "G": "11200 ksi"}}
ROUND = {"bar": {"A": "14.1 in2", "I_y": "484 in4", "I_z": "484 in4", "J": "1 in4"}}


def cantilever(**change: Any) -> dict[str, Any]:
    made = {
        "nodes": {"A": [0, 0, 0], "B": ["1 m", 0, 0]},
        "materials": {"m": {"E": "200 GPa", "G": "77 GPa", "density": 7850}},
        "sections": {"s": {"A": 5e-4, "I_y": 2e-7, "I_z": 1e-7, "J": 2e-7}},
        "members": {"AB": {"from": "A", "to": "B", "material": "m", "section": "s"}},
        "supports": {"A": FIXED},
        "loads": [{"case": "L", "node": "B", "force": [0, 0, -100]}],
    }
    return copy.deepcopy(made) | change


def test_cantilever() -> None:
    found = results("frame", cantilever())["combinations"]["L"]
    assert found["displacements"]["B"][2] == pytest.approx(-100 / (3 * 200e9 * 2e-7), rel=1e-9)
    assert found["reactions"]["A"] == pytest.approx([0, 0, 100, 0, -100, 0])
    assert found["member_forces"]["AB"]["from"] == pytest.approx([0, 0, 100, 0, -100, 0], abs=1e-9)
    assert found["member_forces"]["AB"]["to"] == pytest.approx([0, 0, -100, 0, 0, 0], abs=1e-9)
    assert found["buckling_factor"] is None
    assert found["buckles"] is False


def test_working_holds_for_every_example() -> None:
    calculation = catalogue.calculation("frame")
    for given in (dict(calculation.example), cantilever(), cantilever(second_order=True)):
        assert check_working(outcome("frame", given).working) > 1


def test_aisc_benchmark_in_pounds_and_inches() -> None:
    """AISC 360 Commentary C2.1, case 1: W14x48, 28 ft, 0.2 kip/ft, 450 kip: 375 kip-in and 0.311 in at mid-span."""
    given = {
        "nodes": {"a": [0, 0, 0], "m": ["14 ft", 0, 0], "b": ["28 ft", 0, 0]},
        "materials": STEEL,
        "sections": ROUND,
        "members": {
            "am": {"from": "a", "to": "m", "material": "steel", "section": "bar"},
            "mb": {"from": "m", "to": "b", "material": "steel", "section": "bar"},
        },
        "supports": {"a": ["dx", "dy", "dz", "rx"], "b": ["dy", "dz"]},
        "loads": [{"case": "w", "member": name, "uniform": [0, 0, "-0.2 kip/ft"]} for name in ("am", "mb")]
        + [{"case": "P", "node": "b", "force": ["-450 kip", 0, 0]}],
        "combinations": {"both": {"w": 1, "P": 1}},
        "second_order": True,
    }
    found = results("frame", given)["combinations"]["both"]
    assert -found["displacements"]["m"][2] / 0.0254 == pytest.approx(0.311, abs=1e-3)
    kip_in = 4448.2216152605 * 0.0254
    assert abs(found["member_forces"]["am"]["to"][4]) / kip_in == pytest.approx(375, abs=1)
    assert found["buckling_factor"] == pytest.approx(1227.0565 / 450, rel=1e-6)


def test_combinations_are_the_cases_unless_told() -> None:
    given = cantilever(self_weight="own")
    assert list(results("frame", given)["combinations"]) == ["L", "own"]
    weight = 7850 * 5e-4 * 9.80665
    assert results("frame", given)["combinations"]["own"]["reactions"]["A"][2] == pytest.approx(weight, rel=1e-9)
    both = results("frame", given | {"combinations": {"all": {"L": 2, "own": 1.5}}})["combinations"]["all"]
    assert both["reactions"]["A"][2] == pytest.approx(200 + 1.5 * weight, rel=1e-9)


def test_designation_weighs_as_bought_and_carries_with_its_design_wall() -> None:
    given = cantilever(sections={"s": {"designation": "HSS2X2X1/8"}}, self_weight="own")
    own = results("frame", given)["combinations"]["own"]["reactions"]["A"][2]
    assert own / 9.80665 == pytest.approx(3.0535544 * 0.45359237 / 0.3048, rel=1e-6)
    down = results("frame", given)["combinations"]["L"]["displacements"]["B"][2]
    assert -down == pytest.approx(100 / (3 * 200e9 * 0.4859867 * 0.0254**4), rel=1e-6)


def test_releases_joints_springs_and_settlements() -> None:
    beam = cantilever(
        supports={"A": FIXED, "B": ["dx", "dy", "dz", "rx", "ry", "rz"]},
        loads=[{"case": "L", "member": "AB", "uniform": [0, 0, -100]}],
    )
    clamped = results("frame", beam)["combinations"]["L"]["member_forces"]["AB"]["from"][4]
    assert clamped == pytest.approx(-100 / 12, rel=1e-9)
    hinged = copy.deepcopy(beam)
    hinged["members"]["AB"]["releases"] = {"from": ["my"], "to": ["my"]}
    assert results("frame", hinged)["combinations"]["L"]["member_forces"]["AB"]["from"][4] == pytest.approx(0)
    yielding = copy.deepcopy(beam)
    R, EI = 5e4, 200e9 * 2e-7
    yielding["members"]["AB"]["joint_stiffness"] = {"from": {"my": R}, "to": {"my": "50000 N*m/rad"}}
    fixity = 1 / (1 + 3 * EI / R)
    moment = results("frame", yielding)["combinations"]["L"]["member_forces"]["AB"]["from"][4]
    assert moment == pytest.approx(clamped * 3 * fixity / (2 + fixity), rel=1e-9)
    sprung = cantilever(supports={"A": FIXED, "B": {"dz": "1000 N/mm"}})
    found = results("frame", sprung)["combinations"]["L"]
    assert found["reactions"]["B"][2] == pytest.approx(-1e6 * found["displacements"]["B"][2], rel=1e-9)
    mixed = cantilever(supports={"A": dict.fromkeys(FIXED, "held"), "B": {"dz": 1e6, "dy": "held"}})
    again = results("frame", mixed)["combinations"]["L"]
    assert again["reactions"]["B"] == pytest.approx(found["reactions"]["B"], abs=1e-9)
    sunk = beam | {"loads": [], "settlements": [{"case": "S", "node": "B", "dz": "-10 mm"}]}
    found = results("frame", sunk)["combinations"]["S"]
    assert abs(found["reactions"]["A"][4]) == pytest.approx(6 * EI * 0.01, rel=1e-9)


def test_point_load_and_roll() -> None:
    given = cantilever(loads=[{"case": "L", "member": "AB", "point": [0, 0, -100], "at": 0.25}])
    given["members"]["AB"]["roll"] = "90 deg"
    found = results("frame", given)["combinations"]["L"]
    assert found["displacements"]["B"][2] == pytest.approx(
        -100 * 0.25**2 * (3 - 0.25) / (6 * 200e9 * 1e-7), rel=1e-9
    )
    assert found["member_maxima"]["AB"]["M"] == pytest.approx(25, rel=1e-9)


def test_what_governs() -> None:
    found = results("frame", dict(catalogue.calculation("frame").example))
    governs = found["governs"]
    assert governs["moment"]["combination"] == governs["buckling"]["combination"] == "full and pushed"
    assert governs["displacement"]["node"] == "b"
    every = [m["M"] for c in found["combinations"].values() for m in c["member_maxima"].values()]
    assert governs["moment"]["value"] == max(every)


def test_a_frame_that_buckles_is_a_failing_check() -> None:
    critical = math.pi**2 * 200e9 * 1e-7 / 4
    load = [{"case": "L", "node": "B", "force": [-1.2 * critical, 0, 0]}]
    for second in (False, True):
        found = outcome("frame", cantilever(loads=load, second_order=second))
        (check,) = found.checks
        assert check.verdict == "fails"
        assert check.ratio == pytest.approx(1.2, rel=1e-6)
        assert "it cannot carry them" in check.sentence
        record = found.to_record("frame")["results"]["combinations"]["L"]
        assert record["buckles"] is second
        assert (record["displacements"]["B"][0] is None) is second
        assert found.warnings
    light = outcome("frame", cantilever(loads=[{"case": "L", "node": "B", "force": [-0.2 * critical, 0, 0]}]))
    assert light.checks[0].verdict == "ok"
    assert "ask for second_order" in light.warnings[0]


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"supports": {"A": ["dx", "dy", "dz"]}}, "supports", "the whole frame turns about"),
        ({"supports": {"C": FIXED}}, "supports.C", "there is no node 'C'"),
        ({"supports": {"A": ["dx", "up"]}}, "supports.A.up", "the fields are dx, dy, dz, rx, ry, rz"),
        ({"supports": {"A": {"dz": -5}}}, "supports.A.dz", "more than 0"),
        ({"nodes": {"A": [0, 0], "B": [1, 0, 0]}}, "nodes.A", "at least 3"),
        ({"nodes": {"A": [0, 0, 0], "B": [1, 0, "tall"]}}, "nodes.B[2]", "is not a length"),
        ({"nodes": {"A": [0, 0, 0], "B": [0, 0, 0]}}, "members.AB", "has no length"),
        ({"materials": {"m": {"E": 0, "G": "77 GPa"}}}, "materials.m.E", "more than 0"),
        ({"materials": {"n": {"E": "200 GPa", "G": "77 GPa"}}}, "members.AB.material", "there is no material 'm'"),
        ({"sections": {"s": {"designation": "HSS2X2X1/9"}}}, "sections.s.designation", "did you mean"),
        ({"sections": {"s": {"A": 1e-4, "I_y": 1e-8, "J": 1e-8}}}, "sections.s.I_z", "is missing"),
        (
            {"sections": {"s": {"A": 1e-4, "I_y": 1e-8, "I_z": 1e-8, "J": 1e-8, "I_yz": 1e-8}}},
            "sections.s.I_yz",
            "is too large",
        ),
        ({"sections": {"s": {"shape": "flat", "A": 1e-4}}}, "sections.s.A", "give one or the other"),
        ({"members": {}}, "members", "at least 1"),
        ({"loads": [{"case": "L", "node": "B"}]}, "loads[0]", "has neither force nor moment"),
        ({"loads": [{"case": "L", "member": "AB", "point": [0, 0, 1]}]}, "loads[0]", "needs both point and at"),
        ({"loads": [{"case": "L", "node": "B", "force": [0, 0, 1], "at": 0.5}]}, "loads[0]", "is on a node"),
        ({"loads": [{"case": "L", "member": "BA", "uniform": [0, 0, 1]}]}, "loads[0].member", "there are AB"),
        ({"loads": []}, "loads", "is empty"),
        ({"combinations": {"all": {"M": 1}}}, "combinations.all.M", "there is no load case 'M'"),
        (
            {"materials": {"m": {"E": "200 GPa", "G": "77 GPa"}}, "self_weight": "own"},
            "materials.m.density",
            "self weight needs it",
        ),
        ({"settlements": [{"case": "S", "node": "B", "dz": 0.1}]}, "settlements.B.dz", "is not supported in dz"),
    ],
)
def test_bad_input_is_named(change: dict[str, Any], field: str, words: str) -> None:
    assert words in complaints("frame", cantilever(**change))[field]


def test_a_typo_in_a_member_is_answered_with_its_own_fields() -> None:
    given = cantilever()
    given["members"]["AB"]["sectoin"] = "s"
    found = complaints("frame", given)
    assert found["members.AB.sectoin"].startswith("is not a field here; did you mean section? The fields are from,")


def test_a_hinge_too_many_is_told_by_node_and_direction() -> None:
    given = cantilever(nodes={"A": [0, 0, 0], "B": [1, 0, 0], "C": [2, 0, 0]}, supports={"A": FIXED, "C": FIXED})
    given["members"]["AB"]["releases"] = {"to": ["my"]}
    given["members"]["BC"] = given["members"]["AB"] | {"from": "B", "to": "C", "releases": {"from": ["my"]}}
    found = complaints("frame", given)
    assert found["nodes.B"].startswith("node 'B' turns about y: nothing holds it")
