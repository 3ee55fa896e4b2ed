"""The tables of a shop, in SQLAlchemy Core, alike on SQLite and PostgreSQL.

Records are documents: the current body in `record`, the body of every version in `record_version`.
Observations are rows with a column for each field; they are inserted and never updated or deleted.
"""

from __future__ import annotations

from typing import Final

import sqlalchemy as sa

from floorwright.shop.records import Observation

NAMES: Final = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}

metadata: Final = sa.MetaData(naming_convention=NAMES)

identity: Final = sa.Table(
    "identity",
    metadata,
    sa.Column("one", sa.Integer, sa.CheckConstraint("one = 1", name="single"), primary_key=True),
    sa.Column("shop", sa.String(32), nullable=False),
    sa.Column("made_with", sa.String(40), nullable=False),
)
"""A single row: which shop this is, and the version of floorwright that made it."""

record: Final = sa.Table(
    "record",
    metadata,
    sa.Column("kind", sa.String(20), primary_key=True),
    sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("version", sa.Integer, nullable=False),
    sa.Column("body", sa.JSON, nullable=False),
)

record_version: Final = sa.Table(
    "record_version",
    metadata,
    sa.Column("kind", sa.String(20), primary_key=True),
    sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("version", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("body", sa.JSON, nullable=False),
    sa.Column("who", sa.Text, nullable=False),
    sa.Column("role", sa.Text, nullable=False),
    sa.Column("at", sa.DateTime, nullable=False),
    sa.Column("reason", sa.Text, nullable=False),
    sa.Column("replaces", sa.Integer, nullable=False),
    sa.ForeignKeyConstraint(["kind", "id"], ["record.kind", "record.id"]),
)

observation: Final = sa.Table(
    "observation",
    metadata,
    # A primary key that SQLite fills by itself has to be INTEGER there; PostgreSQL wants the wide one.
    sa.Column("id", sa.BigInteger().with_variant(sa.Integer, "sqlite"), primary_key=True),
    sa.Column("study", sa.Integer, nullable=False),
    sa.Column("key", sa.String(120), nullable=False),
    sa.Column("taken_at", sa.DateTime, nullable=False),
    sa.Column("cycle", sa.Integer, nullable=False),
    sa.Column("element", sa.String(120), nullable=False),
    sa.Column("value", sa.Double, nullable=False),
    sa.Column("exposure", sa.Double),
    sa.Column("work", sa.String(10), nullable=False),
    sa.Column("part", sa.String(120), nullable=False),
    sa.Column("lot_size", sa.Integer),
    sa.Column("shift", sa.String(40), nullable=False),
    sa.Column("operator", sa.String(10), nullable=False),
    sa.Column("driver", sa.String(20), nullable=False),
    sa.Column("driver_amount", sa.Double),
    sa.Column("rating", sa.Double),
    sa.Column("foreign", sa.Boolean, nullable=False),
    sa.Column("note", sa.String(1000), nullable=False),
    sa.Column("detail", sa.JSON, nullable=False),
    sa.Column("replaces", sa.String(120), nullable=False),
    sa.Column("reason", sa.String(400), nullable=False),
    sa.UniqueConstraint("study", "key"),
)

sa.Index("ix_observation_study_id", observation.c.study, observation.c.id)

# A reading is corrected once; what is wrong with the correction is corrected in turn.
CORRECTION: Final = observation.c.replaces != ""
sa.Index(
    "uq_observation_study_replaces",
    observation.c.study,
    observation.c.replaces,
    unique=True,
    sqlite_where=CORRECTION,
    postgresql_where=CORRECTION,
)

FIELDS: Final = tuple(Observation.model_fields)
"""Fields of an observation in the order of its model; each is a column of the same name."""

device: Final = sa.Table(
    "device",
    metadata,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("role", sa.String(10), nullable=False),
    sa.Column("made_at", sa.DateTime, nullable=False),
    sa.Column("made_by", sa.Text, nullable=False),
    sa.Column("revoked_at", sa.DateTime),
)

account: Final = sa.Table(
    "account",
    metadata,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("name_key", sa.Text),
    sa.Column("role", sa.String(10), nullable=False),
    sa.Column("password", sa.Text, nullable=False),
    sa.Column("made_at", sa.DateTime, nullable=False),
    sa.Column("made_by", sa.Text, nullable=False),
    sa.Column("disabled_at", sa.DateTime),
    sa.UniqueConstraint("name_key"),
)
"""`name_key` is the name as it is compared; an account that is shut has none, so that its name is free again."""

attempt: Final = sa.Table(
    "attempt",
    metadata,
    sa.Column("name_digest", sa.String(64), primary_key=True),
    sa.Column("failures", sa.Integer, nullable=False),
    sa.Column("locked_until", sa.DateTime),
    sa.Column("at", sa.DateTime, nullable=False),
)
"""Failed sign-ins by name; the names are digests, for people type passwords where a name belongs."""

token: Final = sa.Table(
    "token",
    metadata,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("role", sa.String(10), nullable=False),
    sa.Column("digest", sa.String(64), nullable=False),
    sa.Column("made_at", sa.DateTime, nullable=False),
    sa.Column("made_by", sa.Text, nullable=False),
    sa.Column("expires_at", sa.DateTime, nullable=False),
    sa.Column("seen_at", sa.DateTime),
    sa.Column("revoked_at", sa.DateTime),
    sa.UniqueConstraint("digest"),
)

session: Final = sa.Table(
    "session",
    metadata,
    sa.Column("digest", sa.String(64), primary_key=True),
    sa.Column("kind", sa.String(10), nullable=False),
    sa.Column("owner", sa.Integer, nullable=False),
    sa.Column("made_at", sa.DateTime, nullable=False),
    sa.Column("seen_at", sa.DateTime, nullable=False),
    sa.Column("expires_at", sa.DateTime, nullable=False),
)

sa.Index("ix_session_kind_owner", session.c.kind, session.c.owner)

offer: Final = sa.Table(
    "offer",
    metadata,
    sa.Column("digest", sa.String(64), primary_key=True),
    sa.Column("role", sa.String(10), nullable=False),
    sa.Column("made_at", sa.DateTime, nullable=False),
    sa.Column("made_by", sa.Text, nullable=False),
    sa.Column("expires_at", sa.DateTime, nullable=False),
    sa.Column("wrong_tries", sa.Integer, nullable=False),
    sa.Column("used_at", sa.DateTime),
)

receipt: Final = sa.Table(
    "receipt",
    metadata,
    sa.Column("key", sa.String(120), primary_key=True),
    sa.Column("digest", sa.String(64), nullable=False),
    sa.Column("at", sa.DateTime, nullable=False),
    sa.Column("who", sa.Text, nullable=False),
    sa.Column("result", sa.JSON, nullable=False),
)

keepsake: Final = sa.Table(
    "keepsake",
    metadata,
    sa.Column("owner", sa.String(120), primary_key=True),
    sa.Column("kind", sa.String(40), primary_key=True),
    sa.Column("name", sa.String(200), primary_key=True),
    sa.Column("body", sa.JSON, nullable=False),
    sa.Column("at", sa.DateTime, nullable=False),
)
