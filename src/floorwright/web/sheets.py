"""Printed sheets for the browser: the real PDF and its pages as pictures, kept while they print the same."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Final

from floorwright.report.page import ImprovementPage, ShopSummary

KEPT: Final = 24
DPI: Final = 110
Printed = ImprovementPage | ShopSummary


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A printed page: its fingerprint, the PDF, and its pages as PNG."""

    mark: str
    pdf: bytes
    pages: tuple[bytes, ...]


class Sheets:
    """Typesets each page once; safe to use from many threads, and the same page is never set twice at a time."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, Sheet] = OrderedDict()
        self._locks: dict[str, threading.Lock] = {}
        self._lock = threading.Lock()

    def sheet(self, printed: Printed, pdf: Callable[[], bytes], pages: Callable[[], tuple[bytes, ...]]) -> Sheet:
        """The sheet of what is to be printed: as it was set before, or set now."""
        mark = fingerprint(printed)
        with self._lock:
            own = self._locks.setdefault(mark, threading.Lock())
        with own:
            found = self._find(mark)
            if found is None:
                found = Sheet(mark=mark, pdf=pdf(), pages=pages())
                self._keep(found)
        with self._lock:
            self._locks.pop(mark, None)
        return found

    def _find(self, mark: str) -> Sheet | None:
        with self._lock:
            found = self._kept.get(mark)
            if found is not None:
                self._kept.move_to_end(mark)
            return found

    def _keep(self, sheet: Sheet) -> None:
        with self._lock:
            self._kept[sheet.mark] = sheet
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)


@cache
def sheets() -> Sheets:
    """The sheets that this process keeps; each is known by all that stands on it, so shops may share them."""
    return Sheets()


def fingerprint(printed: Printed) -> str:
    """What tells one printed page from another: everything that stands on it, photos and charts included."""
    return hashlib.sha256(repr(printed).encode()).hexdigest()[:24]
