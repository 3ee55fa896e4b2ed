"""A shop that was left for another one, such as a restored backup: a note in its folder says which."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from floorwright.basis.errors import StoreError
from floorwright.store.engine import DATABASE

NOTE: Final = "moved-to.txt"


def leave_for(old: Path, new: Path) -> None:
    """Note in the folder of a shop that it was left for another one. Raises StoreError."""
    try:
        (old / NOTE).write_text(f"{new.resolve()}\n", encoding="utf-8")
    except OSError as error:
        raise StoreError(f"{old / NOTE}: it cannot be written ({error.strerror or error}).") from error


def successor(folder: Path) -> Path | None:
    """The shop that this one was left for; None when it was not, or when that one is gone."""
    seen = {folder.resolve()}
    found: Path | None = None
    at = folder
    while (note := at / NOTE).is_file():
        # Somebody may have written it anew with a program of their own.
        said = note.read_text(encoding="utf-8", errors="replace").strip()
        if not said or "\0" in said:
            break
        at = Path(said)
        if at.resolve() in seen or not (at / DATABASE).is_file():
            break
        seen.add(at.resolve())
        found = at
    return found
