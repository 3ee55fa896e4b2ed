"""The demo into awkward folders: it is built anew, and what is not its own stays."""

from __future__ import annotations

from pathlib import Path

from cli.conftest import Run, parsed


def test_a_folder_with_spaces_and_other_scripts(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "mein Ordner 工場"
    said = run("demo", str(folder), "--no-pages").stdout
    assert '"mein Ordner 工場' in said
    assert len(parsed(run("improvement", "list", str(folder / "shop"), "--json"))) == 16
    (folder / "mine.txt").write_text("mine", encoding="utf-8")
    assert "holds something else" in run("demo", str(folder), "--no-pages", expect=2).stderr
    (folder / "mine.txt").unlink()
    (folder / "shop" / "shop.sqlite3").write_bytes(b"cut off")
    run("demo", str(folder), "--no-pages")
    assert len(parsed(run("improvement", "list", str(folder / "shop"), "--json"))) == 16


def test_a_folder_that_holds_something_else_or_is_a_file(run: Run, tmp_path: Path) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "a.txt").write_text("a", encoding="utf-8")
    assert "holds something else" in run("demo", "full", expect=2).stderr
    assert "is a file" in run("demo", "full/a.txt", expect=2).stderr
    assert (tmp_path / "full" / "a.txt").read_text(encoding="utf-8") == "a"
