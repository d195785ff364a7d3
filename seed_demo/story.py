"""Plays the invented fishroom through the services, day by day up to today."""

import hashlib
import secrets
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from sqlalchemy.orm import Session

from app.core.quantities import Units
from app.services import accounts
from app.store.users import Role, User

HERE = Path(__file__).resolve().parent
EMAIL = "keeper@demo.example"


def version() -> str:
    """Return a short digest of the story and of everything it rests on."""
    digest = hashlib.sha256()
    for folder, pattern in (
        (HERE, "*.py"),
        (HERE / "data", "*.csv"),
        (HERE.parent / "migrations", "versions/*.py"),
    ):
        for path in sorted(folder.glob(pattern)):
            digest.update(path.read_bytes())
    return digest.hexdigest()[:8]


def load(session: Session, now: datetime, say: Callable[[str], None]) -> None:
    """Make the keeper and the fishroom, and play the story into it."""
    user = accounts.add_user(session, EMAIL, secrets.token_urlsafe(24), now)
    room = accounts.add_fishroom(session, "Demo fishroom (invented)", now, units=Units.METRIC)
    accounts.add_member(session, room, user, Role.KEEPER)
