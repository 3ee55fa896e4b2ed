"""Several use cases as one: all of them are stored, or none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Self

from floorwright.shop.ports import (
    Access,
    Box,
    Clock,
    Keepsakes,
    Observations,
    Photos,
    Received,
    Records,
    Shop,
    UnitOfWork,
)


@contextmanager
def together(shop: Shop) -> Iterator[Shop]:
    """A shop whose use cases all belong to one transaction, stored when the block ends without an error.

    Photos that were added inside are removed again after an error.
    """
    photos = _NotedPhotos(shop.photos)
    try:
        with shop.work() as work:
            yield _SharedShop(shop, work, photos)
            work.commit()
    except BaseException:
        photos.take_back()
        raise


class _NotedPhotos:
    """The shop's photos, which remember what was added to them."""

    def __init__(self, photos: Photos) -> None:
        self._photos = photos
        self._added: set[str] = set()

    def add(self, data: bytes, name: str = "") -> str:
        held = self._photos.hashes()
        hash_ = self._photos.add(data, name)
        self._added |= {hash_} - held
        return hash_

    def mask(self, hash_: str, boxes: Sequence[Box]) -> str:
        held = self._photos.hashes()
        masked = self._photos.mask(hash_, boxes)
        self._added |= {masked} - held
        return masked

    def read(self, hash_: str, width: int | None = None) -> bytes:
        return self._photos.read(hash_, width)

    def remove(self, hash_: str) -> None:
        self._photos.remove(hash_)

    def hashes(self) -> set[str]:
        return self._photos.hashes()

    def take_back(self) -> None:
        for hash_ in self._added & self._photos.hashes():
            self._photos.remove(hash_)


class _SharedWork:
    """The open transaction as a use case sees it; committing is left to the end."""

    def __init__(self, work: UnitOfWork) -> None:
        self._work = work

    @property
    def records(self) -> Records:
        return self._work.records

    @property
    def observations(self) -> Observations:
        return self._work.observations

    @property
    def access(self) -> Access:
        return self._work.access

    @property
    def received(self) -> Received:
        return self._work.received

    @property
    def keepsakes(self) -> Keepsakes:
        return self._work.keepsakes

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        return None

    def commit(self) -> None:
        return None


class _SharedShop:
    def __init__(self, shop: Shop, work: UnitOfWork, photos: Photos) -> None:
        self._shop, self._work, self._photos = shop, work, photos

    @property
    def photos(self) -> Photos:
        return self._photos

    @property
    def clock(self) -> Clock:
        return self._shop.clock

    @property
    def folder(self) -> Path:
        return self._shop.folder

    @property
    def identity(self) -> str:
        return self._shop.identity

    def work(self, *, patient: bool = True) -> UnitOfWork:
        return _SharedWork(self._work)

    def close(self) -> None:
        return None
