"""Short messages that a redirect carries to the next page."""

from dataclasses import asdict, dataclass
from typing import Any

from flask import flash, get_flashed_messages


@dataclass(frozen=True, slots=True)
class Message:
    """What to say (``done``, ``refused`` or ``note``), where to take it back, and which entry it is about.

    ``place`` is the id of that entry on the page; a page without it says the message at its top.
    """

    kind: str
    text: str
    undo_url: str | None = None
    place: str = ""


def say(message: Message) -> None:
    """Keep ``message`` for the next page."""
    kept: Any = asdict(message)
    flash(kept)


def said() -> list[Message]:
    """Return and forget the messages kept for this page."""
    kept: list[Any] = get_flashed_messages()
    return [Message(**each) for each in kept]
