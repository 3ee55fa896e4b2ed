"""Whose work the package carries and uses is said: in NOTICES.md, and on the app's own page."""

from __future__ import annotations

import re
from pathlib import Path

from floorwright.web.pages.about import installed

ROOT = Path(__file__).resolve().parents[2]
NOTICES = (ROOT / "NOTICES.md").read_text(encoding="utf-8")


def locked() -> set[str]:
    """The packages of the lock that users install."""
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    return {each.lower() for each in re.findall(r"^([A-Za-z0-9][A-Za-z0-9._-]*)==", lock, re.MULTILINE)}


def named() -> set[str]:
    """The packages in the tables of the notices."""
    cells = [line.split("|")[1] for line in NOTICES.splitlines() if line.startswith("| ")]
    return {re.sub(r"\s.*", "", each.strip()).lower() for cell in cells for each in cell.split(",")}


def test_every_package_of_the_lock_is_named_and_no_other() -> None:
    packages = named() - {"what", "inter", "copyright", "htmx", "with"}
    assert len(locked()) > 30
    assert packages == locked()


def test_what_the_package_carries_comes_with_its_licence() -> None:
    for path in re.findall(r"`(src/[^`]+\.txt)`", NOTICES):
        assert len((ROOT / path).read_text(encoding="utf-8")) > 300, path
    scripts = [each.name for each in (ROOT / "src/floorwright/web/static/vendor").glob("*.js")]
    assert scripts == ["htmx.min.js"]


def test_the_app_lists_the_licence_of_what_is_installed() -> None:
    found = {name.lower().replace("_", "-"): licence for name, _, licence in installed()}
    missing = [each for each in locked() & set(found) if found[each] == "see the package"]
    assert missing == []
    assert found["fastapi"] == "MIT"
