"""What all tables share: names of constraints, strict types on SQLite, instants in UTC."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import JSON, Connection, DateTime, Dialect, Index, MetaData, event, text
from sqlalchemy.orm import DeclarativeBase
from sqlalchemy.types import TypeDecorator
from typing_extensions import override

from tubcare.store import strict

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


__all__ = ["Base", "Instant", "strict"]


class Base(DeclarativeBase):
    """Common base of the tables; names every constraint."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map = {dict[str, Any]: JSON, list[Any]: JSON}  # noqa: RUF012  SQLAlchemy's way


def partial_index(name: str, *columns: str, where: str) -> Index:
    """Return an index of the rows for which a condition holds.

    PostgreSQL is told when the index is made there: to name one of its options is to load all
    that SQLAlchemy knows about it, which takes as long as the whole of a short command.
    """
    index = Index(name, *columns, sqlite_where=text(where))

    @event.listens_for(index, "before_create")
    def _tell(_index: Index, connection: Connection, **_known: object) -> None:
        if connection.dialect.name == "postgresql":
            index.dialect_kwargs["postgresql_where"] = text(where)

    return index


class Instant(TypeDecorator[datetime]):
    """An instant in UTC; refuses a naive time, since SQLite would drop an offset in silence."""

    impl = DateTime(timezone=True)
    cache_ok = True

    @override
    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Turn an aware time into UTC."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("an instant needs its time zone")
        utc = value.astimezone(UTC)
        return utc.replace(tzinfo=None) if dialect.name == "sqlite" else utc

    @override
    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Give back an aware time in UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
