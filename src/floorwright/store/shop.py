"""A shop in a folder: SQLite database and photos, behind `ports.Shop`."""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import sqlalchemy as sa

from floorwright.shop.ports import Author, Clock
from floorwright.store import folder as folders
from floorwright.store import schema
from floorwright.store.access import SqlAccess
from floorwright.store.clock import SystemClock
from floorwright.store.engine import DATABASE, sqlite_engine
from floorwright.store.files import tidy
from floorwright.store.keepsakes import SqlKeepsakes
from floorwright.store.observations import SqlObservations
from floorwright.store.photos import FolderPhotos
from floorwright.store.received import SqlReceived
from floorwright.store.records import SqlRecords
from floorwright.store.session import Session
from floorwright.store.tables import identity
from floorwright.store.turn import Turns


class SqlUnitOfWork:
    """One transaction: everything or nothing. Leaving the block without `commit` rolls back."""

    records: SqlRecords
    observations: SqlObservations
    access: SqlAccess
    received: SqlReceived
    keepsakes: SqlKeepsakes

    def __init__(self, engine: sa.Engine, turns: Turns, *, patient: bool = True) -> None:
        self._session = Session(engine, turns, patient=patient)
        self.records = SqlRecords(self._session)
        self.observations = SqlObservations(self._session)
        self.access = SqlAccess(self._session)
        self.received = SqlReceived(self._session)
        self.keepsakes = SqlKeepsakes(self._session)

    def __enter__(self) -> Self:
        self._session.open()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._session.close()

    def commit(self) -> None:
        """Make everything since the block began durable; what follows in the block is another transaction."""
        self._session.commit()


class SqlShop:
    """An open shop: transactions, photos, clock, and where it lies."""

    photos: FolderPhotos
    clock: Clock
    folder: Path

    def __init__(self, folder: Path, engine: sa.Engine, clock: Clock) -> None:
        self.folder = folder
        self.engine = engine
        self.clock = clock
        self.photos = FolderPhotos(folder / folders.PHOTOS)
        self._turns = Turns()

    @cached_property
    def identity(self) -> str:
        """The name that the shop was given when it was made; a restored backup keeps it."""
        with self.engine.connect() as connection:
            return str(connection.execute(sa.select(identity.c.shop)).scalar_one())

    def work(self, *, patient: bool = True) -> SqlUnitOfWork:
        """Begin a transaction; one that is not `patient` waits for nobody who writes, but raises BusyError."""
        return SqlUnitOfWork(self.engine, self._turns, patient=patient)

    def close(self) -> None:
        """Let go of files and connections."""
        self.engine.dispose()


def create_shop(folder: Path, settings: dict[str, Any], author: Author, clock: Clock | None = None) -> SqlShop:
    """Make a shop with its settings in a new or empty folder, and open it; the folder is a whole shop or none.

    Raises StoreError when the folder cannot hold a shop, in one sentence.
    """
    clock = clock or SystemClock()
    with folders.building(folder) as workplace:
        make_empty(workplace)
        made = _open(workplace, clock)
        try:
            with made.work() as work:
                work.records.add("settings", settings, author=author, at=clock.now())
                work.commit()
        finally:
            made.close()
    return open_shop(folder, clock=clock)


def make_empty(folder: Path) -> None:
    """Put an empty database and an empty photo folder into a folder."""
    engine = sqlite_engine(folder / DATABASE, create=True)
    try:
        schema.build(engine, folder / DATABASE)
    finally:
        engine.dispose()
    (folder / folders.PHOTOS).mkdir()


def open_shop(folder: Path, *, clock: Clock | None = None) -> SqlShop:
    """Open the shop in a folder; an older one is brought up to date first, after a copy was put beside it.

    Raises StoreError, in one sentence, when there is no shop or it cannot be used there.
    """
    path = folders.check(folder, new=False)
    opened = _open(path, clock or SystemClock())
    tidy(path)
    tidy(path / folders.PHOTOS)
    return opened


def _open(folder: Path, clock: Clock) -> SqlShop:
    engine = sqlite_engine(folder / DATABASE)
    try:
        schema.bring_up(engine, folder / DATABASE)
    except BaseException:
        engine.dispose()
        raise
    return SqlShop(folder, engine, clock)
