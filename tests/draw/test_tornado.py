"""The tornado chart: bars where they belong, and a text that says the same."""

from __future__ import annotations

import pytest

from floorwright.draw.tornado import Bar, tornado

BARS = (
    Bar(label="saved each time", low="38 s", high="45 s", worth_low=3100, worth_high=4200),
    Bar(label="cost", low="$700", high="$500", worth_low=3500, worth_high=3700),
)


def test_it_says_what_it_shows() -> None:
    found = tornado(BARS, middle=3600)
    assert found.text == (
        "As it stands $3,600 over its life. saved each time: $3,100 with 38 s, $4,200 with 45 s. "
        "cost: $3,500 with $700, $3,700 with $500."
    )
    assert found.svg.count("<svg") == 1
    assert "saved each time: 38 s to 45 s" in found.svg


def test_a_loss_and_words_from_people_are_drawn() -> None:
    bar = Bar(label="<b>odd</b> & long " * 9, low="1", high="2", worth_low=-500, worth_high=100)
    found = tornado([bar], middle=0, width=346)
    assert "<b>" not in found.svg
    with pytest.raises(ValueError, match="at least one bar"):
        tornado([], middle=0)
