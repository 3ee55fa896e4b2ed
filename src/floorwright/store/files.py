"""Files that appear whole or not at all, and stay."""

from __future__ import annotations

import errno
import os
import secrets
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from shutil import rmtree
from typing import Final

TEMPORARY: Final = ".floorwright-unfinished-"
"""How the names of files and folders begin that are not finished; nobody takes one for a finished one."""
_ABANDONED_S: Final = 86_400.0


@contextmanager
def appearing(target: Path) -> Iterator[Path]:
    """A temporary path beside `target` that becomes `target`, durably, when the block ends well. Raises OSError."""
    # Not by tempfile, whose files nobody else may read: a shop is shared by the people of one computer.
    temporary = target.parent / f"{TEMPORARY}{secrets.token_hex(8)}"
    temporary.open("xb").close()
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
    except OSError as error:
        # Some network drives, where a backup may go, do not know the call; the file itself is synced.
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        os.close(handle)


def tidy(folder: Path) -> None:
    """Remove what an interrupted step left behind; younger leftovers may still be somebody's work."""
    old = time.time() - _ABANDONED_S
    for leftover in folder.glob(TEMPORARY + "*"):
        try:
            if leftover.stat().st_mtime < old:
                rmtree(leftover) if leftover.is_dir() else leftover.unlink()
        except FileNotFoundError:
            # Another process tidied at the same time.
            continue
