"""First shape: identity, records with their versions, observations."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Create all tables."""
    op.create_table(
        "identity",
        sa.Column("one", sa.Integer, sa.CheckConstraint("one = 1", name="single"), primary_key=True),
        sa.Column("shop", sa.String(32), nullable=False),
        sa.Column("made_with", sa.String(40), nullable=False),
    )
    op.create_table(
        "record",
        sa.Column("kind", sa.String(20), primary_key=True),
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("body", sa.JSON, nullable=False),
    )
    op.create_table(
        "record_version",
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
    _create_observation()


def _create_observation() -> None:
    op.create_table(
        "observation",
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
    op.create_index("ix_observation_study_id", "observation", ["study", "id"])
    correction = sa.text("replaces != ''")
    op.create_index(
        "uq_observation_study_replaces",
        "observation",
        ["study", "replaces"],
        unique=True,
        sqlite_where=correction,
        postgresql_where=correction,
    )
