"""Short messages that a redirect carries to the next page."""

from dataclasses import asdict, dataclass
from typing import Any

from flask import flash, get_flashed_messages


@dataclass(frozen=True, slots=True)
class Message:
    """What to say (``done``, ``refused`` or ``note``), and where to take it back."""

    kind: str
    text: str
    undo_url: str | None = None


def say(message: Message) -> None:
    """Keep ``message`` for the next page."""
    kept: Any = asdict(message)
    flash(kept)


def said() -> list[Message]:
    """Return and forget the messages kept for this page."""
    kept: list[Any] = get_flashed_messages()
    return [Message(**each) for each in kept]
