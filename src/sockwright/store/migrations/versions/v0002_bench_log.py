"""Schema 0002: the log of every sock at the machine."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the table of entries."""
    op.create_table(
        "bench_entry",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column(
            "sock_id",
            sa.String(36),
            sa.ForeignKey("sock.id", name=op.f("fk_bench_entry_sock_id")),
            nullable=False,
        ),
        sa.Column("which", sa.String(6), nullable=False),
        sa.Column("received", sa.String(27), nullable=False),
        sa.Column("clock", sa.Integer, nullable=False),
        sa.Column("device", sa.String(36), nullable=False),
        sa.Column("time", sa.String(40), nullable=False),
        sa.Column("deed", sa.String(10), nullable=False),
        sa.Column("by", sa.Integer, nullable=False),
        sa.Column("of", sa.String(36), nullable=False),
        sa.Column("at", sa.Integer, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.CheckConstraint("length(id) = 36", name=op.f("ck_bench_entry_id")),
        sa.CheckConstraint("which IN ('first', 'second')", name=op.f("ck_bench_entry_which")),
        sa.CheckConstraint("clock >= 1", name=op.f("ck_bench_entry_clock")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bench_entry")),
    )
    op.create_index(op.f("ix_bench_entry_log"), "bench_entry", ["sock_id", "which"])
