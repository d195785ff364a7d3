"""How the database is reached: engines, sessions, and the net that keeps fishrooms apart."""

from collections.abc import Sequence
from pathlib import Path
from sqlite3 import Connection as SqliteConnection
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, create_engine, event, select
from sqlalchemy.orm import ORMExecuteState, Session, sessionmaker, with_loader_criteria

from app.store import tables  # noqa: F401 - every table must be known before a session resolves its keys
from app.store.base import Owned

T = TypeVar("T", bound=Owned)
WRITES = "broodwater_writes"
LARGEST_ID = 2**31 - 1
"""What a row's number can be on PostgreSQL; a larger one is nobody's."""


class NotFound(LookupError):
    """No such row in this fishroom."""


def sqlite_url(path: Path) -> str:
    """Return the address of a database file."""
    return f"sqlite+pysqlite:///{path}"


def make_engine(url: str, *, durable: bool = False) -> Engine:
    """Open a database; a SQLite file gets foreign keys, a write-ahead log and honest transactions."""
    if not url.startswith("sqlite"):
        return create_engine(url, pool_pre_ping=True)
    engine = create_engine(url)
    _tune_sqlite(engine, "FULL" if durable else "NORMAL")
    return engine


def _tune_sqlite(engine: Engine, synchronous: str) -> None:
    @event.listens_for(engine, "connect")
    def _(connection: SqliteConnection, _record: object) -> None:
        connection.isolation_level = None  # Python 3.11 would begin on its own terms
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA busy_timeout = 10000")
        connection.execute(f"PRAGMA synchronous = {synchronous}")

    @event.listens_for(engine, "begin")
    def _(connection: Connection) -> None:
        writes = connection.get_execution_options().get(WRITES)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def tell_sizes(connection: Connection) -> None:
    """Let SQLite look how its rows are spread: without, it takes a fishroom's own index for a good one.

    PostgreSQL does so on its own. A thousand rows of each index are looked at, whatever the table holds.
    """
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql("PRAGMA analysis_limit = 1000")
        connection.exec_driver_sql("ANALYZE")


class RoomSession(Session):
    """A session whose entity reads see one fishroom only, once :func:`enter` has named it."""


@event.listens_for(RoomSession, "do_orm_execute")
def _only_this_room(state: ORMExecuteState) -> None:
    room = state.session.info.get("fishroom_id")
    if room is None or not state.is_select or state.is_column_load:
        return
    state.statement = state.statement.options(
        with_loader_criteria(Owned, lambda cls: cls.fishroom_id == room, include_aliases=True)
    )


def make_sessions(engine: Engine | Connection, **options: Any) -> sessionmaker[RoomSession]:  # noqa: ANN401
    """Return a factory of sessions on ``engine``."""
    return sessionmaker(engine, class_=RoomSession, expire_on_commit=False, **options)


def writing(engine: Engine) -> Engine:
    """Return ``engine`` with transactions that take SQLite's write lock at once."""
    return engine.execution_options(**{WRITES: True})


def enter(session: Session, fishroom_id: int) -> None:
    """Narrow ``session`` to one fishroom from here on."""
    session.info["fishroom_id"] = fishroom_id


def find(session: Session, model: type[T], row_id: int | None) -> T:
    """Return the row of this fishroom, or raise :class:`NotFound`."""
    room = session.info["fishroom_id"]
    row = session.get(model, row_id) if row_id is not None and 0 < row_id <= LARGEST_ID else None
    if row is None or row.fishroom_id != room:
        raise NotFound(f"no {model.__name__.lower()} {row_id} here")
    return row


def rows(session: Session, model: type[T], *conditions: Any, order: Any = None) -> Sequence[T]:  # noqa: ANN401
    """Return this fishroom's rows of ``model`` that meet ``conditions``, in ``order`` (id unless said)."""
    room = session.info["fishroom_id"]
    statement = select(model).where(model.fishroom_id == room, *conditions)
    keys = order if isinstance(order, tuple) else (model.id if order is None else order,)
    return session.scalars(statement.order_by(*keys)).all()
