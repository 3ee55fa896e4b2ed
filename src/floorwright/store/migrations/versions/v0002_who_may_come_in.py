"""Who may come in over the network, what devices have sent, and what somebody wants to find again."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Create the tables; the ones there are stay as they are."""
    _create_people()
    _create_secrets()
    op.create_table(
        "receipt",
        sa.Column("key", sa.String(120), primary_key=True),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("at", sa.DateTime, nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("result", sa.JSON, nullable=False),
    )
    op.create_table(
        "keepsake",
        sa.Column("owner", sa.String(120), primary_key=True),
        sa.Column("kind", sa.String(40), primary_key=True),
        sa.Column("name", sa.String(200), primary_key=True),
        sa.Column("body", sa.JSON, nullable=False),
        sa.Column("at", sa.DateTime, nullable=False),
    )


def _create_people() -> None:
    op.create_table(
        "device",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("role", sa.String(10), nullable=False),
        sa.Column("made_at", sa.DateTime, nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
        sa.Column("revoked_at", sa.DateTime),
    )
    op.create_table(
        "account",
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
    op.create_table(
        "attempt",
        sa.Column("name_digest", sa.String(64), primary_key=True),
        sa.Column("failures", sa.Integer, nullable=False),
        sa.Column("locked_until", sa.DateTime),
        sa.Column("at", sa.DateTime, nullable=False),
    )


def _create_secrets() -> None:
    op.create_table(
        "token",
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
    op.create_table(
        "session",
        sa.Column("digest", sa.String(64), primary_key=True),
        sa.Column("kind", sa.String(10), nullable=False),
        sa.Column("owner", sa.Integer, nullable=False),
        sa.Column("made_at", sa.DateTime, nullable=False),
        sa.Column("seen_at", sa.DateTime, nullable=False),
        sa.Column("expires_at", sa.DateTime, nullable=False),
    )
    op.create_table(
        "offer",
        sa.Column("digest", sa.String(64), primary_key=True),
        sa.Column("role", sa.String(10), nullable=False),
        sa.Column("made_at", sa.DateTime, nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
        sa.Column("expires_at", sa.DateTime, nullable=False),
        sa.Column("wrong_tries", sa.Integer, nullable=False),
        sa.Column("used_at", sa.DateTime),
    )
    op.create_index("ix_session_kind_owner", "session", ["kind", "owner"])
