"""Formulas as mathematics: what is set means the same as what was written."""

from __future__ import annotations

import math
import re
import tomllib

import pytest
import typst
from hypothesis import given, reject
from hypothesis import strategies as st

from floorwright.propose.aid.design import design
from floorwright.propose.aid.registry import PATTERNS
from floorwright.report.formula import FormulaError, typeset_formula, typeset_symbol

VALUES = {"a": 1.7, "b": -0.6, "c": 2.3, "d": 3.1}


KNOWN = {"frac": lambda x, y: x / y, "sqrt": math.sqrt, "abs": abs, "min": min, "max": max, **VALUES}


def comes_to(text: str) -> float:
    """The number that an expression in the names of `VALUES` comes to."""
    # A negative number to a broken power is complex; its real part tells brackets apart as well.
    return complex(eval(text, {"__builtins__": {}}, KNOWN)).real  # noqa: S307 - texts of this test alone


def read_back(typeset: str) -> float:
    """What typeset mathematics comes to, by the rules of the typesetter's notation."""
    text = typeset.replace(" dot.op ", " * ").replace(" times ", " * ").replace("−", "-").replace("^(", "**(")
    return comes_to(re.sub(r'op\("(\w+)"\) \(', r"\1(", text).replace('"', ""))


leaves = st.sampled_from(["a", "b", "c", "d", "2", "0.5", "3"])


def grown(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    two = st.tuples(inner, inner)
    return st.one_of(
        two.map(lambda t: f"{t[0]} + {t[1]}"),
        two.map(lambda t: f"{t[0]} - {t[1]}"),
        two.map(lambda t: f"({t[0]}) * ({t[1]})"),
        two.map(lambda t: f"({t[0]}) / ({t[1]})"),
        two.map(lambda t: f"{t[0]} / ({t[1]}) * ({t[0]})"),
        two.map(lambda t: f"({t[0]}) - ({t[1]})"),
        two.map(lambda t: f"min({t[0]}, {t[1]})"),
        inner.map(lambda t: f"({t})**2"),
        inner.map(lambda t: f"-({t})"),
        inner.map(lambda t: f"sqrt(abs({t}))"),
    )


formulas = st.recursive(leaves, grown, max_leaves=8)


@given(formulas, st.booleans())
def test_typeset_mathematics_comes_to_the_same_number_as_the_formula(formula: str, put_in: bool) -> None:
    try:
        expected = comes_to(formula)
    except (ZeroDivisionError, OverflowError):
        reject()
    typeset = typeset_formula(formula, {name: str(value) for name, value in VALUES.items()} if put_in else {})
    assert read_back(typeset) == pytest.approx(expected, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(
    ("formula", "typeset"),
    [
        ("W * b / H", "frac(W dot.op b, H)"),
        ("h / 2 * s / d", 'frac(h dot.op s, "2" dot.op d)'),
        ("sqrt(b**2 + h**2) - h", 'sqrt(b^("2") + h^("2")) - h'),
        ("a - (b - c)", "a - (b - c)"),
        ("(a + b)**2", '(a + b)^("2")'),
        ("abs(N) / Pa", 'frac(abs(N), P_("a"))'),
        ("min(s * W, Fm)", 'op("min") (s dot.op W, F_("m"))'),
        ("exp(-t / tau)", '"e"^(frac(−t, tau))'),
        ("log(x)", 'op("ln") (x)'),
    ],
)
def test_fractions_roots_and_powers(formula: str, typeset: str) -> None:
    assert typeset_formula(formula) == typeset


@pytest.mark.parametrize(
    ("name", "typeset"),
    [
        ("W", "W"),
        ("tau_a", 'tau_("a")'),
        ("tau2", 'tau_("2")'),
        ("N_side", 'N_("side")'),
        ("Ma1", 'M_("a1")'),
        ("sn", 's_("n")'),
        ("RWL", '"RWL"'),
        ("rows", '"rows"'),
        ("pi", "pi"),
        ("F_hi", 'F_("hi")'),
    ],
)
def test_symbols_have_their_low_letters(name: str, typeset: str) -> None:
    assert typeset_symbol(name) == typeset


def test_numbers_have_true_minus_signs_and_powers_of_ten() -> None:
    assert typeset_formula("a * b", {"a": "-1,250", "b": "5.350e-11"}) == (
        '"−1,250" times "5.350" times "10"^("−11")'
    )
    assert typeset_formula("a**2", {"a": "-2"}) == '("−2")^("2")'


@pytest.mark.parametrize("bad", ["a +", "a if b else c", "a == b", "x.y", "f(a, k=1)", '"text" * a', ""])
def test_what_is_no_formula_is_refused(bad: str) -> None:
    with pytest.raises(FormulaError):
        typeset_formula(bad)


def test_every_formula_of_the_examples_can_be_set() -> None:
    """Each goes through the typesetter itself, which refuses what it cannot read."""
    set_: dict[str, None] = {}
    for pattern in PATTERNS.values():
        for working in design(tomllib.loads(pattern.example)).workings:
            for step in working.steps:
                set_[typeset_symbol(step.symbol)] = None
                if step.formula:
                    set_[typeset_formula(step.formula)] = None
    assert len(set_) > 100
    source = "\n".join(f"$ {each} $" for each in set_)
    assert typst.compile(source.encode(), format="svg")
