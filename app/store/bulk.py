"""Puts many rows in at once, leaving out those that are there already; the same on both databases."""

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Insert, insert
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from app.store.base import Base, Owned


def add_new(
    session: Session, model: type[Base], rows: Sequence[Mapping[str, Any]], unique: Sequence[str]
) -> list[int]:
    """Insert ``rows`` and return the numbers of those that were new by the columns of ``unique``."""
    if not rows:
        return []
    assert issubclass(model, Owned)  # noqa: S101 - a row without a number of its own cannot be counted
    connection = session.connection()
    statement = _ignoring(connection.dialect.name, model, unique).returning(model.id)
    return [row[0] for row in connection.execute(statement, list(rows))]


def add_all(session: Session, model: type[Base], rows: Sequence[Mapping[str, Any]]) -> None:
    """Insert ``rows`` of which none is there yet; the quicker way where nothing has to be counted."""
    if rows:
        session.connection().execute(insert(model), list(rows))


def _ignoring(dialect: str, model: type[Base], unique: Sequence[str]) -> Insert:
    if dialect == "postgresql":
        return postgresql.insert(model).on_conflict_do_nothing(index_elements=unique)
    if dialect == "sqlite":
        return sqlite.insert(model).on_conflict_do_nothing(index_elements=unique)
    return insert(model)  # no other database is admitted; a repeat would be refused by its key
