"""The calendar text against the rules and examples of RFC 5545, Internet Calendaring and Scheduling (iCalendar).

Sections 3.1 (content lines), 3.3.4 (date), 3.3.11 (text), 3.4, 3.6, 3.6.1 (components) and 3.8 (properties). The
examples of 3.1, 3.3.11 and 3.8.1.5 were seen as other projects repeat them; the rest of the rules is from memory.
"""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorwright.basis.sentence import said
from floorwright.exchange.calendar import calendar_text, escaped, folded
from floorwright.shop.due import Due

AT = dt.datetime(2026, 11, 25, 10, 0)


def thing(**more: object) -> Due:
    given_: dict[str, object] = {
        "improvement": 3,
        "title": "Clamps, far away",
        "on": dt.date(2026, 11, 30),
        "what": said("Measure '{name}' again, {days} days after the proof.", name="fetch clamps", days=30),
        "late": False,
        "key": "again 30 fetch clamps",
    }
    return Due(**(given_ | more))  # type: ignore[arg-type]


def unfolded(text: str) -> list[str]:
    """Section 3.1: a line break followed by one space or tab is taken away before the line is read."""
    assert text.endswith("\r\n")
    return re.sub("\r\n[ \t]", "", text).removesuffix("\r\n").split("\r\n")


def unescaped(value: str) -> str:
    """Section 3.3.11 the other way round."""
    return re.sub(r"\\([\\;,Nn])", lambda found: "\n" if found[1] in "Nn" else found[1], value)


def parsed(text: str) -> list[dict[str, str]]:
    """The properties of every event, by their names with parameters."""
    events: list[dict[str, str]] = []
    for line in unfolded(text):
        name, _, value = line.partition(":")
        if (name, value) == ("BEGIN", "VEVENT"):
            events.append({})
        elif events and name != "END":
            assert name not in events[-1], f"{name} twice"
            events[-1][name] = value
    return events


def test_3_1_the_example_is_one_line_again_when_it_is_unfolded() -> None:
    folded_in_print = "DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\n"
    line = "DESCRIPTION:This is a long description that exists on a long line."
    assert unfolded(folded_in_print) == [line]
    assert unfolded(folded(line)) == [line]


@pytest.mark.parametrize(("length", "lines"), [(75, 1), (76, 2), (149, 2), (150, 3), (223, 3), (224, 4)])
def test_3_1_lines_are_no_longer_than_75_octets_without_the_break(length: int, lines: int) -> None:
    assert folded("X" * length).count("\r\n") == lines


@given(st.text())
def test_3_1_a_folded_line_is_short_whole_and_cuts_no_character(text: str) -> None:
    line = escaped(text)
    found = folded(line).removesuffix("\r\n").split("\r\n")
    assert all(len(part.encode()) <= 75 for part in found)
    assert all(part.startswith(" ") for part in found[1:])
    assert found[0] + "".join(part[1:] for part in found[1:]) == line


@pytest.mark.parametrize(
    ("text", "value"),
    [
        (
            "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.",
            r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared.",
        ),
        ("The Fall'98 Wild Wizards Conference - - Las Vegas, NV, USA",
         r"The Fall'98 Wild Wizards Conference - - Las Vegas\, NV\, USA"),
        ("one\r\ntwo\rthree", r"one\ntwo\nthree"),
        ("a;b\\n", r"a\;b\\n"),
        ("10:15 \"quoted\"", "10:15 \"quoted\""),
    ],
)  # fmt: skip
def test_3_3_11_text_is_escaped_as_printed(text: str, value: str) -> None:
    assert escaped(text) == value


@given(st.text(alphabet=st.characters(exclude_categories=("Cc", "Cs"), include_characters="\n")))
def test_3_3_11_text_comes_back_as_it_was(text: str) -> None:
    value = escaped(text)
    assert "\n" not in value
    assert unescaped(value) == text


@given(st.text())
def test_3_1_no_control_character_reaches_a_value(text: str) -> None:
    assert not re.search("[\x00-\x08\x0a-\x1f\x7f]", escaped(text + "\x00\x07\x1b"))


