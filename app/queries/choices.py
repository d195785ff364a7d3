"""What forms offer to choose from, by number and name."""

from sqlalchemy.orm import Session

from app.store.lines import Line
from app.store.session import rows
from app.store.tanks import Tank
from app.store.waters import SourceWater

Choices = tuple[tuple[int, str], ...]


def lines(session: Session) -> Choices:
    """Return the lines by name."""
    return tuple((line.id, line.name) for line in rows(session, Line, order=(Line.name, Line.id)))


def open_tanks(session: Session) -> Choices:
    """Return the open tanks in walking order."""
    found = rows(session, Tank, Tank.closed_on.is_(None), order=(Tank.position, Tank.id))
    return tuple((tank.id, tank.name) for tank in found)


def open_waters(session: Session) -> Choices:
    """Return the waters in use."""
    found = rows(session, SourceWater, SourceWater.retired_on.is_(None), order=SourceWater.name)
    return tuple((water.id, water.name) for water in found)
