"""The tables, one for each kind of thing, and one for what things were before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from functools import cache
from inspect import get_annotations
from typing import Any, ClassVar

from sqlalchemy import JSON, CheckConstraint, ForeignKey, Index, MetaData, String, Text
from sqlalchemy.orm import (
    ColumnProperty,
    DeclarativeBase,
    Mapped,
    Relationship,
    declared_attr,
    mapped_column,
    relationship,
)
from sqlalchemy.types import TypeDecorator

from sockwright.store.damage import Unreadable
from sockwright.store.items import ItemKind

ID = 36
"""Characters of an id, which is a UUID in its usual form."""

NAME = 200
"""Characters of a name, as many as the order file allows."""

MOMENT = len("2025-11-03T07:15:00.000000Z")
"""Characters of a moment: UTC, to the microsecond, in texts that sort as time does."""

_NONE_AS_NULL = JSON(none_as_null=True)


def moment_text(moment: datetime) -> str:
    """The moment as "2025-11-03T07:15:00.000000Z"; ValueError for one without a time zone."""
    if moment.tzinfo is None:
        raise ValueError("a moment needs its time zone")
    text = moment.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds")
    return f"{text}Z"


def moment_text_if_any(moment: datetime | None) -> str | None:
    """The same of a moment that may not have come."""
    return None if moment is None else moment_text(moment)


def moment_from(text: str) -> datetime:
    """The moment of such a text, in UTC; ValueError for any other text."""
    # Every row of every list has moments: this must be quick, and strptime is not.
    try:
        moment = datetime.fromisoformat(text)
        as_kept = moment_text(moment) == text
    except ValueError:
        as_kept = False
    if not as_kept:
        raise ValueError(f"{text!r} is not written as moments are")
    return moment


class Moment(TypeDecorator[datetime]):
    """A column of moments. A text, for SQLite keeps no time zones and every database sorts it."""

    impl = String(MOMENT)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Any) -> str | None:
        """The text that is kept."""
        return None if value is None else moment_text(value)

    def process_result_value(self, value: Any, dialect: Any) -> Any:
        """The moment again; Unreadable for a text that is none any more."""
        try:
            return None if value is None else moment_from(value)
        except (ValueError, TypeError):
            return Unreadable(value)


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
    """What every kept thing has; `document` is in the grammar of the order file.

    Its table is called as its kind. What a kind has besides, its fields, are the columns and
    relationships of its own, in the order of their lines; `info` tells the field that a
    relationship is written as.
    """

    __tablename__: Any

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
        return (
            CheckConstraint(f"length(id) = {ID}", name="id"),
            CheckConstraint("length(name) > 0", name="name"),
            CheckConstraint("version >= 1", name="version"),
            Index(f"ix_{cls.__tablename__}_listed", "deleted", "name"),
            *cls.own_args,
        )

    @property
    def fields(self) -> dict[str, Any]:
        """What it has besides its document, of JSON's types."""
        return {name: getattr(self, name) for name in fields_of(ItemKind(self.__tablename__))}

    @fields.setter
    def fields(self, said: Mapping[str, Any]) -> None:
        """Write all of it."""
        for name in fields_of(ItemKind(self.__tablename__)):
            setattr(self, name, said[name])


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
    yarn_rows: Mapped[list[SockYarn]] = relationship(
        cascade="all, delete-orphan",
        order_by="SockYarn.role",
        lazy="selectin",
        info={"field": "yarns"},
    )
    swatch_rows: Mapped[list[SockSwatch]] = relationship(
        cascade="all, delete-orphan",
        order_by="SockSwatch.position",
        lazy="selectin",
        info={"field": "swatches"},
    )
    needles: Mapped[int | None]
    status: Mapped[str] = mapped_column(String(10))
    order_toml: Mapped[str] = mapped_column(Text)
    log: Mapped[list[dict[str, Any]]] = mapped_column(JSON)
    measured: Mapped[dict[str, Any] | None] = mapped_column(_NONE_AS_NULL)
    left: Mapped[dict[str, str] | None] = mapped_column(_NONE_AS_NULL)

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


ABOUT = ("about_kind", "about_id")
"""The fields of a note; it has a column for the ids of each kind."""

_ABOUT = tuple(kind.value for kind in ItemKind if kind is not ItemKind.NOTE)
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
    def fields(self) -> dict[str, Any]:
        """The kind and the id of what the note is about."""
        found = ((kind, id) for kind in _ABOUT if (id := getattr(self, f"{kind}_id")))
        return dict(zip(ABOUT, next(found, ("", "")), strict=True))

    @fields.setter
    def fields(self, said: Mapping[str, Any]) -> None:
        """Attach the note to one thing."""
        of_kind, id = (said[name] for name in ABOUT)
        for kind in _ABOUT:
            setattr(self, f"{kind}_id", id if kind == of_kind else None)


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
    ItemKind(table.__tablename__): table for table in Kept.__subclasses__()
}
"""The table of each kind."""


@cache
def references_of(kind: ItemKind) -> dict[str, ItemKind | None]:
    """What each field of a kind refers to, None where it holds no ids."""
    table = TABLES[kind]
    if table is Note:
        return dict.fromkeys(ABOUT)
    every = (getattr(table, name) for name in get_annotations(table))
    return {one.property.info.get("field", one.key): _referred(one.property) for one in every}


def fields_of(kind: ItemKind) -> tuple[str, ...]:
    """What each thing of a kind has besides its document."""
    return tuple(references_of(kind))


def kinds_referred(kind: ItemKind) -> tuple[ItemKind, ...]:
    """The kinds that things of a kind may refer to."""
    if kind is ItemKind.NOTE:
        return tuple(map(ItemKind, _ABOUT))
    return tuple({of: None for of in references_of(kind).values() if of is not None})


def references(kind: ItemKind, fields: Mapping[str, Any]) -> Iterator[tuple[str, ItemKind, str]]:
    """The path, kind and id of every thing that `fields` refers to."""
    if kind is ItemKind.NOTE:
        yield "about_id", ItemKind(fields["about_kind"]), fields["about_id"]
    for name, of_kind in references_of(kind).items():
        held = fields[name]
        if of_kind is None or held is None:
            continue
        if isinstance(held, str):
            yield name, of_kind, held
        elif isinstance(held, Mapping):
            yield from ((f"{name}.{key}", of_kind, id) for key, id in held.items())
        else:
            yield from ((f"{name}[{i}]", of_kind, id) for i, id in enumerate(held, 1))


def _referred(held: ColumnProperty[Any] | Relationship[Any]) -> ItemKind | None:
    """The kind whose ids a column holds, or the rows beside a table."""
    columns = held.columns if isinstance(held, ColumnProperty) else held.target.columns
    own = held.parent.local_table
    tables = (key.column.table for column in columns for key in column.foreign_keys)
    return next((ItemKind(table.name) for table in tables if table is not own), None)
