"""Schema 0001: people, yarns, machines, designs, swatches, socks, notes and what they were."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision: str | None = None

MOMENT = sa.String(27)
ID = sa.String(36)
ABOUT = ("person", "yarn", "machine", "design", "swatch", "sock")


def upgrade() -> None:
    """Make the tables."""
    _kept("person")
    _kept("yarn", sa.Column("used_up", sa.Boolean, nullable=False))
    _kept("machine", sa.Column("serviced", sa.String(10)))
    _kept("design")
    _kept("swatch", _reference("swatch", "yarn"), _reference("swatch", "machine"))
    _index("swatch", "yarn_id", "machine_id")
    _sock()
    _sock_parts()
    _notes()
    _earlier()


def _sock() -> None:
    _kept(
        "sock",
        _reference("sock", "person"),
        _reference("sock", "machine"),
        _reference("sock", "design", nullable=True),
        sa.Column("needles", sa.Integer),
        sa.Column("status", sa.String(10), nullable=False),
        sa.Column("order_toml", sa.Text, nullable=False),
        sa.Column("log", sa.JSON, nullable=False),
        sa.Column("measured", sa.JSON),
        sa.Column("left", sa.JSON),
        _check("sock", "status", "status IN ('planned', 'being made', 'made')"),
        _check("sock", "needles", "needles > 0"),
    )
    _index("sock", "person_id", "machine_id", "design_id")


def _sock_parts() -> None:
    op.create_table(
        "sock_yarn",
        _reference("sock_yarn", "sock"),
        sa.Column("role", sa.String(10), nullable=False),
        _reference("sock_yarn", "yarn"),
        _check("sock_yarn", "role", "role IN ('main', 'cuff', 'heel', 'toe', 'waste', 'cord')"),
        sa.PrimaryKeyConstraint("sock_id", "role", name=op.f("pk_sock_yarn")),
    )
    _index("sock_yarn", "yarn_id")
    op.create_table(
        "sock_swatch",
        _reference("sock_swatch", "sock"),
        sa.Column("position", sa.Integer, nullable=False, autoincrement=False),
        _reference("sock_swatch", "swatch"),
        _check("sock_swatch", "position", "position >= 0"),
        sa.PrimaryKeyConstraint("sock_id", "position", name=op.f("pk_sock_swatch")),
    )
    _index("sock_swatch", "swatch_id")


def _notes() -> None:
    one = " + ".join(f"CASE WHEN {kind}_id IS NULL THEN 0 ELSE 1 END" for kind in ABOUT)
    columns = [_reference("note", kind, nullable=True) for kind in ABOUT]
    _kept("note", *columns, _check("note", "about", f"{one} = 1"))
    _index("note", *(f"{kind}_id" for kind in ABOUT))


def _earlier() -> None:
    op.create_table(
        "earlier",
        sa.Column("id", ID, nullable=False),
        sa.Column("version", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("kind", sa.String(10), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("document", sa.JSON, nullable=False),
        sa.Column("fields", sa.JSON, nullable=False),
        sa.Column("changed", MOMENT, nullable=False),
        sa.Column("deleted", MOMENT),
        _check("earlier", "version", "version >= 1"),
        sa.PrimaryKeyConstraint("id", "version", name=op.f("pk_earlier")),
    )


def _kept(name: str, *own: sa.schema.SchemaItem) -> None:
    """A table of kept things, with its own columns and checks."""
    columns = [item for item in own if isinstance(item, sa.Column)]
    checks = [item for item in own if not isinstance(item, sa.Column)]
    op.create_table(
        name,
        *columns,
        sa.Column("id", ID, nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("document", sa.JSON, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("created", MOMENT, nullable=False),
        sa.Column("changed", MOMENT, nullable=False),
        sa.Column("deleted", MOMENT),
        sa.Column("example", sa.Boolean, nullable=False),
        _check(name, "id", "length(id) = 36"),
        _check(name, "name", "length(name) > 0"),
        _check(name, "version", "version >= 1"),
        *checks,
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{name}")),
    )
    op.create_index(op.f(f"ix_{name}_listed"), name, ["deleted", "name"])


def _reference(name: str, to: str, nullable: bool = False) -> sa.Column[str]:
    key = sa.ForeignKey(f"{to}.id", name=op.f(f"fk_{name}_{to}_id"))
    return sa.Column(f"{to}_id", ID, key, nullable=nullable)


def _check(name: str, what: str, condition: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(condition, name=op.f(f"ck_{name}_{what}"))


def _index(name: str, *columns: str) -> None:
    for column in columns:
        op.create_index(op.f(f"ix_{name}_{column}"), name, [column])
