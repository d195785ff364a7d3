"""How an act says no."""

from app.core.problems import Problem
from app.store.session import NotFound

__all__ = ["NotFound", "Refused"]


class Refused(Problem):
    """What was asked cannot be true of this fishroom; the message says why and what to do."""
