"""The ground every table stands on: names of constraints, types, and who owns a row."""

from collections.abc import Sequence
from datetime import UTC, datetime
from enum import StrEnum
from typing import Any

from sqlalchemy import (
    DateTime,
    Dialect,
    Enum,
    ForeignKey,
    ForeignKeyConstraint,
    MetaData,
    TypeDecorator,
    UniqueConstraint,
)
from sqlalchemy.orm import DeclarativeBase, Mapped, declared_attr, mapped_column
from sqlalchemy.schema import SchemaItem

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class UtcDateTime(TypeDecorator[datetime]):
    """A moment, stored in UTC and always read back with its zone (SQLite drops zones)."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """Refuse a moment without a zone; store the rest in UTC."""
        if value is None:
            return None
        if value.tzinfo is None:
            msg = "a moment needs a time zone"
            raise ValueError(msg)
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """Give the zone back."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


def words(kind: type[StrEnum]) -> Enum:
    """Return a text column type that holds only the words of ``kind``, checked by the database."""
    return Enum(
        kind,
        native_enum=False,
        create_constraint=True,
        length=32,
        values_callable=lambda members: [member.value for member in members],
        name=kind.__name__.lower(),
    )


class Base(DeclarativeBase):
    """The registry of tables."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map = {datetime: UtcDateTime()}  # noqa: RUF012 - SQLAlchemy's own way to say it


class Owned:
    """A row that belongs to one fishroom; ``(fishroom_id, id)`` is what others may point at."""

    id: Mapped[int] = mapped_column(primary_key=True)

    @declared_attr
    @classmethod
    def fishroom_id(cls) -> Mapped[int]:
        """Say whose the row is."""
        return mapped_column(ForeignKey("fishroom.id", ondelete="CASCADE"), index=True)


def owned_by(*more: SchemaItem) -> tuple[SchemaItem, ...]:
    """Return table arguments for an owned table: its tenant key, and ``more``."""
    return (UniqueConstraint("fishroom_id", "id"), *more)


def link(column: str, table: str, *, ondelete: str | None = None) -> ForeignKeyConstraint:
    """Return a foreign key that the database refuses across fishrooms."""
    return ForeignKeyConstraint(
        ["fishroom_id", column], [f"{table}.fishroom_id", f"{table}.id"], ondelete=ondelete
    )


def columns_of(row: Base) -> Sequence[str]:
    """Return the names of the columns that ``row`` keeps."""
    return [attribute.key for attribute in type(row).__mapper__.column_attrs]


def plain(value: Any) -> Any:  # noqa: ANN401 - a column may hold anything JSON can tell
    """Return ``value`` as JSON can keep it."""
    return value.isoformat() if hasattr(value, "isoformat") else value
