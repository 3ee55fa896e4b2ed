"""What the README and the docs show on a terminal is what the program prints.

A ```console block holds commands after `$ ` and the output that follows; a line `...` stands for any lines. A block
such as ```json lift.json is written to that file first. Commands of one page run one after the other in one folder.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
FILE = re.compile(r"^```\w+ (?P<name>[\w.-]+\.\w+)\n(?P<text>.*?)^```", re.MULTILINE | re.DOTALL)
BLOCK = re.compile(r"^```console\n(.*?)^```", re.MULTILINE | re.DOTALL)


def commands(page: Path) -> list[tuple[str, list[str]]]:
    """Every command that a page shows, with the lines shown after it."""
    found: list[tuple[str, list[str]]] = []
    for block in BLOCK.findall(page.read_text(encoding="utf-8")):
        for line in block.splitlines():
            if line.startswith("$ "):
                found.append((line[2:], []))
            elif found:
                found[-1][1].append(line.rstrip())
    return found


def matches(shown: list[str], printed: list[str]) -> bool:
    """Whether printed lines fit the shown ones, `...` standing for any number of lines."""
    pattern = "\n".join(r"(?:.*\n)*?.*" if line.strip() == "..." else re.escape(line) for line in shown)
    return re.fullmatch(pattern, "\n".join(printed)) is not None


WITH_EXAMPLES = [page for page in PAGES if commands(page)]


@pytest.mark.parametrize("page", WITH_EXAMPLES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_shown_output_is_what_the_program_prints(page: Path, tmp_path: Path) -> None:
    environment = os.environ | {"PYTHONUTF8": "1", "COLUMNS": "100", "FLOORWRIGHT_WHO": "Ines"}
    for block in FILE.finditer(page.read_text(encoding="utf-8")):
        (tmp_path / block["name"]).write_text(block["text"], encoding="utf-8")
    for command, shown in commands(page):
        program, *arguments = shlex.split(command)
        assert program == "floorwright", f"{page.name} shows {program}"
        ran = subprocess.run(
            [sys.executable, "-m", "floorwright", *arguments],
            cwd=tmp_path,
            env=environment,
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )
        printed = [line.rstrip() for line in (ran.stdout + ran.stderr).rstrip().splitlines()]
        while shown and not shown[-1]:
            shown.pop()
        assert matches(shown, printed), (
            f"{page.name}: {command}\n--- shown\n" + "\n".join(shown) + ("\n--- printed\n" + "\n".join(printed))
        )


def test_the_readme_shows_something_that_runs() -> None:
    assert (ROOT / "README.md") in WITH_EXAMPLES


def test_every_link_between_pages_leads_somewhere() -> None:
    for page in PAGES:
        for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", page.read_text(encoding="utf-8")):
            if not target.startswith(("http:", "https:", "mailto:")):
                assert (page.parent / target).exists(), f"{page.relative_to(ROOT)} links to {target}"
