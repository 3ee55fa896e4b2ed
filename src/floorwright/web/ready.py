"""Files that lie ready for a while: a backup to be fetched, one that was sent in and checked."""

from __future__ import annotations

import secrets
import shutil
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from floorwright.basis.errors import NotFoundError
from floorwright.basis.sentence import said

MOST: Final = 3
"""Files that lie ready at once; the oldest makes room for the next."""


@dataclass(slots=True)
class Kept:
    """A file that lies ready: under which name it is given out, and what is known of it."""

    path: Path
    name: str
    facts: dict[str, Any] = field(default_factory=dict)


class Ready:
    """Keeps a few files by a token that cannot be guessed. Safe to use from many threads."""

    def __init__(self, workplace: Callable[[], Path]) -> None:
        self._workplace = workplace
        self._kept: dict[str, Kept] = {}
        self._lock = threading.Lock()

    def place(self, name: str) -> tuple[str, Kept]:
        """A token and a place for a new file; the file itself is not there yet."""
        token = secrets.token_urlsafe(18)
        kept = Kept(self._workplace() / "file.zip", name)
        with self._lock:
            self._kept[token] = kept
            over = [self._kept.pop(each) for each in list(self._kept)[:-MOST]]
        for each in over:
            self._remove(each)
        return token, kept

    def find(self, token: str) -> Kept:
        """What lies under a token. Raises NotFoundError when it was cleared away."""
        with self._lock:
            found = self._kept.get(token)
        if found is None or not found.path.is_file():
            raise NotFoundError(said("This file was cleared away; make it or send it in again."))
        return found

    def drop(self, token: str) -> None:
        """Clear away one file."""
        with self._lock:
            found = self._kept.pop(token, None)
        if found is not None:
            self._remove(found)

    def clear(self) -> None:
        """Clear away everything."""
        for token in list(self._kept):
            self.drop(token)

    def _remove(self, kept: Kept) -> None:
        # Somebody may be fetching it: Windows then keeps the file, and the shop clears it away at a later start.
        shutil.rmtree(kept.path.parent, ignore_errors=True)
