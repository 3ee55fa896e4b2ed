"""An improvement file that is added twice by mistake."""

from __future__ import annotations

from pathlib import Path

from cli.conftest import Run, parsed

FILE = """
title = "Clamps are fetched from afar"
waste = "walking"
area = "Welding"
noticed_by = "Ines"
noticed_on = 2026-11-02
"""


def test_the_same_file_twice_is_one_improvement_unless_told_otherwise(run: Run, tmp_path: Path) -> None:
    run("new", "shop", "--name", "Shop", "--area", "Welding")
    (tmp_path / "clamps.toml").write_text(FILE, encoding="utf-8")
    run("improvement", "add", "shop", "--file", "clamps.toml")
    said = run("improvement", "add", "shop", "--file", "clamps.toml", expect=2).stderr
    assert "clamps.toml tells what improvement 1 tells: 'Clamps are fetched from afar', Welding" in said
    assert "change that one, or give --again" in said
    assert len(parsed(run("improvement", "list", "shop", "--json"))) == 1
    (tmp_path / "later.toml").write_text(FILE.replace("11-02", "11-03"), encoding="utf-8")
    run("improvement", "add", "shop", "--file", "later.toml")
    run("improvement", "add", "shop", "--file", "clamps.toml", "--again")
    assert len(parsed(run("improvement", "list", "shop", "--json"))) == 3
