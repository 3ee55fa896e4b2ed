"""Run rules: Western Electric, Statistical Quality Control Handbook (1956); Nelson (1984), from memory.

Nelson: Journal of Quality Technology 16, 237-239. The texts of the rules are published; the sequences, in standard
deviations from the centre line, were made for them.
"""

from __future__ import annotations

import pytest

from floorwright.hold.run_rules import MEANING, RuleName, Signal, beyond, zone_signals

ALTERNATING = [0.5, -0.5] * 7 + [0.1]
SEQUENCES: list[tuple[RuleName, list[float], list[int]]] = [
    ("two_of_three", [0.1, 2.2, 0.3, 2.4, -0.2, 0.1], [4]),
    ("four_of_five", [1.2, 1.4, 0.2, 1.1, 1.6, -0.3], [5]),
    ("eight_same_side", [0.1, 0.3, 0.2, 0.5, 0.4, 0.1, 0.6, 0.2, -0.1], [8]),
    ("six_trending", [-0.9, -0.6, -0.2, 0.1, 0.5, 0.8, 0.6], [6]),
    ("fourteen_alternating", ALTERNATING, [14, 15]),
    ("fifteen_within_one_sigma", ALTERNATING, [15]),
]


@pytest.mark.parametrize(("rule", "zone", "at"), SEQUENCES)
def test_sequence(rule: RuleName, zone: list[float], at: list[int]) -> None:
    assert zone_signals(zone, [rule]) == tuple(Signal(point, rule) for point in at)


def test_beyond_three_sigma() -> None:
    zone = [0.2, -0.5, 0.9, 3.2, -0.1, 0.4]
    assert beyond(zone, [-3.0] * 6, [3.0] * 6) == (4,)


def test_only_the_rule_of_each_sequence_marks_it() -> None:
    for rule, zone, _ in SEQUENCES:
        marked = {signal.rule for signal in zone_signals(zone, list(MEANING))}
        assert rule in marked
        assert marked <= {rule, "fifteen_within_one_sigma", "fourteen_alternating"}