def test_half_a_character_is_left_out() -> None:
    assert escaped("a\ud800b") == "ab"


def test_3_4_and_3_6_the_calendar_object_has_what_it_must_have() -> None:
    lines = unfolded(calendar_text([thing()], shop="Test; Shop", at=AT))
    assert (lines[0], lines[-1]) == ("BEGIN:VCALENDAR", "END:VCALENDAR")
    head = lines[: lines.index("BEGIN:VEVENT")]
    assert head.count("VERSION:2.0") == 1  # 3.7.4
    assert sum(line.startswith("PRODID:") for line in head) == 1  # 3.7.3
    assert r"NAME:Test\; Shop: due" in head
    assert Counter(lines)["BEGIN:VEVENT"] == Counter(lines)["END:VEVENT"] == 1


def test_3_6_1_an_event_has_uid_and_stamp_and_a_day_without_time_or_end() -> None:
    (event,) = parsed(calendar_text([thing()], shop="Test Shop", at=AT))
    # Required, and at most once (3.6.1); a start that is a date, without end or duration, is one day long.
    assert {"UID", "DTSTAMP", "DTSTART;VALUE=DATE"} <= set(event)
    assert not {"DTEND", "DURATION", "DTSTART"} & set(event)
    assert event["DTSTART;VALUE=DATE"] == "20261130"  # 3.3.4
    assert re.fullmatch(r"\d{8}T\d{6}Z", event["DTSTAMP"])  # 3.8.7.2: in UTC
    assert event["TRANSP"] == "TRANSPARENT"  # 3.8.2.7
    assert unescaped(event["SUMMARY"]) == "No. 3: Measure 'fetch clamps' again, 30 days after the proof."
    assert event["DESCRIPTION"] == r"Clamps\, far away"


def test_3_8_7_2_the_stamp_is_the_moment_in_utc() -> None:
    zoned = dt.datetime(2026, 11, 25, 10, 0, tzinfo=dt.timezone(dt.timedelta(hours=-5)))
    (event,) = parsed(calendar_text([thing()], shop="Test Shop", at=zoned))
    assert event["DTSTAMP"] == "20261125T150000Z"


def test_3_8_4_7_the_uid_is_the_same_tomorrow_and_another_for_another_thing() -> None:
    others = [
        thing(improvement=4),
        thing(key="again 90 fetch clamps"),
        thing(key="next"),
    ]
    uids = [event["UID"] for event in parsed(calendar_text([thing(), *others], shop="S", at=AT))]
    assert len(set(uids)) == 4
    moved = thing(on=dt.date(2026, 12, 7), late=True, title="Another", what=said("Look at it."))
    (event,) = parsed(calendar_text([moved], shop="S", at=AT + dt.timedelta(days=1)))
    assert event["UID"] == uids[0]
    assert event["SUMMARY"] == "Late: No. 3: Look at it."
    (elsewhere,) = parsed(calendar_text([thing()], shop="Other shop", at=AT))
    assert elsewhere["UID"] != uids[0]


def test_3_8_4_6_a_link_leads_to_the_improvement() -> None:
    (event,) = parsed(
        calendar_text([thing()], shop="S", at=AT, link=lambda n: f"https://shop.example/improvements/{n}")
    )
    assert event["URL"] == "https://shop.example/improvements/3"


def test_nothing_due_is_a_calendar_too() -> None:
    assert unfolded(calendar_text([], shop="S", at=AT))[-1] == "END:VCALENDAR"


@given(st.text(max_size=80), st.text(max_size=80))
def test_no_text_of_a_shop_makes_an_event_or_property_of_its_own(title: str, shop: str) -> None:
    text = calendar_text([thing(title=f"{title}\r\nEND:VEVENT\r\nX-EVIL:1")], shop=shop, at=AT)
    (event,) = parsed(text)
    assert set(event) == {"UID", "DTSTAMP", "DTSTART;VALUE=DATE", "SUMMARY", "DESCRIPTION", "TRANSP"}
