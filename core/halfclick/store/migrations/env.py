"""Run the revisions on the connection that the upgrade opened."""

from alembic import context

context.configure(connection=context.config.attributes["connection"])
context.run_migrations()
