"""The alembic environment: runs on the connection that `store/migrate.py` hands over, inside its transaction."""

from __future__ import annotations

from alembic import context

given = context.config.attributes
context.configure(
    connection=given["connection"],
    target_metadata=given["metadata"],
    version_table=given["version_table"],
    render_as_batch=True,
    compare_type=True,
)
with context.begin_transaction():
    context.run_migrations()
