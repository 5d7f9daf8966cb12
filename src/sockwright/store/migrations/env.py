"""What Alembic runs to migrate: on the connection it is handed, within its transaction."""

from __future__ import annotations

from alembic import context

from sockwright.store.migrating import VERSION_TABLE
from sockwright.store.models import Base


def migrate() -> None:
    """Carry out the steps asked for."""
    context.configure(
        connection=context.config.attributes["connection"],
        target_metadata=Base.metadata,
        version_table=VERSION_TABLE,
        render_as_batch=True,
    )
    with context.begin_transaction():
        context.run_migrations()


# Alembic loads this file under this name; anybody else only reads it.
if __name__ == "env_py":
    migrate()
