"""Runs the command line in this process, in a folder of its own."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from floorwright.cli.main import floorwright

Run = Callable[..., Result]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """`run("improvement", "list", "shop", expect=0)`; fails with the output when the exit status is another."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FLOORWRIGHT_WHO", "Ines")
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("FLOORWRIGHT_TRACE", "1")

    def called(*arguments: str, expect: int = 0, given: str | None = None) -> Result:
        found = CliRunner().invoke(floorwright, [str(each) for each in arguments], input=given)
        if found.exception is not None and not isinstance(found.exception, SystemExit):
            raise found.exception
        assert found.exit_code == expect, f"{arguments}: {found.exit_code}\n{found.stdout}\n{found.stderr}"
        return found

    return called


def parsed(result: Result) -> Any:
    """The JSON that a command printed."""
    return json.loads(result.stdout)
