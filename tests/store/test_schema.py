"""The tables and the steps that make them: they agree, older shops are brought up, newer ones are refused."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateIndex, CreateTable

from floorwright.basis.errors import StoreError
from floorwright.store import schema, shop, tables
from floorwright.store.engine import DATABASE, sqlite_engine

NEXT_STEP = """
import sqlalchemy as sa
from alembic import op
revision, down_revision = "later", "{before}"

def upgrade() -> None:
    op.add_column("record", sa.Column("colour", sa.Text, nullable=False, server_default="grey"))
    {then}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with an empty shop of the present shape."""
    shop.make_empty(tmp_path)
    return tmp_path


@pytest.fixture
def engine(folder: Path) -> Iterator[sa.Engine]:
    engine = sqlite_engine(folder / DATABASE)
    yield engine
    engine.dispose()


def later(tmp_path: Path, then: str = "pass") -> schema.Migrations:
    """The present steps and one more, as a later program would have."""
    steps = tmp_path / "steps with % and ü"
    shutil.copytree(schema.PRESENT.folder, steps, ignore=shutil.ignore_patterns("__pycache__"))
    text = NEXT_STEP.format(before=schema.PRESENT.head, then=then)
    (steps / "versions" / "later_colour.py").write_text(text, encoding="utf-8")
    return schema.Migrations(folder=steps, head="later")


def test_steps_and_tables_agree(engine: sa.Engine) -> None:
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_server_default": True})
        assert compare_metadata(context, tables.metadata) == []


def test_made_and_migrated_tables_have_the_same_indexes_and_conditions(engine: sa.Engine) -> None:
    made = sa.create_engine("sqlite://")
    tables.metadata.create_all(made)
    query = sa.text("SELECT name, tbl_name, sql FROM sqlite_master WHERE type = 'index' ORDER BY name")
    with made.connect() as one, engine.connect() as other:
        ours = [row for row in other.execute(query) if row.tbl_name != "alembic_version"]
        assert ours == list(one.execute(query))
    made.dispose()


def test_tables_are_written_for_postgresql_too() -> None:
    dialect = postgresql.dialect()
    text = "\n".join(str(CreateTable(table).compile(dialect=dialect)) for table in tables.metadata.sorted_tables)
    indexes = [CreateIndex(index) for table in tables.metadata.sorted_tables for index in table.indexes]
    text += "\n".join(str(index.compile(dialect=dialect)) for index in indexes)
    assert "id BIGSERIAL NOT NULL" in text
    assert "taken_at TIMESTAMP WITHOUT TIME ZONE NOT NULL" in text
    assert "value DOUBLE PRECISION NOT NULL" in text
    assert "ON observation (study, replaces) WHERE replaces != ''" in text


def test_present_revision_is_the_last_step() -> None:
    assert ScriptDirectory(str(schema.PRESENT.folder)).get_current_head() == schema.PRESENT.head


def test_shop_of_the_present_shape_is_left_alone(engine: sa.Engine, folder: Path) -> None:
    assert schema.bring_up(engine, folder / DATABASE) is None
    assert not list(folder.glob("*before-upgrade*"))


def test_older_shop_is_copied_and_brought_up(engine: sa.Engine, folder: Path, tmp_path: Path) -> None:
    with engine.begin() as connection:
        connection.execute(tables.record.insert().values(kind="study", id=1, version=1, body={"n": 1}))
    copy = schema.bring_up(engine, folder / DATABASE, later(tmp_path))
    with engine.connect() as connection:
        assert schema.revision(connection) == "later"
        assert connection.execute(sa.text("SELECT id, colour FROM record")).all() == [(1, "grey")]
    assert copy == folder / f"shop.before-upgrade-from-{schema.PRESENT.head}.sqlite3"
    with closing(sqlite3.connect(copy)) as kept:
        assert kept.execute("SELECT version_num FROM alembic_version").fetchall() == [(schema.PRESENT.head,)]
        assert kept.execute("SELECT kind, id, version FROM record").fetchall() == [("study", 1, 1)]


def test_shop_of_the_first_shape_is_brought_to_the_present_one(tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    database = tmp_path / "shop" / DATABASE
    engine = sqlite_engine(database, create=True)
    with engine.begin() as connection:
        config = Config(attributes={"connection": connection})
        config.set_main_option("script_location", str(schema.PRESENT.folder))
        command.upgrade(config, "0001")
        connection.execute(tables.record.insert().values(kind="study", id=1, version=1, body={"n": 1}))
    assert schema.bring_up(engine, database) == tmp_path / "shop" / "shop.before-upgrade-from-0001.sqlite3"
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), tables.metadata) == []
        assert connection.execute(sa.select(tables.record.c.body)).scalars().all() == [{"n": 1}]
    engine.dispose()


def test_step_that_fails_changes_nothing(engine: sa.Engine, folder: Path, tmp_path: Path) -> None:
    broken = later(tmp_path, then="raise OSError('the power went')")
    with pytest.raises(OSError, match="the power went"):
        schema.bring_up(engine, folder / DATABASE, broken)
    with engine.connect() as connection:
        assert schema.revision(connection) == schema.PRESENT.head
        context = MigrationContext.configure(connection)
        assert compare_metadata(context, tables.metadata) == []


def test_newer_shop_is_refused_in_one_sentence(engine: sa.Engine, folder: Path) -> None:
    with engine.begin() as connection:
        connection.execute(sa.text("UPDATE alembic_version SET version_num = '9001'"))
    with pytest.raises(
        StoreError, match=r"written by a newer floorwright than this one \(.+\); update floorwright"
    ):
        shop.open_shop(folder)


def test_database_of_another_program_is_refused(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / DATABASE)) as other:
        other.execute("CREATE TABLE recipe (name TEXT)")
    with pytest.raises(StoreError, match="it is a database, but not a shop's"):
        shop.open_shop(tmp_path)


def test_shop_has_an_identity_of_its_own(tmp_path: Path) -> None:
    found = set()
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        shop.make_empty(tmp_path / name)
        with closing(sqlite3.connect(tmp_path / name / DATABASE)) as made:
            found.add(made.execute("SELECT shop FROM identity").fetchone())
            with pytest.raises(sqlite3.IntegrityError):
                made.execute("INSERT INTO identity VALUES (2, 'x', '')")
    assert len(found) == 2
