"""The rules of the verdict one by one, as they stand on docs/methods/verdict.md."""

from __future__ import annotations

from typing import Any

import pytest

from floorwright.basis.stat.intervals import Interval
from floorwright.prove.verdict import Cap, Judgement, TooFew, advise, judge_gain

CAP = Cap(why="the readings still change", remedy="Keep timing until they settle.")
FEW = TooFew(sentence="it takes 10 cycles", more=3, remedy="Time 3 more.")


def judge(fixed: tuple[float, float], proof: tuple[float, float] | None = None, **more: Any) -> Judgement:
    """Differences for `better` lower: a gain is below 0."""
    estimate = more.pop("estimate", (fixed[0] + fixed[1]) / 2)
    return judge_gain(
        estimate=estimate, fixed=Interval(*fixed), proof=None if proof is None else Interval(*proof), **more
    )


def test_proven_needs_the_whole_proof_interval_beyond_what_matters() -> None:
    assert judge((-20, -12), (-22, -10.5), smallest=10).verdict == "proven"
    assert judge((-20, -12), (-22, -10), smallest=10).verdict == "likely"
    assert judge((-20, -12), (-22, -9), smallest=10).verdict == "likely"


def test_proven_needs_the_reported_interval_beyond_what_matters_too() -> None:
    """As by ranks, where the always-valid interval is that of the means."""
    assert judge((-20, -10), (-22, -10.5), smallest=10).verdict == "likely"
    assert judge((-20, 1), (-22, -10.5), smallest=5).verdict == "not shown"
    found = judge((-9, -3), (-22, -10.5), smallest=5)
    assert (found.verdict, found.at_odds) == ("likely", True)
    assert "still holds gains smaller than 5.00" in found.rule
    assert not judge((-20, -12), (-22, -10.5), smallest=10).at_odds


def test_ruled_out_needs_both_intervals_too() -> None:
    assert not judge((-9, -3), (-2, 1), smallest=5).ruled_out
    assert judge((-4, -3), (-2, 1), smallest=5).ruled_out


def test_likely_says_what_the_always_valid_interval_still_holds() -> None:
    held = "but the always-valid 95 % interval still holds"
    assert f"{held} smaller gains, or none." in judge((-20, -12), (-25, 1), smallest=10).rule
    assert f"{held} gains smaller than 10.0." in judge((-20, -12), (-25, -9), smallest=10).rule


def test_without_a_proof_interval_nothing_is_proven() -> None:
    found = judge((-20, -12), None)
    assert found.verdict == "likely"
    assert "too early" in found.rule


def test_proven_also_needs_to_be_beyond_zero() -> None:
    assert judge((-3, -1), (-4, 0), smallest=0).verdict == "likely"
    assert judge((-3, -1), (-4, -0.1), smallest=0).verdict == "proven"


def test_worse_is_the_whole_fixed_interval_on_the_wrong_side() -> None:
    assert judge((1, 5), (-1, 7)).verdict == "worse"
    assert judge((0, 5), (-1, 7)).verdict == "not shown"


def test_likely_needs_the_estimate_to_matter() -> None:
    assert judge((-9, -3), (-12, 1), smallest=6).verdict == "likely"
    found = judge((-9, -3), (-12, 1), smallest=7)
    assert found.verdict == "not shown"
    assert "smaller than the 7.00 that matter" in found.rule


def test_not_shown_says_whether_it_is_ruled_out() -> None:
    open_question = judge((-3, 2), (-5, 4), smallest=4)
    assert (open_question.verdict, open_question.ruled_out) == ("not shown", False)
    closed = judge((-2, 1), (-3.5, 2.5), smallest=4)
    assert (closed.verdict, closed.ruled_out) == ("not shown", True)
    assert "ruled out" in closed.rule


def test_higher_can_be_better() -> None:
    assert judge((12, 20), (10.5, 22), smallest=10, better="higher").verdict == "proven"
    assert judge((-20, -12), (-22, -10.5), smallest=10, better="higher").verdict == "worse"


def test_a_cap_keeps_it_at_likely_and_says_why() -> None:
    found = judge((-20, -12), (-22, -10.5), smallest=10, caps=[CAP])
    assert found.verdict == "likely"
    assert "the readings still change" in found.rule
    assert judge((-3, 2), (-5, 4), caps=[CAP]).verdict == "not shown"
    assert judge((1, 2), (0, 4), caps=[CAP]).verdict == "worse"


def test_too_few_readings_give_no_verdict() -> None:
    found = judge((-20, -12), (-22, -10.5), too_few=FEW)
    assert found.verdict is None
    assert found.rule == "No verdict yet: it takes 10 cycles."


@pytest.mark.parametrize(
    ("judgement", "needed", "state", "more", "words"),
    [
        (judge((-20, -12), (-22, -10)), 5, "enough", 0, "30 and 90 days"),
        (judge((1, 5), (-1, 7)), 5, "enough", 0, "got worse"),
        (judge((-2, 1), (-3, 2), smallest=4), 5, "enough", 0, "ruled out"),
        (judge((-9, -3), (-12, 1)), 12, "keep timing", 12, "Take about 12 more"),
        (judge((-9, -3), (-12, 1)), 0, "keep timing", 1, "more"),
        (judge((-9, -3), (-12, 1)), None, "enough", None, "would hardly settle it"),
        (judge((-20, -12), (-22, -10), caps=[CAP]), 5, "keep timing", None, "until they settle"),
        (judge((-20, 1), (-22, -10.5), smallest=5), 5, "keep timing", None, "look for odd readings"),
        (judge((-20, -12), None, too_few=FEW), 5, "keep timing", 3, "Time 3 more."),
    ],
)
def test_advice(judgement: Judgement, needed: float | None, state: str, more: float | None, words: str) -> None:
    found = advise(judgement, lambda: needed, smallest="4 s", count=lambda x: f"{x:.0f}")
    assert (found.state, found.more) == (state, more)
    assert words in found.sentence


def test_the_number_needed_is_only_worked_out_when_asked_for() -> None:
    def never() -> float:
        raise AssertionError

    assert advise(judge((-20, -12), (-22, -10)), never).state == "enough"
