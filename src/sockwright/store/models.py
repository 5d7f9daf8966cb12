"""The tables, one for each kind of thing, and one for what things were before."""

from __future__ import annotations

from datetime import datetime
from typing import Any, ClassVar

from sqlalchemy import JSON, CheckConstraint, ForeignKey, Index, MetaData, String, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, declared_attr, mapped_column, relationship

from sockwright.store.items import ItemKind
from sockwright.store.moments import Moment

ID = 36
"""Characters of an id, which is a UUID in its usual form."""

NAME = 200
"""Characters of a name, as many as the order file allows."""

_NONE_AS_NULL = JSON(none_as_null=True)


class Base(DeclarativeBase):
    """Common to all tables: JSON for what was typed, names for every constraint."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


class Kept:
    """What every kept thing has; `document` is in the grammar of the order file."""

    id: Mapped[str] = mapped_column(String(ID), primary_key=True)
    name: Mapped[str] = mapped_column(String(NAME))
    document: Mapped[dict[str, Any]] = mapped_column(JSON)
    version: Mapped[int]
    created: Mapped[datetime] = mapped_column(Moment)
    changed: Mapped[datetime] = mapped_column(Moment)
    deleted: Mapped[datetime | None] = mapped_column(Moment)
    example: Mapped[bool]

    own_args: ClassVar[tuple[Any, ...]] = ()
    """Constraints of the one table."""

    @declared_attr.directive
    @classmethod
    def __table_args__(cls) -> tuple[Any, ...]:
        """Checks and the index that lists go by, of every such table."""
        table: str = getattr(cls, "__tablename__")  # noqa: B009 - a mixin has none of its own
        return (
            CheckConstraint(f"length(id) = {ID}", name="id"),
            CheckConstraint("length(name) > 0", name="name"),
            CheckConstraint("version >= 1", name="version"),
            Index(f"ix_{table}_listed", "deleted", "name"),
            *cls.own_args,
        )


class Person(Kept, Base):
    """Who wears socks: the tables [wearer] and [foot]."""

    __tablename__ = "person"


class Yarn(Kept, Base):
    """A yarn: the keys of [yarn.main]; `used_up` where nothing is left of it."""

    __tablename__ = "yarn"
    used_up: Mapped[bool]


class Machine(Kept, Base):
    """A machine: the keys of [machine]; `serviced` is the day of its last service."""

    __tablename__ = "machine"
    serviced: Mapped[str | None] = mapped_column(String(10))


class Design(Kept, Base):
    """A design: the keys of [sock]."""

    __tablename__ = "design"


class Swatch(Kept, Base):
    """A swatch: the keys of [[swatch]] without its yarn's role."""

    __tablename__ = "swatch"
    yarn_id: Mapped[str] = mapped_column(ForeignKey("yarn.id"), index=True)
    machine_id: Mapped[str] = mapped_column(ForeignKey("machine.id"), index=True)


class Sock(Kept, Base):
    """A pair of socks, planned or made.

    Its document has the order's title, its units and what it changes of the design; `order_toml`
    is the order it was planned by. `log` tells what really happened, `measured` the finished sock,
    `left` what each yarn weighed after it.
    """

    __tablename__ = "sock"
    own_args = (
        CheckConstraint("status IN ('planned', 'being made', 'made')", name="status"),
        CheckConstraint("needles > 0", name="needles"),
    )
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"), index=True)
    machine_id: Mapped[str] = mapped_column(ForeignKey("machine.id"), index=True)
    design_id: Mapped[str | None] = mapped_column(ForeignKey("design.id"), index=True)
    needles: Mapped[int | None]
    status: Mapped[str] = mapped_column(String(10))
    order_toml: Mapped[str] = mapped_column(Text)
    log: Mapped[list[dict[str, Any]]] = mapped_column(JSON)
    measured: Mapped[dict[str, Any] | None] = mapped_column(_NONE_AS_NULL)
    left: Mapped[dict[str, str] | None] = mapped_column(_NONE_AS_NULL)
    yarn_rows: Mapped[list[SockYarn]] = relationship(
        cascade="all, delete-orphan", order_by="SockYarn.role", lazy="selectin"
    )
    swatch_rows: Mapped[list[SockSwatch]] = relationship(
        cascade="all, delete-orphan", order_by="SockSwatch.position", lazy="selectin"
    )

    @property
    def yarns(self) -> dict[str, str]:
        """The yarn's id of each role."""
        return {row.role: row.yarn_id for row in self.yarn_rows}

    @yarns.setter
    def yarns(self, by_role: dict[str, str]) -> None:
        """Choose the yarns anew; a role that stays keeps its row."""
        kept = {row.role: row for row in self.yarn_rows}
        rows = []
        for role, yarn_id in sorted(by_role.items()):
            row = kept.get(role) or SockYarn(role=role)
            row.yarn_id = yarn_id
            rows.append(row)
        self.yarn_rows = rows

    @property
    def swatches(self) -> list[str]:
        """The swatches' ids, in the order's order."""
        return [row.swatch_id for row in self.swatch_rows]

    @swatches.setter
    def swatches(self, ids: list[str]) -> None:
        """Choose the swatches anew; a place that stays keeps its row."""
        rows = {row.position: row for row in self.swatch_rows}
        chosen = [rows.get(i) or SockSwatch(position=i) for i in range(len(ids))]
        for row, swatch_id in zip(chosen, ids, strict=True):
            row.swatch_id = swatch_id
        self.swatch_rows = chosen


