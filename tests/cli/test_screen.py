"""Tables and facts on a terminal of 80 columns, in any script."""

from __future__ import annotations

import pytest

from cli.conftest import Run
from floorwright.cli.screen import facts, paragraph, plain, table, width_of, wrapped

LONG = "Very long title about clamps and racks " * 5
MIXED = "عنوان طويل 🔧🔧 クランプの移動が遠い " * 4


@pytest.fixture(autouse=True)
def narrow(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")


@pytest.mark.parametrize("text", [LONG, MIXED, "W" * 300, "é" * 200, "क्षि" * 100])
def test_nothing_is_wider_than_the_terminal_and_nothing_is_lost(text: str) -> None:
    for shown in (
        table(["no.", "title", "next"], [["1", text, "Do it"]], indent="  ", right="a", wrap="b"),
        table(["no.", "title", "next"], [["1", text, text]]),
        facts({"Seen": text, "Nothing": ""}, indent="   "),
        paragraph(text),
    ):
        assert max(width_of(line) for line in shown.splitlines()) <= 80
        assert "Nothing" not in shown
    assert "".join(wrapped(text, 20)).replace(" ", "") == plain(text).replace(" ", "")


def test_numbers_stay_whole_where_words_can_give_way() -> None:
    shown = table(["what", "gain"], [[LONG, "-90.7 (-116 to -70.9)"]], right="b", wrap="a")
    assert "-90.7 (-116 to -70.9)" in shown.splitlines()[2]


def test_text_cannot_move_the_cursor_or_break_a_row() -> None:
    assert plain("red\x1b[31m\nnext\u2028line\ttab") == "red [31m next line tab"
    assert len(table(["a"], [["one\ntwo\rthree"]]).splitlines()) == 3


def test_the_list_fits(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    run("new", "shop", "--name", "S", "--area", "Welding")
    for title in (LONG[:200], MIXED[:200], "W" * 200):
        run("improvement", "add", "shop", "--title", title, "--waste", "walking", "--area", "Welding")
    monkeypatch.setenv("COLUMNS", "80")
    for command in (("improvement", "list"), ("due",), ("prove",)):
        lines = run(*command, "shop").stdout.splitlines()
        assert max(map(width_of, lines)) <= 80
