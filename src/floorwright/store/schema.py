"""Which shape a shop's database has, and how an older one is brought to the present one."""

from __future__ import annotations

import sqlite3
import uuid
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Final, cast

import sqlalchemy as sa

from floorwright import __version__
from floorwright.basis.errors import StoreError
from floorwright.store.engine import WRITING, sentence, use_log
from floorwright.store.files import appearing
from floorwright.store.tables import identity


@dataclass(frozen=True, slots=True, kw_only=True)
class Migrations:
    """A folder of migration steps and the revision that the last of them reaches."""

    folder: Path
    head: str


# The head is written here so that opening a shop that is up to date does not load alembic.
PRESENT: Final = Migrations(folder=Path(__file__).parent / "migrations", head="0002")


def revision(connection: sa.Connection) -> str | None:
    """The revision of the tables in a database; None for a database without any of ours."""
    if not sa.inspect(connection).has_table("alembic_version"):
        return None
    found = connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)


def build(engine: sa.Engine, database: Path) -> None:
    """Create all tables in an empty database, and give the shop its identity."""
    use_log(engine, database)
    with engine.connect() as connection:
        connection.execution_options(**{WRITING: True})
        with connection.begin():
            _run(connection, PRESENT)
            connection.execute(identity.insert().values(one=1, shop=uuid.uuid4().hex, made_with=__version__))


def bring_up(engine: sa.Engine, database: Path, migrations: Migrations = PRESENT) -> Path | None:
    """Bring an older database to the present shape, after a copy of it was put beside it.

    Returns the copy, None when nothing had to be done. Raises StoreError when the database is newer than
    this program or is none of ours.
    """
    with engine.connect() as connection:
        found = revision(connection)
    if found == migrations.head:
        use_log(engine, database)
        return None
    if found is None:
        raise StoreError(f"{database}: it is a database, but not a shop's; choose another folder.")
    if not knows(found, migrations):
        raise StoreError(
            f"{database}: it was written by a newer floorwright than this one ({__version__}); "
            "update floorwright and open it again."
        )
    use_log(engine, database)
    copy = _copy(engine, database, found)
    with engine.connect() as connection:
        connection.execution_options(**{WRITING: True})
        with connection.begin():
            # Another process may have done the same while this one waited for the write lock.
            if revision(connection) != migrations.head:
                _run(connection, migrations)
    return copy


def knows(found: str, migrations: Migrations = PRESENT) -> bool:
    """Whether a revision is the present one or one that can be brought up to it."""
    from alembic.script import ScriptDirectory

    steps = ScriptDirectory(str(migrations.folder)).walk_revisions()
    return found in {step.revision for step in steps}


def _run(connection: sa.Connection, migrations: Migrations) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(migrations.folder).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    command.upgrade(config, "head")


def _copy(engine: sa.Engine, database: Path, found: str) -> Path:
    copy = database.with_name(f"{database.stem}.before-upgrade-from-{found}{database.suffix}")
    with appearing(copy) as unfinished:
        copy_database(engine, unfinished)
    return copy


def copy_database(engine: sa.Engine, target: Path) -> None:
    """Copy a live database through SQLite's own backup call, as it stands at one moment. Raises StoreError."""
    raw = engine.raw_connection()
    try:
        with closing(sqlite3.connect(target, isolation_level=None)) as copy:
            cast("sqlite3.Connection", raw.driver_connection).backup(copy)
            # The copy takes over the journal mode; a single file without companions travels better.
            copy.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.Error as error:
        raise StoreError(sentence(target, error) or f"{target}: the copy failed ({error}).") from error
    finally:
        raw.close()