class SockYarn(Base):
    """Which yarn plays which role in a sock."""

    __tablename__ = "sock_yarn"
    __table_args__ = (
        CheckConstraint("role IN ('main', 'cuff', 'heel', 'toe', 'waste', 'cord')", name="role"),
    )
    sock_id: Mapped[str] = mapped_column(ForeignKey("sock.id"), primary_key=True)
    role: Mapped[str] = mapped_column(String(10), primary_key=True)
    yarn_id: Mapped[str] = mapped_column(ForeignKey("yarn.id"), index=True)


class SockSwatch(Base):
    """Which swatches speak for a sock, in their order."""

    __tablename__ = "sock_swatch"
    __table_args__ = (CheckConstraint("position >= 0", name="position"),)
    sock_id: Mapped[str] = mapped_column(ForeignKey("sock.id"), primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    swatch_id: Mapped[str] = mapped_column(ForeignKey("swatch.id"), index=True)


_ABOUT = ("person", "yarn", "machine", "design", "swatch", "sock")
_EXACTLY_ONE = " + ".join(f"CASE WHEN {kind}_id IS NULL THEN 0 ELSE 1 END" for kind in _ABOUT)


class Note(Kept, Base):
    """A note about one thing of any other kind; its document has the text."""

    __tablename__ = "note"
    own_args = (CheckConstraint(f"{_EXACTLY_ONE} = 1", name="about"),)
    person_id: Mapped[str | None] = mapped_column(ForeignKey("person.id"), index=True)
    yarn_id: Mapped[str | None] = mapped_column(ForeignKey("yarn.id"), index=True)
    machine_id: Mapped[str | None] = mapped_column(ForeignKey("machine.id"), index=True)
    design_id: Mapped[str | None] = mapped_column(ForeignKey("design.id"), index=True)
    swatch_id: Mapped[str | None] = mapped_column(ForeignKey("swatch.id"), index=True)
    sock_id: Mapped[str | None] = mapped_column(ForeignKey("sock.id"), index=True)

    @property
    def about(self) -> tuple[str, str]:
        """The kind and the id of what the note is about."""
        found = ((kind, id) for kind in _ABOUT if (id := getattr(self, f"{kind}_id")))
        return next(found, ("", ""))

    @about.setter
    def about(self, what: tuple[str, str]) -> None:
        """Attach the note to one thing."""
        for kind in _ABOUT:
            setattr(self, f"{kind}_id", what[1] if kind == what[0] else None)


class Earlier(Base):
    """What a thing was at a version that is no longer its newest."""

    __tablename__ = "earlier"
    __table_args__ = (CheckConstraint("version >= 1", name="version"),)
    id: Mapped[str] = mapped_column(String(ID), primary_key=True)
    version: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    kind: Mapped[str] = mapped_column(String(10))
    name: Mapped[str] = mapped_column(String(NAME))
    document: Mapped[dict[str, Any]] = mapped_column(JSON)
    fields: Mapped[dict[str, Any]] = mapped_column(JSON)
    changed: Mapped[datetime] = mapped_column(Moment)
    deleted: Mapped[datetime | None] = mapped_column(Moment)


class BenchEntry(Base):
    """An entry of the log of one sock at the machine; `received` is when it came to us."""

    __tablename__ = "bench_entry"
    __table_args__ = (
        CheckConstraint(f"length(id) = {ID}", name="id"),
        CheckConstraint("which IN ('first', 'second')", name="which"),
        CheckConstraint("clock >= 1", name="clock"),
        Index("ix_bench_entry_log", "sock_id", "which"),
    )
    id: Mapped[str] = mapped_column(String(ID), primary_key=True)
    sock_id: Mapped[str] = mapped_column(ForeignKey("sock.id"))
    which: Mapped[str] = mapped_column(String(6))
    received: Mapped[datetime] = mapped_column(Moment)
    clock: Mapped[int]
    device: Mapped[str] = mapped_column(String(ID))
    time: Mapped[str] = mapped_column(String(40))
    deed: Mapped[str] = mapped_column(String(10))
    by: Mapped[int]
    of: Mapped[str] = mapped_column(String(ID))
    at: Mapped[int]
    text: Mapped[str] = mapped_column(Text)


TABLES: dict[ItemKind, type[Kept]] = {
    ItemKind.PERSON: Person,
    ItemKind.YARN: Yarn,
    ItemKind.MACHINE: Machine,
    ItemKind.DESIGN: Design,
    ItemKind.SWATCH: Swatch,
    ItemKind.SOCK: Sock,
    ItemKind.NOTE: Note,
}
"""The table of each kind."""
