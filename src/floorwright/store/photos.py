"""Photos in a folder behind `ports.Photos`: one JPEG for each content, named after its SHA-256."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from floorwright.basis.errors import NotFoundError, StoreError
from floorwright.basis.sentence import said
from floorwright.shop.ports import Box
from floorwright.store.files import appearing, sync_folder

SMALL_WIDTHS: Final = (320, 640, 1280)
"""Widths of the smaller copies, in pixels: of a list, of a phone, of a page on a large screen."""
_SMALL: Final = "small"
_HASH: Final = re.compile(r"[0-9a-f]{64}\Z")
_NAME: Final = re.compile(r"[0-9a-f]{64}\.jpg\Z")


def is_photo_name(name: str) -> bool:
    """Whether this is what a stored photo is called."""
    return _NAME.match(name) is not None


class FolderPhotos:
    """Photos by content hash: re-encoded, turned upright, stripped of place and camera data."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def add(self, data: bytes, name: str = "") -> str:
        """Store a photo and return its hash. Raises InputError when it is no usable picture, StoreError."""
        # Most commands touch no photo; Pillow is loaded by those that do.
        from floorwright.store.picture import photo_jpeg

        return self._keep(photo_jpeg(data, name))

    def read(self, hash_: str, width: int | None = None) -> bytes:
        """The stored JPEG; with `width` a smaller copy at least so many pixels wide.

        The copy has the next of a few widths, so that few of them are kept. Raises NotFoundError, StoreError.
        """
        step = next((each for each in SMALL_WIDTHS if width is not None and width <= each), None)
        try:
            return self._path(hash_).read_bytes() if step is None else self._small(hash_, step)
        except FileNotFoundError:
            raise _missing(hash_) from None
        except OSError as error:
            raise StoreError(
                said(
                    "Photo {hash} cannot be read: {strerror}; check the disk.", hash=hash_, strerror=error.strerror
                )
            ) from error

    def _small(self, hash_: str, width: int) -> bytes:
        """The copy of a width, made when it is asked for the first time. Raises OSError."""
        original = self._path(hash_)
        copy = self._folder / _SMALL / f"{hash_}-{width}.jpg"
        if copy.exists() and original.exists():
            return copy.read_bytes()
        from floorwright.store.picture import scaled_jpeg

        scaled = scaled_jpeg(original.read_bytes(), width)
        copy.parent.mkdir(exist_ok=True)
        with appearing(copy) as temporary:
            temporary.write_bytes(scaled)
        if not original.exists():
            # Removed meanwhile: whoever removed it may have looked for copies before this one was there.
            copy.unlink(missing_ok=True)
            raise FileNotFoundError(original)
        return scaled

    def mask(self, hash_: str, boxes: Sequence[Box]) -> str:
        """Black out rectangles for good: store the masked photo, remove the unmasked one, return the new hash.

        Raises NotFoundError, InputError for rectangles outside the photo, StoreError.
        """
        from floorwright.store.picture import masked_jpeg

        masked = self._keep(masked_jpeg(self.read(hash_), boxes))
        if masked != hash_:
            self.remove(hash_)
        return masked

    def remove(self, hash_: str) -> None:
        """Remove a photo for good. Raises NotFoundError, StoreError.

        A backup made before still holds it.
        """
        try:
            self._path(hash_).unlink()
            for copy in (self._folder / _SMALL).glob(f"{hash_}-*.jpg"):
                copy.unlink(missing_ok=True)
            sync_folder(self._folder)
        except FileNotFoundError:
            raise _missing(hash_) from None
        except OSError as error:
            raise StoreError(
                said(
                    "Photo {hash} cannot be removed: {strerror}; close the programs that show it and try again.",
                    hash=hash_,
                    strerror=error.strerror,
                )
            ) from error

    def hashes(self) -> set[str]:
        """All photos held."""
        return {path.stem for path in self._folder.glob("*.jpg") if is_photo_name(path.name)}

    def _path(self, hash_: str) -> Path:
        if not _HASH.match(hash_):
            raise _missing(hash_)
        return self._folder / f"{hash_}.jpg"

    def _keep(self, jpeg: bytes) -> str:
        hash_ = hashlib.sha256(jpeg).hexdigest()
        path = self._path(hash_)
        try:
            self._folder.mkdir(exist_ok=True)
            if not path.exists():
                with appearing(path) as temporary:
                    temporary.write_bytes(jpeg)
        except OSError as error:
            raise StoreError(
                said(
                    "The photo cannot be stored in {folder}: {strerror}.",
                    folder=self._folder,
                    strerror=error.strerror,
                )
            ) from error
        return hash_


def _missing(hash_: str) -> NotFoundError:
    return NotFoundError(said("The shop has no photo {hash}.", hash=hash_))
