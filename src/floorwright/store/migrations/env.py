"""What alembic runs: the steps on the connection that `store.schema` hands over, in its transaction."""

from __future__ import annotations

from alembic import context

from floorwright.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    render_as_batch=True,
    # The connection has begun its own transaction, and data definition is part of it on both databases.
    transactional_ddl=True,
)
context.run_migrations()
