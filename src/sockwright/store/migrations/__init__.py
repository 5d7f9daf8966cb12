"""The steps from each schema to the next, carried out by Alembic."""
