"""Pages that follow from the code are what the code says now."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]


def tool(name: str) -> ModuleType:
    """A script of tools/ as a module."""
    spec = importlib.util.spec_from_file_location(f"tools_{name}", ROOT / "tools" / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("name", ["calculations.md", "sources.md", "commands.md"])
def test_page_is_up_to_date(name: str) -> None:
    made = tool("docs").PAGES[name]()
    assert (ROOT / "docs" / name).read_text(encoding="utf-8") == made, "run: python tools/docs.py"
