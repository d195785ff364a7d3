"""Counts the statements a page sends to the database."""

from typing import Any

from sqlalchemy import Engine, event

from tests.support.client import Visitor


def statements(visit: Visitor, path: str) -> int:
    """Open a page and return how many statements it took."""
    sent: list[str] = []

    def note(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:  # noqa: ANN401
        if not statement.startswith(("SAVEPOINT", "RELEASE", "ROLLBACK")):
            sent.append(statement)

    event.listen(Engine, "before_cursor_execute", note)
    try:
        visit.open(path)
    finally:
        event.remove(Engine, "before_cursor_execute", note)
    return len(sent)
