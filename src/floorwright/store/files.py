"""Files that appear whole or not at all, and stay."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

TEMPORARY: Final = ".floorwright-unfinished-"
"""How the names of files and folders begin that are not finished; nobody takes one for a finished one."""


@contextmanager
def appearing(target: Path) -> Iterator[Path]:
    """A temporary path beside `target` that becomes `target`, durably, when the block ends well. Raises OSError."""
    handle, name = tempfile.mkstemp(prefix=TEMPORARY, dir=target.parent)
    os.close(handle)
    temporary = Path(name)
    try:
        yield temporary
        with temporary.open("rb+") as written:
            os.fsync(written.fileno())
        temporary.replace(target)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    sync_folder(target.parent)


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable; Windows has no call for it and keeps them in its own journal."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
