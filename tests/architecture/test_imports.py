"""The direction of imports: nothing imports upward, and the six in the middle do not import one another."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import floorwright

PACKAGE = Path(floorwright.__file__).parent
MIDDLE = ("hold", "prove", "build", "propose", "observe", "draw")
LADDER = (
    ("basis",),
    MIDDLE,
    ("catalogue",),
    ("shop",),
    ("store", "exchange", "report"),
    ("bootstrap",),
    ("web",),
    ("cli",),
)
LEVEL = {name: level for level, names in enumerate(LADDER) for name in names}
FREE = {"__init__", "__main__"}


def imports_of(file: Path) -> Iterator[str]:
    """Every floorwright module that a file imports, wherever in the file the import stands."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name.startswith("floorwright"))
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file} uses a relative import"
            if node.module == "floorwright":
                yield from (f"floorwright.{alias.name}" for alias in node.names)
            elif node.module and node.module.startswith("floorwright."):
                yield node.module


def part_of(dotted: str) -> str:
    """`floorwright.shop.records` -> `shop`."""
    return dotted.split(".")[1] if "." in dotted else ""


FILES = sorted(PACKAGE.rglob("*.py"))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.relative_to(PACKAGE).as_posix())
def test_nothing_imports_upward(file: Path) -> None:
    own = file.relative_to(PACKAGE).parts[0].removesuffix(".py")
    if own in FREE:
        return
    assert own in LEVEL, f"{own} has no place on the ladder; give it one in docs/architecture.md and here"
    for imported in imports_of(file):
        other = part_of(imported)
        if other in ("", "__version__", own):
            continue
        assert other in LEVEL, f"{file.name} imports {imported}, which has no place on the ladder"
        assert LEVEL[other] < LEVEL[own], f"{own} must not import {other} ({file.relative_to(PACKAGE)})"


def test_the_test_sees_an_upward_import(tmp_path: Path) -> None:
    bad = tmp_path / "bad.py"
    bad.write_text("def f():\n    from floorwright.shop import records\n", encoding="utf-8")
    (found,) = imports_of(bad)
    assert LEVEL[part_of(found)] > LEVEL["basis"]


@pytest.mark.parametrize("part", MIDDLE)
def test_the_middle_touches_no_files_clock_or_database(part: str) -> None:
    """Calculations take typed values and give frozen results."""
    forbidden = {"sqlite3", "sqlalchemy", "time", "os", "socket", "click", "requests"}
    for file in (PACKAGE / part).rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            names = (
                [alias.name for alias in node.names]
                if isinstance(node, ast.Import)
                else [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else []
            )
            for name in names:
                assert name.split(".")[0] not in forbidden, f"{file.relative_to(PACKAGE)} imports {name}"
